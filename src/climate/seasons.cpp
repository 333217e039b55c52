#include "coldgrease/climate/seasons.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <limits>
#include <numeric>
#include <vector>

#include "climate/hours.hpp"
#include "coldgrease/climate/statistics.hpp"

namespace coldgrease::inline v0 {

namespace {

season_start start_of(const series_origin& origin, const season_options& options) {
  if (options.starts) return *options.starts;
  return origin.latitude.value_or(0.0) < 0.0 ? season_start::january : season_start::july;
}

int first_day_of_season(int day, season_start starts) {
  const date d = date_of(day);
  if (starts == season_start::january) return day_number({d.year, 1, 1});
  return day_number({d.month >= 7 ? d.year : d.year - 1, 7, 1});
}

struct season {
  int first_day = 0;
  std::span<const daily_extremes> days;
};

/// Whole seasons.
std::vector<season> seasons_with_most_days(const daily_series& series, season_start starts) {
  std::vector<season> seasons;
  const std::span<const daily_extremes> days(series.days);
  for (std::size_t i = 0; i < days.size();) {
    const int first_day = first_day_of_season(days[i].day, starts), next = first_day_of_season(first_day + 366, starts);
    std::size_t end = i;
    while (end < days.size() && days[end].day < next) ++end;
    if (static_cast<int>(end - i) >= days_of_whole_season) seasons.push_back({first_day, days.subspan(i, end - i)});
    i = end;
  }
  return seasons;
}

struct moments {
  double mean = 0.0;
  double deviation = 0.0;
};
moments moments_of(std::span<const double> values) {
  const double n = static_cast<double>(values.size());
  double sum = 0.0, squares = 0.0;
  for (const double v : values) sum += v;
  for (const double v : values) squares += (v - sum / n) * (v - sum / n);
  return {sum / n, std::sqrt(squares / (n - 1.0))};
}

/// Deviations by which the date of a risk lies before the mean; nothing if the event is rarer than the risk.
std::optional<double> deviations(std::size_t events, int seasons, double risk) {
  const double share = static_cast<double>(events) / seasons;
  if (events < 2 || risk >= share) return std::nullopt;
  return boost::math::quantile(boost::math::normal(), risk / share);
}

day_of_year named(double days, season_start starts) {
  constexpr int a_common_year = 2001, common_days = 365;
  const int day = std::clamp(static_cast<int>(days), 0, common_days - 1);
  const date first{a_common_year, starts == season_start::july ? 7 : 1, 1};
  const date d = date_of(day_number(first) + day);
  return {d.month, d.day};
}

/// The part of a series that is one season.
template <class Series>
Series part_of(const Series& series, const season& s) {
  Series part;
  if constexpr (std::is_same_v<Series, daily_series>) {
    part.days.assign(s.days.begin(), s.days.end());
  } else {
    const int end = s.days.back().day + 1;
    const auto from = std::ranges::lower_bound(series.hours, s.first_day * 24, {}, &hourly_value::hour);
    const auto to = std::ranges::lower_bound(series.hours, end * 24, {}, &hourly_value::hour);
    part.hours.assign(from, to);
  }
  return part;
}

/// The coldest hours of a season, one after the other.
class cold_hours {
 public:
  cold_hours(const daily_series& series, const season& s)
      : course_(series.days),
        first_(static_cast<std::size_t>(s.days.data() - series.days.data())),
        count_(s.days.size()) {
    for (const daily_extremes& d : s.days) lows_.push_back(d.low);
  }

  /// So many of them at least, in any order. Every minimum is an hour, and a day that comes near the cold end has some
  /// more there: the hours are listed up to a minimum that is likely high enough, then up to one that is; days that
  /// stay above it are never expanded.
  std::span<double> at_least(std::size_t needed) {
    constexpr std::size_t likely_a_day = 4;
    list(cap(needed / likely_a_day));
    if (hours_.size() < needed) list(cap(needed - 1));
    return hours_;
  }

 private:
  double cap(std::size_t nth) {
    if (nth >= count_) return std::numeric_limits<double>::infinity();
    const auto at = lows_.begin() + static_cast<std::ptrdiff_t>(nth);
    std::nth_element(lows_.begin(), at, lows_.end());
    return *at;
  }

  /// Every hour of a day is written and only what counts is kept: no branch to mispredict.
  void list(double cap) {
    std::array<double, 24> day{};
    std::size_t many = 0;
    for (std::size_t i = first_; i < first_ + count_; ++i) {
      if (course_.range(i).lowest > cap) continue;
      course_.write(i, day);
      hours_.resize(std::max(hours_.size(), many + day.size()));
      for (const double hour : day) {
        hours_[many] = hour;
        many += static_cast<std::size_t>(hour <= cap);
      }
    }
    hours_.resize(many);
  }

  detail::hourly_course course_;  // of the series: a day's hours hang on those beside it
  std::size_t first_, count_;
  std::vector<double> lows_{}, hours_{};
};

/// The coldest `share` of the hours of each season.
std::vector<temperature> quantiles_of(const daily_series& series, const std::vector<season>& seasons, double share) {
  std::vector<temperature> quantiles;
  for (const season& s : seasons) {
    const std::size_t all = 24 * s.days.size();
    const double rank = static_cast<double>(all - 1) * share;  // Hyndman & Fan type 7
    const auto low = static_cast<std::size_t>(rank);
    cold_hours cold(series, s);
    const std::span<double> hours = cold.at_least(std::min(low + 2, all));
    const auto nth = hours.begin() + static_cast<std::ptrdiff_t>(low);
    std::nth_element(hours.begin(), nth, hours.end());
    const double above = low + 1 < hours.size() ? *std::min_element(nth + 1, hours.end()) : *nth;
    quantiles.push_back(celsius(*nth + (rank - static_cast<double>(low)) * (above - *nth)));
  }
  return quantiles;
}

std::vector<temperature> quantiles_of(const hourly_series& series, const std::vector<season>& seasons, double share) {
  std::vector<temperature> quantiles;
  for (const season& s : seasons) {
    std::vector<double> hours;
    for (const hourly_value& h : part_of(series, s).hours) hours.push_back(h.celsius);
    quantiles.push_back(celsius(quantile(hours, share)));
  }
  return quantiles;
}

/// Runs of the hours of one season; `below_in` gives the longest.
template <class Series>
int winters(const Series& series, const daily_series& days, temperature limit, season_start starts) {
  int count = 0;
  for (const season& s : seasons_with_most_days(days, starts))
    count += below(part_of(series, s), limit).longest.hours > 24;
  return count;
}

void check(const season_options& options) {
  if (!(options.risk > 0.0 && options.risk < 1.0))
    throw input_error("risk", fmt::format("{}", options.risk), "above 0 and below 1");
}

}  // namespace

int whole_seasons(const weather& w, const season_options& options) {
  const auto count = [&](const daily_series& days) {
    return static_cast<int>(seasons_with_most_days(days, start_of(days, options)).size());
  };
  if (const auto* days = std::get_if<daily_series>(&w)) return count(*days);
  if (const auto* hours = std::get_if<hourly_series>(&w)) return count(daily(*hours));
  return 0;
}

std::optional<double> first_crossing(std::span<const double> days, int seasons, double risk) {
  const auto k = deviations(days.size(), seasons, risk);
  if (!k) return std::nullopt;
  const moments m = moments_of(days);
  return m.mean + *k * m.deviation;
}

std::optional<double> last_crossing(std::span<const double> days, int seasons, double risk) {
  const auto k = deviations(days.size(), seasons, risk);
  if (!k) return std::nullopt;
  const moments m = moments_of(days);
  return m.mean - *k * m.deviation;
}

std::vector<season_dates> dates_of_cold(const daily_series& series, std::span<const temperature> limits,
                                        const season_options& options) {
  check(options);
  const season_start starts = start_of(series, options);
  struct events {
    std::vector<double> firsts, lasts;  // days into their seasons
  };
  std::vector<events> all(limits.size());
  // Warm limits are met first: each day is held against the warmest that is not met yet.
  std::vector<std::size_t> warm_first(limits.size());
  std::iota(warm_first.begin(), warm_first.end(), std::size_t{0});
  std::ranges::sort(warm_first, std::ranges::greater{}, [&](std::size_t k) { return limits[k].in_celsius(); });
  const std::vector<season> seasons = seasons_with_most_days(series, starts);
  for (const season& s : seasons) {
    const auto meet = [&](auto day, auto end, std::vector<double> events::*which) {
      for (std::size_t k = 0; day != end; ++day) {
        for (; k < warm_first.size() && day->low <= limits[warm_first[k]].in_celsius(); ++k)
          (all[warm_first[k]].*which).push_back(day->day - s.first_day);
        if (k == warm_first.size()) return;
      }
    };
    meet(s.days.begin(), s.days.end(), &events::firsts);
    meet(s.days.rbegin(), s.days.rend(), &events::lasts);
  }
  std::vector<season_dates> results;
  for (std::size_t k = 0; k < limits.size(); ++k) {
    const auto& [firsts, lasts] = all[k];
    const int count = static_cast<int>(seasons.size());
    season_dates& r = results.emplace_back(season_dates{.temperature = limits[k],
                                                        .starts = starts,
                                                        .risk = options.risk,
                                                        .seasons = count,
                                                        .without_event = count - static_cast<int>(firsts.size())});
    if (!firsts.empty()) {
      r.first_on_record = named(std::ranges::min(firsts), starts);
      r.last_on_record = named(std::ranges::max(lasts), starts);
    }
    if (grade_of(count) < date_grade::rough) continue;
    // Whole days on the side of the risk that is accepted: the first day earlier, the last one later.
    if (const auto d = first_crossing(firsts, count, options.risk)) r.first = named(std::floor(*d), starts);
    if (const auto d = last_crossing(lasts, count, options.risk)) r.last = named(std::ceil(*d), starts);
  }
  return results;
}

season_dates dates_of_cold(const daily_series& series, temperature limit, const season_options& options) {
  return dates_of_cold(series, std::span(&limit, 1), options).front();
}

season_dates dates_of_cold(const hourly_series& series, temperature limit, const season_options& options) {
  return dates_of_cold(daily(series), limit, options);
}

int winters_with_a_day_below(const daily_series& series, temperature limit, const season_options& options) {
  return winters(series, series, limit, start_of(series, options));
}

int winters_with_a_day_below(const hourly_series& series, temperature limit, const season_options& options) {
  return winters(series, daily(series), limit, start_of(series, options));
}

std::vector<temperature> season_quantiles(const daily_series& series, double share, const season_options& options) {
  return quantiles_of(series, seasons_with_most_days(series, start_of(series, options)), share);
}

std::vector<temperature> season_quantiles(const hourly_series& series, double share, const season_options& options) {
  const daily_series days = daily(series);
  return quantiles_of(series, seasons_with_most_days(days, start_of(series, options)), share);
}

}  // namespace coldgrease::inline v0
