// Published design temperatures of stations.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/source.hpp"
#include "coldgrease/base/temperature.hpp"

namespace coldgrease::inline v0 {

/// The lowest temperature once in so many years.
struct return_row {
  int years = 0;
  coldgrease::temperature temperature = celsius(0);
  friend bool operator==(const return_row&, const return_row&) = default;
};

/// What a handbook says of a station. Editions differ by 1 to 2 K, as the years of record move: never quote one without
/// its edition.
struct design_values {
  std::string station{};
  std::string edition{};                             // "2009", "not stated"
  std::string source{};                              // where it was read
  std::optional<temperature> heating_99_6{};         // 99.6 % of all hours of a year are warmer
  std::optional<temperature> heating_99{};           // 99 % are warmer
  std::optional<temperature> mean_annual_minimum{};  // of the years of record
  std::optional<temperature_step> deviation{};       // standard deviation of annual minima
  std::vector<return_row> printed_minima{};          // n-year minima as an EPW prints them; a table has none
  friend bool operator==(const design_values&, const design_values&) = default;
};

/// Reads a table of design values. @throws file_error
std::vector<design_values> read_design_values(const source& file);
/// The table in force (find_table).
std::vector<design_values> published_design_values();
/// The row of a station by its name, capitals or not. @throws input_error that lists the stations there are
design_values find_design_values(std::string_view station);

/// What a place is judged at that has published values and no weather.
struct design_cold_answer {
  temperature at = celsius(0);
  std::string_view stands_on{};  // in words
};
/// The mean annual minimum: of 87 years of GHCN-Daily USW00014839 it is -23.8 C, where the coldest 1 % of hours of the
/// coldest 31 days are below -24.2 C. Else the 99.6 % value less 5 K, else the 99 % value less 9 K, both judgement: in
/// the table the mean annual minimum lies 2.5 to 6.7 K below the first, which lies 1.2 to 4.3 K below the second.
/// @throws input_error where a station has none
design_cold_answer design_cold(const design_values& values);

/// The printed one of so many years, else T_n by return_minimum (statistics.hpp). Nothing without mean and deviation.
std::optional<temperature> return_minimum(const design_values& values, double years);

}  // namespace coldgrease::inline v0
