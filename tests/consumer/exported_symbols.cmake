# A shared library shows its own namespace and nothing of the libraries used inside.
# -D INSTALLED= -D NM=
include(${CMAKE_CURRENT_LIST_DIR}/steps.cmake)

file(GLOB_RECURSE library ${INSTALLED}/*/libcoldgrease.so)
execute_process(COMMAND ${NM} -D --defined-only --format=posix ${library}
  OUTPUT_VARIABLE symbols COMMAND_ERROR_IS_FATAL ANY)
string(REGEX MATCHALL "[^\n]+" symbols "${symbols}")
set(foreign ${symbols})
list(FILTER foreign EXCLUDE REGEX "^_Z(N|NK|TIN|TSN|TVN)10coldgrease")
if(foreign OR NOT symbols MATCHES "_ZTIN10coldgrease2v011input_errorE")
  list(JOIN foreign "\n" foreign)
  message(FATAL_ERROR "${library}: shows foreign symbols or hides its exceptions:\n${foreign}")
endif()
