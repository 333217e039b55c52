#include "coldgrease/climate/readers.hpp"

#include "climate/reader.hpp"
#include "coldgrease/climate/normals.hpp"

namespace coldgrease::inline v0 {

namespace {

using detail::csv_rows;

bool has_column(const csv_rows& rows, std::string_view name) {
  for (std::size_t i = 0; i < rows.header().size(); ++i) {
    if (rows.name_of(i) == name) return true;
  }
  return false;
}

bool has_extremes(const csv_rows& rows) {
  for (const std::string_view name : {"tmin", "temp_min", "tmax", "temp_max"}) {
    if (has_column(rows, name)) return true;
  }
  return has_column(rows, "min") && has_column(rows, "max");
}

/// A table without any column of a daily file is called one of hours where it can be, else a daily one, so that the
/// refusal says what it lacks.
bool has_hours(const csv_rows& rows) {
  return !has_extremes(rows) && (has_column(rows, "temperature") || has_column(rows, "temp"));
}

[[noreturn]] void refuse_normals(std::string_view text, std::string_view name, const weather_options& options) {
  const freeze_normals normals = detail::parse_normals(text, name, options.station);
  const temperature least = normals.dates.front().limit, most = normals.dates.back().limit;
  throw file_error(
      name,
      fmt::format("holds climate normals of {}: chances of a first and last freeze of {:g} to {:g} F, no quantiles and "
                  "no minima",
                  normals.station.empty() ? "a station" : normals.station, least.in_fahrenheit(), most.in_fahrenheit()),
      "days or hours of real years, or the format normals for the dates alone");
}

}  // namespace

void check_weather_format(std::string_view format, std::string_view where) {
  if (!format.empty() && std::ranges::find(weather_formats, format) == weather_formats.end())
    throw input_error(where, in_quotes(format) + " is no weather format", alternatives(weather_formats));
}

void check_utc_offset(duration offset, std::string_view where) {
  const double hours = in_second(offset) / 3600.0;
  if (!(hours >= -12.0 && hours <= 14.0)) throw input_error(where, fmt::format("{:g} h", hours), "-12 h to 14 h");
}

namespace {

weather parse_weather(std::string_view text, std::string_view name, const weather_options& options) {
  if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) throw file_error(name, "is empty", "a weather file");
  const auto is = [&](std::string_view format, bool (*looks_like)(std::string_view)) {
    return options.format == format || (options.format.empty() && looks_like(text));
  };
  // A fleet file chooses the format: what is none of it must not be told line by line, as names of stations.
  if ((options.format == "dly" && !detail::looks_like_dly(text)) ||
      (options.format == "by-year" && !detail::looks_like_by_year(text)))
    throw file_error(name, "does not begin as a file of the format " + options.format,
                     "that format, or no format named");
  if (is("dly", detail::looks_like_dly)) return detail::parse_dly(text, name, options);
  if (is("epw", detail::looks_like_epw)) return detail::parse_epw(text, name, options);
  if (is("by-year", detail::looks_like_by_year)) return detail::parse_by_year(text, name, options);
  if (is("normals", detail::looks_like_normals)) refuse_normals(text, name, options);
  csv_rows rows(text, name);
  rows.seek_head([](const csv_rows& at) { return has_extremes(at) || has_hours(at); });
  const bool ghcnh =
      options.format == "ghcnh" || (options.format.empty() && has_column(rows, "temperature_quality_code"));
  if (ghcnh || has_hours(rows)) return detail::parse_hourly_csv(std::move(rows), text.size(), ghcnh, name, options);
  return detail::parse_daily_csv(std::move(rows), text.size(), name, options);
}

}  // namespace

weather read_weather(const source& file, const weather_options& options) {
  check_weather_format(options.format, "format");
  const source::text read = file.read(file_kind::weather);
  weather series = parse_weather(read.bytes, file.name(), options);
  std::visit([&](series_origin& s) { s.file = input_file{file.name(), read.checksum}; }, series);
  return series;
}

}  // namespace coldgrease::inline v0
