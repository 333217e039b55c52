# -D COMPILER= -D INCLUDE= -D SOURCE=
function(compile wrong result output)
  execute_process(COMMAND ${COMPILER} -std=c++20 -fsyntax-only -I${INCLUDE} -DWRONG=${wrong} ${SOURCE}
    RESULT_VARIABLE exit ERROR_VARIABLE errors)
  set(${result} ${exit} PARENT_SCOPE)
  set(${output} "${errors}" PARENT_SCOPE)
endfunction()

compile(0 right_exit errors)
if(NOT right_exit EQUAL 0)
  message(FATAL_ERROR "${SOURCE}: does not compile with WRONG=0\n${errors}")
endif()
compile(1 wrong_exit errors)
if(wrong_exit EQUAL 0)
  message(FATAL_ERROR "${SOURCE}: compiles with WRONG=1")
endif()
