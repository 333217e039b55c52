#include "base/csv.hpp"

#include "base/format.hpp"

#include <algorithm>

#include "base/blanks.hpp"
#include "base/text_encoding.hpp"
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

/// The two halves of a plain number, at a mark that stands in it once: "-12,5" -> "12", "5".
std::optional<std::pair<std::string_view, std::string_view>> parts_at(std::string_view number, char mark) {
  if (number.starts_with('-') || number.starts_with('+')) number.remove_prefix(1);
  const auto cut = number.find(mark);
  if (cut == std::string_view::npos) return std::nullopt;
  const std::pair parts{number.substr(0, cut), number.substr(cut + 1)};
  const auto all_digits = [](std::string_view text) { return text.find_first_not_of("0123456789") == text.npos; };
  if (!all_digits(parts.first) || !all_digits(parts.second) || parts.second.empty()) return std::nullopt;
  return parts;
}

/// "1,234": a comma before three digits may part thousands.
bool may_be_group(const std::pair<std::string_view, std::string_view>& parts) {
  return parts.second.size() == 3 && !parts.first.empty() && parts.first.size() <= 3 && parts.first.front() != '0';
}

/// Asked of every row, so that is_total() is of few.
bool may_be_total(std::string_view first_field) {
  const char letter = first_field.empty() ? ' ' : in_lower_case(first_field.front());
  return letter == 't' || letter == 's' || letter == 'a';
}

}  // namespace

csv_rows::csv_rows(std::string_view text, std::string_view file) : file_(file) {
  auto other = read_at([&] { return coldgrease::place{.file = std::string(file_)}; }, [&] { return decoded(text); });
  if (other) {
    decoded_ = std::make_shared<const std::string>(std::move(other->text));
    text = *decoded_;
    remark(0, fmt::format("is in {}, and is taken so", other->was));
  }
  rest_ = text;
  if (rest_.starts_with("\xef\xbb\xbf")) rest_.remove_prefix(3);
  if (rest_.substr(0, 4096).find('\0') != std::string_view::npos)
    throw file_error(file_, "holds zero bytes", "plain text, not binary");
  std::string_view line;
  if (!next_line(line)) throw file_error(file_, "is empty", "a header line and rows");
  read_header(line);
}

void csv_rows::read_header(std::string_view line) {
  delimiter_ = delimiter_of(line);
  std::vector<std::string_view> names;
  split(line, names);
  header_.assign(names.begin(), names.end());
  heads_.clear();
  for (const std::string& name : header_) heads_.push_back(head_of(name));
  needed_.resize(header_.size());
  for (std::size_t i = 0; i < needed_.size(); ++i) needed_[i] = i;
  first_rows_ = rest_;
}

csv_rows::head csv_rows::head_of(std::string_view written) {
  auto open = written.find('[');
  const char closing = open == std::string_view::npos ? ')' : ']';
  if (open == std::string_view::npos) open = written.find('(');
  const auto close = written.find(closing, open);
  head h{.name = in_lower_case(trimmed(written.substr(0, open))), .unit = {}};
  if (close != std::string_view::npos) h.unit = trimmed(written.substr(open + 1, close - open - 1));
  return h;
}

void csv_rows::seek_head(const std::function<bool(const csv_rows&)>& is_head) {
  constexpr int most_titles = 20;
  if (is_head(*this)) return;
  csv_rows looking = *this;
  const std::size_t first = line_;
  std::string_view line;
  try {
    for (int i = 0; i < most_titles && looking.next_line(line); ++i) {
      looking.read_header(line);
      if (!is_head(looking)) continue;
      *this = std::move(looking);
      remark(first, line_ == first + 1 ? "a title above the columns is left out"
                                       : fmt::format("titles down to line {} are left out", line_ - 1));
      return;
    }
  } catch (const file_error&) {
    // A quote that is not closed: no header there.
  }
}

bool csv_rows::has_needed(std::span<const wanted_column> columns) const {
  const auto stands = [&](const wanted_column& c) {
    return std::ranges::any_of(heads_,
                               [&](const head& h) { return std::ranges::find(c.names, h.name) != c.names.end(); });
  };
  return std::ranges::all_of(columns, [&](const wanted_column& c) {
    if (!c.needed || stands(c)) return true;
    bool some = false, all = true;
    for (const wanted_column& other : columns) {
      if (other.instead_of != c.names.front()) continue;
      some = true;
      all = all && stands(other);
    }
    return some && all;
  });
}

void csv_rows::find(std::span<const wanted_column> columns, other_columns others, std::string_view expected) {
  seek_head([&](const csv_rows& rows) { return rows.has_needed(columns); });
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
  needed_.clear();
  for (const wanted_column& c : columns) {
    if (!c.needed) continue;
    const auto own = *c.found ? std::vector{**c.found} : need_instead(c, columns, expected);
    needed_.insert(needed_.end(), own.begin(), own.end());
  }
  for (const wanted_column& c : columns) {
    if (!*c.found) continue;
    if (c.number || c.with_unit) numbers_.push_back(**c.found);
    if (c.keeps_row) keep_.push_back(**c.found);
  }
  for (const wanted_column& c : columns) {
    if (c.with_unit && *c.found && heads_[**c.found].unit.empty())
      throw file_error(place(), fmt::format("the column {} has no unit", in_quotes(header_[**c.found])), expected);
  }
}

std::vector<std::size_t> csv_rows::need_instead(const wanted_column& missing, std::span<const wanted_column> columns,
                                                std::string_view expected) const {
  const std::string& name = missing.names.front();
  std::vector<const wanted_column*> instead;
  for (const wanted_column& c : columns) {
    if (c.instead_of == name) instead.push_back(&c);
  }
  const auto stands = [](const wanted_column* c) { return c->found->has_value(); };
  if (!instead.empty() && std::ranges::all_of(instead, stands)) {
    std::vector<std::size_t> found;
    for (const wanted_column* c : instead) found.push_back(**c->found);
    return found;
  }
  // One that may stand instead is named beside it; of several, what is expected tells more.
  throw file_error(place(),
                   instead.size() == 1 ? fmt::format("no column {} or {}", name, instead.front()->names.front())
                                       : fmt::format("no column {}", name),
                   expected);
}

// Inline, as it is asked of every row and the first cell tells.
inline bool csv_rows::is_leftover(const std::vector<std::string_view>& fields) const {
  const auto is_empty = [&](std::size_t column) { return fields[column].empty(); };
  return std::ranges::all_of(needed_, is_empty) && std::ranges::all_of(keep_, is_empty);
}

bool csv_rows::next(std::vector<std::string_view>& fields) {
  std::string_view line;
  while (true) {
    if (!next_line(line)) return false;
    split(line, fields);
    // Rows of empty cells are what a spreadsheet leaves of deleted ones.
    if (fields.size() > 1 && std::ranges::all_of(fields, &std::string_view::empty)) continue;
    if (fields.size() != header_.size())
      throw file_error(
          place(), fmt::format("has {} fields", fields.size()),
          fmt::format("{}, as the header; decimal points, no decimal commas between commas{}", header_.size(),
                      line.front() == '#' && needed_.size() > 1
                          ? fmt::format("; fewer than {} cells in a comment", needed_.size())
                          : ""));
    if (may_be_total(fields[0]) && is_total(fields)) {
      remark(line_, fmt::format("{}, the last row, is left out", in_quotes(fields[0])));
      return false;
    }
    if (!is_leftover(fields)) break;
    remark(line_, "a row without any of the cells it needs is left out");
  }
  if (delimiter_ != ',' || has_quotes_) {
    for (const std::size_t column : numbers_) {
      if (fields[column].find(',') != std::string_view::npos) fields[column] = with_point(column, fields[column]);
    }
  }
  for (std::size_t i = 0; is_ours_ && i < fields.size(); ++i) {
    read_at([&] { return place(i); }, [&] { check_one_line(fields[i]); });
    if (header_[i].empty() && !fields[i].empty())
      throw file_error(place(), in_quotes(fields[i]) + " stands in a column without a name",
                       "a name for it in the header");
  }
  return true;
}

bool csv_rows::is_total(const std::vector<std::string_view>& fields) const {
  std::string word = in_lower_case(fields[0]);
  if (word.ends_with(':')) word.pop_back();
  return (word == "total" || word == "sum" || word == "average") &&
         rest_.find_first_not_of(" \t\r\n,;|\"") == std::string_view::npos;
}

std::string_view csv_rows::with_point(std::size_t column, std::string_view field) {
  const auto parts = parts_at(field, ',');
  if (!parts) return field;
  if (comma_ == comma::not_looked_at) comma_ = comma_of_numbers();
  std::string number(field);
  number[number.find(',')] = '.';
  switch (comma_) {
    case comma::decimal: {
      std::string& kept = kept_text();
      kept = std::move(number);
      return kept;
    }
    case comma::beside_points:
      throw file_error(place(column), in_quotes(field) + " has a decimal comma, other numbers of the file a point",
                       "one decimal mark in a file");
    case comma::in_groups:
    case comma::either:
    case comma::not_looked_at: break;
  }
  std::string whole(field);
  std::erase(whole, ',');
  throw file_error(place(column), fmt::format("{} may be {} or {}", in_quotes(field), number, whole),
                   "numbers without commas between thousands");
}

csv_rows::comma csv_rows::comma_of_numbers() const {
  csv_rows looking = *this;
  looking.rest_ = first_rows_;
  looking.numbers_.clear();  // as they stand
  bool decimal = false, point = false;
  std::vector<std::string_view> fields;
  for (bool more = true; more;) {
    try {
      more = looking.next(fields);
      for (std::size_t i = 0; more && i < numbers_.size(); ++i) {
        const std::string_view field = fields[numbers_[i]];
        if (const auto parts = parts_at(field, ',')) decimal = decimal || !may_be_group(*parts);
        if (parts_at(field, '.')) point = true;
      }
    } catch (const file_error&) {
      // Refused in its turn.
    }
  }
  if (decimal) return point ? comma::beside_points : comma::decimal;
  return point ? comma::in_groups : comma::either;
}

void csv_rows::remark(std::size_t line, std::string_view text) {
  constexpr std::size_t most = 20;
  if (remarks_.size() > most) return;
  remarks_.emplace_back(coldgrease::place{.file = std::string(file_), .line = line},
                        remarks_.size() < most ? text : "and rows below are left out as well", "records alone");
}

std::string csv_field(std::string_view text) {
  if (text.find_first_of(",;\"\r\n") == std::string_view::npos) return std::string(text);
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

void refuse_left_out(std::span<const file_error> remarks) {
  const auto of_lines = std::ranges::find_if(remarks, [](const file_error& e) { return e.where().line > 0; });
  if (of_lines != remarks.end()) throw file_error(*of_lines);
}

std::vector<std::string> lines_of(std::span<const file_error> remarks) {
  std::vector<std::string> out;
  for (const file_error& e : remarks) out.push_back(text_of(e.where()) + ": " + e.problem());
  return out;
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
    if (!trimmed(line).empty() && !(line.front() == '#' && is_comment(line))) return true;
  }
  return false;
}

bool csv_rows::is_comment(std::string_view line) const {
  if (header_.empty()) return true;
  // A row may begin with '#' as well, "#7 left,6,4": it must not vanish. Quotes are not looked at, so that a comment
  // may hold any; a delimiter within quotes is one cell too many, and what is taken for a row wrongly is refused.
  return static_cast<std::size_t>(std::ranges::count(line, delimiter_)) + 1 < needed_.size();
}

void csv_rows::split(std::string_view line, std::vector<std::string_view>& fields) {
  undoubled_used_ = 0;
  has_quotes_ = false;
  std::size_t count = 0;
  // Nearly every row has as many fields as the one before it.
  const auto put = [&](std::string_view field) {
    if (count == fields.size()) fields.emplace_back();
    while (!field.empty() && is_blank(field.back())) field.remove_suffix(1);
    fields[count++] = field;
  };
  while (true) {
    skip_blanks(line);
    if (line.starts_with('"')) {
      has_quotes_ = true;
      put(trimmed(take_quoted(line)));
      if (line.empty()) break;
      line.remove_prefix(1);  // the delimiter
    } else {
      const auto end = line.find(delimiter_);
      put(line.substr(0, end));
      if (end == std::string_view::npos) break;
      line.remove_prefix(end + 1);
    }
  }
  fields.resize(count);
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
  skip_blanks(line);
  if (!line.empty() && line.front() != delimiter_)
    throw file_error(place(), "text follows the closing quote of " + in_quotes(field),
                     "the end of the field there, or two quotes for one within it");
  return doubled ? undoubled(field) : field;
}

std::string& csv_rows::kept_text() {
  // A deque: its strings stay where they are, and fields point to them.
  if (undoubled_used_ == undoubled_.size()) undoubled_.emplace_back();
  return undoubled_[undoubled_used_++];
}

std::string_view csv_rows::undoubled(std::string_view quoted) {
  std::string& text = kept_text();
  text.clear();
  for (std::size_t i = 0; i < quoted.size(); ++i) {
    text += quoted[i];
    if (quoted[i] == '"') ++i;
  }
  return text;
}

}  // namespace coldgrease::inline v0::detail
