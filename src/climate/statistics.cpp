#include "coldgrease/climate/statistics.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <limits>
#include <numbers>
#include <utility>

#include "climate/duplicates.hpp"
#include "climate/hours.hpp"
#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0 {

namespace detail {

std::string words_of(const daily_extremes& d) { return fmt::format("{:g} to {:g} C", d.low, d.high); }
std::string words_of(double celsius) { return fmt::format("{:g} C", celsius); }

namespace {

/// Weight of the end value in a half-cosine from hour `from` to hour `to`.
std::array<double, 24> make_end_weights() {
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

const std::array<double, 24>& end_weights() {
  static const std::array<double, 24> weights = make_end_weights();
  return weights;
}

std::vector<std::uint8_t> months_of(const daily_series& series) {
  std::vector<std::uint8_t> months;
  months.reserve(series.days.size());
  for_each_month(
      series.days.size(), [&](std::size_t i) { return series.days[i].day; },
      [&](const date& first, std::size_t, std::size_t to) {
        months.resize(to, static_cast<std::uint8_t>(first.month));
      });
  return months;
}

namespace {

/// Months of hours; `date_of_day` gives the date of a day.
template <class DateOf>
std::vector<std::uint8_t> months_of_hours(std::span<const hourly_value> hours, DateOf date_of_day) {
  std::vector<std::uint8_t> months;
  months.reserve(hours.size());
  int day = std::numeric_limits<int>::min();
  std::uint8_t month = 0;
  for (const hourly_value& v : hours) {
    if (const int d = floor_day(v.hour); d != day) {
      day = d;
      month = static_cast<std::uint8_t>(date_of_day(d).month);
    }
    months.push_back(month);
  }
  return months;
}

}  // namespace

std::vector<std::uint8_t> months_of(const hourly_series& series) { return months_of_hours(series.hours, date_of); }

std::vector<std::uint8_t> months_of(const typical_year& year) {
  return months_of_hours(year.hours, [&](int day) { return date_in(year, day); });
}

int first_day_of(const typical_year& year) { return day_number({year.days == 366 ? 2000 : 2001, 1, 1}); }

date date_in(const typical_year& year, int day) { return date_of(first_day_of(year) + day); }

}  // namespace detail

namespace {

/// "2015-01-26T03".
std::string hour_text(int hour) {
  return fmt::format("{}T{:02}", text_of(date_of(detail::floor_day(hour))), detail::hour_of_day(hour));
}

/// The values by time, each time once; what was out of order or stood twice is told in `origin`.
template <class Value, class NameOf>
std::vector<Value> in_order(std::vector<Value> values, series_origin& origin, int Value::*time, std::string_view unit,
                            duplicate_rule rule, NameOf name_of) {
  // Nearly every file is in order, with each time once.
  const auto no_later = [&](const Value& a, const Value& b) { return !(a.*time < b.*time); };
  if (std::ranges::adjacent_find(values, no_later) == values.end()) return values;
  int behind = 0;  // rows that stand behind a later one
  int latest = std::numeric_limits<int>::min();
  for (const Value& v : values) {
    behind += v.*time < latest;
    latest = std::max(latest, v.*time);
  }
  if (behind > 0) {
    std::ranges::stable_sort(values, {}, time);
    origin.notes.push_back(
        fmt::format("{} row{} not in the order of time: sorted", behind, behind == 1 ? " was" : "s were"));
  }
  if (const auto twice = detail::take_once(values, time, rule, name_of); twice.count > 0)
    origin.dropped.push_back({fmt::format("{} stands twice, first {}", unit, twice.first), twice.count});
  return values;
}

}  // namespace

daily_series make_daily_series(std::string station, std::vector<daily_extremes> days, duplicate_rule twice) {
  for (const daily_extremes& d : days) {
    if (!std::isfinite(d.low) || !std::isfinite(d.high) || d.low > d.high)
      throw input_error(text_of(date_of(d.day)), fmt::format("minimum {} C, maximum {} C", d.low, d.high),
                        "finite values, minimum first");
  }
  daily_series series;
  series.station = std::move(station);
  series.days = in_order(std::move(days), series, &daily_extremes::day, "day", twice,
                         [](const daily_extremes& d) { return text_of(date_of(d.day)); });
  return series;
}

hourly_series make_hourly_series(std::string station, std::vector<hourly_value> hours, duplicate_rule twice) {
  for (const hourly_value& v : hours) {
    if (!std::isfinite(v.celsius))
      throw input_error(hour_text(v.hour), fmt::format("{} C", v.celsius), "a finite value");
  }
  hourly_series series;
  series.station = std::move(station);
  series.hours = in_order(std::move(hours), series, &hourly_value::hour, "hour", twice,
                          [](const hourly_value& v) { return hour_text(v.hour); });
  return series;
}

daily_series daily(const hourly_series& series) {
  constexpr int fewest_hours = 20;
  daily_series result;
  static_cast<series_origin&>(result) = series;
  int left_out = 0;
  for (std::size_t i = 0; i < series.hours.size();) {
    const int day = detail::floor_day(series.hours[i].hour);
    daily_extremes d{day, series.hours[i].celsius, series.hours[i].celsius};
    int count = 0;
    for (; i < series.hours.size() && detail::floor_day(series.hours[i].hour) == day; ++i, ++count) {
      d.low = std::min(d.low, series.hours[i].celsius);
      d.high = std::max(d.high, series.hours[i].celsius);
    }
    if (count >= fewest_hours) {
      result.days.push_back(d);
    } else {
      ++left_out;
    }
  }
  if (left_out > 0)
    result.notes.push_back(
        fmt::format("days with fewer than {} of their hours, left out of daily minima: {}", fewest_hours, left_out));
  return result;
}

hourly_series hourly(const daily_series& series) {
  hourly_series result;
  static_cast<series_origin&>(result) = series;
  result.hours.reserve(series.days.size() * 24);
  const detail::hourly_course course(series.days);
  std::array<double, 24> hours{};
  for (std::size_t i = 0; i < series.days.size(); ++i) {
    course.write(i, hours);
    for (int h = 0; h < 24; ++h)
      result.hours.push_back({series.days[i].day * 24 + h, hours[static_cast<std::size_t>(h)]});
  }
  return result;
}

namespace {

/// The part of `values`, reordered, that holds those of rank `low` and the next one, and how many stand before it. Two
/// bounds from a sample leave a few per cent, so that one pass of easy comparisons does what nth_element needs several
/// hard ones for; where the sample misleads it is the whole.
/// Source of the idea: Floyd & Rivest 1975, Commun. ACM 18(3) 165.
std::pair<std::span<double>, std::size_t> part_with(std::span<double> values, std::size_t low, double share) {
  constexpr std::size_t sampled = 256;
  if (values.size() < 8 * sampled) return {values, 0};
  std::array<double, sampled> sample;
  const std::size_t stride = (values.size() / sampled - 1) | 1U;  // odd, not to meet the same hour of every day
  for (std::size_t i = 0; i < sampled; ++i) sample[i] = values[i * stride];
  const auto bound = [&](double rank) {
    const auto nth = sample.begin() + static_cast<std::ptrdiff_t>(rank);
    std::nth_element(sample.begin(), nth, sample.end());
    return *nth;
  };
  const double rank = sampled * share, doubt = 3.0 * std::sqrt(sampled * share * (1.0 - share)) + 1.0;
  auto from = values.begin(), to = values.end();
  if (rank - doubt > 0.0) from = std::partition(from, to, [b = bound(rank - doubt)](double v) { return v < b; });
  if (rank + doubt < sampled) to = std::partition(from, to, [b = bound(rank + doubt)](double v) { return v <= b; });
  const auto before = static_cast<std::size_t>(from - values.begin()),
             end = static_cast<std::size_t>(to - values.begin());
  const bool holds = before <= low && std::min(low + 1, values.size() - 1) < end;
  return holds ? std::pair(std::span(from, to), before) : std::pair(values, std::size_t{0});
}

}  // namespace

double quantile(std::span<double> values, double share) {
  const double h = static_cast<double>(values.size() - 1) * share;
  const auto low = static_cast<std::size_t>(h);
  const auto between = [&](double below, double above) {
    return below + (h - static_cast<double>(low)) * (above - below);
  };
  // Near an end the few values that lie there are kept in order, and nearly every other is told from them at once.
  constexpr std::size_t few = 16;
  const std::size_t from_low = values.size() - low;
  const auto parted = [&](std::size_t many) { return values.begin() + static_cast<std::ptrdiff_t>(many); };
  if (from_low >= 2 && low + 2 <= few) {
    std::ranges::partial_sort(values, parted(low + 2));
    return between(values[low], values[low + 1]);
  }
  if (from_low >= 2 && from_low <= few) {
    std::ranges::partial_sort(values, parted(from_low), std::ranges::greater{});
    return between(values[from_low - 1], values[from_low - 2]);
  }
  const auto [part, before] = part_with(values, low, share);
  const auto nth = part.begin() + static_cast<std::ptrdiff_t>(low - before);
  std::nth_element(part.begin(), nth, part.end());
  if (from_low < 2) return *nth;
  return between(*nth, *std::min_element(nth + 1, part.end()));
}

std::vector<double> hours_of(const daily_series& series) {
  const detail::hourly_course course(series.days);
  std::vector<double> hours(series.days.size() * 24);
  for (std::size_t i = 0; i < series.days.size(); ++i)
    course.write(i, std::span<double, 24>(hours.data() + i * 24, 24));
  return hours;
}

namespace {

struct year_account {
  int year = 0;
  double minimum = 0.0;
  int winter_days = 0;  // of December to February, in the south of June to August
};

bool is_southern(const series_origin& origin) { return origin.latitude.value_or(0.0) < 0.0; }
bool in_winter(int month, bool south) { return south ? month >= 6 && month <= 8 : month <= 2 || month == 12; }

std::vector<year_account> accounts(const daily_series& series) {
  std::vector<year_account> years;
  const auto& days = series.days;
  detail::for_each_month(
      days.size(), [&](std::size_t i) { return days[i].day; },
      [&](const date& first, std::size_t from, std::size_t to) {
        if (years.empty() || years.back().year != first.year) years.push_back({first.year, days[from].low, 0});
        for (std::size_t i = from; i < to; ++i) years.back().minimum = std::min(years.back().minimum, days[i].low);
        if (in_winter(first.month, is_southern(series))) years.back().winter_days += static_cast<int>(to - from);
      });
  return years;
}

bool complete(const year_account& y, bool south) {
  const int winter = south ? 30 + 31 + 31 : 31 + days_in_month(y.year, 2) + 31;
  return 10 * (winter - y.winter_days) <= winter;
}

}  // namespace

std::vector<year_minimum> annual_minima(const daily_series& series) {
  std::vector<year_minimum> minima;
  for (const year_account& y : accounts(series)) {
    if (complete(y, is_southern(series))) minima.push_back({y.year, celsius(y.minimum)});
  }
  return minima;
}

std::vector<year_minimum> annual_minima(const hourly_series& series) { return annual_minima(daily(series)); }

int years_left_out(const daily_series& series) {
  const auto years = accounts(series);
  return static_cast<int>(
      std::ranges::count_if(years, [&](const year_account& y) { return !complete(y, is_southern(series)); }));
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
  /// From the next hour on.
  void set_limit(double celsius) { threshold_ = celsius; }

  void take_hour(int hour, double celsius) {
    ++counted_;
    if (!(celsius < threshold_)) {
      run_ = 0;
      return;
    }
    ++below_;
    if (run_++ == 0) first_ = hour;
    if (run_ > result_.longest.hours) {
      result_.longest.hours = run_;
      longest_first_ = first_;
    }
  }

  /// @param day  its day_number  @param i  where it stands in the course
  void take_day(int day, const detail::hourly_course& course, std::size_t i) {
    if (course.range(i).lowest >= threshold_) {
      counted_ += 24;
      run_ = 0;
      return;
    }
    std::array<double, 24> hours{};
    course.write(i, hours);
    for (int h = 0; h < 24; ++h) take_hour(day * 24 + h, hours[static_cast<std::size_t>(h)]);
  }

  /// `name_of` writes an hour.
  template <class NameOf>
  time_below finish(double whole_days, NameOf name_of) {
    if (counted_ > 0) result_.hours_a_year = below_ / static_cast<double>(counted_) * 24.0 * whole_days;
    if (result_.longest.hours > 0) {
      result_.longest.from = name_of(longest_first_);
      result_.longest.to = name_of(longest_first_ + result_.longest.hours - 1);
    }
    return result_;
  }

 private:
  double threshold_;
  time_below result_;
  double below_ = 0.0;
  long counted_ = 0;
  int run_ = 0;
  int first_ = 0;
  int longest_first_ = 0;
};

bool joined(std::span<const daily_extremes> days, std::size_t i) { return i > 0 && days[i - 1].day + 1 == days[i].day; }
bool joined(std::span<const hourly_value> hours, std::size_t i) {
  return i > 0 && hours[i - 1].hour + 1 == hours[i].hour;
}

/// "01-26T03".
auto hour_in(const typical_year& year) {
  return [&year](int hour) {
    const date d = detail::date_in(year, detail::floor_day(hour));
    return fmt::format("{:02}-{:02}T{:02}", d.month, d.day, detail::hour_of_day(hour));
  };
}

below_counter count_hours(std::span<const hourly_value> hours, temperature limit) {
  below_counter counter(limit);
  for (std::size_t i = 0; i < hours.size(); ++i) {
    if (!joined(hours, i)) counter.break_run();
    counter.take_hour(hours[i].hour, hours[i].celsius);
  }
  return counter;
}

/// Twelve counters that go from month to month, each at the limit of its day.
class month_counters {
 public:
  explicit month_counters(const daily_limits& limits) : limits_(limits), months_(12, below_counter(kelvin(0.0))) {}
  /// The counter of a day of a month. @param joined  with the one before it
  below_counter& on(int month, int day, bool joined) {
    below_counter& own = months_[static_cast<std::size_t>(month - 1)];
    if (!joined || month != last_) own.break_run();
    last_ = month;
    own.set_limit(limits_[detail::place_of(month, day)]);
    return own;
  }
  std::vector<below_counter>& all() { return months_; }

 private:
  const daily_limits& limits_;
  std::vector<below_counter> months_;
  int last_ = 0;
};

template <class DateOf>
month_counters count_hours_by_month(std::span<const hourly_value> hours, const daily_limits& limits,
                                    DateOf date_of_day) {
  month_counters counters(limits);
  below_counter* counter = nullptr;
  int day = std::numeric_limits<int>::min();
  for (std::size_t i = 0; i < hours.size(); ++i) {
    const bool follows = joined(hours, i);
    if (const int d = detail::floor_day(hours[i].hour); d != day) {
      day = d;
      const date on = date_of_day(d);
      counter = &counters.on(on.month, on.day, follows);
    } else if (!follows) {
      counter->break_run();
    }
    counter->take_hour(hours[i].hour, hours[i].celsius);
  }
  return counters;
}

template <class NameOf>
std::array<time_below, 12> finish_months(std::vector<below_counter>& counters, NameOf name_of) {
  std::array<time_below, 12> result;
  for (std::size_t m = 0; m < 12; ++m) result[m] = counters[m].finish(days_of_month[m], name_of);
  return result;
}

}  // namespace

time_below below(const daily_series& series, temperature limit) {
  below_counter counter(limit);
  const detail::hourly_course course(series.days);
  for (std::size_t i = 0; i < series.days.size(); ++i) {
    if (!joined(series.days, i)) counter.break_run();
    counter.take_day(series.days[i].day, course, i);
  }
  return counter.finish(days_of_year, hour_text);
}

time_below below(const hourly_series& series, temperature limit) {
  return count_hours(series.hours, limit).finish(days_of_year, hour_text);
}

time_below below(const typical_year& year, temperature limit) {
  return count_hours(year.hours, limit).finish(year.days, hour_in(year));
}

std::array<time_below, 12> below_by_month(const daily_series& series, const daily_limits& limits) {
  month_counters counters(limits);
  const auto& days = series.days;
  const detail::hourly_course course(days);
  detail::for_each_month(
      days.size(), [&](std::size_t i) { return days[i].day; },
      [&](const date& first, std::size_t from, std::size_t to) {
        const int before = day_number(first) - 1;
        for (std::size_t i = from; i < to; ++i)
          counters.on(first.month, days[i].day - before, joined(days, i)).take_day(days[i].day, course, i);
      });
  return finish_months(counters.all(), hour_text);
}

std::array<time_below, 12> below_by_month(const hourly_series& series, const daily_limits& limits) {
  auto counters = count_hours_by_month(series.hours, limits, [](int day) { return date_of(day); });
  return finish_months(counters.all(), hour_text);
}

std::array<time_below, 12> below_by_month(const typical_year& year, const daily_limits& limits) {
  auto counters = count_hours_by_month(year.hours, limits, [&](int day) { return detail::date_in(year, day); });
  return finish_months(counters.all(), hour_in(year));
}

std::optional<std::array<time_below, 12>> below_by_month(const weather& w, const daily_limits& limits) {
  return std::visit(
      [&](const auto& series) -> std::optional<std::array<time_below, 12>> {
        if constexpr (std::is_same_v<std::decay_t<decltype(series)>, design_station>)
          return std::nullopt;
        else
          return below_by_month(series, limits);
      },
      w);
}

}  // namespace coldgrease::inline v0
