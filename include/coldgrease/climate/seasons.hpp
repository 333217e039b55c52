// When the cold comes and goes: dates of the first and the last cold day with an accepted yearly risk, and winters with
// lasting cold.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "coldgrease/base/words.hpp"
#include "coldgrease/climate/calendar.hpp"
#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0 {

/// Where a year is cut so that no winter is: 1 July on the northern half of the earth, 1 January on the southern.
enum class season_start { july, january };
template <>
struct words_of<season_start> {
  using enum season_start;
  static constexpr std::string_view what = "";
  static constexpr word_for<season_start> table[]{{july, "july"}, {january, "january"}};
};

struct season_options {
  double risk = 0.1;                     // accepted chance that a year is earlier or later than the date
  std::optional<season_start> starts{};  // nothing: by the latitude, July where that is unknown
};

constexpr int days_of_whole_season = 350;  // that a season must have to count
constexpr int fewest_seasons = 10;         // below: no dates at a risk
constexpr int few_seasons = 25;            // below: the dates are rough

/// Whether a record is good enough for dates, by its whole seasons: the one rule of seasons, plans and printouts.
enum class date_grade {
  none,     // no whole season, as in a typical year: a plan dates by the typical days alone
  too_few,  // for a risk: a plan takes the earliest and the latest cold there was
  rough,    // dates at a risk, of few seasons
  good
};
template <>
struct words_of<date_grade> {
  using enum date_grade;
  static constexpr std::string_view what = "";
  static constexpr word_for<date_grade> table[]{{none, "none"}, {too_few, "too few"}, {rough, "rough"}, {good, "good"}};
};
constexpr date_grade grade_of(int whole_seasons) {
  return whole_seasons <= 0               ? date_grade::none
         : whole_seasons < fewest_seasons ? date_grade::too_few
         : whole_seasons < few_seasons    ? date_grade::rough
                                          : date_grade::good;
}
/// Seasons of 350 days or more; none in a typical year and in published values.
int whole_seasons(const weather& w, const season_options& options = {});

struct season_dates {
  coldgrease::temperature temperature = celsius(0);
  season_start starts = season_start::july;
  double risk = 0.1;
  int seasons = 0;                     // with 350 days or more
  int without_event = 0;               // seasons without a day so cold
  std::optional<day_of_year> first{};  // with chance `risk` the first cold day of a season comes on or before it
  std::optional<day_of_year> last{};   // with chance `risk` the last one comes on or after it
  std::optional<day_of_year> first_on_record{};  // the earliest first cold day of all these seasons
  std::optional<day_of_year> last_on_record{};   // and the latest last one
};

/// First and last day of a season whose minimum is at or below the limit. Seasons of fewer than 350 days are left out;
/// under ten of them, or where so cold a day is rarer than the risk, there are no dates.
/// Source of the method: Vestal 1971, Mon. Weather Rev. 99(8) 650: a normal law of dates, mixed with the share of
/// seasons without an event; checked against derived values.
season_dates dates_of_cold(const daily_series& series, temperature limit, const season_options& options = {});
season_dates dates_of_cold(const hourly_series& series, temperature limit, const season_options& options = {});
/// The same for many limits in one pass, in their order.
std::vector<season_dates> dates_of_cold(const daily_series& series, std::span<const temperature> limits,
                                        const season_options& options = {});

/// Seasons of dates_of_cold with a run of more than 24 hours below the limit.
int winters_with_a_day_below(const daily_series& series, temperature limit, const season_options& options = {});
int winters_with_a_day_below(const hourly_series& series, temperature limit, const season_options& options = {});

/// Temperature below which `share` of the hours of each recorded season lie, seasons of 350 days or more, in order.
std::vector<temperature> season_quantiles(const daily_series& series, double share, const season_options& options = {});
std::vector<temperature> season_quantiles(const hourly_series& series, double share,
                                          const season_options& options = {});

/// Day d with P(first <= d) = q Phi((d - mean)/sd) = risk, where q is the share of seasons with an event and mean and
/// deviation are of `days`. Nothing if risk >= q, or with fewer than two days.
/// @param days  of the event, one a season that has it   @param seasons  with or without it
std::optional<double> first_crossing(std::span<const double> days, int seasons, double risk);
/// The same of the last day: q (1 - Phi((d - mean)/sd)) = risk.
std::optional<double> last_crossing(std::span<const double> days, int seasons, double risk);

}  // namespace coldgrease::inline v0
