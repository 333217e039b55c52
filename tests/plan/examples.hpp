// Small inputs for the tests of this stage: years of made-up weather, a system, a stock.
#pragma once

#include <cmath>
#include <numbers>
#include <vector>

#include "coldgrease/plan/pick.hpp"

namespace examples {

/// Twelve years of a cosine with its coldest day in mid January; every fifth day is colder.
inline coldgrease::daily_series weather(double mean, double amplitude, std::string station = "example") {
  std::vector<coldgrease::daily_extremes> days;
  const int first = coldgrease::day_number({2001, 1, 1}), last = coldgrease::day_number({2012, 12, 31});
  for (int day = first; day <= last; ++day) {
    const double t =
        mean - amplitude * std::cos(2.0 * std::numbers::pi * (day - first - 15) / 365.25) - (day % 5 == 0 ? 4.0 : 0.0);
    days.push_back({day, t - 4.0, t + 4.0});
  }
  return coldgrease::make_daily_series(std::move(station), std::move(days));
}

inline coldgrease::line tube(std::string point, double metres, double bore_mm = 4.0) {
  using namespace coldgrease;
  return {.point = std::move(point),
          .segments = {{.length = metre(metres), .bore = millimetre(bore_mm)}},
          .outlet = bar(15),
          .dose = cm3(0.2),
          .in = second(12)};
}

/// `carry_days` is what a fill lasts: given by the dose, the interval and the reservoir.
inline coldgrease::installation system(double available_bar = 250.0, double carry_days = 60.0) {
  using namespace coldgrease;
  installation i{.name = "system", .available = bar(available_bar), .lines = {tube("near", 2.0), tube("far", 6.0)}};
  // Each point gets what passes a 6 m line of 4 mm bore in carry_days; the reservoir lasts as long.
  const double daily = std::numbers::pi / 4.0 * 16.0 * 6.0 / carry_days;  // [cm3]
  i.hours_per_day = 10.0;
  i.days_per_week = 7.0;
  i.interval = hour(0.2 * 10.0 / daily);
  i.reservoir = cm3(2.0 * daily * carry_days);
  return i;
}

inline coldgrease::grease mineral(std::string name, std::string nlgi, double price = 3.0) {
  using namespace coldgrease;
  return estimate({.name = std::move(name),
                   .nlgi = std::move(nlgi),
                   .kv40 = mm2_per_s(150),
                   .kv100 = mm2_per_s(14.7),
                   .solids = std::vector<solid>{},
                   .price = mass_price{price, "EUR"}});
}

inline coldgrease::grease synthetic(std::string name, std::string nlgi, double price = 9.0) {
  using namespace coldgrease;
  return estimate({.name = std::move(name),
                   .nlgi = std::move(nlgi),
                   .kv40 = mm2_per_s(48),
                   .kv100 = mm2_per_s(8),
                   .pour = celsius(-54),
                   .oil = oil_type::pao,
                   .solids = std::vector<solid>{},
                   .price = mass_price{price, "EUR"}});
}

/// The one fill of a whole year; null where there is none, or several.
inline const coldgrease::fill* whole_year(const coldgrease::route_pick& r) {
  return r.decided.fills.size() == 1 ? r.decided.fills.data() : nullptr;
}

inline std::vector<coldgrease::grease> stock() {
  return {mineral("mineral 2", "2"), mineral("mineral 1", "1"), mineral("mineral 0", "0"),
          synthetic("synthetic 1", "1"), synthetic("synthetic 00", "00")};
}

}  // namespace examples
