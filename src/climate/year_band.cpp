#include "coldgrease/climate/year_band.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <vector>

#include "climate/hours.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/statistics.hpp"

namespace coldgrease::inline v0 {

namespace {

struct day_values {
  std::vector<double> lows;   // [C]
  std::vector<double> highs;  // [C]
};

using pentad_days = std::array<day_values, std::tuple_size_v<year_band>>;

void add(pentad_days& by_pentad, const date& d, double low, double high) {
  day_values& own = by_pentad[pentad_of({d.month, d.day})];
  own.lows.push_back(low);
  own.highs.push_back(high);
}

void collect(const daily_series& series, pentad_days& by_pentad) {
  const auto& days = series.days;
  detail::for_each_month(
      days.size(), [&](std::size_t i) { return days[i].day; },
      [&](date day, std::size_t from, std::size_t to) {
        const int before = day_number(day) - 1;
        for (std::size_t i = from; i < to; ++i) {
          day.day = days[i].day - before;
          add(by_pentad, day, days[i].low, days[i].high);
        }
      });
}

void collect(const hourly_series& series, pentad_days& by_pentad) { collect(daily(series), by_pentad); }

void collect(const typical_year& year, pentad_days& by_pentad) {
  for (std::size_t i = 0; i < year.hours.size();) {
    const int day = detail::floor_day(year.hours[i].hour);
    double low = year.hours[i].celsius, high = low;
    for (; i < year.hours.size() && detail::floor_day(year.hours[i].hour) == day; ++i) {
      low = std::min(low, year.hours[i].celsius);
      high = std::max(high, year.hours[i].celsius);
    }
    add(by_pentad, detail::date_in(year, day), low, high);
  }
}

void collect(const design_station&, pentad_days&) {}

}  // namespace

std::optional<year_band> band_of(const weather& series, double share) {
  if (!(share >= 0.0 && share <= 0.5)) throw input_error("share", fmt::format("{:g}", share), "0 to 0.5");
  pentad_days by_pentad;
  std::visit([&](const auto& s) { collect(s, by_pentad); }, series);
  year_band band;
  const std::size_t n = band.size();
  for (std::size_t p = 0; p < n; ++p) {
    if (by_pentad[p].lows.empty()) return std::nullopt;
    std::vector<double> lows, highs;
    for (const std::size_t near : {(p + n - 1) % n, p, (p + 1) % n}) {
      lows.insert(lows.end(), by_pentad[near].lows.begin(), by_pentad[near].lows.end());
      highs.insert(highs.end(), by_pentad[near].highs.begin(), by_pentad[near].highs.end());
    }
    const double record = std::ranges::min(lows);
    band[p] = {celsius(quantile(lows, share)), celsius(quantile(highs, 1.0 - share)), celsius(record)};
  }
  return band;
}

}  // namespace coldgrease::inline v0
