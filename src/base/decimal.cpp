#include "base/decimal.hpp"

#include <fast_float/fast_float.h>

#include <algorithm>
#include <cmath>

namespace coldgrease::inline v0::detail {

namespace {

/// Whether a number that was read as zero or infinity is written as something else.
bool beyond_range(const char* first, const char* end, double value) {
  if (first != end && *first == '-') ++first;
  if (std::isinf(value)) return *first != 'i' && *first != 'I';
  if (value != 0.0) return false;
  const char* const exponent = std::find_if(first, end, [](char c) { return c == 'e' || c == 'E'; });
  return std::any_of(first, exponent, [](char c) { return c >= '1' && c <= '9'; });
}

}  // namespace

std::from_chars_result read_decimal(const char* first, const char* last, double& value) noexcept {
  double number = 0.0;
  const auto [end, error] = fast_float::from_chars(first, last, number);
  if (error != std::errc{}) return {end, error};
  // Up to its version 4, fast_float gives infinity and zero for "1e400" and "1e-400", and no error.
  if (beyond_range(first, end, number)) return {end, std::errc::result_out_of_range};
  value = number;
  return {end, std::errc{}};
}

}  // namespace coldgrease::inline v0::detail
