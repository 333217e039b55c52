// Blanks around a text, and its letters without their case.
#pragma once

#include <string>
#include <string_view>

namespace coldgrease::inline v0::detail {

constexpr bool is_blank(char c) { return c == ' ' || c == '\t'; }

constexpr std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

/// A to Z alone: std::tolower asks the locale.
constexpr char in_lower_case(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }
inline std::string in_lower_case(std::string_view text) {
  std::string out(text);
  for (char& c : out) c = in_lower_case(c);
  return out;
}

}  // namespace coldgrease::inline v0::detail
