#include "base/text_encoding.hpp"

#include <algorithm>
#include <boost/locale/encoding_utf.hpp>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/one_line.hpp"

namespace coldgrease::inline v0::detail {

namespace {

unsigned char byte_of(char c) { return static_cast<unsigned char>(c); }

/// Behind its byte-order mark.
std::string from_utf16(std::string_view bytes, bool big_end_first) {
  const auto refuse = [] { throw input_error(place{}, "is damaged UTF-16", "plain text, in UTF-8 at best"); };
  if (bytes.size() % 2 != 0) refuse();
  std::u16string units;
  units.reserve(bytes.size() / 2);
  for (std::size_t i = 0; i < bytes.size(); i += 2) {
    const unsigned char high = byte_of(bytes[big_end_first ? i : i + 1]),
                        low = byte_of(bytes[big_end_first ? i + 1 : i]);
    units.push_back(static_cast<char16_t>(unsigned{high} << 8U | low));
  }
  try {
    return boost::locale::conv::utf_to_utf<char>(units, boost::locale::conv::stop);
  } catch (const boost::locale::conv::conversion_error&) {
    refuse();
  }
  return {};
}

/// Every byte is the code point of its number.
std::string from_latin1(std::string_view bytes) {
  std::string out;
  out.reserve(bytes.size() + bytes.size() / 8);
  for (const char c : bytes) {
    const unsigned char b = byte_of(c);
    if (b < 0x80) {
      out += c;
    } else {
      out += static_cast<char>(0xc0U | b >> 6U);
      out += static_cast<char>(0x80U | (b & 0x3fU));
    }
  }
  return out;
}

}  // namespace

std::optional<decoded_text> decoded(std::string_view bytes) {
  constexpr std::string_view little = "\xff\xfe", big = "\xfe\xff";
  if (bytes.starts_with(little) || bytes.starts_with(big))
    return decoded_text{from_utf16(bytes.substr(2), bytes.starts_with(big)), "UTF-16"};
  if (is_utf8(bytes)) return std::nullopt;
  return decoded_text{from_latin1(bytes), "Latin-1"};
}

}  // namespace coldgrease::inline v0::detail
