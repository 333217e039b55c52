// A year's climate by the month, and the full account of a weather file.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "coldgrease/climate/series.hpp"
#include "coldgrease/climate/statistics.hpp"

namespace coldgrease {

struct month_climate {
  int month = 1;
  temperature mean = celsius(0);                // of (minimum + maximum)/2
  temperature cold = celsius(0);                // the coldest `share` of hours lies below
  temperature hot = celsius(0);                 // the hottest `share` of hours lies above
  temperature record = celsius(0);              // lowest daily minimum
  std::optional<temperature> return_minimum{};  // of the month; needs 10 years of it
};

/// Twelve months of a station, with the days they come from.
struct monthly_climate {
  daily_series series{};
  std::array<month_climate, 12> months{};
};

/// Months pooled over all years. @param share  of hours, 0 to 0.5   @param return_years  above 1
/// @throws input_error naming a month without days
monthly_climate monthly(daily_series series, double share = 0.01, double return_years = 10.0);

struct quantile_row {
  double share = 0.0;
  coldgrease::temperature temperature = celsius(0);
};

struct return_row {
  int years = 0;
  coldgrease::temperature temperature = celsius(0);
};

/// What a weather file says.
struct climate_answer {
  std::string station{};
  date first{};
  date last{};
  int count = 0;  // days used
  std::vector<dropped_rows> dropped{};
  std::vector<quantile_row> quantiles{};       // of hours
  std::vector<quantile_row> tmin_quantiles{};  // of daily minima
  std::vector<month_climate> months{};         // those that have days
  std::vector<year_minimum> annual_minima{};
  std::vector<return_row> return_minima{};  // 5, 10, 20 and 50 years; needs two annual minima
  std::optional<time_below> below{};        // if a temperature is given
  std::vector<std::string> notes{};
};

/// @throws input_error for a series without days
climate_answer describe(const daily_series& series, std::optional<temperature> limit = std::nullopt);

}  // namespace coldgrease
