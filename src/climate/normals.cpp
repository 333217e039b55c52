#include "coldgrease/climate/normals.hpp"

#include <charconv>
#include <tuple>

#include "climate/reader.hpp"

namespace coldgrease::inline v0 {

namespace {

using detail::csv_rows;

constexpr std::string_view prefix = "ANN-TMIN-PRB", first_kind = "FST", last_kind = "LST";

/// "ANN-TMIN-PRBFST-T32FP10": the kind, degrees F and per cent; nothing for another column.
struct probability_column {
  std::optional<std::size_t> column{}, flag{};
  bool first = true;
  int fahrenheit = 0;
  int percent = 0;
};
std::optional<probability_column> parse_column(std::string_view name) {
  if (!name.starts_with(prefix)) return std::nullopt;
  name.remove_prefix(prefix.size());
  const bool first = name.starts_with(first_kind);
  if ((!first && !name.starts_with(last_kind)) || name.size() != 11 || name.substr(3, 2) != "-T" ||
      name.substr(7, 2) != "FP")
    return std::nullopt;
  const auto limit = detail::whole_number(name.substr(5, 2)), percent = detail::whole_number(name.substr(9, 2));
  if (!limit || !percent) return std::nullopt;
  return probability_column{.first = first, .fahrenheit = *limit, .percent = *percent};
}

struct normals_columns {
  std::vector<probability_column> dates;
  detail::station_columns station{};
};

normals_columns find_columns(csv_rows& rows, std::string_view file) {
  normals_columns c;
  std::vector<std::string> names;  // of c.dates
  for (std::size_t i = 0; i < rows.header().size(); ++i) {
    if (const auto column = parse_column(rows.header()[i])) {
      c.dates.push_back(*column);
      names.push_back(rows.name_of(i));
    }
  }
  if (c.dates.empty())
    throw file_error(file, "holds climate normals without freeze dates",
                     "columns ANN-TMIN-PRBFST-T32FP10 and the like; days or hours of real years for all else");
  std::vector<detail::wanted_column> columns;
  c.station.add_to(columns);
  for (std::size_t i = 0; i < names.size(); ++i) {
    columns.push_back({.names = {names[i]}, .found = &c.dates[i].column, .needed = true});
    columns.push_back({.names = {"meas_flag_" + names[i]}, .found = &c.dates[i].flag});
  }
  rows.find(columns, detail::other_columns::ignored, "the columns of climate normals");
  return c;
}

/// "10/03"; nothing for blank and for the codes of no such date.
std::optional<std::pair<int, int>> month_and_day(std::string_view text) {
  const auto slash = text.find('/');
  if (slash == std::string_view::npos) return std::nullopt;
  const auto month = detail::whole_number(text.substr(0, slash)), day = detail::whole_number(text.substr(slash + 1));
  constexpr int a_leap_year = 2000;
  if (!month || !day || !valid_date(a_leap_year, *month, *day)) return std::nullopt;
  return std::pair(*month, *day);
}

}  // namespace

namespace detail {

bool looks_like_normals(std::string_view text) {
  const std::string_view header = text.substr(0, text.find('\n'));
  for (const std::string_view word : {"-PRBFST-", "-PRBLST-", "-NORMAL"}) {
    if (header.find(word) != std::string_view::npos) return true;
  }
  return false;
}

freeze_normals parse_normals(std::string_view text, std::string_view name, std::string_view wanted) {
  csv_rows rows(text, name);
  const normals_columns columns = find_columns(rows, name);
  freeze_normals normals;
  detail::station_choice station(wanted, name);
  detail::account out;
  std::vector<std::string_view> fields;
  while (rows.next(fields)) {
    if (!columns.station.takes(station, fields, rows.line())) continue;
    if (!normals.dates.empty()) throw file_error(rows.place(), "is a second row of this station", "one row a station");
    for (const probability_column& c : columns.dates) {
      if (c.flag && !fields[*c.flag].empty() &&
          std::string_view("MVYZ").find(fields[*c.flag]) != std::string_view::npos) {
        out.drop("measurement flag");
      } else if (const auto day = month_and_day(fields[*c.column])) {
        normals.dates.push_back({fahrenheit(c.fahrenheit), c.first, c.percent / 100.0, day->first, day->second});
      } else {
        out.drop("no date");
      }
    }
  }
  refuse_left_out(rows.remarks());
  auto [called, id] = columns.station.any() ? station.finish() : detail::station_names{std::string(wanted), {}};
  normals.station = std::move(called);
  normals.id = std::move(id);
  normals.dropped = out.finish(1, "F");
  if (normals.dates.empty()) throw file_error(name, "holds climate normals without a freeze date", "a row of dates");
  std::ranges::sort(normals.dates, {}, [](const freeze_date& d) { return std::tuple(d.limit, !d.first, d.share); });
  return normals;
}

}  // namespace detail

freeze_normals read_normals(const source& file, std::string_view station) {
  return detail::parse_normals(file.read(file_kind::weather).bytes, file.name(), station);
}

}  // namespace coldgrease::inline v0
