#include "base/csv.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cctype>

#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0::detail {

namespace {

bool is_blank(char c) { return c == ' ' || c == '\t'; }

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

char delimiter_of(std::string_view header) {
  char best = ',';
  std::ptrdiff_t most = 0;
  for (const char c : {',', ';', '\t', '|'}) {
    if (const auto n = std::ranges::count(header, c); n > most) {
      most = n;
      best = c;
    }
  }
  return best;
}

}  // namespace

csv_rows::csv_rows(std::string_view text, std::string_view file) : rest_(text), file_(file) {
  if (rest_.starts_with("\xef\xbb\xbf")) rest_.remove_prefix(3);
  if (rest_.substr(0, 4096).find('\0') != std::string_view::npos)
    throw file_error(file_, "holds zero bytes", "plain text, not UTF-16 or binary");
  std::string_view line;
  if (!next_line(line)) throw file_error(file_, "is empty", "a header line and rows");
  delimiter_ = delimiter_of(line);
  std::vector<std::string_view> names;
  split(line, names);
  header_.assign(names.begin(), names.end());
}

std::string csv_rows::name_of(std::size_t column) const {
  std::string_view name = header_[column];
  name = trimmed(name.substr(0, name.find('[')));
  std::string lower(name);
  for (char& c : lower) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return lower;
}

std::string csv_rows::unit_of(std::size_t column) const {
  const std::string& name = header_[column];
  const auto open = name.find('[');
  const auto close = name.find(']', open == std::string::npos ? 0 : open);
  if (open == std::string::npos || close == std::string::npos) return {};
  return std::string(trimmed(std::string_view(name).substr(open + 1, close - open - 1)));
}

bool csv_rows::next(std::vector<std::string_view>& fields) {
  std::string_view line;
  if (!next_line(line)) return false;
  split(line, fields);
  if (fields.size() != header_.size())
    throw file_error(place(), fmt::format("has {} fields", fields.size()),
                     fmt::format("{}, as the header; decimal points, no decimal commas", header_.size()));
  return true;
}

place csv_rows::place() const { return {.file = std::string(file_), .line = line_}; }
place csv_rows::place(std::size_t column) const {
  return {.file = std::string(file_), .line = line_, .field = header_[column]};
}

bool csv_rows::next_line(std::string_view& line) {
  while (!rest_.empty()) {
    const auto end = rest_.find('\n');
    line = rest_.substr(0, end);
    rest_.remove_prefix(end == std::string_view::npos ? rest_.size() : end + 1);
    ++line_;
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (!trimmed(line).empty() && line.front() != '#') return true;
  }
  return false;
}

void csv_rows::split(std::string_view line, std::vector<std::string_view>& fields) const {
  fields.clear();
  while (true) {
    while (!line.empty() && line.front() == ' ') line.remove_prefix(1);
    if (line.starts_with('"')) {
      const auto close = line.find('"', 1);
      if (close == std::string_view::npos)
        throw file_error(place(), "a quote is not closed", "both quotes on one line");
      fields.push_back(trimmed(line.substr(1, close - 1)));
      line.remove_prefix(close + 1);
      const auto end = line.find(delimiter_);
      if (end == std::string_view::npos) return;
      line.remove_prefix(end + 1);
      continue;
    }
    const auto end = line.find(delimiter_);
    fields.push_back(trimmed(line.substr(0, end)));
    if (end == std::string_view::npos) return;
    line.remove_prefix(end + 1);
  }
}

}  // namespace coldgrease::inline v0::detail
