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

/// A text that is a plain number and nothing else, such as nearly every cell of a weather file: a minus or none,
/// digits, and a point with digits behind it or none. The value is that of read_decimal to the last bit: up to 15
/// digits and their power of ten are exact in a double, so their quotient is rounded once.
/// @return false for any other text, a number or not: read_decimal tells. Test: tests/base/decimal.cpp
inline bool plain_decimal(std::string_view text, double& value) noexcept {
  constexpr std::size_t most_digits = 15;
  static constexpr std::array power{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14};
  const bool minus = text.starts_with('-');
  if (minus) text.remove_prefix(1);
  if (text.size() > most_digits) return false;
  std::int64_t digits = 0;
  std::size_t at = 0;
  for (; at < text.size() && is_digit(text[at]); ++at) digits = 10 * digits + (text[at] - '0');
  if (at == 0) return false;
  std::size_t behind = 0;
  if (at < text.size()) {
    if (text[at++] != '.') return false;
    for (; at < text.size() && is_digit(text[at]); ++at, ++behind) digits = 10 * digits + (text[at] - '0');
    if (behind == 0 || at < text.size()) return false;
  }
  const double found = static_cast<double>(digits) / power[behind];
  value = minus ? -found : found;
  return true;
}

}  // namespace coldgrease::inline v0::detail
