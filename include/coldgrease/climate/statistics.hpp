// Quantiles of hours, annual and n-year minima, spells.
#pragma once

#include <array>
#include <cmath>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/base/date.hpp"
#include "coldgrease/base/temperature.hpp"
#include "coldgrease/climate/calendar.hpp"
#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0 {

/// Quantile by linear interpolation of order statistics at h = (n - 1) p (Hyndman & Fan type 7). Reorders `values`.
/// @param values  [n], n >= 1   @param share  p, 0 to 1
/// Source: Hyndman & Fan 1996, Am. Stat. 50, 361; the default of R and numpy.
double quantile(std::span<double> values, double share);

/// Air temperature by the hour [24 x n_day, C], by half-cosines: rising from a day's minimum at 06 h to its maximum at
/// 15 h, falling to the next day's minimum at 06 h; a missing neighbour counts as the day's own.
std::vector<double> hours_of(const daily_series& series);

struct year_minimum {
  int year = 0;
  temperature minimum = celsius(0);
};

/// Minima of calendar years; years that miss more than a tenth of their winter (December to
/// February; in the south, by latitude, June to August) are left out.
std::vector<year_minimum> annual_minima(const daily_series& series);
std::vector<year_minimum> annual_minima(const hourly_series& series);
/// Years that annual_minima leaves out.
int years_left_out(const daily_series& series);

/// F of T_n = M - F s: -(sqrt(6)/pi) (0.5772 + ln ln(n/(n - 1))), the Gumbel law for minima fitted by moments, handbook
/// form. Negative below about 2.3 years. Range: years > 1. Source: ASHRAE Fundamentals ch. 14 (form from memory,
/// checked against published columns, tests/published/climate.csv).
inline double gumbel_factor(double years) noexcept {
  return -0.7796968012336761 * (0.5772 + std::log(std::log(years / (years - 1.0))));
}
/// T_n from the mean and the standard deviation of annual minima.
inline temperature return_minimum(temperature mean, temperature_step deviation, double years) {
  return mean - kelvins(gumbel_factor(years) * in_kelvins(deviation));
}
/// T_n from minima, one a year. Needs two, else nothing.
std::optional<temperature> return_minimum(std::span<const year_minimum> minima, double years);

/// The longest run of hours below a temperature. `from` and `to` are its first and last hour ("2015-01-26T03"; of a
/// typical year "01-26T03").
struct spell {
  coldgrease::temperature temperature = celsius(0);
  int hours = 0;
  std::string from{};
  std::string to{};
};

/// Hours below a limit: how many a year, and the longest run of them.
struct time_below {
  double hours_a_year = 0.0;  // corrected for missing days and hours
  spell longest{};            // a missing day or hour ends a run
};
time_below below(const daily_series& series, temperature limit);
time_below below(const hourly_series& series, temperature limit);
time_below below(const typical_year& year, temperature limit);
/// A limit for each day of the year, from 1 January; 29 February has that of the 28th.
using daily_limits = std::array<double, days_a_year>;  // [C]
/// The same within each month, by the limits of its days; a run ends with its month. One pass over the days.
std::array<time_below, 12> below_by_month(const daily_series& series, const daily_limits& limits);
std::array<time_below, 12> below_by_month(const hourly_series& series, const daily_limits& limits);
std::array<time_below, 12> below_by_month(const typical_year& year, const daily_limits& limits);
/// The same of whatever is known; nothing of a station by design values alone.
std::optional<std::array<time_below, 12>> below_by_month(const weather& w, const daily_limits& limits);

}  // namespace coldgrease::inline v0
