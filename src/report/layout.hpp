// Columns, wrapping and numbers of the text reports.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/report/text.hpp"

namespace coldgrease::detail {

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

std::string words(pressure p, unit_system units);
std::string run_words(length l, unit_system units);
std::string bore_words(length l, unit_system units);
std::string words(volume_flow q, unit_system units);
std::string words(volume v, unit_system units);
/// Four digits, without an exponent for anything a grease is described by: "17850", "22.45".
std::string number_words(double v);
std::string_view month_name(int month);
/// A soft grease in hot months: look for leaks.
std::string leak_caution(const grease& g, const std::vector<int>& hot_months);
/// No estimate is certain: a chance is never shown as 1.
std::string chance_words(double chance);
/// The class, or "-" where none is known.
std::string class_words(const grease& g);
/// Texts with a comma between them.
std::string joined(const std::vector<std::string>& texts);

template <class Value, class Words>
std::string or_none(const std::optional<Value>& value, Words in_words) {
  return value ? in_words(*value) : std::string("none");
}

}  // namespace coldgrease::detail
