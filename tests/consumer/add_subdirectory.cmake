# -D SOURCE=of the library -D BUILD= -D SHARED=ON or OFF -D GENERATOR= -D COMPILER= -D FLAGS= -D WARNING_AS_ERROR=
include(${CMAKE_CURRENT_LIST_DIR}/steps.cmake)

# Flags but no build type: the library must set none. Only the configuration is fresh, what was built stays.
run(${CMAKE_COMMAND} --fresh -S ${CMAKE_CURRENT_LIST_DIR}/add_subdirectory -B ${BUILD} -G ${GENERATOR}
  -D CMAKE_CXX_COMPILER=${COMPILER} -D BUILD_SHARED_LIBS=${SHARED} -D LIBRARY_SOURCE=${SOURCE}
  -D CMAKE_CXX_FLAGS=${FLAGS} -D CMAKE_COMPILE_WARNING_AS_ERROR=${WARNING_AS_ERROR})
run(${CMAKE_COMMAND} --build ${BUILD})
run_program(${BUILD}/program)

file(REMOVE_RECURSE ${BUILD}/installed)
run(${CMAKE_COMMAND} --install ${BUILD} --prefix ${BUILD}/installed)
file(GLOB_RECURSE installed RELATIVE ${BUILD}/installed ${BUILD}/installed/*)
if(NOT installed STREQUAL "bin/program")
  message(FATAL_ERROR "the library put files into the installation of its parent: ${installed}")
endif()

# A parent that does want the library installed: the next tests use what it installs.
run(${CMAKE_COMMAND} -D COLDGREASE_INSTALL=ON ${BUILD})
