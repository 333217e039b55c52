#include "base/gzip.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>
#include <new>

#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0::detail {

namespace {
constexpr int gzip_only = 16 + MAX_WBITS;
}  // namespace

gzip_reader::gzip_reader(std::string_view file, std::size_t most) : file_(file), most_(most) {
  if (inflateInit2(&stream_, gzip_only) != Z_OK) throw std::bad_alloc();
}

gzip_reader::~gzip_reader() { inflateEnd(&stream_); }

void gzip_reader::take(std::span<char> block, std::string& out) {
  std::array<Bytef, 1 << 16> unpacked;
  stream_.next_in = reinterpret_cast<Bytef*>(block.data());
  stream_.avail_in = static_cast<uInt>(block.size());
  while (stream_.avail_in > 0) {
    if (between_members_) {
      // Zeros fill the last block of a tape; anything else begins another member, but not behind zeros.
      padding_ = padding_ || *stream_.next_in == 0;
      if (padding_) {
        if (std::any_of(stream_.next_in, stream_.next_in + stream_.avail_in, [](Bytef b) { return b != 0; }))
          throw file_error(file_, "is packed by gzip, and other bytes follow it", "a whole gzip file");
        break;
      }
      inflateReset(&stream_);
      between_members_ = false;
    }
    stream_.next_out = unpacked.data();
    stream_.avail_out = static_cast<uInt>(unpacked.size());
    const int result = inflate(&stream_, Z_NO_FLUSH);
    if (result != Z_OK && result != Z_STREAM_END && result != Z_BUF_ERROR)
      throw file_error(file_, "is packed by gzip and damaged", "a whole gzip file");
    const std::size_t got = unpacked.size() - stream_.avail_out;
    if (out.size() + got > most_)
      throw file_error(file_, fmt::format("unpacks to more than {} MiB", most_ >> 20), "a smaller file");
    out.append(reinterpret_cast<const char*>(unpacked.data()), got);
    between_members_ = result == Z_STREAM_END;
  }
}

void gzip_reader::finish() const {
  if (!between_members_ && !padding_) throw file_error(file_, "is packed by gzip and cut short", "a whole gzip file");
}

}  // namespace coldgrease::inline v0::detail
