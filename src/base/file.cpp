#include "base/file.hpp"

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>
#include <span>

#include "base/gzip.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr std::size_t most_bytes = std::size_t{2} << 30U;  // a year of every station of the world takes 1.2 GB

/// Collects plain text; the size of a file is known before, that of a pipe is not.
class plain_text {
 public:
  explicit plain_text(const std::string& path) : path_(path) {}
  void take(std::span<const char> block, std::string& text) {
    if (text.empty()) {
      std::error_code unknown;
      const auto size = std::filesystem::file_size(path_, unknown);
      if (!unknown && size > most_bytes) refuse();
      if (!unknown) text.reserve(size);
    }
    if (text.size() + block.size() > most_bytes) refuse();
    text.append(block.data(), block.size());
  }

 private:
  [[noreturn]] void refuse() const { throw file_error(path_, "holds more than 2048 MiB", "a smaller file"); }

  const std::string& path_;
};

/// The size that a gzip file says it unpacks to (its last four bytes, of its last member): a hint, so that the text
/// need not grow by doubling. Nothing for a pipe, or for more than deflate can pack.
std::size_t unpacked_size(const std::string& path) {
  constexpr std::size_t best_ratio = 1032;  // of deflate
  std::error_code unknown;
  const auto packed = std::filesystem::file_size(path, unknown);
  if (unknown || !std::filesystem::is_regular_file(path, unknown)) return 0;
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), &std::fclose);
  std::array<unsigned char, 4> tail{};
  if (!file || std::fseek(file.get(), -4, SEEK_END) != 0 ||
      std::fread(tail.data(), 1, tail.size(), file.get()) != tail.size())
    return 0;
  const std::size_t size =
      tail[0] | std::size_t{tail[1]} << 8U | std::size_t{tail[2]} << 16U | std::size_t{tail[3]} << 24U;
  return size <= most_bytes && size / best_ratio <= packed ? size : 0;
}

}  // namespace

void read_blocks(const std::string& path, const std::function<void(std::span<char>)>& take) {
  std::error_code ignored;
  if (std::filesystem::is_directory(path, ignored)) throw file_error(path, "is a folder", "a file");
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), &std::fclose);
  if (!file) throw file_error(path, std::strerror(errno), "a file that can be read");
  std::array<char, 1 << 16> block;
  while (const std::size_t got = std::fread(block.data(), 1, block.size(), file.get()))
    take(std::span<char>(block.data(), got));
  if (std::ferror(file.get())) throw file_error(path, "cannot be read to its end", "a file that can be read");
}

std::string read_file(const std::string& path) {
  std::string text;
  plain_text plain(path);
  read_blocks(path, [&](std::span<const char> block) { plain.take(block, text); });
  return text;
}

std::string read_packed_file(const std::string& path) {
  std::string text;
  plain_text plain(path);
  std::unique_ptr<gzip_reader> packed;
  bool begun = false;
  read_blocks(path, [&](std::span<char> block) {
    if (!begun && looks_packed({block.data(), block.size()})) {
      packed = std::make_unique<gzip_reader>(path, most_bytes);
      text.reserve(unpacked_size(path));
    }
    begun = true;
    if (packed) {
      packed->take(block, text);
    } else {
      plain.take(block, text);
    }
  });
  if (packed) packed->finish();
  return text;
}

}  // namespace coldgrease::inline v0::detail
