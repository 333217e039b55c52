#include "output_file.hpp"

#include <cerrno>
#include <cstdio>
#include <cstring>

#include "coldgrease/base/error.hpp"

namespace coldgrease::tools {

void write_file(const std::string& path, const std::string& text) {
  const std::string beside = path + ".part";
  const auto refuse = [&] {
    const int why = errno;
    std::remove(beside.c_str());
    throw file_error(path, std::strerror(why), "a file that can be written");
  };
  std::FILE* file = std::fopen(beside.c_str(), "wb");
  if (file == nullptr) refuse();
  const bool written = std::fwrite(text.data(), 1, text.size(), file) == text.size();
  // A full disk may show only here.
  const bool closed = std::fclose(file) == 0;
  if (!written || !closed || std::rename(beside.c_str(), path.c_str()) != 0) refuse();
}

}  // namespace coldgrease::tools
