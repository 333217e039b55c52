// Law: the band of a year, five days at a time.
#include "coldgrease/climate/year_band.hpp"

#include <doctest/doctest.h>

#include "coldgrease/base/date.hpp"
#include "near.hpp"
#include "refusal.hpp"

using namespace coldgrease;

namespace {

/// Thirty years without spread: the minimum is the month, the maximum ten more.
daily_series by_month() {
  std::vector<daily_extremes> days;
  for (int day = day_number({1991, 1, 1}); day <= day_number({2020, 12, 31}); ++day) {
    const double month = date_of(day).month;
    days.push_back({day, month, month + 10.0});
  }
  return make_daily_series("law", std::move(days));
}

}  // namespace

TEST_CASE("law: every day of a year belongs to one of 73 pentads, in order") {
  CHECK(pentad_of({1, 1}) == 0);
  CHECK(pentad_of({1, 5}) == 0);
  CHECK(pentad_of({1, 6}) == 1);
  CHECK(pentad_of({2, 28}) == pentad_of({2, 29}));
  CHECK(pentad_of({12, 31}) == 72);
}

TEST_CASE("law: without spread the band is the days themselves, well inside a month") {
  const auto band = band_of(by_month());
  REQUIRE(band);
  const pentad& april = (*band)[pentad_of({4, 15})];
  CHECK(near(april.low.in_celsius(), 4.0, 1e-12, 1e-12));
  CHECK(near(april.high.in_celsius(), 14.0, 1e-12, 1e-12));
  CHECK(near(april.record.in_celsius(), 4.0, 1e-12, 1e-12));
}

TEST_CASE("law: one cold night is the record of its pentad and the next, and leaves the quantiles of 450 days alone") {
  daily_series series = by_month();
  for (daily_extremes& d : series.days) {
    if (date_of(d.day) == date{2004, 4, 15}) d.low = -30.0;
  }
  const auto band = band_of(series);
  REQUIRE(band);
  CHECK(near((*band)[pentad_of({4, 15})].record.in_celsius(), -30.0, 1e-12, 1e-12));
  CHECK(near((*band)[pentad_of({4, 15})].low.in_celsius(), 4.0, 1e-12, 1e-12));
  CHECK(near((*band)[pentad_of({4, 15}) + 1].record.in_celsius(), -30.0, 1e-12));
  CHECK(near((*band)[pentad_of({4, 15}) + 2].record.in_celsius(), 4.0, 1e-12));
}

TEST_CASE("law: a larger share draws a narrower band") {
  daily_series series = by_month();
  for (daily_extremes& d : series.days) d.low -= static_cast<double>((d.day * 7919) % 100) / 10.0;
  const auto wide = band_of(series, 0.01), narrow = band_of(series, 0.2);
  REQUIRE(wide);
  REQUIRE(narrow);
  for (std::size_t p = 0; p < wide->size(); ++p) {
    CHECK((*wide)[p].low <= (*narrow)[p].low);
    CHECK((*wide)[p].record <= (*wide)[p].low);
    CHECK((*wide)[p].high >= (*narrow)[p].high);
  }
}

TEST_CASE("law: a typical year's days are the extremes of their hours") {
  typical_year year;
  for (int hour = 0; hour < 365 * 24; ++hour) year.hours.push_back({hour, static_cast<double>(hour % 24)});
  const auto band = band_of(year);
  REQUIRE(band);
  CHECK(near((*band)[40].low.in_celsius(), 0.0, 1e-12, 1e-12));
  CHECK(near((*band)[40].high.in_celsius(), 23.0, 1e-12, 1e-12));
}

TEST_CASE("law: a year with a hole of a pentad has no band") {
  daily_series series = by_month();
  std::erase_if(series.days, [](const daily_extremes& d) {
    return pentad_of({date_of(d.day).month, date_of(d.day).day}) == 30;
  });
  CHECK_FALSE(band_of(series));
  CHECK_FALSE(band_of(typical_year{}));
}

TEST_CASE("case from users: a share of 2 is refused") {
  CHECK(refusal([] { band_of(by_month(), 2.0); }).find("0 to 0.5") != std::string::npos);
}
