#include "coldgrease/climate/seasons.hpp"

#include "base/format.hpp"

#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <vector>

#include "climate/hours.hpp"
#include "coldgrease/climate/statistics.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr int fewest_days = 350;  // of a season that counts

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

/// Seasons that have most of their days.
std::vector<season> whole_seasons(const daily_series& series, season_start starts) {
  std::vector<season> seasons;
  const std::span<const daily_extremes> days(series.days);
  for (std::size_t i = 0; i < days.size();) {
    const int first_day = first_day_of_season(days[i].day, starts), next = first_day_of_season(first_day + 366, starts);
    std::size_t end = i;
    while (end < days.size() && days[end].day < next) ++end;
    if (static_cast<int>(end - i) >= fewest_days) seasons.push_back({first_day, days.subspan(i, end - i)});
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

std::vector<double> hours_in(const daily_series& part) { return hours_of(part); }
std::vector<double> hours_in(const hourly_series& part) {
  std::vector<double> hours;
  for (const hourly_value& h : part.hours) hours.push_back(h.celsius);
  return hours;
}

template <class Series>
std::vector<temperature> quantiles_of(const Series& series, const daily_series& days, double share,
                                      season_start starts) {
  std::vector<temperature> quantiles;
  for (const season& s : whole_seasons(days, starts)) {
    std::vector<double> hours = hours_in(part_of(series, s));
    quantiles.push_back(celsius(quantile(hours, share)));
  }
  return quantiles;
}

/// Runs of the hours of one season; `below_in` gives the longest.
template <class Series>
int winters(const Series& series, const daily_series& days, temperature limit, season_start starts) {
  int count = 0;
  for (const season& s : whole_seasons(days, starts)) count += below(part_of(series, s), limit).longest.hours > 24;
  return count;
}

void check(const season_options& options) {
  if (!(options.risk > 0.0 && options.risk < 1.0))
    throw input_error("risk", fmt::format("{}", options.risk), "above 0 and below 1");
}

}  // namespace

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

season_dates dates_of_cold(const daily_series& series, temperature limit, const season_options& options) {
  check(options);
  season_dates result{.temperature = limit, .starts = start_of(series, options), .risk = options.risk};
  std::vector<double> firsts, lasts;
  for (const season& s : whole_seasons(series, result.starts)) {
    ++result.seasons;
    const auto cold = [&](const daily_extremes& d) { return d.low <= limit.in_celsius(); };
    const auto first = std::ranges::find_if(s.days, cold);
    if (first == s.days.end()) {
      ++result.without_event;
      continue;
    }
    const auto last = std::find_if(s.days.rbegin(), s.days.rend(), cold);
    firsts.push_back(first->day - s.first_day);
    lasts.push_back(last->day - s.first_day);
  }
  if (result.seasons < fewest_seasons) return result;
  // Whole days on the side of the risk that is accepted: the first day earlier, the last one later.
  if (const auto d = first_crossing(firsts, result.seasons, options.risk))
    result.first = named(std::floor(*d), result.starts);
  if (const auto d = last_crossing(lasts, result.seasons, options.risk))
    result.last = named(std::ceil(*d), result.starts);
  return result;
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
  return quantiles_of(series, series, share, start_of(series, options));
}

std::vector<temperature> season_quantiles(const hourly_series& series, double share, const season_options& options) {
  return quantiles_of(series, daily(series), share, start_of(series, options));
}

}  // namespace coldgrease::inline v0
