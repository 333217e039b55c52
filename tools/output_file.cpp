#include "output_file.hpp"

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>

#include "coldgrease/base/error.hpp"

namespace coldgrease::tools {

namespace {

/// What stopped it, in words; empty if nothing did.
std::string write(const std::string& path, const std::string& text) {
  std::FILE* file = std::fopen(path.c_str(), "wb");
  if (file == nullptr) return std::strerror(errno);
  const bool written = std::fwrite(text.data(), 1, text.size(), file) == text.size();
  const int why = errno;
  // A full disk may show only here.
  if (std::fclose(file) != 0) return std::strerror(errno);
  return written ? std::string() : std::strerror(why);
}

}  // namespace

void write_file(const std::string& path, const std::string& text, std::span<const input_file> inputs) {
  std::error_code ignored;
  for (const input_file& input : inputs) {
    if (std::filesystem::equivalent(path, input.path, ignored))
      throw input_error("-o", in_quotes(path) + " is what the answer is made from", "another file");
  }
  const auto refuse = [&](const std::string& why) { throw file_error(path, why, "a file that can be written"); };
  const std::filesystem::path target = std::filesystem::weakly_canonical(path, ignored);
  const auto there = std::filesystem::status(target, ignored);
  if (ignored && !std::filesystem::status_known(there)) refuse(ignored.message());
  if (std::filesystem::exists(there) && !std::filesystem::is_regular_file(there)) {
    if (const std::string why = write(path, text); !why.empty()) refuse(why);
    return;
  }
  const std::string beside = target.string() + ".part";
  std::string why = write(beside, text);
  if (why.empty() && std::rename(beside.c_str(), target.c_str()) != 0) why = std::strerror(errno);
  if (why.empty()) return;
  std::remove(beside.c_str());
  refuse(why);
}

}  // namespace coldgrease::tools
