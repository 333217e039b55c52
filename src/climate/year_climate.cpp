#include "coldgrease/climate/year_climate.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <vector>

#include "climate/hours.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/statistics.hpp"

namespace coldgrease::inline v0 {

namespace {

/// One day on record: when it was, how many hours it has, and bounds that none of them leaves [C].
struct day_on_record {
  date when;
  int hours = 0;
  double low = 0.0;   // of the day itself
  double high = 0.0;  // bound from above
  double floor = 0.0;
  std::size_t first = 0;  // of its hours in a series of hours
};

/// Gives date_of() of days that mostly follow each other.
class dates_in_order {
 public:
  const date& at(int day) {
    constexpr int shortest_month = 28;
    if (day == last_ + 1 && date_.day < shortest_month) {
      ++date_.day;
    } else {
      date_ = date_of(day);
    }
    last_ = day;
    return date_;
  }

 private:
  date date_{};
  int last_ = std::numeric_limits<int>::min();
};

std::vector<day_on_record> days_of(const daily_series& s) {
  std::vector<day_on_record> days;
  days.reserve(s.days.size());
  dates_in_order dates;
  for (std::size_t i = 0; i < s.days.size(); ++i) {
    const daily_extremes& d = s.days[i];
    // The night before rises or falls from the last maximum, the next one comes down to the next minimum.
    double floor = d.low, high = d.high;
    if (i > 0 && s.days[i - 1].day + 1 == d.day) {
      floor = std::min(floor, s.days[i - 1].high);
      high = std::max(high, s.days[i - 1].high);
    }
    if (i + 1 < s.days.size() && s.days[i + 1].day == d.day + 1) {
      floor = std::min(floor, s.days[i + 1].low);
      high = std::max(high, s.days[i + 1].low);
    }
    days.push_back({dates.at(d.day), 24, d.low, high, floor});
  }
  return days;
}

template <class DateOf>
std::vector<day_on_record> days_of_hours(std::span<const hourly_value> hours, DateOf date_of_day) {
  std::vector<day_on_record> days;
  for (std::size_t i = 0; i < hours.size();) {
    const int day = detail::floor_day(hours[i].hour);
    day_on_record d{date_of_day(day), 0, hours[i].celsius, hours[i].celsius, hours[i].celsius, i};
    for (; i < hours.size() && detail::floor_day(hours[i].hour) == day; ++i, ++d.hours) {
      d.low = d.floor = std::min(d.low, hours[i].celsius);
      d.high = std::max(d.high, hours[i].celsius);
    }
    days.push_back(d);
  }
  return days;
}

/// Days by their place in the year, so that those around a day stand side by side, and their hours with them.
class days_by_ordinal {
 public:
  std::vector<std::size_t> starts;  // [366] of the days of each place
  std::vector<double> floor, high;  // bounds of the hours of each [C]
  std::vector<std::size_t> first;   // of its hours, and the end of all

  explicit days_by_ordinal(std::span<const day_on_record> days) : starts(days_a_year + 1), index_(days.size()) {
    for (const day_on_record& d : days) ++starts[place_of(d) + 1];
    for (std::size_t o = 0; o < days_a_year; ++o) starts[o + 1] += starts[o];
    std::vector<std::size_t> next = starts;
    for (std::size_t i = 0; i < days.size(); ++i) index_[next[place_of(days[i])]++] = i;
    first.push_back(0);
    for (const std::size_t i : index_) {
      floor.push_back(days[i].floor);
      high.push_back(days[i].high);
      first.push_back(first.back() + static_cast<std::size_t>(days[i].hours));
    }
    values_ = std::make_unique_for_overwrite<double[]>(first.back());
    known_.resize(days.size());
  }

  /// Hours of the day at a place [C]. `fill(i, hours)` writes those of day i of the series, when somebody first asks.
  template <class Fill>
  std::span<const double> hours(std::size_t place, Fill fill) {
    const std::span<double> own(values_.get() + first[place], first[place + 1] - first[place]);
    if (!known_[place]) {
      fill(index_[place], own);
      known_[place] = 1;
    }
    return own;
  }

 private:
  static std::size_t place_of(const day_on_record& d) {
    const bool leap_day = d.when.month == 2 && d.when.day == 29;
    return static_cast<std::size_t>(ordinal({d.when.month, leap_day ? 28 : d.when.day}));
  }
  std::vector<std::size_t> index_;  // in the series
  std::unique_ptr<double[]> values_;
  std::vector<char> known_;
};

/// Quantiles of the hours of 31 days, one pentad after the other. Hours beyond a bound just above the last answer are
/// enough, so that days which cannot reach it are never expanded; the bound rises until they are: exact.
template <class Fill>
class window_quantiles {
 public:
  window_quantiles(std::span<const day_on_record> days, Fill fill, double share)
      : by_day_(days), fill_(fill), share_(share) {}

  judged_pentad at(std::size_t pentad) {
    constexpr int half = 15;
    const int middle = days_a_pentad * static_cast<int>(pentad) + days_a_pentad / 2;
    const int first = middle - half, end = middle + half + 1;
    // Over the end of the year the window has two parts.
    parts_.clear();
    if (first < 0) parts_.push_back(part(first + days_a_year, days_a_year));
    parts_.push_back(part(std::max(first, 0), std::min(end, days_a_year)));
    if (end > days_a_year) parts_.push_back(part(0, end - days_a_year));
    all_ = 0;
    for (const range& r : parts_) all_ += by_day_.first[r.to] - by_day_.first[r.from];
    // Hyndman & Fan type 7, from the colder or the hotter end.
    const double rank = static_cast<double>(all_ - 1) * share_;
    const double cold = cold_.find(*this, rank, by_day_.floor, 1.0), hot = -hot_.find(*this, rank, by_day_.high, -1.0);
    return {celsius(cold), celsius(hot)};
  }

 private:
  struct range {
    std::size_t from = 0, to = 0;
  };
  range part(int first, int end) const {
    return {by_day_.starts[static_cast<std::size_t>(first)], by_day_.starts[static_cast<std::size_t>(end)]};
  }

  /// One end of the hours. Their sign is turned for the hot one, so that it is always the low end.
  struct end_of_hours {
    std::optional<double> last{};
    double moved = 0.0;
    double find(window_quantiles& w, double rank, std::span<const double> bounds, double sign) {
      constexpr double least_step = 0.3;
      double bound = last ? *last : w.lowest(bounds, sign);
      for (double step = least_step + 1.5 * std::abs(moved);; step = std::max(1.0, 2.0 * step)) {
        bound += step;
        w.gather(bounds, sign, bound);
        if (w.found_ > static_cast<std::size_t>(rank) + 1 || w.found_ == w.all_) break;
      }
      const double found = w.value_of(rank);
      moved = last ? found - *last : 0.0;
      last = found;
      return found;
    }
  };

  double lowest(std::span<const double> bounds, double sign) const {
    double low = std::numeric_limits<double>::infinity();
    for (const auto& [from, to] : parts_) {
      for (std::size_t k = from; k < to; ++k) low = std::min(low, sign * bounds[k]);
    }
    return low;
  }
  /// The hours at or below a bound. Every hour is written and only those that count are kept: no branch to mispredict.
  void gather(std::span<const double> bounds, double sign, double bound) {
    std::size_t n = 0;
    for (const auto& [from, to] : parts_) {
      for (std::size_t k = from; k < to; ++k) {
        if (sign * bounds[k] > bound) continue;
        const std::span<const double> hours = by_day_.hours(k, fill_);
        if (reached_.size() < n + hours.size()) reached_.resize(2 * (n + hours.size()));
        for (const double v : hours) {
          reached_[n] = sign * v;
          n += static_cast<std::size_t>(sign * v <= bound);
        }
      }
    }
    found_ = n;
  }
  double value_of(double rank) {
    const auto low = static_cast<std::size_t>(rank);
    const auto nth = reached_.begin() + static_cast<std::ptrdiff_t>(low),
               end = reached_.begin() + static_cast<std::ptrdiff_t>(found_);
    std::nth_element(reached_.begin(), nth, end);
    if (low + 1 >= all_) return *nth;
    return *nth + (rank - static_cast<double>(low)) * (*std::min_element(nth + 1, end) - *nth);
  }

  days_by_ordinal by_day_;
  Fill fill_;
  double share_;
  std::vector<range> parts_;
  std::size_t all_ = 0;  // hours in the window
  std::vector<double> reached_;
  std::size_t found_ = 0;  // of them
  end_of_hours cold_, hot_;
};

/// The n-year minimum of each month that has enough years of itself: as for whole years, one that misses more than a
/// tenth of itself tells no minimum.
std::array<std::optional<temperature>, 12> minima_by_month(std::span<const day_on_record> days, double return_years) {
  constexpr std::size_t fewest_years = 10;
  struct month_of_year {
    int year = 0;
    int hours = 0;
    double low = 0.0;
  };
  std::array<std::vector<month_of_year>, 12> months;
  for (const day_on_record& d : days) {
    auto& own = months[static_cast<std::size_t>(d.when.month - 1)];
    if (own.empty() || own.back().year != d.when.year) own.push_back({d.when.year, 0, d.low});
    own.back().low = std::min(own.back().low, d.low);
    own.back().hours += d.hours;
  }
  std::array<std::optional<temperature>, 12> minima;
  for (std::size_t m = 0; m < months.size(); ++m) {
    std::vector<year_minimum> whole;
    for (const month_of_year& y : months[m]) {
      const int all = 24 * days_in_month(y.year, static_cast<int>(m) + 1);
      if (10 * (all - y.hours) <= all) whole.push_back({y.year, celsius(y.low)});
    }
    if (whole.size() >= fewest_years) minima[m] = coldgrease::return_minimum(whole, return_years);
  }
  return minima;
}

void need_every_month(std::span<const day_on_record> days, const std::string& station) {
  std::array<bool, 12> has{};
  for (const day_on_record& d : days) has[static_cast<std::size_t>(d.when.month - 1)] = true;
  for (std::size_t m = 0; m < has.size(); ++m) {
    if (!has[m])
      throw input_error(station, fmt::format("has no days in {}", name_of_month(static_cast<int>(m) + 1)),
                        "all twelve months");
  }
}

template <class Fill>
judged_year pentads_of(std::span<const day_on_record> days, Fill fill, double share) {
  window_quantiles<Fill> window(days, fill, share);
  judged_year year;
  for (std::size_t p = 0; p < year.size(); ++p) year[p] = window.at(p);
  return year;
}

/// Writes the hours of a day that a series of hours has.
auto hours_from(std::span<const hourly_value> series, std::span<const day_on_record> days) {
  return [series, days](std::size_t day, std::span<double> hours) {
    for (std::size_t h = 0; h < hours.size(); ++h) hours[h] = series[days[day].first + h].celsius;
  };
}

void judge(const daily_series& s, double share, double return_years, year_climate& into) {
  const auto days = days_of(s);
  need_every_month(days, s.station);
  const auto expand = [&](std::size_t day, std::span<double> hours) {
    detail::expand_day(s.days, day, hours.first<24>());
  };
  into.pentads = pentads_of(days, expand, share);
  into.return_minimum = minima_by_month(days, return_years);
  into.years = static_cast<int>(annual_minima(s).size());
}

void judge(const hourly_series& s, double share, double return_years, year_climate& into) {
  const auto days = days_of_hours(s.hours, [](int day) { return date_of(day); });
  need_every_month(days, s.station);
  into.pentads = pentads_of(days, hours_from(s.hours, days), share);
  into.return_minimum = minima_by_month(days, return_years);
  into.years = static_cast<int>(annual_minima(s).size());
}

void judge(const typical_year& s, double share, double, year_climate& into) {
  const auto days = days_of_hours(s.hours, [&](int day) { return detail::date_in(s, day); });
  need_every_month(days, s.station);
  into.pentads = pentads_of(days, hours_from(s.hours, days), share);
}

void judge(const design_station& s, double, double return_years, year_climate& into) {
  const temperature cold = design_cold(s.values).at;
  into.pentads.fill({cold, cold});
  into.return_minimum.fill(return_minimum(s.values, return_years));
}

}  // namespace

year_climate year_of(weather series, double share, double return_years) {
  if (!(share > 0.0 && share < 0.5)) throw input_error("share", fmt::format("{}", share), "above 0 and below 0.5");
  if (!(return_years > 1.0)) throw input_error("return years", fmt::format("{}", return_years), "above 1");
  year_climate year;
  std::visit([&](const auto& s) { judge(s, share, return_years, year); }, series);
  year.series = std::move(series);
  return year;
}

}  // namespace coldgrease::inline v0
