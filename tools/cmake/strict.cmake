# Initial cache of the builds that check this project: cmake -C tools/cmake/strict.cmake ...
set(CMAKE_BUILD_TYPE Release CACHE STRING "")
set(CMAKE_COMPILE_WARNING_AS_ERROR ON CACHE BOOL "")

# g++ 12 warns of -Wrestrict without cause where text is put before a std::string (GCC bug 105651); clang does not know
# the name of that warning.
set(CMAKE_CXX_FLAGS "-Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wsign-conversion -Wold-style-cast \
-Wno-restrict -Wno-unknown-warning-option" CACHE STRING "")
