// The full account of a weather file.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "coldgrease/base/words.hpp"
#include "coldgrease/climate/seasons.hpp"
#include "coldgrease/climate/series.hpp"
#include "coldgrease/climate/statistics.hpp"

namespace coldgrease::inline v0 {

/// A month, pooled over all years.
struct month_climate {
  int month = 1;
  temperature mean = celsius(0);                // of (minimum + maximum)/2, or of hours
  temperature cold = celsius(0);                // the coldest `share` of hours lies below
  temperature hot = celsius(0);                 // the hottest `share` of hours lies above
  temperature record = celsius(0);              // lowest daily minimum or hour; of a typical year no record
  std::optional<temperature> return_minimum{};  // ten years'; needs 10 years of the month
};

struct quantile_row {
  double share = 0.0;
  coldgrease::temperature temperature = celsius(0);
};

enum class series_kind { daily, hourly, typical_year };
template <>
struct words_of<series_kind> {
  using enum series_kind;
  static constexpr std::string_view what = "kind of series";
  static constexpr word_for<series_kind> table[]{{daily, "daily"}, {hourly, "hourly"}, {typical_year, "typical year"}};
};

/// What a weather file says. A typical year has no dates, no annual and no n-year minima, no seasons.
struct climate_answer {
  std::string station{};  // as series_origin has it
  std::string id{};
  series_kind kind = series_kind::daily;
  std::optional<date> first{};
  std::optional<date> last{};
  std::string unit{};                       // of the file's temperatures, as declared or as its format has it
  int count = 0;                            // days used, or hours
  date_grade for_dates = date_grade::none;  // whether it is good enough for dates
  int whole_seasons = 0;                    // that says so
  std::vector<dropped_rows> dropped{};
  std::vector<quantile_row> quantiles{};       // of hours
  std::vector<quantile_row> tmin_quantiles{};  // of daily minima
  std::vector<month_climate> months{};         // those that have days
  std::vector<year_minimum> annual_minima{};
  std::vector<return_row> return_minima{};   // 5, 10, 20 and 50 years; needs two annual minima
  std::optional<time_below> below{};         // if a temperature is given
  std::optional<season_dates> seasons{};     // the same, of real years, where for_dates is rough or good
  std::optional<int> winters_with_a_day{};   // the same: seasons with more than 24 hours below in a row
  std::optional<design_values> published{};  // what the file's head quotes
  std::vector<std::string> notes{};
};

/// @throws input_error for a series without days or hours
climate_answer describe(const weather& series, std::optional<temperature> limit = std::nullopt,
                        const season_options& options = {});

}  // namespace coldgrease::inline v0
