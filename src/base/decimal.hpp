// A decimal number at the start of a text.
#pragma once

#include <charconv>

namespace coldgrease::inline v0::detail {

/// As std::from_chars of C++17 reads it, in the same bits, errors and end: beyond the range of double is an error, and
/// leaves `value` alone.
std::from_chars_result read_decimal(const char* first, const char* last, double& value) noexcept;

}  // namespace coldgrease::inline v0::detail
