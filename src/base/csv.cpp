#include "base/csv.hpp"

#include "base/format.hpp"

#include <algorithm>

#include "base/blanks.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/base/one_line.hpp"

namespace coldgrease::inline v0::detail {

namespace {

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
  read_header(line);
}

void csv_rows::read_header(std::string_view line) {
  delimiter_ = delimiter_of(line);
  std::vector<std::string_view> names;
  split(line, names);
  header_.assign(names.begin(), names.end());
  for (const std::string& name : header_) heads_.push_back(head_of(name));
  needed_ = header_.size();
}

csv_rows::head csv_rows::head_of(std::string_view written) {
  const auto open = written.find('['), close = written.find(']', open);
  head h{.name = std::string(trimmed(written.substr(0, open))), .unit = {}};
  for (char& c : h.name) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');  // std::tolower asks the locale
  }
  if (close != std::string_view::npos) h.unit = trimmed(written.substr(open + 1, close - open - 1));
  return h;
}

void csv_rows::find(std::span<const wanted_column> columns, other_columns others, std::string_view expected) {
  for (const wanted_column& c : columns) c.found->reset();
  is_ours_ = others == other_columns::refused;
  const auto wanted_as = [&](const head& h) {
    return std::ranges::find_if(columns, [&](const wanted_column& c) {
      const bool unit_may_stand = c.with_unit || h.unit.empty() || others == other_columns::ignored;
      return unit_may_stand && std::ranges::find(c.names, h.name) != c.names.end();
    });
  };
  for (std::size_t i = 0; i < header_.size(); ++i) {
    const auto column = wanted_as(heads_[i]);
    if (column == columns.end()) {
      // A spreadsheet leaves columns without a head and without a cell behind the others.
      if (others == other_columns::ignored || header_[i].empty()) continue;
      throw file_error(place(), "unknown column " + in_quotes(header_[i]), expected);
    }
    if (*column->found) {
      // A table of others may hold two that mean the same by different names.
      if (others == other_columns::ignored)
        throw file_error(place(), fmt::format("two columns could be {}", in_quotes(header_[i])), "one of them");
      throw file_error(place(), fmt::format("the column {} stands twice", in_quotes(heads_[i].name)), expected);
    }
    *column->found = i;
  }
  needed_ = 0;
  for (const wanted_column& c : columns) {
    if (c.needed) needed_ += *c.found ? 1 : need_instead(c, columns, expected);
  }
  for (const wanted_column& c : columns) {
    if (c.with_unit && *c.found && heads_[**c.found].unit.empty())
      throw file_error(place(), fmt::format("the column {} has no unit", in_quotes(header_[**c.found])), expected);
  }
}

std::size_t csv_rows::need_instead(const wanted_column& missing, std::span<const wanted_column> columns,
                                   std::string_view expected) const {
  const std::string& name = missing.names.front();
  std::vector<const wanted_column*> instead;
  for (const wanted_column& c : columns) {
    if (c.instead_of == name) instead.push_back(&c);
  }
  const auto stands = [](const wanted_column* c) { return c->found->has_value(); };
  if (!instead.empty() && std::ranges::all_of(instead, stands)) return instead.size();
  // One that may stand instead is named beside it; of several, what is expected tells more.
  throw file_error(place(),
                   instead.size() == 1 ? fmt::format("no column {} or {}", name, instead.front()->names.front())
                                       : fmt::format("no column {}", name),
                   expected);
}

bool csv_rows::next(std::vector<std::string_view>& fields) {
  std::string_view line;
  do {
    if (!next_line(line)) return false;
    split(line, fields);
    // Rows of empty cells are what a spreadsheet leaves of deleted ones.
  } while (is_ours_ && fields.size() > 1 && std::ranges::all_of(fields, &std::string_view::empty));
  if (fields.size() != header_.size())
    throw file_error(
        place(), fmt::format("has {} fields", fields.size()),
        fmt::format(
            "{}, as the header; decimal points, no decimal commas{}", header_.size(),
            line.front() == '#' && needed_ > 1 ? fmt::format("; fewer than {} cells in a comment", needed_) : ""));
  for (std::size_t i = 0; is_ours_ && i < fields.size(); ++i) {
    read_at([&] { return place(i); }, [&] { check_one_line(fields[i]); });
    if (header_[i].empty() && !fields[i].empty())
      throw file_error(place(), in_quotes(fields[i]) + " stands in a column without a name",
                       "a name for it in the header");
  }
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
    if (!trimmed(line).empty() && !is_comment(line)) return true;
  }
  return false;
}

bool csv_rows::is_comment(std::string_view line) const {
  if (line.front() != '#') return false;
  if (header_.empty()) return true;
  // A row may begin with '#' as well, "#7 left,6,4": it must not vanish. Quotes are not looked at, so that a comment
  // may hold any; a delimiter within quotes is one cell too many, and what is taken for a row wrongly is refused.
  return static_cast<std::size_t>(std::ranges::count(line, delimiter_)) + 1 < needed_;
}

void csv_rows::split(std::string_view line, std::vector<std::string_view>& fields) {
  fields.clear();
  undoubled_used_ = 0;
  while (true) {
    while (line.starts_with(' ')) line.remove_prefix(1);
    const bool quoted = line.starts_with('"');
    if (quoted) fields.push_back(trimmed(take_quoted(line)));
    const auto end = line.find(delimiter_);
    if (!quoted) fields.push_back(trimmed(line.substr(0, end)));
    if (end == std::string_view::npos) return;
    line.remove_prefix(end + 1);
  }
}

std::string_view csv_rows::take_quoted(std::string_view& line) {
  bool doubled = false;
  auto close = line.find('"', 1);
  while (close != std::string_view::npos && line.substr(close + 1).starts_with('"')) {
    doubled = true;
    close = line.find('"', close + 2);
  }
  if (close == std::string_view::npos) throw file_error(place(), "a quote is not closed", "both quotes on one line");
  const std::string_view field = line.substr(1, close - 1);
  line.remove_prefix(close + 1);
  while (!line.empty() && is_blank(line.front()) && line.front() != delimiter_) line.remove_prefix(1);
  if (!line.empty() && line.front() != delimiter_)
    throw file_error(place(), "text follows the closing quote of " + in_quotes(field),
                     "the end of the field there, or two quotes for one within it");
  return doubled ? undoubled(field) : field;
}

std::string_view csv_rows::undoubled(std::string_view quoted) {
  // A deque: its strings stay where they are, and fields point to them.
  if (undoubled_used_ == undoubled_.size()) undoubled_.emplace_back();
  std::string& text = undoubled_[undoubled_used_++];
  text.clear();
  for (std::size_t i = 0; i < quoted.size(); ++i) {
    text += quoted[i];
    if (quoted[i] == '"') ++i;
  }
  return text;
}

}  // namespace coldgrease::inline v0::detail
