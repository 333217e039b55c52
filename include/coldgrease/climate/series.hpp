// Air temperature at a station. The kind of series is its type: what needs real years takes no typical one.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "coldgrease/base/date.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/base/source.hpp"
#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/words.hpp"
#include "coldgrease/climate/design_values.hpp"

namespace coldgrease::inline v0 {

/// Extremes of one day in local time.
struct daily_extremes {
  int day = 0;        // day_number
  double low = 0.0;   // minimum [C]
  double high = 0.0;  // maximum [C]
  friend bool operator==(const daily_extremes&, const daily_extremes&) = default;
};

/// The temperature of one hour.
struct hourly_value {
  int hour = 0;  // 24 day_number + hour of the day, 0 to 23; of a typical year from its 1 January
  double celsius = 0.0;
  friend bool operator==(const hourly_value&, const hourly_value&) = default;
};

/// Rows that a reader left out, and why.
struct dropped_rows {
  std::string reason{};
  int count = 0;
  friend bool operator==(const dropped_rows&, const dropped_rows&) = default;
};

/// Where a series was measured, and what its reader has to say of it.
struct series_origin {
  std::string station{};             // its name in the file; its id where the file gives no name; else as the user says
  std::string id{};                  // in the file, beside a name
  std::optional<double> latitude{};  // degrees north
  std::string unit{};                // of the file's temperatures, as declared or as its format has it
  std::vector<dropped_rows> dropped{};
  std::vector<std::string> notes{};
  std::vector<std::string> comments{};  // of the file's head, in its own words: for who looks at the file
  std::optional<input_file> file{};     // it was read from
  friend bool operator==(const series_origin&, const series_origin&) = default;
};

/// Daily minima and maxima of real years, by day, each day once; days may be missing.
struct daily_series : series_origin {
  std::vector<daily_extremes> days{};
  friend bool operator==(const daily_series&, const daily_series&) = default;
};

/// Hours of real years in local standard time, by hour, each hour once; hours may be missing.
struct hourly_series : series_origin {
  std::vector<hourly_value> hours{};
  friend bool operator==(const hourly_series&, const hourly_series&) = default;
};

/// One year put together from months of several: its hours tell shares of hours, but no minimum of a year, no n-year
/// minimum and no dates of seasons.
struct typical_year : series_origin {
  std::vector<hourly_value> hours{};
  int days = 365;                            // 366 with a 29 February
  std::optional<design_values> published{};  // what the file's head quotes
  friend bool operator==(const typical_year&, const typical_year&) = default;
};

/// A place of which only published design values are known: no day, no hour, no season.
struct design_station : series_origin {
  design_values values{};
  friend bool operator==(const design_station&, const design_station&) = default;
};

/// Whatever is known of the air at a station.
using weather = std::variant<daily_series, hourly_series, typical_year, design_station>;

inline const series_origin& origin_of(const weather& w) {
  return std::visit([](const auto& series) -> const series_origin& { return series; }, w);
}

/// Which of two values for one day or hour counts, if they are not the same.
enum class duplicate_rule { refused, first, coldest };
template <>
struct words_of<duplicate_rule> {
  using enum duplicate_rule;
  static constexpr std::string_view what = "rule for values that stand twice";
  static constexpr word_for<duplicate_rule> table[]{{refused, "refused"}, {first, "first"}, {coldest, "coldest"}};
};

/// The usual way to make a series in a program: sorts the days and drops those that stand twice.
/// @throws input_error for a minimum above the maximum, a value that is not finite, or two values for one day
daily_series make_daily_series(std::string station, std::vector<daily_extremes> days,
                               duplicate_rule twice = duplicate_rule::refused);
/// The same of hours.
hourly_series make_hourly_series(std::string station, std::vector<hourly_value> hours,
                                 duplicate_rule twice = duplicate_rule::refused);

/// Days of a series of hours: the lowest and the highest hour of every day that has 20 hours or more.
daily_series daily(const hourly_series& series);
/// Hours of a daily series, by half-cosines (hours_of).
hourly_series hourly(const daily_series& series);

}  // namespace coldgrease::inline v0
