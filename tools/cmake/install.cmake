# What is installed, and how other projects find it: a CMake package, a pkg-config file, the command, the tables.
include(CMakePackageConfigHelpers)

set(coldgrease_tables_destination ${CMAKE_INSTALL_DATADIR}/coldgrease/tables)
set(coldgrease_cmake_destination ${CMAKE_INSTALL_LIBDIR}/cmake/coldgrease)
set(coldgrease_pc_destination ${CMAKE_INSTALL_LIBDIR}/pkgconfig)

install(TARGETS coldgrease EXPORT coldgreaseTargets FILE_SET HEADERS)
install(DIRECTORY tables/ DESTINATION ${coldgrease_tables_destination})
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR})

if(COLDGREASE_TOOLS)
  # A shared library is found beside the command, wherever both are moved.
  file(RELATIVE_PATH bin_to_lib ${CMAKE_INSTALL_FULL_BINDIR} ${CMAKE_INSTALL_FULL_LIBDIR})
  set_target_properties(coldgrease_tool PROPERTIES INSTALL_RPATH "$ORIGIN/${bin_to_lib}")
  install(TARGETS coldgrease_tool)
  install(DIRECTORY ${coldgrease_manual_folder}/man1 ${coldgrease_manual_folder}/man5 ${coldgrease_manual_folder}/man7
    DESTINATION ${CMAKE_INSTALL_MANDIR})
  install(FILES ${coldgrease_manual_folder}/completions/coldgrease
    DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)
  install(FILES ${coldgrease_manual_folder}/completions/_coldgrease DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/site-functions)
  install(FILES ${coldgrease_manual_folder}/fleet.schema.json DESTINATION ${CMAKE_INSTALL_DATADIR}/coldgrease)
endif()

# A program that links the static library links what is inside it as well.
if(BUILD_SHARED_LIBS)
  set(pc_requires Requires.private)
  set(coldgrease_is_static FALSE)
else()
  set(pc_requires Requires)
  set(coldgrease_is_static TRUE)
endif()

install(EXPORT coldgreaseTargets NAMESPACE coldgrease:: DESTINATION ${coldgrease_cmake_destination})
configure_package_config_file(tools/cmake/coldgreaseConfig.cmake.in coldgreaseConfig.cmake
  INSTALL_DESTINATION ${coldgrease_cmake_destination}
  PATH_VARS coldgrease_tables_destination)
write_basic_package_version_file(coldgreaseConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES
  ${CMAKE_CURRENT_BINARY_DIR}/coldgreaseConfig.cmake
  ${CMAKE_CURRENT_BINARY_DIR}/coldgreaseConfigVersion.cmake
  DESTINATION ${coldgrease_cmake_destination})

# The prefix is where the .pc file lies, so that the tree can be moved; only an absolute folder stays where it is.
if(IS_ABSOLUTE "${CMAKE_INSTALL_LIBDIR}")
  set(pc_prefix ${CMAKE_INSTALL_PREFIX})
else()
  file(RELATIVE_PATH pc_to_prefix /${coldgrease_pc_destination} /)
  string(REGEX REPLACE "/$" "" pc_prefix "\${pcfiledir}/${pc_to_prefix}")
endif()
cmake_path(APPEND pc_libdir "\${prefix}" "${CMAKE_INSTALL_LIBDIR}")
cmake_path(APPEND pc_includedir "\${prefix}" "${CMAKE_INSTALL_INCLUDEDIR}")
cmake_path(APPEND pc_tablesdir "\${prefix}" "${coldgrease_tables_destination}")
configure_file(tools/cmake/coldgrease.pc.in coldgrease.pc @ONLY)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/coldgrease.pc DESTINATION ${coldgrease_pc_destination})
