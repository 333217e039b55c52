// Laws: what the pentads of a year are judged at, against the expansion of every hour.
#include "coldgrease/climate/year_climate.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/design_values.hpp"
#include "coldgrease/climate/statistics.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

/// Some years with noise and gaps.
daily_series noisy(unsigned seed, int first_year, int last_year, double gaps) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0.0, 5.0);
  std::uniform_real_distribution<double> missing;
  std::vector<daily_extremes> days;
  for (int day = day_number({first_year, 1, 1}); day <= day_number({last_year, 12, 31}); ++day) {
    const double t = 4.0 - 16.0 * std::cos(2.0 * std::numbers::pi * (day % 365 - 20) / 365.25) + noise(random);
    if (missing(random) >= gaps) days.push_back({day, t - 4.0, t + 4.0 + std::abs(noise(random))});
  }
  return make_daily_series("noisy", std::move(days));
}

/// The 31 days around the middle of a pentad, all years, 29 February as the 28th: every hour, then the quantile.
judged_pentad plainly(const daily_series& s, std::size_t pentad, double share) {
  const std::vector<double> hours = hours_of(s);
  std::vector<double> own;
  const int middle = 5 * static_cast<int>(pentad) + 2;
  for (std::size_t i = 0; i < hours.size(); ++i) {
    const date d = date_of(s.days[i / 24].day);
    const int day = ordinal({d.month, d.month == 2 ? std::min(d.day, 28) : d.day});
    const int apart = around_year(day - middle);
    if (apart <= 15 || apart >= days_a_year - 15) own.push_back(hours[i]);
  }
  const double cold = quantile(own, share);
  return {celsius(cold), celsius(quantile(own, 1.0 - share))};
}

}  // namespace

TEST_CASE("law: a pentad is judged at the share of all hours of its 31 days, days that cannot reach it left out") {
  for (const double gaps : {0.0, 0.05}) {
    for (const double share : {0.01, 0.001, 0.1}) {
      const daily_series s = noisy(3, 2001, 2006, gaps);
      const year_climate year = year_of(s, share);
      for (std::size_t p = 0; p < pentads_a_year; ++p) {
        const judged_pentad expected = plainly(s, p, share);
        CHECK(near(year.pentads[p].cold.in_celsius(), expected.cold.in_celsius(), 0.0, 1e-9));
        CHECK(near(year.pentads[p].hot.in_celsius(), expected.hot.in_celsius(), 0.0, 1e-9));
      }
    }
  }
}

TEST_CASE("law: a daily series is judged as its hours are, and a typical year as its own") {
  const daily_series s = noisy(4, 2001, 2003, 0.0);
  const year_climate by_day = year_of(s), by_hour = year_of(hourly(s));
  for (std::size_t p = 0; p < pentads_a_year; ++p) {
    CHECK(near(by_day.pentads[p].cold.in_celsius(), by_hour.pentads[p].cold.in_celsius(), 0.0, 1e-9));
    CHECK(near(by_day.pentads[p].hot.in_celsius(), by_hour.pentads[p].hot.in_celsius(), 0.0, 1e-9));
  }
  typical_year flat;
  flat.station = "flat";
  for (int hour = 0; hour < 365 * 24; ++hour) flat.hours.push_back({hour, hour < 31 * 24 ? -20.0 : 5.0});
  const year_climate y = year_of(flat);
  CHECK(!y.years);
  // Days up to 15 days away are judged by January.
  CHECK(y.pentads[pentad_of({2, 12})].cold == celsius(-20.0));
  CHECK(y.pentads[pentad_of({3, 1})].cold == celsius(5.0));
}

TEST_CASE("law: a smaller share is colder and hotter, a longer return period a colder minimum") {
  const daily_series s = noisy(5, 2001, 2012, 0.01);
  const year_climate usual = year_of(s), rarer = year_of(s, 0.001, 50.0);
  for (std::size_t p = 0; p < pentads_a_year; ++p) {
    CHECK(rarer.pentads[p].cold < usual.pentads[p].cold);
    CHECK(rarer.pentads[p].hot > usual.pentads[p].hot);
  }
  for (std::size_t m = 0; m < 12; ++m) {
    REQUIRE(usual.return_minimum[m]);
    CHECK(*rarer.return_minimum[m] < *usual.return_minimum[m]);
  }
  for (const auto& minimum : year_of(noisy(5, 2001, 2009, 0.0)).return_minimum) CHECK(!minimum);
}

TEST_CASE("case: a month without a day and shares that are none are refused") {
  daily_series s = noisy(33, 2001, 2001, 0.0);
  CHECK_THROWS_AS(year_of(s, 0.0), input_error);
  CHECK_THROWS_AS(year_of(s, 0.5), input_error);
  CHECK_THROWS_AS(year_of(s, std::nan("")), input_error);
  CHECK_THROWS_AS(year_of(s, 0.01, 1.0), input_error);
  std::erase_if(s.days, [](const daily_extremes& d) { return date_of(d.day).month == 6; });
  CHECK_THROWS_WITH_AS(year_of(s), "noisy: has no days in June; expected all twelve months", input_error);
}

TEST_CASE("law: an answer does not hang on where in the year the cold lies, nor on how much of it is missing") {
  // Short records and jumps of the weather spoil every guess that the walk through the year makes.
  for (const unsigned seed : {7U, 8U, 9U}) {
    std::mt19937 random(seed);
    std::normal_distribution<double> noise(0.0, 12.0);
    std::uniform_real_distribution<double> missing;
    std::vector<daily_extremes> days;
    for (int day = day_number({1999, 1, 1}); day <= day_number({2001, 12, 31}); ++day) {
      const double low = noise(random) - (day % 90 == 0 ? 30.0 : 0.0), high = low + std::abs(noise(random));
      if (missing(random) > 0.2) days.push_back({day, low, high});
    }
    const daily_series s = make_daily_series("wild", std::move(days));
    for (const double share : {0.001, 0.02, 0.49}) {
      const year_climate year = year_of(s, share);
      for (std::size_t p = 0; p < pentads_a_year; ++p) {
        const judged_pentad expected = plainly(s, p, share);
        CHECK(near(year.pentads[p].cold.in_celsius(), expected.cold.in_celsius(), 0.0, 1e-9));
        CHECK(near(year.pentads[p].hot.in_celsius(), expected.hot.in_celsius(), 0.0, 1e-9));
      }
    }
  }
}

TEST_CASE("case: days too far apart to judge those between them are refused") {
  daily_series s = noisy(33, 2001, 2001, 0.0);
  std::erase_if(s.days, [](const daily_extremes& d) {
    const date on = date_of(d.day);
    return (on.month == 1 && on.day > 1) || (on.month == 2 && on.day < 28);
  });
  CHECK_THROWS_WITH_AS(
      year_of(s), "noisy: has no days within 15 days of 18 January; expected days all through the year", input_error);
}

TEST_CASE("case from users: a place by design values is judged at its mean annual minimum, or colder than a quantile") {
  const auto of = [](std::string_view station) {
    design_station s;
    s.values = find_design_values(station);
    s.station = s.values.station;
    return s;
  };
  // Source: the EPW head of the table's row; the 99 % value of the year is -16.6 C.
  const year_climate chicago = year_of(of("Chicago O'Hare"));
  CHECK(chicago.by_design_values());
  for (const judged_pentad& p : chicago.pentads) CHECK(p.cold == celsius(-23.7));
  design_station bare = of("Chicago O'Hare");
  bare.values.mean_annual_minimum.reset();
  CHECK(near(year_of(bare).pentads[0].cold.in_celsius(), -25.0, 1e-12));
  bare.values.heating_99_6.reset();
  CHECK(near(year_of(bare).pentads[0].cold.in_celsius(), -25.6, 1e-12));
  bare.values.heating_99.reset();
  CHECK_THROWS_AS(year_of(bare), input_error);
}
