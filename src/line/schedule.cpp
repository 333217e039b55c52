#include "line/schedule.hpp"

#include <algorithm>

#include "base/csv.hpp"
#include "line/installation_json.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// A key of a record that a column may give.
template <class Record>
struct key_column {
  const key<Record>* of;
  bool has_unit;
  std::optional<std::size_t> column{};
};

template <class Record>
std::vector<key_column<Record>> columns_of(const record_table<Record>& table) {
  std::vector<key_column<Record>> columns;
  for (const key<Record>& k : table.keys) {
    if (k.read_cell) columns.push_back({&k, !k.words().head_unit.empty()});
  }
  return columns;
}

template <class Record>
void describe(std::vector<key_column<Record>>& columns, std::vector<wanted_column>& wanted, std::string& expected) {
  for (key_column<Record>& c : columns) {
    const std::string name(c.of->name), unit = c.of->words().head_unit;
    const bool either = name == "bore";  // or tube
    wanted.push_back({.names = {name},
                      .found = &c.column,
                      .needed = c.of->needed || either,
                      .instead_of = name == "tube" ? std::string_view("bore") : std::string_view(),
                      .with_unit = c.has_unit,
                      .number = c.of->words().schema.value("type", "") == "number"});
    expected += (expected.empty() ? "" : ", ") + name + (unit.empty() ? "" : " [" + unit + "]");
  }
}

/// Reads the cell of a column into a record; an empty one says nothing.
template <class Record>
void take_cell(const csv_rows& rows, const std::vector<std::string_view>& fields, const key_column<Record>& c,
               Record& into) {
  if (!c.column) return;
  const std::string_view field = fields[*c.column];
  if (field.empty() && !c.of->needed) return;
  if (c.has_unit) {
    with_unit(rows, *c.column, field, [&](std::string_view text) { c.of->read_cell(text, into); });
  } else {
    read_at([&] { return rows.place(*c.column); }, [&] { c.of->read_cell(field, into); });
  }
}

class schedule_reader {
 public:
  schedule_reader(std::string_view text, std::string_view name, std::string_view installation)
      : rows_(text, name), installation_(installation) {
    std::vector<wanted_column> wanted{{.names = {"installation"}, .found = &of_installation_}};
    std::string expected;
    describe(of_line_, wanted, expected);
    describe(of_segment_, wanted, expected);
    rows_.find(wanted, other_columns::refused, expected + ", installation where it holds those of several");
  }

  /// Whether it may hold lines of other installations.
  bool names_installations() const { return of_installation_.has_value(); }
  std::vector<std::string> left_out() const { return lines_of(rows_.remarks()); }
  std::map<std::string, place, std::less<>> owners() && { return std::move(owners_); }

  /// Takes the next row; false at the end.
  bool take_row(std::vector<line>& lines) {
    if (!rows_.next(fields_)) return false;
    if (of_installation_) {
      const std::string_view owner = fields_[*of_installation_];
      if (!owners_.contains(owner)) owners_.emplace(owner, rows_.place(*of_installation_));
      if (owner != installation_) return true;
    }
    const auto& point = *std::ranges::find(of_line_, "point", [](const auto& c) { return c.of->name; });
    line probe;
    take_cell(rows_, fields_, point, probe);
    if (lines.empty() || lines.back().point != probe.point) {
      if (std::ranges::find(lines, probe.point, &line::point) != lines.end())
        throw file_error(rows_.place(*point.column), "rows of " + in_quotes(probe.point) + " stand apart",
                         "the segments of a line one after the other");
      lines.push_back({.point = probe.point});
    }
    line& own = lines.back();
    for (const auto& c : of_line_) {
      if (!c.column || fields_[*c.column].empty()) continue;  // may stand in another row of the line
      take_cell(rows_, fields_, c, own);
    }
    segment s;
    check_groups();
    for (const auto& c : of_segment_) take_cell(rows_, fields_, c, s);
    own.segments.push_back(std::move(s));
    return true;
  }

 private:
  void check_groups() const {
    for (const key_group& g : segment_table().groups) {
      check_group(
          g,
          [&](std::string_view key) {
            const auto c = std::ranges::find(of_segment_, key, [](const auto& own) { return own.of->name; });
            return c->column && !fields_[*c->column].empty();
          },
          [&](const std::string& problem, std::string_view expected) {
            throw file_error(rows_.place(), problem, expected);
          });
    }
  }

  csv_rows rows_;
  std::string_view installation_;
  std::optional<std::size_t> of_installation_{};
  std::map<std::string, place, std::less<>> owners_{};
  std::vector<key_column<line>> of_line_ = columns_of(line_table());
  std::vector<key_column<segment>> of_segment_ = columns_of(segment_table());
  std::vector<std::string_view> fields_;
};

}  // namespace

scheduled_lines read_lines(const source& file, const std::string& installation, const refusals& noted) {
  const source::text read = file.read(file_kind::schedule);
  scheduled_lines found{.read = {file.name(), read.checksum}};
  schedule_reader reader(read.bytes, file.name(), installation);
  bool clean = true;
  for (bool more = true; more;) clean = noted.go_on_after([&] { more = reader.take_row(found.lines); }) && clean;
  if (clean && found.lines.empty())
    throw file_error(file.name(),
                     "holds no lines" + (reader.names_installations() ? " of " + in_quotes(installation) : ""),
                     "rows below the header");
  found.left_out = reader.left_out();
  found.owners = std::move(reader).owners();
  return found;
}

std::vector<std::string> installations_in(const source& file) {
  const source::text read = file.read(file_kind::schedule);
  schedule_reader reader(read.bytes, file.name(), {});
  std::vector<line> lines;  // of no installation: of all, where there is no such column
  while (reader.take_row(lines)) {
  }
  if (!reader.names_installations()) {
    read_lines(file, {}, {});
    return {};
  }
  std::vector<std::pair<std::size_t, std::string>> by_line;
  for (const auto& [name, where] : std::move(reader).owners()) by_line.emplace_back(where.line, name);
  std::ranges::sort(by_line);
  std::vector<std::string> names;
  for (auto& [line, name] : by_line) {
    read_lines(file, name, {});
    names.push_back(std::move(name));
  }
  if (names.empty()) throw file_error(file.name(), "holds no lines", "rows below the header");
  return names;
}

void refuse_orphans(const std::map<std::string, place, std::less<>>& owners,
                    const std::set<std::string, std::less<>>& installations, const refusals& noted) {
  for (const auto& [name, where] : owners) {
    if (installations.contains(name)) continue;
    noted.go_on_after([&, &name = name, &where = where] {
      throw file_error(
          where, name.empty() ? "is empty" : in_quotes(name) + " is no installation that takes its lines from here",
          "the name of one that does");
    });
  }
}

}  // namespace coldgrease::inline v0::detail
