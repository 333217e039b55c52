// Columns, wrapping and numbers of the text reports.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace coldgrease::inline v0::detail {

inline constexpr std::size_t page_width = 80;

/// Breaks `text` at blanks so that no line is longer than the page; further lines begin with `indent` blanks.
std::string wrapped(std::string_view text, std::size_t indent = 0);
/// "label      value", wrapped below the value; the label column is 13 wide.
std::string row(std::string_view label, std::string_view value);
/// A list of sentences, each behind "- "; nothing for an empty list.
std::string bullets(std::string_view title, const std::vector<std::string>& sentences);
/// `text` cut or filled to `width` columns; UTF-8 characters count as one.
std::string fitted(std::string_view text, std::size_t width);
std::string rule(char c = '-');

}  // namespace coldgrease::inline v0::detail
