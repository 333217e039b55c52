# A program built by hand with what pkg-config says.
# -D INSTALLED= -D BUILD= -D COMPILER= -D PKG_CONFIG=
include(${CMAKE_CURRENT_LIST_DIR}/steps.cmake)

function(ask result)
  execute_process(COMMAND ${PKG_CONFIG} ${ARGN} coldgrease
    OUTPUT_VARIABLE answer OUTPUT_STRIP_TRAILING_WHITESPACE COMMAND_ERROR_IS_FATAL ANY)
  separate_arguments(answer UNIX_COMMAND "${answer}")
  set(${result} ${answer} PARENT_SCOPE)
endfunction()

file(GLOB_RECURSE description ${INSTALLED}/*/coldgrease.pc)
cmake_path(GET description PARENT_PATH folder)
set(ENV{PKG_CONFIG_PATH} ${folder})
ask(cflags --cflags)
ask(libs --libs)
ask(libdir --variable=libdir)
ask(tables --variable=tablesdir)
if(NOT EXISTS ${tables}/greases.json)
  message(FATAL_ERROR "tablesdir holds no tables: ${tables}")
endif()

file(MAKE_DIRECTORY ${BUILD})
run(${COMPILER} ${cflags} ${CMAKE_CURRENT_LIST_DIR}/program.cpp ${libs} -o ${BUILD}/program)
set(ENV{LD_LIBRARY_PATH} ${libdir})
run_program(${BUILD}/program)
