// Daily minima and maxima in named columns.
#include <array>
#include <cmath>

#include "climate/plain_rows.hpp"
#include "climate/reader.hpp"
#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

namespace {

struct csv_columns {
  std::optional<std::size_t> date, year, month, day, low, high, low_flags, high_flags;
  station_columns station{};
  place_watch place{};

  /// Whether all that is looked at are one date and the extremes.
  bool days_alone() const { return date && !low_flags && !high_flags && !station.any() && !place.any(); }
};

csv_columns find_columns(csv_rows& rows) {
  csv_columns c;
  std::vector<wanted_column> columns{
      {.names = {"date"}, .found = &c.date, .needed = true},
      {.names = {"year"}, .found = &c.year, .instead_of = "date"},
      {.names = {"month"}, .found = &c.month, .instead_of = "date"},
      {.names = {"day"}, .found = &c.day, .instead_of = "date"},
      {.names = {"tmin", "temp_min", "min", "minimum"}, .found = &c.low, .needed = true, .number = true},
      {.names = {"tmax", "temp_max", "max", "maximum"}, .found = &c.high, .needed = true, .number = true},
      {.names = {"tmin_attributes"}, .found = &c.low_flags},
      {.names = {"tmax_attributes"}, .found = &c.high_flags},
  };
  c.station.add_to(columns);
  c.place.add_to(columns);
  rows.find(columns, other_columns::ignored, "date (or year, month, day), tmin, tmax");
  return c;
}

/// A row: a day and its extremes in the unit of the file.
struct day_as_written {
  date day{};
  double low = 0.0, high = 0.0;
};

/// Second of the comma-separated flags "measurement,quality,source": anything but blank means that the value failed.
bool fails_quality(std::string_view flags) {
  const auto comma = flags.find(',');
  if (comma == std::string_view::npos) return false;
  const auto end = flags.find(',', comma + 1);
  const std::string_view quality = flags.substr(comma + 1, end == std::string_view::npos ? end : end - comma - 1);
  return quality.find_first_not_of(' ') != std::string_view::npos;
}

/// @return false for what is no date
bool date_of_row(const csv_columns& c, const std::optional<column_dates>& dates,
                 const std::vector<std::string_view>& fields, date& day) {
  if (c.date) return dates->read(fields[*c.date], day);
  const auto part = [&](std::size_t column) { return to_number(fields[column]).value_or(0.0); };
  const double y = part(*c.year), m = part(*c.month), d = part(*c.day);
  if (y != std::floor(y) || m != std::floor(m) || d != std::floor(d) || std::abs(y) > 9999.0 || std::abs(m) > 99.0 ||
      std::abs(d) > 99.0)
    return false;
  const auto found = valid_date(static_cast<int>(y), static_cast<int>(m), static_cast<int>(d));
  if (found) day = *found;
  return found.has_value();
}

}  // namespace

weather parse_daily_csv(csv_rows rows, std::size_t size, std::string_view name, const weather_options& options) {
  csv_columns c = find_columns(rows);
  if (rows.unit_of(*c.low) != rows.unit_of(*c.high))
    throw file_error(rows.place(), "tmin and tmax declare different units", "one unit");
  const std::string unit = declared_unit(rows, *c.low, options);
  const scale to_celsius = scale_of(unit, rows.place());

  std::optional<column_dates> dates;
  if (c.date) dates.emplace(rows, *c.date);
  station_choice station(options.station, name);
  account out;
  std::vector<daily_extremes> days;
  days.reserve(expected_rows(size));
  std::vector<std::string_view> fields;
  std::optional<plain_rows> plain;
  if (c.days_alone() && dates->year_first()) plain = plain_rows(rows, *c.date, {*c.low, *c.high});
  const auto next_plain = [&](day_as_written& row) {
    std::array<double, 2> numbers{};
    const auto read_date = [&](std::string_view text) { return plain_date_at_start(text, row.day); };
    if (!plain->next(rows, read_date, numbers)) return false;
    row.low = numbers[0];
    row.high = numbers[1];
    return true;
  };
  // The next day that counts; false behind the last.
  const auto next = [&](day_as_written& row) {
    while (true) {
      if (plain && next_plain(row)) {
        if (wanted_year(row.day.year, options)) return true;
        continue;
      }
      if (!rows.next(fields)) return false;
      if (!c.station.takes(station, fields, rows.line())) continue;
      if (!date_of_row(c, dates, fields, row.day)) {
        const std::string written = c.date
                                        ? std::string(fields[*c.date])
                                        : fmt::format("{}, {}, {}", fields[*c.year], fields[*c.month], fields[*c.day]);
        throw file_error(c.date ? rows.place(*c.date) : rows.place(), in_quotes(written) + " is no date",
                         "2015-01-26, 20150126, 26.01.2015, or year, month and day");
      }
      if (!wanted_year(row.day.year, options)) continue;
      c.place.take(fields, c.date ? fields[*c.date] : fields[*c.year]);
      row.low = value_of(fields[*c.low], rows, *c.low);
      row.high = value_of(fields[*c.high], rows, *c.high);
      if (is_missing(row.low) || is_missing(row.high)) {
        out.drop("minimum or maximum missing");
      } else if ((c.low_flags && fails_quality(fields[*c.low_flags])) ||
                 (c.high_flags && fails_quality(fields[*c.high_flags]))) {
        out.drop("quality flag");
      } else {
        return true;
      }
    }
  };
  day_numbers number_of;
  for (day_as_written row; next(row);) {
    const double low = to_celsius.celsius(row.low), high = to_celsius.celsius(row.high);
    if (possible(low) && possible(high)) {
      add_day(days, out, number_of(row.day), low, high);
    } else {
      out.impossible(possible(low) ? high : low, rows.place(possible(low) ? *c.high : *c.low));
    }
  }
  // A file that names no station may be called by the name the user gives it.
  station_names chosen = c.station.any() ? station.finish() : station_names{options.station, {}};
  daily_series series = finish_days(std::move(chosen), std::move(days), out, name, unit, options);
  series.latitude = c.place.latitude();
  for (std::string& note : c.place.notes()) series.notes.push_back(std::move(note));
  add_notes(rows, dates, series.notes);
  return series;
}

}  // namespace coldgrease::inline v0::detail
