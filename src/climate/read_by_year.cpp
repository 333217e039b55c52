// GHCN-Daily by year or by station: a row a station, day and element, `ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,time`, with or
// without a header.
#include "climate/reader.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// Cuts the next field off a row.
std::string_view next_field(std::string_view& row) {
  const auto end = row.find(',');
  std::string_view field = row.substr(0, end);
  row.remove_prefix(end == std::string_view::npos ? row.size() : end + 1);
  while (field.starts_with(' ')) field.remove_prefix(1);
  while (field.ends_with(' ')) field.remove_suffix(1);
  return field;
}

struct by_year_row {
  std::string_view station, day, element, value, quality;
};

by_year_row row_of(std::string_view line) {
  by_year_row row;
  row.station = next_field(line);
  row.day = next_field(line);
  row.element = next_field(line);
  row.value = next_field(line);
  next_field(line);  // measurement flag
  row.quality = next_field(line);
  return row;
}

bool is_header(const by_year_row& row) { return row.station == "ID" || row.station == "STATION"; }

std::string_view first_line(std::string_view text) {
  if (text.starts_with("\xef\xbb\xbf")) text.remove_prefix(3);
  std::string_view line = text.substr(0, text.find('\n'));
  if (line.ends_with('\r')) line.remove_suffix(1);
  return line;
}

}  // namespace

bool looks_like_by_year(std::string_view text) {
  const by_year_row row = row_of(first_line(text));
  if (is_header(row)) return row.day == "DATE" && row.element == "ELEMENT";
  return row.station.size() == 11 && row.day.size() == 8 && parse_date(row.day) && row.element.size() == 4 &&
         whole_number(row.value);
}

weather parse_by_year(std::string_view text, std::string_view name, const weather_options& options) {
  no_other_unit(name, "by-year rows", "0.1 C", options);
  station_choice station(options.station, name);
  account out;
  std::vector<day_value> lows, highs;
  text_lines lines(text);
  for (std::string_view line; lines.next(line);) {
    const by_year_row row = row_of(line);
    if (lines.number() == 1 && is_header(row)) continue;
    const auto here = [&] { return place{.file = std::string(name), .line = lines.number()}; };
    if (std::ranges::count(line, ',') < 3)
      throw file_error(here(), "is cut short", "ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,time");
    if (!station.takes(row.station, lines.number())) continue;
    if (row.element != "TMIN" && row.element != "TMAX") continue;
    const auto day = parse_date(row.day);
    if (!day) throw file_error(here(), in_quotes(row.day) + " is no date", "20150126");
    if (!wanted_year(day->year, options)) continue;
    const auto value = whole_number(row.value);
    if (!value) throw file_error(here(), in_quotes(row.value) + " is no number", "tenths of a degree C");
    if (*value == static_cast<int>(missing_code)) {
      out.drop("missing value");
    } else if (!row.quality.empty()) {
      out.drop("quality flag");
    } else if (const double t = *value / 10.0; !possible(t)) {
      out.impossible(t, here());
    } else {
      (row.element == "TMIN" ? lows : highs).push_back({day_number(*day), *value});
    }
  }
  return finish_days(station.finish(), paired(std::move(lows), std::move(highs), out), out, name, "0.1 C", options);
}

}  // namespace coldgrease::inline v0::detail
