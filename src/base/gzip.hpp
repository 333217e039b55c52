// Unpacking gzip (RFC 1952), block by block.
#pragma once

#include <zlib.h>

#include <span>
#include <string>
#include <string_view>

namespace coldgrease::inline v0::detail {

/// True if text begins as a gzip file does.
inline bool looks_packed(std::string_view text) { return text.starts_with("\x1f\x8b"); }

/// Takes a packed file in blocks of any size. A file may hold several members, one after the other.
class gzip_reader {
 public:
  gzip_reader(std::string_view file, std::size_t most);
  ~gzip_reader();
  gzip_reader(const gzip_reader&) = delete;
  gzip_reader& operator=(const gzip_reader&) = delete;

  /// Appends what the block unpacks to. @throws file_error for damaged data, or for more than `most` bytes in all
  void take(std::span<char> block, std::string& out);
  /// @throws file_error if the last member is cut short
  void finish() const;

 private:
  z_stream stream_{};
  std::string file_;
  std::size_t most_;
  bool between_members_ = false;
  bool padding_ = false;
};

}  // namespace coldgrease::inline v0::detail
