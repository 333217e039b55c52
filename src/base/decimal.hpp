// A decimal number at the start of a text.
#pragma once

#include <array>
#include <charconv>
#include <cstdint>
#include <string_view>

namespace coldgrease::inline v0::detail {

/// As std::from_chars of C++17 reads it, in the same bits, errors and end: beyond the range of double is an error, and
/// leaves `value` alone.
std::from_chars_result read_decimal(const char* first, const char* last, double& value) noexcept;

constexpr bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// A plain number at the start of a text, such as nearly every one of a weather file: a minus or none, digits, and a
/// point with digits behind it or none. Its value is that of read_decimal to the last bit: up to 15 digits and their
/// power of ten are exact in a double, so their quotient is rounded once. What stands behind it is the caller's to look
/// at: of "1e3" it takes the 1.
/// @return its length; 0 for any other text, a number or not. Test: tests/climate/plain_reading.cpp
inline std::size_t plain_decimal_at_start(std::string_view text, double& value) noexcept {
  constexpr std::size_t most_digits = 15;
  static constexpr std::array power{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14};
  const bool minus = text.starts_with('-');
  if (minus) text.remove_prefix(1);
  text = text.substr(0, most_digits + 1);
  std::int64_t digits = 0;
  std::size_t at = 0;
  for (; at < text.size() && is_digit(text[at]); ++at) digits = 10 * digits + (text[at] - '0');
  if (at == 0) return 0;
  std::size_t behind = 0;
  if (at < text.size() && text[at] == '.') {
    for (++at; at < text.size() && is_digit(text[at]); ++at, ++behind) digits = 10 * digits + (text[at] - '0');
    if (behind == 0) return 0;
  }
  if (at > most_digits) return 0;
  const double found = static_cast<double>(digits) / power[behind];
  value = minus ? -found : found;
  return minus ? at + 1 : at;
}

/// A text that is such a number and nothing else. @return false for any other: read_decimal tells. Test:
/// tests/base/decimal.cpp
inline bool plain_decimal(std::string_view text, double& value) noexcept {
  double found = 0.0;
  const bool is_plain = !text.empty() && plain_decimal_at_start(text, found) == text.size();
  if (is_plain) value = found;
  return is_plain;
}

}  // namespace coldgrease::inline v0::detail
