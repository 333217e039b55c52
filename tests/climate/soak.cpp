// Grease behind the air: a first-order lag, and a clear night sky.
#include "coldgrease/climate/soak.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/describe.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

std::vector<double> noise(unsigned seed, std::size_t count) {
  std::mt19937 source(seed);
  std::vector<double> air;
  for (std::size_t i = 0; i < count; ++i) air.push_back(static_cast<double>(source() % 400U) / 10.0 - 30.0);
  return air;
}

hourly_series hours_from(const std::vector<double>& air, int first_hour = 0) {
  std::vector<hourly_value> hours;
  for (const double t : air) hours.push_back({first_hour++, t});
  return make_hourly_series("s", std::move(hours));
}

}  // namespace

TEST_CASE("law: grease behind the air stays between its lowest and highest, at any lag") {
  for (const double lag : {0.0, 0.01, 0.5, 3.0, 12.0, 1000.0}) {
    CAPTURE(lag);
    const auto air = noise(11, 500);
    const auto grease = lagged(air, lag);
    REQUIRE(grease.size() == air.size());
    CHECK(*std::ranges::min_element(grease) >= *std::ranges::min_element(air));
    CHECK(*std::ranges::max_element(grease) <= *std::ranges::max_element(air));
  }
}

TEST_CASE("law: no lag is the air, and a tiny one tends to it, air that stands still is reached") {
  const auto air = noise(3, 200);
  CHECK(lagged(air, 0.0) == air);
  const auto close = lagged(air, 1e-6);
  for (std::size_t i = 0; i < air.size(); ++i) CHECK(near(close[i], air[i], 0.0, 1e-4));
  CHECK(near(lagged_step(-20.0, -20.0, 5.0, 1e6, 3.0), -20.0, 1e-12));
}

TEST_CASE("law: a step falls behind by e^(-t/lag), whether taken at once or hour by hour") {
  std::vector<double> air(31, -20.0);
  air[0] = -20.0;
  double grease = 0.0;
  for (int h = 0; h < 30; ++h) grease = lagged_step(-20.0, -20.0, grease, 1.0, 5.0);
  CHECK(near(grease, lagged_step(-20.0, -20.0, 0.0, 30.0, 5.0), 1e-12));
}

TEST_CASE("law: steady cooling is followed in parallel, so much behind as the lag is long") {
  std::vector<double> air;
  for (int h = 0; h < 200; ++h) air.push_back(-0.5 * h);
  CHECK(near(lagged(air, 4.0).back(), air.back() + 0.5 * 4.0, 1e-9));
}

TEST_CASE("law: a daily wave is damped by 1/sqrt(1 + (w lag)^2), less what straight lines between hours take") {
  const double w = 2.0 * std::numbers::pi / 24.0;
  for (const double lag : {0.5, 1.0, 2.0, 4.0, 6.0, 8.0, 12.0}) {
    CAPTURE(lag);
    std::vector<double> air;
    for (int h = 0; h < 24 * 60; ++h) air.push_back(std::cos(w * h));
    const auto grease = lagged(air, lag);
    // Amplitude from the last whole day by its Fourier coefficient.
    double a = 0.0, b = 0.0;
    for (int h = 24 * 59; h < 24 * 60; ++h) {
      a += grease[static_cast<std::size_t>(h)] * std::cos(w * h) / 12.0;
      b += grease[static_cast<std::size_t>(h)] * std::sin(w * h) / 12.0;
    }
    const double x = std::numbers::pi / 24.0, lines = std::pow(std::sin(x) / x, 2);
    CHECK(near(std::hypot(a, b), lines / std::hypot(1.0, w * lag), 0.0, 3e-3));
  }
}

TEST_CASE("law: a longer lag credits more against the coldest hour") {
  const auto series = hours_from(noise(5, 2000));
  double before = -1e9;
  for (const double lag : {0.0, 1.0, 3.0, 6.0, 12.0}) {
    const weather w = soaked(series, {.lag = second(3600.0 * lag)});
    std::vector<double> values;
    for (const hourly_value& v : std::get<hourly_series>(w).hours) values.push_back(v.celsius);
    const double coldest = *std::ranges::min_element(values);
    CHECK(coldest >= before);
    before = coldest;
  }
}

TEST_CASE("law: a night sky lowers the hours from 18 to 06 and no others, by itself") {
  const weather w = soaked(hours_from(std::vector<double>(48, -10.0)), {.night_sky = kelvins(2)});
  for (const hourly_value& v : std::get<hourly_series>(w).hours)
    CHECK(v.celsius == ((v.hour % 24 >= 18 || v.hour % 24 <= 6) ? -12.0 : -10.0));
}

TEST_CASE("law: nothing asked for changes nothing, and each kind of series keeps its kind, days become hours") {
  const daily_series days = make_daily_series("s", {{0, -10, 0}, {1, -12, 2}});
  CHECK(std::get<daily_series>(soaked(days, {})).days.size() == 2);
  const weather behind = soaked(days, {.lag = second(3600)});
  CHECK(std::get<hourly_series>(behind).hours.size() == 48);
  CHECK(origin_of(behind).notes.size() == 1);
  typical_year year;
  for (int h = 0; h < 8760; ++h) year.hours.push_back({h, -1.0});
  CHECK(std::holds_alternative<typical_year>(soaked(year, {.lag = second(3600)})));
}

TEST_CASE("law: a gap begins anew in balance with the air") {
  hourly_series s = hours_from({-10, -10, -10});
  s.hours.push_back({50, -30.0});
  s.hours.push_back({51, -30.0});
  const auto grease = std::get<hourly_series>(soaked(s, {.lag = second(6 * 3600.0)}));
  CHECK(grease.hours[3].celsius == -30.0);
  CHECK(grease.hours[4].celsius == -30.0);
}

TEST_CASE("case: lags and skies that are refused") {
  const hourly_series s = hours_from({-10});
  CHECK_THROWS_AS(soaked(s, {.lag = second(-1)}), input_error);
  CHECK_THROWS_AS(soaked(s, {.night_sky = kelvins(5.1)}), input_error);
  CHECK_THROWS_AS(soaked(s, {.night_sky = kelvins(-1)}), input_error);
}
