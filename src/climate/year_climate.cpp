#include "coldgrease/climate/year_climate.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "climate/hours.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/statistics.hpp"

namespace coldgrease::inline v0 {

namespace {

/// The days of a daily series as the table takes them: the lowest and highest of the hours of a day, and all of them.
class days_of_extremes {
 public:
  explicit days_of_extremes(std::span<const daily_extremes> days) : days_(days), course_(days) {}
  std::size_t size() const { return days_.size(); }
  int day(std::size_t i) const { return days_[i].day; }
  int hours(std::size_t) const { return 24; }
  double low(std::size_t i) const { return days_[i].low; }
  detail::hour_range range(std::size_t i) const { return course_.range(i); }
  void write(std::size_t i, double* out) const { course_.write(i, std::span<double, 24>(out, 24)); }

 private:
  std::span<const daily_extremes> days_;
  detail::hourly_course course_;
};

/// The same of a series of hours. @param origin  day_number of its day 0
class days_of_hours {
 public:
  explicit days_of_hours(std::span<const hourly_value> hours, int origin = 0) : hours_(hours) {
    for (std::size_t i = 0; i < hours.size();) {
      const int day = detail::floor_day(hours[i].hour);
      one& d = days_.emplace_back(one{day + origin, 0, i, hours[i].celsius, hours[i].celsius});
      for (; i < hours.size() && hours[i].hour < 24 * (day + 1); ++i, ++d.hours) {
        d.low = std::min(d.low, hours[i].celsius);
        d.high = std::max(d.high, hours[i].celsius);
      }
    }
  }
  std::size_t size() const { return days_.size(); }
  int day(std::size_t i) const { return days_[i].day; }
  int hours(std::size_t i) const { return days_[i].hours; }
  double low(std::size_t i) const { return days_[i].low; }
  detail::hour_range range(std::size_t i) const { return {days_[i].low, days_[i].high}; }
  void write(std::size_t i, double* out) const {
    for (int h = 0; h < days_[i].hours; ++h) out[h] = hours_[days_[i].first + static_cast<std::size_t>(h)].celsius;
  }

 private:
  struct one {
    int day = 0;
    int hours = 0;
    std::size_t first = 0;
    double low = 0.0, high = 0.0;
  };
  std::span<const hourly_value> hours_;
  std::vector<one> days_;
};

/// A month of one year that has days on record, those from `from` to before `to`.
struct month_on_record {
  date first{};
  std::size_t from = 0, to = 0;
};

template <class Days>
std::vector<month_on_record> months_of(const Days& days) {
  std::vector<month_on_record> months;
  detail::for_each_month(
      days.size(), [&](std::size_t i) { return days.day(i); },
      [&](const date& first, std::size_t from, std::size_t to) {
        months.push_back({first, from, to});
      });
  return months;
}

/// Days on each side of a pentad's middle that are judged with it.
constexpr int half_window = 15;

/// Days by their place in the year, so that those around a day stand side by side.
struct days_by_place {
  std::vector<std::size_t> starts = std::vector<std::size_t>(days_a_year + 1);  // of the days of each place
  std::vector<std::size_t> hours = std::vector<std::size_t>(days_a_year + 1);   // on days of places before each
  struct one {
    std::size_t index = 0;  // in the series
    detail::hour_range range{};
  };
  std::vector<one> days;

  template <class Days>
  days_by_place(const Days& series, std::span<const month_on_record> months) : days(series.size()) {
    const auto for_each_place = [&](auto take) {
      for (const month_on_record& m : months) {
        const int before = day_number(m.first) - 1;
        for (std::size_t i = m.from; i < m.to; ++i) take(detail::place_of(m.first.month, series.day(i) - before), i);
      }
    };
    for_each_place([&](std::size_t place, std::size_t i) {
      ++starts[place + 1];
      hours[place + 1] += static_cast<std::size_t>(series.hours(i));
    });
    for (std::size_t place = 0; place < days_a_year; ++place) {
      starts[place + 1] += starts[place];
      hours[place + 1] += hours[place];
    }
    std::vector<std::size_t> next = starts;
    for_each_place([&](std::size_t place, std::size_t i) { days[next[place]++] = {i, series.range(i)}; });
  }

  std::size_t hours_around(int middle) const {
    std::size_t all = 0;
    for (int place = middle - half_window; place <= middle + half_window; ++place) {
      const auto on = static_cast<std::size_t>(around_year(place));
      all += hours[on + 1] - hours[on];
    }
    return all;
  }
};

/// Which end of the hours is asked for; the hot one is the low end of hours whose sign is turned.
enum class end_of_hours { cold, hot };
/// The hour of a day that lies farthest towards an end.
auto bound_at(end_of_hours end) {
  return end == end_of_hours::cold ? &detail::hour_range::lowest : &detail::hour_range::highest;
}

/// The quantile at one end of the hours in a window that walks through the year towards more of that end: the colder
/// days, or the hotter ones. Of each day that comes into the window the hours up to a cap are kept while it is there;
/// the cap lies beyond the quantile, so that no other hour counts, and a day that stays beyond the cap is never
/// expanded: exact. The cap follows the quantile; where it was too low, the window is filled anew.
template <class Days>
class walking_quantile {
 public:
  walking_quantile(const Days& days, const days_by_place& by_place, end_of_hours end, int side)
      : days_(days),
        by_place_(by_place),
        bound_(bound_at(end)),
        sign_(end == end_of_hours::cold ? 1.0 : -1.0),
        side_(side) {}

  /// @param middle  of the window, a place of the walk  @param all  hours in it  @param rank  among them, from 0
  double at(int middle, std::size_t all, double rank) {
    const int first = middle - half_window, end = middle + half_window + 1;
    const auto low = static_cast<std::size_t>(rank);
    const std::size_t needed = std::min(low + 2, all);
    if (last_) {
      cap_ = std::min(cap_, expected() + doubt);
      while (next_ < end) enter(next_++);
      sift(first);
    } else {
      fill(first, end, first_cap(first, end, needed));
    }
    for (double step = doubt; below_ + near_.size() < needed; step *= 2.0) fill(first, end, cap_ + step);
    if (low < below_) list_all();
    // Hyndman & Fan type 7.
    const auto [own, next] = ranked(low - below_);
    const double found = own + (rank - static_cast<double>(low)) * (next - own);
    moved_ = last_ ? found - *last_ : 0.0;
    last_ = found;
    return sign_ * found;
  }

 private:
  std::size_t& kept_of(int place) { return kept_of_[static_cast<std::size_t>(around_year(place))]; }

  /// The next answer, by the last two, and how far from it that may lie: guesses that save work [K].
  double expected() const { return *last_ + 0.75 * moved_; }
  static constexpr double doubt = 0.4;

  template <class Take>
  void for_each_day(int place, Take take) const {
    const auto on = static_cast<std::size_t>(around_year(side_ * place));
    for (std::size_t k = by_place_.starts[on]; k < by_place_.starts[on + 1]; ++k) take(by_place_.days[k]);
  }

  /// A day that is reached at all has some hours below the cap.
  double first_cap(int first, int end, std::size_t needed) {
    constexpr std::size_t hours_a_day = 4;
    near_.clear();
    for (int place = first; place < end; ++place)
      for_each_day(place, [&](const days_by_place::one& d) { near_.push_back(sign_ * d.range.*bound_); });
    const auto nth = near_.begin() + static_cast<std::ptrdiff_t>(std::min(needed / hours_a_day, near_.size() - 1));
    std::nth_element(near_.begin(), nth, near_.end());
    return *nth;
  }

  void fill(int first, int end, double cap) {
    cap_ = cap;
    many_ = 0;
    first_ = first;
    for (next_ = first; next_ < end;) enter(next_++);
    sift(first);
  }

  /// Every hour is written and only what counts is kept: no branch to mispredict. Members stand in locals where doubles
  /// are written, which might be they for all that the compiler knows.
  void enter(int place) {
    const std::size_t before = many_;
    for_each_day(place, [&](const days_by_place::one& d) {
      if (sign_ * d.range.*bound_ > cap_) return;
      const auto count = static_cast<std::size_t>(days_.hours(d.index));
      if (hours_.size() < count) hours_.resize(count);
      days_.write(d.index, hours_.data());
      if (kept_.size() < many_ + count) kept_.resize(2 * (many_ + count));
      const double sign = sign_, cap = cap_;
      const double* const hours = hours_.data();
      double* const kept = kept_.data();
      std::size_t many = many_;
      for (std::size_t h = 0; h < count; ++h) {
        const double value = sign * hours[h];
        kept[many] = value;
        many += static_cast<std::size_t>(value <= cap);
      }
      many_ = many;
    });
    kept_of(place) = many_ - before;
  }

  /// Leaves out what the window has left and what lies beyond the cap; of the rest, counts what lies well below what is
  /// expected and lists the others: further below than the cap lies above, as most answers lie below.
  void sift(int first) {
    const double cap = cap_, from = last_ ? expected() - 1.5 * doubt : -std::numeric_limits<double>::infinity();
    near_.resize(many_);
    double* const kept = kept_.data();
    double* const listed = near_.data();
    std::size_t read = 0, n = 0, near = 0;
    for (; first_ < first; ++first_) read += kept_of(first_);
    for (int place = first; place < next_; ++place) {
      const std::size_t before = n;
      for (const std::size_t end = read + kept_of(place); read < end; ++read) {
        const double value = kept[read];
        kept[n] = value;
        n += static_cast<std::size_t>(value <= cap);
        listed[near] = value;
        near += static_cast<std::size_t>((value <= cap) & (value >= from));
      }
      kept_of(place) = n - before;
    }
    many_ = n;
    near_.resize(near);
    below_ = n - near;
  }

  /// The listed value of a rank, and the one after it or itself. Each round parts the values at one of them: all are
  /// written to both sides and one side is kept.
  std::pair<double, double> ranked(std::size_t rank) {
    constexpr std::size_t few = 12;
    double after = std::numeric_limits<double>::infinity();  // the least of the values beyond those listed
    while (near_.size() > few) {
      const double a = near_.front(), b = near_[near_.size() / 2], c = near_.back();
      const double pivot = std::max(std::min(a, b), std::min(std::max(a, b), c));
      above_.resize(near_.size());
      std::size_t up_to = 0;
      for (std::size_t k = 0; k < near_.size(); ++k) {
        const double v = near_[k];
        near_[up_to] = v;
        above_[k - up_to] = v;
        up_to += static_cast<std::size_t>(v <= pivot);
      }
      const std::size_t above = near_.size() - up_to;
      if (above == 0) break;  // many equal values
      if (rank < up_to) {
        above_.resize(above);
        near_.resize(up_to);
        after = std::min(after, *std::ranges::min_element(above_));
      } else {
        above_.resize(above);
        near_.swap(above_);
        rank -= up_to;
      }
    }
    const auto nth = near_.begin() + static_cast<std::ptrdiff_t>(rank);
    std::nth_element(near_.begin(), nth, near_.end());
    const double next = nth + 1 < near_.end() ? *std::min_element(nth + 1, near_.end()) : after;
    return {*nth, std::isfinite(next) ? next : *nth};
  }

  void list_all() {
    near_.assign(kept_.begin(), kept_.begin() + static_cast<std::ptrdiff_t>(many_));
    below_ = 0;
  }

  const Days& days_;
  const days_by_place& by_place_;
  double detail::hour_range::*bound_;
  double sign_;
  int side_;
  std::optional<double> last_{};  // answer
  double moved_ = 0.0;            // from the one before it
  double cap_ = 0.0;
  int first_ = 0, next_ = 0;                        // places in the window: from, and to enter
  std::vector<double> kept_;                        // hours in the window, up to the cap, place by place
  std::size_t many_ = 0;                            // of them
  std::array<std::size_t, days_a_year> kept_of_{};  // of them, of each place
  std::size_t below_ = 0;                           // of them, not listed by the last sifting
  std::vector<double> near_;                        // the others
  std::vector<double> above_;
  std::vector<double> hours_;  // of one day
};

/// The pentads' quantiles at one end, on two walks from the other end of the year: half a year from its farthest hour.
template <class Days>
void judge_end(const Days& days, const days_by_place& by_place, double share, end_of_hours end, judged_year& year) {
  constexpr std::size_t half_a_year = pentads_a_year / 2;
  const bool cold = end == end_of_hours::cold;
  const auto bound = [&](const days_by_place::one& d) { return d.range.*bound_at(end); };
  const auto& all_days = by_place.days;
  const auto farthest =
      (cold ? std::ranges::min_element(all_days, {}, bound) : std::ranges::max_element(all_days, {}, bound)) -
      all_days.begin();
  const auto place =
      std::ranges::upper_bound(by_place.starts, static_cast<std::size_t>(farthest)) - by_place.starts.begin() - 1;
  const std::size_t start = static_cast<std::size_t>(place / days_a_pentad) + half_a_year;
  for (const int side : {1, -1}) {
    walking_quantile walk(days, by_place, end, side);
    for (int step = 0; step <= static_cast<int>(half_a_year); ++step) {
      const int middle = middle_of_pentad(start) + side * days_a_pentad * step;
      const auto pentad = static_cast<std::size_t>(around_year(middle) / days_a_pentad);
      const std::size_t all = by_place.hours_around(middle);
      // From the colder or the hotter end.
      const temperature found = celsius(walk.at(side * middle, all, static_cast<double>(all - 1) * share));
      (cold ? year[pentad].cold : year[pentad].hot) = found;
    }
  }
}

/// The n-year minimum of each month that has enough years of itself: as for whole years, one that misses more than a
/// tenth of itself tells no minimum.
template <class Days>
std::array<std::optional<temperature>, 12> minima_by_month(const Days& days, std::span<const month_on_record> months,
                                                           double return_years) {
  constexpr std::size_t fewest_years = 10;
  std::array<std::vector<year_minimum>, 12> whole;
  for (const month_on_record& m : months) {
    int hours = 0;
    double low = days.low(m.from);
    for (std::size_t i = m.from; i < m.to; ++i) {
      hours += days.hours(i);
      low = std::min(low, days.low(i));
    }
    const int all = 24 * days_in_month(m.first.year, m.first.month);
    if (10 * (all - hours) <= all)
      whole[static_cast<std::size_t>(m.first.month - 1)].push_back({m.first.year, celsius(low)});
  }
  std::array<std::optional<temperature>, 12> minima;
  for (std::size_t m = 0; m < whole.size(); ++m) {
    if (whole[m].size() >= fewest_years) minima[m] = coldgrease::return_minimum(whole[m], return_years);
  }
  return minima;
}

void need_every_month(std::span<const month_on_record> months, const std::string& station) {
  std::array<bool, 12> has{};
  for (const month_on_record& m : months) has[static_cast<std::size_t>(m.first.month - 1)] = true;
  for (std::size_t m = 0; m < has.size(); ++m) {
    if (!has[m])
      throw input_error(station, fmt::format("has no days in {}", name_of_month(static_cast<int>(m) + 1)),
                        "all twelve months");
  }
}

void need_every_window(const days_by_place& by_place, const std::string& station) {
  for (std::size_t p = 0; p < pentads_a_year; ++p) {
    if (by_place.hours_around(middle_of_pentad(p)) > 0) continue;
    const day_of_year middle = day_at(middle_of_pentad(p));
    throw input_error(
        station,
        fmt::format("has no days within {} days of {} {}", half_window, middle.day, name_of_month(middle.month)),
        "days all through the year");
  }
}

/// What days of a station say. @return its months on record
template <class Days>
std::vector<month_on_record> judge(const Days& days, const std::string& station, double share, year_climate& into) {
  std::vector<month_on_record> months = months_of(days);
  need_every_month(months, station);
  const days_by_place by_place(days, months);
  need_every_window(by_place, station);
  judge_end(days, by_place, share, end_of_hours::cold, into.pentads);
  judge_end(days, by_place, share, end_of_hours::hot, into.pentads);
  return months;
}

template <class Days, class Series>
void judge_years(const Days& days, const Series& s, double share, double return_years, year_climate& into) {
  into.return_minimum = minima_by_month(days, judge(days, s.station, share, into), return_years);
  into.years = static_cast<int>(annual_minima(s).size());
}

void judge(const daily_series& s, double share, double return_years, year_climate& into) {
  judge_years(days_of_extremes(s.days), s, share, return_years, into);
}

void judge(const hourly_series& s, double share, double return_years, year_climate& into) {
  judge_years(days_of_hours(s.hours), s, share, return_years, into);
}

void judge(const typical_year& s, double share, double, year_climate& into) {
  judge(days_of_hours(s.hours, detail::first_day_of(s)), s.station, share, into);
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
