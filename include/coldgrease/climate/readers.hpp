// Weather files: GHCN-Daily (.dly and the wide CSV), and any CSV with named columns.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "coldgrease/climate/series.hpp"

namespace coldgrease {

struct weather_options {
  std::string format{};  // "dly", "csv"; empty: told from the content
  std::string unit{};  // of a CSV: "C", "F", "K" or "0.1 C"; must be declared here or in the column's name, "tmin [C]"
  std::string station{};  // which of several stations in one file
  std::optional<int> year_from{};
  std::optional<int> year_to{};
};

/// @throws input_error for a format that is not read; `where` is the option or the key it was given by
void check_weather_format(std::string_view format, std::string_view where);

/// Reads a weather file. CSV columns, in any case and order: date (2015-01-26, 20150126) or year, month, day; tmin or
/// temp_min; tmax or temp_max; optional station, location, id or name; optional TMAX_ATTRIBUTES and TMIN_ATTRIBUTES
/// (measurement, quality, source flags). Rows may come in any order. Dropped and counted, by reason: missing values
/// (blank, NA, -9999), values with a quality flag, days that stand twice, a minimum above the maximum, impossible
/// values.
/// @throws file_error for a file of no days, an undeclared unit, several stations and no choice, text where a number is
///         due, a truncated line, or values that the declared unit cannot mean (more than one in a thousand outside
///         -90 to 60 C)
daily_series read_weather(const std::string& path, const weather_options& options = {});

/// The same from text; `name` stands for the file in errors.
daily_series parse_weather(std::string_view text, std::string_view name, const weather_options& options = {});

}  // namespace coldgrease
