// Weather files, told apart by their content.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "coldgrease/base/source.hpp"
#include "coldgrease/base/units.hpp"
#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0 {

/// The words of the formats that are read.
inline constexpr std::array<std::string_view, 6> weather_formats{"dly", "csv", "epw", "ghcnh", "by-year", "normals"};

struct weather_options {
  std::string format{};  // one of weather_formats; empty: told from the content
  std::string unit{};  // of a CSV: "C", "F", "K" or "0.1 C"; must be declared here or in the column's name, "tmin [C]"
  std::string station{};  // the one to read, by the name or the id it has in the file; names that of a file which
                          // names none
  std::optional<int> year_from{};
  std::optional<int> year_to{};
  std::optional<duration> utc_offset{};  // local time less UTC; nothing: the longitude by 15 degrees an hour
  std::string accepted_codes{"01459"};   // quality codes of GHCN-hourly, one a character, beside blank
  duplicate_rule duplicates = duplicate_rule::refused;  // of two values for one time that are not the same
  std::optional<date> today{};  // later rows are left out; a record that ended long before is noted
  friend bool operator==(const weather_options&, const weather_options&) = default;
};

/// @throws input_error for a format that is not read; `where` is the option or the key it was given by
void check_weather_format(std::string_view format, std::string_view where);
/// @throws input_error for an offset outside -12 to 14 h
void check_utc_offset(duration offset, std::string_view where);

/// Reads a weather file, also one packed by gzip. What is left out is counted by reason, what is assumed is noted.
///
/// Days: GHCN-Daily .dly; its by-year rows, `ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,time` in tenths of C; CSV with columns, in
/// any case and order: date (2015-01-26, 20150126) or year, month, day; tmin or temp_min; tmax or temp_max; optional
/// a station (below); TMAX_ATTRIBUTES and TMIN_ATTRIBUTES (measurement, quality, source flags); latitude,
/// longitude, elevation.
///
/// Hours: GHCN-hourly, bars or commas: DATE, or Year Month Day Hour Minute, in UTC; temperature [C];
/// temperature_Quality_Code. Any CSV with date and time in local standard time and temperature or temp. The report
/// nearest to a full hour, at most half an hour away, is the hour; gaps between reports up to three hours apart are
/// filled along a straight line.
///
/// A typical year: EPW. Values printed in its head are kept apart, if its n-year minima follow from its mean and
/// deviation.
///
/// A station is called alike in every format. Its id: the first field of .dly and by-year rows, the WMO number of an
/// EPW, a column id or station_id. Its name: the town of an EPW, a column name or station_name. A column station or
/// location is its name beside a column of ids, its id beside a column of names. The option `station` is either of
/// them as the file writes it, in every format, and what else stands in the file is not read.
///
/// Rows may come in any order. Dropped and counted, by reason: missing values (blank, NA, -9999), values with a quality
/// flag, days that stand twice, a minimum above the maximum, impossible values.
/// @throws file_error for a file of no values, an undeclared unit, several stations and no choice, text where a number
///         is due, a truncated line, values that the declared unit cannot mean (more than one in a thousand outside
///         -90 to 60 C), UTC without a longitude, normals (they hold no extremes: normals.hpp), more than 512 MiB of
///         text
weather read_weather(const source& file, const weather_options& options = {});

}  // namespace coldgrease::inline v0
