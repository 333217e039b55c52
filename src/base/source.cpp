#include "coldgrease/base/source.hpp"

#include "base/format.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zlib.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>
#include <span>
#include <utility>

#include "base/gzip.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr std::size_t mebibyte = std::size_t{1} << 20U;

using file_handle = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;

/// Takes the bytes of a file block by block: sums them, unpacks them if need be, and holds to the budget.
class intake {
 public:
  intake(const std::string& name, file_kind kind) : name_(name), most_(most_bytes(kind)) {}

  /// Room for what is coming, so that the text need not grow by doubling.
  void expect(std::size_t bytes) {
    if (bytes > most_) refuse();
    text_.bytes.reserve(bytes);
  }

  void take(std::span<char> block) {
    sum_ = ::crc32_z(sum_, reinterpret_cast<const Bytef*>(block.data()), block.size());
    if (!begun_ && detail::looks_packed({block.data(), block.size()}))
      packed_ = std::make_unique<detail::gzip_reader>(name_, most_);
    begun_ = true;
    if (packed_) {
      packed_->take(block, text_.bytes);
    } else {
      if (text_.bytes.size() + block.size() > most_) refuse();
      text_.bytes.append(block.data(), block.size());
    }
  }

  /// All blocks in one, which is kept as it is unless it is packed.
  void take_whole(std::string bytes) {
    if (detail::looks_packed(bytes)) return take(bytes);
    if (bytes.size() > most_) refuse();
    sum_ = ::crc32_z(sum_, reinterpret_cast<const Bytef*>(bytes.data()), bytes.size());
    text_.bytes = std::move(bytes);
  }

  source::text finish() {
    if (packed_) packed_->finish();
    text_.checksum = static_cast<std::uint32_t>(sum_);
    return std::move(text_);
  }

 private:
  [[noreturn]] void refuse() const {
    throw file_error(name_, fmt::format("holds more than {} MiB", most_ / mebibyte), "a smaller file");
  }

  const std::string& name_;
  std::size_t most_;
  uLong sum_ = ::crc32_z(0, nullptr, 0);
  bool begun_ = false;
  std::unique_ptr<detail::gzip_reader> packed_{};
  source::text text_{};
};

/// The size a gzip file says it unpacks to (the last four bytes of its last member), a hint; 0 if it cannot be true.
std::size_t unpacked_size(std::span<const unsigned char, 4> tail, std::size_t packed, file_kind kind) {
  constexpr std::size_t best_ratio = 1032;  // of deflate
  const std::size_t size =
      tail[0] | std::size_t{tail[1]} << 8U | std::size_t{tail[2]} << 16U | std::size_t{tail[3]} << 24U;
  return size <= most_bytes(kind) && size / best_ratio <= packed ? size : 0;
}

/// What a regular file of a size will take once it is unpacked.
std::size_t expected_size(std::FILE* file, std::size_t size, file_kind kind) {
  std::array<char, 2> head{};
  std::array<unsigned char, 4> tail{};
  std::size_t expected = size;
  if (std::fread(head.data(), 1, head.size(), file) == head.size() &&
      detail::looks_packed({head.data(), head.size()}) && std::fseek(file, -4, SEEK_END) == 0)
    expected = std::fread(tail.data(), 1, tail.size(), file) == tail.size() ? unpacked_size(tail, size, kind) : 0;
  std::rewind(file);
  return expected;
}

/// Whether a path, without dots and links, lies in a folder or below it.
bool lies_below(const std::filesystem::path& whole, const std::filesystem::path& folder) {
  const auto [part, ignored] = std::mismatch(folder.begin(), folder.end(), whole.begin(), whole.end());
  return part == folder.end() || (part->empty() && std::next(part) == folder.end());  // a folder may end in a slash
}

[[noreturn]] void refuse_outside(const std::string& name, const std::string& root) {
  throw file_error(name, "lies outside of " + in_quotes(root), "a file below that folder");
}

/// The file itself, links resolved. @throws file_error if it lies outside of the root
std::filesystem::path resolved(const std::string& name, const std::string& root) {
  if (root.empty()) return name;
  std::error_code unknown;
  const auto whole_of = [&](const std::string& path) {
    if (unknown) return std::filesystem::path();
    const auto absolute = std::filesystem::absolute(path, unknown);
    return unknown ? std::filesystem::path() : std::filesystem::weakly_canonical(absolute, unknown);
  };
  const std::filesystem::path folder = whole_of(root), whole = whole_of(name);
  if (unknown) throw file_error(name, unknown.message(), "a file that can be read");
  if (!lies_below(whole, folder)) refuse_outside(name, root);
  return whole;
}

/// The same of a name that an opener opens: no links, but dots.
void check_opened(const std::string& name, const std::string& root) {
  const auto plain = [](const std::string& path) { return std::filesystem::path(path).lexically_normal(); };
  if (!root.empty() && !lies_below(plain(name), plain(root))) refuse_outside(name, root);
}

enum class may_be { regular_file, anything };

void check_type(const std::string& name, const struct ::stat& found, may_be what) {
  if (S_ISDIR(found.st_mode)) throw file_error(name, "is a folder", "a file");
  if (what == may_be::regular_file && !S_ISREG(found.st_mode))
    throw file_error(name, "is a pipe, a socket or a device", "a regular file");
}

[[noreturn]] void refuse_unreadable(const std::string& name) {
  throw file_error(name, std::strerror(errno), "a file that can be read");
}

/// Opens what is there, and tells its size; 0 for a pipe, whose size nobody knows before.
std::pair<file_handle, std::size_t> opened(const std::string& name, const std::filesystem::path& path, may_be what) {
  // Looked at before it is opened, as that may wait for a writer or set a device going; and then again, for what may
  // have taken its place. Without blocking, neither can it wait there.
  struct ::stat found {};
  if (::stat(path.c_str(), &found) != 0) refuse_unreadable(name);
  check_type(name, found, what);
  const int number =
      ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOCTTY | (what == may_be::regular_file ? O_NONBLOCK : 0));
  if (number < 0) refuse_unreadable(name);
  file_handle file(::fdopen(number, "rb"), &std::fclose);
  if (!file) {
    ::close(number);
    refuse_unreadable(name);
  }
  if (::fstat(number, &found) != 0) refuse_unreadable(name);
  check_type(name, found, what);
  return {std::move(file), S_ISREG(found.st_mode) ? static_cast<std::size_t>(found.st_size) : 0};
}

source::text read_disk(const std::string& name, const std::string& root, file_kind kind, may_be what) {
  if (name.find('\0') != std::string::npos) throw file_error(name, "holds a zero byte", "the name of a file");
  const auto [file, size] = opened(name, resolved(name, root), what);
  intake in(name, kind);
  if (size > 0) in.expect(expected_size(file.get(), size, kind));
  std::array<char, 1 << 16> block;
  while (const std::size_t got = std::fread(block.data(), 1, block.size(), file.get()))
    in.take(std::span<char>(block.data(), got));
  if (std::ferror(file.get())) throw file_error(name, "cannot be read to its end", "a file that can be read");
  return in.finish();
}

source::text read_memory(const std::string& name, std::string bytes, file_kind kind) {
  intake in(name, kind);
  in.take_whole(std::move(bytes));
  return in.finish();
}

}  // namespace

std::size_t most_bytes(file_kind kind) noexcept {
  switch (kind) {
    case file_kind::weather: return 512 * mebibyte;
    case file_kind::json: return 16 * mebibyte;
    case file_kind::schedule:
    case file_kind::points: break;
  }
  return mebibyte;
}

source source::memory(std::string name, std::string bytes) {
  source s(name.empty() ? std::string("bytes in memory") : std::move(name));  // an error names something
  s.bytes_ = std::move(bytes);
  return s;
}

source source::from(const opener& names, std::string name) {
  source s(std::move(name));
  s.opener_ = &names;
  return s;
}

source source::below(std::string root) const {
  source s = *this;
  s.root_ = root.empty() ? std::string(".") : std::move(root);
  return s;
}

source source::untrusted() const {
  source s = *this;
  s.untrusted_ = true;
  return s;
}

source source::named(std::string_view name, place by) const {
  source s((std::filesystem::path(name_).parent_path() / name).string());
  s.opener_ = opener_;
  s.root_ = root_;
  s.untrusted_ = true;
  s.named_by_ = std::move(by);
  return s;
}

std::string source::identity() const {
  uLong sum = 0;
  if (bytes_) sum = ::crc32_z(::crc32_z(0, nullptr, 0), reinterpret_cast<const Bytef*>(bytes_->data()), bytes_->size());
  return fmt::format("{}\n{}\n{} {} {}", name_, root_, static_cast<const void*>(opener_), bytes_ ? bytes_->size() : 0,
                     sum);
}

source::text source::read(file_kind kind) const {
  try {
    if (bytes_) return read_memory(name_, *bytes_, kind);
    const std::string root = untrusted_ ? root_ : std::string();
    if (!opener_) return read_disk(name_, root, kind, untrusted_ ? may_be::regular_file : may_be::anything);
    check_opened(name_, root);
    if (auto bytes = opener_->open(name_)) return read_memory(name_, *std::move(bytes), kind);
    throw file_error(name_, "there is no such file", "a name that can be opened");
  } catch (const file_error& refused) {
    if (named_by_.file.empty()) throw;
    place where = named_by_;
    where.field = refused.where().file;
    throw at(std::move(where), refused);
  }
}

}  // namespace coldgrease::inline v0
