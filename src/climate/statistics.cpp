#include "coldgrease/climate/statistics.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <numbers>

#include "climate/hours.hpp"
#include "coldgrease/base/error.hpp"

namespace coldgrease {

namespace detail {

namespace {

constexpr int hour_of_minimum = 6;
constexpr int hour_of_maximum = 15;

/// Weight of the end value in a half-cosine from hour `from` to hour `to`.
std::array<double, 24> end_weights() {
  std::array<double, 24> weights{};
  const auto at = [](double hour, double from, double to) {
    return 0.5 - 0.5 * std::cos(std::numbers::pi * (hour - from) / (to - from));
  };
  for (int h = 0; h < 24; ++h) {
    const double hour = h;
    weights[static_cast<std::size_t>(h)] = h < hour_of_minimum    ? at(hour, hour_of_maximum - 24, hour_of_minimum)
                                           : h <= hour_of_maximum ? at(hour, hour_of_minimum, hour_of_maximum)
                                                                  : at(hour, hour_of_maximum, 24 + hour_of_minimum);
  }
  return weights;
}

}  // namespace

void expand_day(std::span<const daily_extremes> days, std::size_t i, std::span<double, 24> out) {
  static const std::array<double, 24> weight = end_weights();
  const daily_extremes& day = days[i];
  const bool follows = i > 0 && days[i - 1].day + 1 == day.day;
  const bool followed = i + 1 < days.size() && days[i + 1].day == day.day + 1;
  const double high_before = follows ? days[i - 1].high : day.high;
  const double low_after = followed ? days[i + 1].low : day.low;
  for (std::size_t h = 0; h < hour_of_minimum; ++h) out[h] = high_before + weight[h] * (day.low - high_before);
  for (std::size_t h = hour_of_minimum; h <= hour_of_maximum; ++h) out[h] = day.low + weight[h] * (day.high - day.low);
  for (std::size_t h = hour_of_maximum + 1; h < 24; ++h) out[h] = day.high + weight[h] * (low_after - day.high);
}

std::vector<std::uint8_t> months_of(const daily_series& series) {
  std::vector<std::uint8_t> months;
  months.reserve(series.days.size());
  for (const daily_extremes& d : series.days) months.push_back(static_cast<std::uint8_t>(date_of(d.day).month));
  return months;
}

}  // namespace detail

daily_series make_daily_series(std::string station, std::vector<daily_extremes> days) {
  for (const daily_extremes& d : days) {
    if (!std::isfinite(d.low) || !std::isfinite(d.high) || d.low > d.high)
      throw input_error(text_of(date_of(d.day)), fmt::format("minimum {} C, maximum {} C", d.low, d.high),
                        "finite values, minimum first");
  }
  daily_series series{.station = std::move(station), .days = std::move(days)};
  const auto by_day = [](const daily_extremes& a, const daily_extremes& b) { return a.day < b.day; };
  int behind = 0;  // rows that stand behind a later day
  int latest = std::numeric_limits<int>::min();
  for (const daily_extremes& d : series.days) {
    behind += d.day < latest;
    latest = std::max(latest, d.day);
  }
  if (behind > 0) {
    std::ranges::stable_sort(series.days, by_day);
    series.notes.push_back(
        fmt::format("{} row{} not in the order of time: sorted", behind, behind == 1 ? " was" : "s were"));
  }
  const auto same = [](const daily_extremes& a, const daily_extremes& b) { return a.day == b.day; };
  const auto twice = std::adjacent_find(series.days.begin(), series.days.end(), same);
  if (twice != series.days.end()) {
    const std::string first = text_of(date_of(twice->day));
    const auto before = series.days.size();
    series.days.erase(std::unique(series.days.begin(), series.days.end(), same), series.days.end());
    series.dropped.push_back({"day stands twice, first " + first, static_cast<int>(before - series.days.size())});
  }
  return series;
}

double quantile(std::span<double> values, double share) {
  const double h = static_cast<double>(values.size() - 1) * share;
  const auto low = static_cast<std::size_t>(h);
  const auto nth = values.begin() + static_cast<std::ptrdiff_t>(low);
  std::nth_element(values.begin(), nth, values.end());
  const double below = *nth;
  if (low + 1 >= values.size()) return below;
  const double above = *std::min_element(nth + 1, values.end());
  return below + (h - static_cast<double>(low)) * (above - below);
}

std::vector<double> hours_of(const daily_series& series) {
  std::vector<double> hours(series.days.size() * 24);
  for (std::size_t i = 0; i < series.days.size(); ++i)
    detail::expand_day(series.days, i, std::span<double, 24>(hours.data() + i * 24, 24));
  return hours;
}

namespace {

struct year_account {
  int year = 0;
  double minimum = 0.0;
  int winter_days = 0;  // of January, February and December
};

std::vector<year_account> accounts(const daily_series& series) {
  std::vector<year_account> years;
  for (const daily_extremes& d : series.days) {
    const date day = date_of(d.day);
    if (years.empty() || years.back().year != day.year) years.push_back({day.year, d.low, 0});
    years.back().minimum = std::min(years.back().minimum, d.low);
    if (day.month <= 2 || day.month == 12) ++years.back().winter_days;
  }
  return years;
}

bool complete(const year_account& y) {
  const int winter = 31 + days_in_month(y.year, 2) + 31;
  return 10 * (winter - y.winter_days) <= winter;
}

std::string hour_text(int day, int hour) { return fmt::format("{}T{:02}", text_of(date_of(day)), hour); }

}  // namespace

std::vector<year_minimum> annual_minima(const daily_series& series) {
  std::vector<year_minimum> minima;
  for (const year_account& y : accounts(series)) {
    if (complete(y)) minima.push_back({y.year, celsius(y.minimum)});
  }
  return minima;
}

int years_left_out(const daily_series& series) {
  const auto years = accounts(series);
  return static_cast<int>(std::ranges::count_if(years, [](const year_account& y) { return !complete(y); }));
}

std::optional<temperature> return_minimum(std::span<const year_minimum> minima, double years) {
  if (minima.size() < 2) return std::nullopt;
  const double n = static_cast<double>(minima.size());
  double sum = 0.0;
  for (const year_minimum& m : minima) sum += m.minimum.in_celsius();
  const double mean = sum / n;
  double squares = 0.0;
  for (const year_minimum& m : minima) squares += (m.minimum.in_celsius() - mean) * (m.minimum.in_celsius() - mean);
  return return_minimum(celsius(mean), kelvins(std::sqrt(squares / (n - 1.0))), years);
}

namespace {

constexpr std::array<double, 12> days_of_month{31, 28.2425, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
constexpr double days_of_year = 365.2425;

/// Counts hours below a limit as they come, in the order of time.
class below_counter {
 public:
  explicit below_counter(temperature limit) : threshold_(limit.in_celsius()) { result_.longest.temperature = limit; }

  void break_run() { run_ = 0; }

  void take_day(std::span<const daily_extremes> days, std::size_t i) {
    counted_ += 24;
    const daily_extremes& day = days[i];
    // No hour lies below these: the night before rises from the last maximum where that is below today's minimum.
    double lowest = day.low;
    if (i > 0 && days[i - 1].day + 1 == day.day) lowest = std::min(lowest, days[i - 1].high);
    if (i + 1 < days.size() && days[i + 1].day == day.day + 1) lowest = std::min(lowest, days[i + 1].low);
    if (lowest >= threshold_) {
      run_ = 0;
      return;
    }
    std::array<double, 24> hours{};
    detail::expand_day(days, i, hours);
    for (int h = 0; h < 24; ++h) {
      if (!(hours[static_cast<std::size_t>(h)] < threshold_)) {
        run_ = 0;
        continue;
      }
      ++below_;
      if (run_++ == 0) {
        first_day_ = day.day;
        first_hour_ = h;
      }
      if (run_ > result_.longest.hours) {
        result_.longest.hours = run_;
        longest_ = {first_day_, first_hour_, day.day, h};
      }
    }
  }

  time_below finish(double whole_days) {
    if (counted_ > 0) result_.hours_a_year = below_ / static_cast<double>(counted_) * 24.0 * whole_days;
    if (result_.longest.hours > 0) {
      result_.longest.from = hour_text(longest_[0], longest_[1]);
      result_.longest.to = hour_text(longest_[2], longest_[3]);
    }
    return result_;
  }

 private:
  double threshold_;
  time_below result_;
  std::array<int, 4> longest_{};  // first day and hour, last day and hour
  double below_ = 0.0;
  long counted_ = 0;
  int run_ = 0;
  int first_day_ = 0;
  int first_hour_ = 0;
};

bool joined(std::span<const daily_extremes> days, std::size_t i) { return i > 0 && days[i - 1].day + 1 == days[i].day; }

}  // namespace

time_below below(const daily_series& series, temperature limit) {
  below_counter counter(limit);
  for (std::size_t i = 0; i < series.days.size(); ++i) {
    if (!joined(series.days, i)) counter.break_run();
    counter.take_day(series.days, i);
  }
  return counter.finish(days_of_year);
}

std::array<time_below, 12> below_by_month(const daily_series& series, std::span<const temperature, 12> limits) {
  std::vector<below_counter> counters(limits.begin(), limits.end());
  const auto months = detail::months_of(series);
  for (std::size_t i = 0; i < series.days.size(); ++i) {
    below_counter& counter = counters[months[i] - 1U];
    if (!joined(series.days, i) || months[i - 1] != months[i]) counter.break_run();
    counter.take_day(series.days, i);
  }
  std::array<time_below, 12> result;
  for (std::size_t m = 0; m < 12; ++m) result[m] = counters[m].finish(days_of_month[m]);
  return result;
}

}  // namespace coldgrease
