# Steps that the drivers of this folder share.
cmake_minimum_required(VERSION 3.25)

# Runs a command; its output is shown only when it fails.
function(run)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE result OUTPUT_VARIABLE output ERROR_VARIABLE output)
  if(NOT result EQUAL 0)
    list(JOIN ARGN " " command)
    message(FATAL_ERROR "${command}\n${output}\nexit ${result}")
  endif()
endfunction()

# Runs the program that was built, and compares what it prints; the numbers are laws that hold for any grease.
function(run_program program)
  execute_process(COMMAND ${program} RESULT_VARIABLE result OUTPUT_VARIABLE output ERROR_VARIABLE errors)
  file(READ ${CMAKE_CURRENT_FUNCTION_LIST_DIR}/expected.txt expected)
  if(NOT result EQUAL 0 OR NOT output STREQUAL expected)
    message(FATAL_ERROR "${program}: exit ${result}\n${output}${errors}\nexpected:\n${expected}")
  endif()
endfunction()
