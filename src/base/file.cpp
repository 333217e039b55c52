#include "base/file.hpp"

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>

namespace coldgrease::detail {

std::string read_file(const std::string& path) {
  std::error_code ignored;
  if (std::filesystem::is_directory(path, ignored)) throw file_error(path, "is a folder", "a file");
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), &std::fclose);
  if (!file) throw file_error(path, std::strerror(errno), "a file that can be read");
  std::string text;
  const auto size = std::filesystem::file_size(path, ignored);
  if (!ignored) text.reserve(size);
  std::array<char, 1 << 16> block;
  while (const std::size_t got = std::fread(block.data(), 1, block.size(), file.get())) text.append(block.data(), got);
  if (std::ferror(file.get())) throw file_error(path, "cannot be read to its end", "a file that can be read");
  return text;
}

}  // namespace coldgrease::detail
