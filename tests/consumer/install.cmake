# Installs a build tree, moves what was installed, and looks at it.
# -D BUILD=build tree  -D INSTALLED=folder to end in  -D COMMAND=ON if the command belongs to it
include(${CMAKE_CURRENT_LIST_DIR}/steps.cmake)

set(first_place ${INSTALLED}.first_place)
file(REMOVE_RECURSE ${INSTALLED} ${first_place})
run(${CMAKE_COMMAND} --install ${BUILD} --prefix ${first_place})
file(RENAME ${first_place} ${INSTALLED})

foreach(file share/coldgrease/tables/greases.json share/doc/coldgrease/LICENSE include/coldgrease/coldgrease.hpp)
  if(NOT EXISTS ${INSTALLED}/${file})
    message(FATAL_ERROR "not installed: ${file}")
  endif()
endforeach()

file(GLOB_RECURSE descriptions ${INSTALLED}/*.cmake ${INSTALLED}/*.pc)
foreach(description IN LISTS descriptions)
  file(STRINGS ${description} wrong REGEX "${BUILD}|${first_place}|fmt|nlohmann")
  if(wrong)
    message(FATAL_ERROR "${description}: names a folder of the build or a private dependency:\n${wrong}")
  endif()
endforeach()

if(COMMAND)
  run(${INSTALLED}/bin/coldgrease --help)
  foreach(page coldgrease coldgrease-pick coldgrease-chart)
    if(NOT EXISTS ${INSTALLED}/share/man/man1/${page}.1)
      message(FATAL_ERROR "no manual page: ${page}")
    endif()
  endforeach()
endif()
