// Columns, wrapping and numbers of the text reports.
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace coldgrease::inline v0::detail {

inline constexpr std::size_t page_width = 80;
inline constexpr std::size_t point_width = 27;  // the column of points in tables of an installation

/// Breaks `text` at blanks so that no line is longer than the page; further lines begin with `indent` blanks.
std::string wrapped(std::string_view text, std::size_t indent = 0, std::size_t width = page_width);
/// "label      value", wrapped below the value; the label column is 13 wide.
std::string row(std::string_view label, std::string_view value);
/// A list of sentences, each behind "- "; nothing for an empty list.
std::string bullets(std::string_view title, const std::vector<std::string>& sentences);
/// `text` cut or filled to `width` columns; UTF-8 characters count as one.
std::string fitted(std::string_view text, std::size_t width);
/// A cell to the left of its column; of no width: what follows, as it is.
struct cell {
  std::string text{};
  std::size_t width = 0;
};
/// A row of a table, its cells a blank apart. What a column cannot hold goes on below in it: no name is cut, for two
/// cut names may look alike.
std::string table_row(std::initializer_list<cell> cells);
std::string rule(char c = '-');

}  // namespace coldgrease::inline v0::detail
