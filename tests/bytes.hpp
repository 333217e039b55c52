// How a test gets at the bytes of a file.
#pragma once

#include <doctest/doctest.h>

#include <fstream>
#include <iterator>
#include <string>

/// All of a file that must be there.
inline std::string bytes_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::string bytes{std::istreambuf_iterator<char>(file), {}};
  REQUIRE(!bytes.empty());
  return bytes;
}
