// Blanks around a text.
#pragma once

#include <string_view>

namespace coldgrease::inline v0::detail {

constexpr bool is_blank(char c) { return c == ' ' || c == '\t'; }

constexpr std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

}  // namespace coldgrease::inline v0::detail
