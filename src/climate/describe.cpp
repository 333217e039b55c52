#include "coldgrease/climate/describe.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "climate/hours.hpp"
#include "climate/remarks.hpp"
#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr std::size_t fewest_years_for_return = 10;

/// Everything of one month over all years; `take` what comes in the order of time.
class month_account {
 public:
  /// @param hours  to be filled by the caller
  std::span<double> add(std::size_t hours, double mean, double low) {
    record_ = hours_.empty() ? low : std::min(record_, low);
    sum_ += mean * static_cast<double>(hours);
    hours_.resize(hours_.size() + hours);
    return std::span(hours_).last(hours);
  }
  /// The lowest of so many hours of a year.
  void add_to_year(int year, int hours, double low) {
    if (minima_.empty() || minima_.back().year != year) {
      minima_.push_back({year, celsius(low)});
      hours_in_.push_back(0);
    }
    minima_.back().minimum = std::min(minima_.back().minimum, celsius(low));
    hours_in_.back() += hours;
  }
  void clear() { *this = month_account(std::move(hours_)); }

  std::optional<month_climate> finish(int month, double share, double return_years) {
    if (hours_.empty()) return std::nullopt;
    // As for whole years: a month that misses more than a tenth of itself tells no minimum.
    std::size_t kept = 0;
    for (std::size_t y = 0; y < minima_.size(); ++y) {
      const int all = 24 * days_in_month(minima_[y].year, month);
      if (10 * (all - hours_in_[y]) <= all) minima_[kept++] = minima_[y];
    }
    minima_.resize(kept);

    month_climate m;
    m.month = month;
    m.mean = celsius(sum_ / static_cast<double>(hours_.size()));
    m.record = celsius(record_);
    m.cold = celsius(quantile(hours_, share));
    m.hot = celsius(quantile(hours_, 1.0 - share));
    if (minima_.size() >= fewest_years_for_return) m.return_minimum = return_minimum(minima_, return_years);
    return m;
  }

  month_account() = default;

 private:
  /// Keeps the memory, not what is in it.
  explicit month_account(std::vector<double> memory) : hours_(std::move(memory)) { hours_.clear(); }

  std::vector<double> hours_;
  double sum_ = 0.0, record_ = 0.0;
  std::vector<year_minimum> minima_;
  std::vector<int> hours_in_;
};

void collect(const daily_series& series, std::span<const std::uint8_t> months, int month, month_account& account) {
  const detail::hourly_course course(series.days);
  for (std::size_t i = 0; i < series.days.size(); ++i) {
    if (months[i] != month) continue;
    const daily_extremes& d = series.days[i];
    const auto hours = account.add(24, 0.5 * (d.low + d.high), d.low);
    course.write(i, hours.first<24>());
    account.add_to_year(date_of(d.day).year, 24, d.low);
  }
}

void collect(const hourly_series& series, std::span<const std::uint8_t> months, int month, month_account& account) {
  int day = std::numeric_limits<int>::min(), year = 0;
  for (std::size_t i = 0; i < series.hours.size(); ++i) {
    if (months[i] != month) continue;
    const hourly_value& v = series.hours[i];
    if (const int d = detail::floor_day(v.hour); d != day) {
      day = d;
      year = date_of(d).year;
    }
    account.add(1, v.celsius, v.celsius)[0] = v.celsius;
    account.add_to_year(year, 1, v.celsius);
  }
}

void collect(const typical_year& year, std::span<const std::uint8_t> months, int month, month_account& account) {
  for (std::size_t i = 0; i < year.hours.size(); ++i) {
    if (months[i] == month) account.add(1, year.hours[i].celsius, year.hours[i].celsius)[0] = year.hours[i].celsius;
  }
}

/// The months that have days or hours.
template <class Series>
std::vector<month_climate> months_with_data(const Series& series) {
  constexpr double share = 0.01, return_years = 10.0;
  std::vector<month_climate> result;
  const auto months = detail::months_of(series);
  month_account account;
  for (int month = 1; month <= 12; ++month) {
    account.clear();
    collect(series, months, month, account);
    if (const auto m = account.finish(month, share, return_years)) result.push_back(*m);
  }
  return result;
}

std::vector<double> minima_of(const daily_series& series) {
  std::vector<double> lows;
  lows.reserve(series.days.size());
  for (const daily_extremes& d : series.days) lows.push_back(d.low);
  return lows;
}

std::vector<double> temperatures(std::span<const hourly_value> hours) {
  std::vector<double> values;
  values.reserve(hours.size());
  for (const hourly_value& v : hours) values.push_back(v.celsius);
  return values;
}

void add_quantiles(climate_answer& answer, std::vector<double> hours, std::vector<double> lows) {
  constexpr std::array shares{0.004, 0.01, 0.02, 0.05, 0.5, 0.95, 0.98, 0.99, 0.996};
  for (const double share : shares) {
    answer.quantiles.push_back({share, celsius(quantile(hours, share))});
    if (!lows.empty()) answer.tmin_quantiles.push_back({share, celsius(quantile(lows, share))});
  }
  // Type 7 puts a share at place (n - 1) p from the lowest: under 251 values 0.4 % lies between the two lowest.
  if (!lows.empty() && lows.size() < 251)
    answer.notes.push_back(fmt::format("0.4 % of {} daily minima is nearly the lowest of them", lows.size()));
}

/// Annual and n-year minima.
void add_minima(climate_answer& answer, const daily_series& series) {
  answer.annual_minima = annual_minima(series);
  if (const int left_out = years_left_out(series))
    answer.notes.push_back(fmt::format(
        "{} year{} miss{} more than a tenth of {}: no annual minimum", left_out, left_out == 1 ? "" : "s",
        left_out == 1 ? "es" : "", series.latitude.value_or(0.0) < 0.0 ? "June to August" : "December to February"));
  for (const int years : {5, 10, 20, 50}) {
    if (const auto t = return_minimum(answer.annual_minima, years)) answer.return_minima.push_back({years, *t});
  }
  if (answer.annual_minima.size() < fewest_years_for_return)
    answer.notes.push_back(
        fmt::format("only {} annual minima: fewer than 10 years say little of quantiles and n-year minima",
                    answer.annual_minima.size()));
}

void add_seasons(climate_answer& answer, season_dates dates, int winters) {
  answer.winters_with_a_day = winters;
  if (grade_of(dates.seasons) < date_grade::rough) return;  // for_dates says so
  if (!dates.first)
    answer.notes.push_back(fmt::format("no dates of the first and last cold day: {} of {} seasons have one",
                                       dates.seasons - dates.without_event, dates.seasons));
  answer.seasons = dates;
}

/// Seasons cut in the middle of winter tell nothing: says so where the coldest month shows it.
void add_note_of_season_start(climate_answer& answer, const weather& w, const season_options& options) {
  if (options.starts || origin_of(w).latitude || answer.months.size() < 12) return;
  const auto coldest = std::ranges::min_element(answer.months, {}, &month_climate::mean)->month;
  if (coldest >= 5 && coldest <= 9)
    answer.notes.push_back(fmt::format(
        "seasons are cut on 1 July, but {} is the coldest month: on the southern half cut them on 1 January",
        name_of_month(coldest)));
}

/// A plan judges every day of a year (year_of).
void add_note_of_months(climate_answer& answer) {
  std::vector<std::string_view> missing;
  for (int month = 1; month <= 12; ++month) {
    if (std::ranges::find(answer.months, month, &month_climate::month) == answer.months.end())
      missing.push_back(name_of_month(month));
  }
  if (!missing.empty())
    answer.notes.push_back(
        fmt::format("no plan can be made by this file alone: it has nothing of {}", fmt::join(missing, ", ")));
}

void describe_days(climate_answer& answer, const daily_series& series, std::optional<temperature> limit,
                   const season_options& options) {
  answer.kind = series_kind::daily;
  answer.first = date_of(series.days.front().day);
  answer.last = date_of(series.days.back().day);
  answer.count = static_cast<int>(series.days.size());
  add_quantiles(answer, hours_of(series), minima_of(series));
  add_minima(answer, series);
  if (const std::string gap = detail::gap_of(series); !gap.empty()) answer.notes.push_back(gap);
  if (limit)
    add_seasons(answer, dates_of_cold(series, *limit, options), winters_with_a_day_below(series, *limit, options));
}

void describe_hours(climate_answer& answer, const hourly_series& series, std::optional<temperature> limit,
                    const season_options& options) {
  answer.kind = series_kind::hourly;
  answer.first = date_of(detail::floor_day(series.hours.front().hour));
  answer.last = date_of(detail::floor_day(series.hours.back().hour));
  answer.count = static_cast<int>(series.hours.size());
  const daily_series days = daily(series);
  answer.notes = days.notes;
  add_quantiles(answer, temperatures(series.hours), minima_of(days));
  add_minima(answer, days);
  if (const std::string gap = detail::gap_of(series); !gap.empty()) answer.notes.push_back(gap);
  if (limit)
    add_seasons(answer, dates_of_cold(days, *limit, options), winters_with_a_day_below(series, *limit, options));
}

void describe_year(climate_answer& answer, const typical_year& year) {
  answer.kind = series_kind::typical_year;
  answer.count = static_cast<int>(year.hours.size());
  answer.published = year.published;
  hourly_series hours;
  hours.hours = year.hours;
  add_quantiles(answer, temperatures(year.hours), minima_of(daily(hours)));
  answer.notes.emplace_back(
      "a typical year leaves out the extremes of real ones: no annual minima, no n-year minima, no dates of seasons");
  constexpr double at_odds = 5.0;  // [K]; editions differ by 1 to 2 K, climates by more
  const double coldest = answer.quantiles.front().temperature.in_celsius();
  if (year.published && year.published->heating_99_6 &&
      std::abs(year.published->heating_99_6->in_celsius() - coldest) > at_odds)
    answer.notes.push_back(
        fmt::format("the head of the file quotes {:.1f} C for the coldest 0.4 % of hours, its hours give {:.1f} C: the "
                    "head is of another station or climate; the hours count",
                    year.published->heating_99_6->in_celsius(), coldest));
}

}  // namespace

climate_answer describe(const weather& w, std::optional<temperature> limit, const season_options& options) {
  const series_origin& origin = origin_of(w);
  climate_answer answer;
  answer.station = origin.station;
  answer.id = origin.id;
  answer.unit = origin.unit;
  answer.dropped = origin.dropped;
  answer.notes = origin.notes;
  answer.notes.insert(answer.notes.end(), origin.comments.begin(), origin.comments.end());
  const auto* days = std::get_if<daily_series>(&w);
  const auto* hours = std::get_if<hourly_series>(&w);
  const auto* year = std::get_if<typical_year>(&w);
  if ((days && days->days.empty()) || (hours && hours->hours.empty()) || (year && year->hours.empty()))
    throw input_error(origin.station, days ? "has no days" : "has no hours", "one or more");
  if (std::holds_alternative<design_station>(w))
    throw input_error(origin.station, "has published values alone", "days or hours");
  const auto by_month = [&](const auto& s) {
    answer.months = months_with_data(s);
    if (limit) answer.below = below(s, *limit);
  };
  if (days) describe_days(answer, *days, limit, options);
  if (hours) describe_hours(answer, *hours, limit, options);
  if (year) describe_year(answer, *year);
  if (days) by_month(*days);
  if (hours) by_month(*hours);
  if (year) by_month(*year);
  answer.whole_seasons = whole_seasons(w, options);
  answer.for_dates = grade_of(answer.whole_seasons);
  if (!year) add_note_of_season_start(answer, w, options);
  add_note_of_months(answer);
  return answer;
}

}  // namespace coldgrease::inline v0
