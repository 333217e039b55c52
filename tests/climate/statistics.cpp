// Quantiles, hours of a day, annual minima, spells: laws and hand values.
#include "coldgrease/climate/statistics.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/describe.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

int day(int year, int month, int day_of_month) { return day_number({year, month, day_of_month}); }

/// Days in a row from a date, with the minima and maxima given.
daily_series series(int first_day, std::vector<std::pair<double, double>> extremes) {
  std::vector<daily_extremes> days;
  for (const auto& [low, high] : extremes) days.push_back({first_day++, low, high});
  return make_daily_series("test", std::move(days));
}

/// Noisy years with gaps: neighbouring days may lie wholly above or below each other.
daily_series noisy(unsigned seed, int first_year, int last_year, double gap_share) {
  std::mt19937 source(seed);
  const auto uniform = [&] { return static_cast<double>(source()) / 4294967296.0; };
  std::vector<daily_extremes> days;
  for (int d = day(first_year, 1, 1); d <= day(last_year, 12, 31); ++d) {
    const double mean = -15.0 * std::cos(2.0 * std::numbers::pi * (d - 15) / 365.25) + 16.0 * (uniform() - 0.5);
    const double half = 6.0 * uniform();
    if (uniform() >= gap_share) days.push_back({d, mean - half, mean + half});
  }
  return make_daily_series("noisy", std::move(days));
}

daily_limits every_month(double limit) {
  daily_limits limits;
  limits.fill(limit);
  return limits;
}

/// What below() and below_by_month() mean, without any short cut: hour after hour.
struct plain_count {
  long hours = 0;
  long below = 0;
  int longest = 0;
  int longest_first = 0;  // hours since 1970-01-01
};
plain_count count_plainly(const daily_series& s, double limit, int month = 0) {
  const std::vector<double> hours = hours_of(s);
  plain_count c;
  int run = 0, last = -2;
  for (std::size_t i = 0; i < hours.size(); ++i) {
    const int d = s.days[i / 24].day, at = d * 24 + static_cast<int>(i % 24);
    if (month != 0 && date_of(d).month != month) continue;
    ++c.hours;
    if (at != last + 1) run = 0;
    last = at;
    run = hours[i] < limit ? run + 1 : 0;
    c.below += hours[i] < limit;
    if (run > c.longest) {
      c.longest = run;
      c.longest_first = at - run + 1;
    }
  }
  return c;
}

std::string hour_name(int hours_since_1970) {
  const int d = (hours_since_1970 - ((hours_since_1970 % 24) + 24) % 24) / 24, h = hours_since_1970 - d * 24;
  return text_of(date_of(d)) + "T" + (h < 10 ? "0" : "") + std::to_string(h);
}

}  // namespace

TEST_CASE("published value: quantile type 7 by hand (Hyndman & Fan 1996)") {
  // h = (n - 1) p between the order statistics 1, 2, 4, 8, 16: derived.
  const auto q = [](double share) {
    std::array<double, 5> values{8, 1, 16, 4, 2};
    return quantile(values, share);
  };
  CHECK(q(0.0) == 1.0);
  CHECK(q(1.0) == 16.0);
  CHECK(q(0.5) == 4.0);
  CHECK(near(q(0.1), 1.4, 1e-15));   // h = 0.4
  CHECK(near(q(0.3), 2.4, 1e-15));   // h = 1.2
  CHECK(near(q(0.9), 12.8, 1e-15));  // h = 3.6
  CHECK(near(q(0.996), 15.872, 1e-15));
  std::array<double, 1> one{-7.5};
  for (const double share : {0.0, 0.004, 0.5, 1.0}) CHECK(quantile(one, share) == -7.5);
}

TEST_CASE("law: a quantile is that of the sorted sample, whatever its size, order and repeats" *
          doctest::test_suite("long")) {
  std::mt19937 random(3);
  std::normal_distribution<double> noise(0.0, 8.0);
  for (const std::size_t n : {1U, 2U, 3U, 15U, 16U, 17U, 18U, 33U, 300U, 2047U, 2048U, 5000U, 24U * 900U}) {
    for (const int kind : {0, 1, 2, 3, 4}) {
      std::vector<double> values(n);
      for (std::size_t i = 0; i < n; ++i) {
        const double x = static_cast<double>(i);
        values[i] = kind == 0   ? noise(random)
                    : kind == 1 ? x
                    : kind == 2 ? std::round(noise(random) / 4.0)              // few distinct values
                    : kind == 3 ? std::cos(2.0 * std::numbers::pi * x / 24.0)  // the same every day
                                : (i + 1 == n ? -1.0 : 0.0);                   // one odd value, the last
      }
      std::vector<double> sorted = values;
      std::ranges::sort(sorted);
      for (const double share : {0.0, 0.0001, 0.004, 0.01, 0.3, 0.5, 0.95, 0.99, 1.0}) {
        CAPTURE(n);
        CAPTURE(kind);
        CAPTURE(share);
        const double h = static_cast<double>(n - 1) * share, low = std::floor(h);
        const double a = sorted[static_cast<std::size_t>(low)],
                     b = sorted[std::min(n - 1, static_cast<std::size_t>(low) + 1)];
        CHECK(quantile(values, share) == a + (h - low) * (b - a));
      }
    }
  }
}

TEST_CASE("law: a quantile rises with its share, lies inside the sample and moves with it" *
          doctest::test_suite("long")) {
  std::mt19937 source(7);
  std::vector<double> sample(257);
  for (double& v : sample) v = static_cast<double>(source() % 400U) / 10.0 - 30.0;
  double before = -1e9;
  for (int i = 0; i <= 1000; ++i) {
    const double share = i / 1000.0;
    std::vector<double> values = sample, moved = sample, mirrored = sample;
    for (double& v : moved) v = 2.0 * v + 5.0;
    for (double& v : mirrored) v = -v;
    const double q = quantile(values, share);
    CHECK(q >= before);
    CHECK(near(quantile(moved, share), 2.0 * q + 5.0, 1e-12, 1e-12));
    CHECK(near(quantile(mirrored, 1.0 - share), -q, 1e-12, 1e-10));
    before = q;
  }
}

TEST_CASE("law: half-cosines pass through the minimum at 06 h and the maximum at 15 h, and their middle halfway") {
  const daily_series s = series(day(2020, 1, 10), {{-10, 0}, {-20, -4}, {-8, 2}});
  const std::vector<double> h = hours_of(s);
  REQUIRE(h.size() == 72);
  for (std::size_t d = 0; d < 3; ++d) {
    CHECK(h[24 * d + 6] == s.days[d].low);
    CHECK(h[24 * d + 15] == s.days[d].high);
  }
  // Falling 15 h long, rising 9 h long.
  const auto between = [](double a, double b, double part) {
    return a + (b - a) * (0.5 - 0.5 * std::cos(std::numbers::pi * part));
  };
  for (int k = 0; k <= 9; ++k)
    CHECK(near(h[static_cast<std::size_t>(24 + 6 + k)], between(-20, -4, k / 9.0), 1e-12, 1e-12));
  for (int k = 0; k <= 15; ++k)
    CHECK(near(h[static_cast<std::size_t>(15 + k)], between(0, -20, k / 15.0), 1e-12, 1e-12));
  for (int k = 0; k <= 15; ++k)
    CHECK(near(h[static_cast<std::size_t>(24 + 15 + k)], between(-4, -8, k / 15.0), 1e-12, 1e-12));
  // Days without a neighbour take their own maximum before and their own minimum after: both ends of this series.
  for (int k = 9; k <= 15; ++k)
    CHECK(near(h[static_cast<std::size_t>(k - 9)], between(0, -10, k / 15.0), 1e-12, 1e-12));
  for (int k = 0; k <= 8; ++k)
    CHECK(near(h[static_cast<std::size_t>(48 + 15 + k)], between(2, -8, k / 15.0), 1e-12, 1e-12));
}

TEST_CASE("law: a gap is no neighbour") {
  daily_series with_gap = series(day(2020, 1, 10), {{-10, 0}, {-30, -25}, {-8, 2}});
  with_gap.days.erase(with_gap.days.begin() + 1);
  const std::vector<double> h = hours_of(with_gap);
  const std::vector<double> first = hours_of(series(day(2020, 1, 10), {{-10, 0}}));
  const std::vector<double> last = hours_of(series(day(2020, 1, 12), {{-8, 2}}));
  for (std::size_t i = 0; i < 24; ++i) {
    CHECK(h[i] == first[i]);
    CHECK(h[24 + i] == last[i]);
  }
}

TEST_CASE("law: hours of a constant series are constant, and equal days have a mean near their middle") {
  for (const double v : hours_of(series(day(2019, 12, 28), std::vector<std::pair<double, double>>(20, {-12.3, -12.3}))))
    CHECK(v == -12.3);
  const auto hours = hours_of(series(day(2020, 3, 1), std::vector<std::pair<double, double>>(10, {-10.0, 6.0})));
  double sum = 0.0;
  for (const double v : hours) sum += v;
  // Trapezoids of a half-cosine are exact, so the mean of equal days is (minimum + maximum)/2.
  CHECK(near(sum / static_cast<double>(hours.size()), -2.0, 0.0, 1e-12));
}

TEST_CASE("law: no hour lies outside the extremes of its day and its neighbours") {
  const daily_series s = noisy(3, 2001, 2003, 0.05);
  const auto hours = hours_of(s);
  for (std::size_t i = 0; i < s.days.size(); ++i) {
    double low = s.days[i].low, high = s.days[i].high;
    if (i > 0 && s.days[i - 1].day + 1 == s.days[i].day)
      low = std::fmin(low, s.days[i - 1].high), high = std::fmax(high, s.days[i - 1].high);
    if (i + 1 < s.days.size() && s.days[i + 1].day == s.days[i].day + 1)
      low = std::fmin(low, s.days[i + 1].low), high = std::fmax(high, s.days[i + 1].low);
    for (std::size_t h = 0; h < 24; ++h) {
      CHECK(hours[24 * i + h] >= low - 1e-12);
      CHECK(hours[24 * i + h] <= high + 1e-12);
    }
  }
}

TEST_CASE("law: hours and spells below a limit are those of the series hour by hour") {
  for (const double gaps : {0.0, 0.02, 0.3}) {
    const daily_series s = noisy(11, 2001, 2004, gaps);
    for (const double limit : {-40.0, -25.0, -18.5, -10.0, -3.25, 0.0, 7.5, 60.0}) {
      CAPTURE(gaps);
      CAPTURE(limit);
      const plain_count plain = count_plainly(s, limit);
      const time_below b = below(s, celsius(limit));
      CHECK(near(b.hours_a_year, static_cast<double>(plain.below) / static_cast<double>(plain.hours) * 365.2425 * 24.0,
                 1e-12, 1e-12));
      CHECK(b.longest.hours == plain.longest);
      CHECK(b.longest.temperature.in_celsius() == limit);
      CHECK(b.longest.from == (plain.longest > 0 ? hour_name(plain.longest_first) : ""));
      CHECK(b.longest.to == (plain.longest > 0 ? hour_name(plain.longest_first + plain.longest - 1) : ""));
    }
  }
}

TEST_CASE("law: months split the hours below a limit, and a run ends with its month") {
  const daily_series s = noisy(12, 2001, 2004, 0.01);
  constexpr std::array<double, 12> month_days{31, 28.2425, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const std::array<temperature, 12> limits{celsius(-20), celsius(-15), celsius(-11), celsius(-3),
                                           celsius(4),   celsius(9),   celsius(12),  celsius(10),
                                           celsius(6),   celsius(0),   celsius(-80), celsius(80)};
  daily_limits of_days;
  for (int day = 0; day < days_a_year; ++day)
    of_days[static_cast<std::size_t>(day)] = limits[static_cast<std::size_t>(day_at(day).month - 1)].in_celsius();
  const auto by_month = below_by_month(s, of_days);
  for (std::size_t m = 0; m < 12; ++m) {
    CAPTURE(m);
    const plain_count plain = count_plainly(s, limits[m].in_celsius(), static_cast<int>(m) + 1);
    CHECK(near(by_month[m].hours_a_year,
               static_cast<double>(plain.below) / static_cast<double>(plain.hours) * 24.0 * month_days[m], 1e-12,
               1e-12));
    CHECK(by_month[m].longest.hours == plain.longest);
    CHECK(by_month[m].longest.from == (plain.longest > 0 ? hour_name(plain.longest_first) : ""));
  }
  // With every hour below, the longest run is the longest month that has no gap; none crosses into the next.
  const auto whole = below_by_month(noisy(12, 2001, 2004, 0.0), every_month(100));
  CHECK(whole[0].longest.hours == 31 * 24);
  CHECK(whole[1].longest.hours == 29 * 24);
  CHECK(whole[1].longest.from == "2004-02-01T00");
  CHECK(whole[1].longest.to == "2004-02-29T23");
}

TEST_CASE("law: without gaps the months' hours add up to the year's") {
  const daily_series s = noisy(13, 2001, 2004, 0.0);
  for (const double limit : {-20.0, -5.0, 5.0}) {
    double sum = 0.0;
    for (const time_below& m : below_by_month(s, every_month(limit))) sum += m.hours_a_year;
    // February is 28.25 days long in these four years, 28.2425 in the calendar.
    CHECK(near(sum, below(s, celsius(limit)).hours_a_year, 1e-3));
  }
}

TEST_CASE("law: a missing day ends a spell") {
  std::vector<std::pair<double, double>> cold(9, {-20.0, -15.0});
  daily_series s = series(day(2015, 1, 26), cold);
  CHECK(below(s, celsius(-10)).longest.hours == 9 * 24);
  s.days.erase(s.days.begin() + 3);
  const spell longest = below(s, celsius(-10)).longest;
  CHECK(longest.hours == 5 * 24);
  CHECK(longest.from == "2015-01-30T00");
  CHECK(longest.to == "2015-02-03T23");
}

TEST_CASE("law: a spell runs through New Year") {
  const daily_series s = series(day(2013, 12, 29), std::vector<std::pair<double, double>>(7, {-20.0, -15.0}));
  const spell longest = below(s, celsius(-10)).longest;
  CHECK(longest.hours == 7 * 24);
  CHECK(longest.from == "2013-12-29T00");
  CHECK(longest.to == "2014-01-04T23");
}

TEST_CASE("law: below means below: a constant series at the limit has no such hour") {
  const daily_series s = series(day(2015, 1, 26), std::vector<std::pair<double, double>>(9, {-12.0, -12.0}));
  CHECK(below(s, celsius(-12.0)).hours_a_year == 0.0);
  CHECK(below(s, celsius(-12.0)).longest.hours == 0);
  CHECK(below(s, celsius(std::nextafter(-12.0, 0.0))).longest.hours == 9 * 24);
}

TEST_CASE("law: a warm day after a cold one starts cold") {
  // The night between them rises from -20 C at 15 h to -5 C at 06 h: its small hours lie below -10 C on both days.
  const daily_series s = series(day(2015, 1, 26), {{-24, -20}, {-5, 0}});
  const plain_count plain = count_plainly(s, -10.0);
  REQUIRE(plain.longest > 24);
  CHECK(below(s, celsius(-10)).longest.hours == plain.longest);
  CHECK(below_by_month(s, every_month(-10))[0].longest.hours == plain.longest);
}

TEST_CASE("law: F of the n-year minimum rises with the years, below 2.3 years it is negative") {
  CHECK(gumbel_factor(2.0) < 0.0);
  CHECK(gumbel_factor(2.3) < 0.0);
  CHECK(gumbel_factor(2.4) > 0.0);
  for (double n = 1.01; n < 1e6; n *= 1.1) CHECK(gumbel_factor(n * 1.1) > gumbel_factor(n));
  // The two-year minimum is warmer than the mean of the annual minima.
  CHECK(return_minimum(celsius(-20), kelvins(3), 2.0).in_celsius() > -20.0);
  CHECK(return_minimum(celsius(-20), kelvins(0), 50.0).in_celsius() == -20.0);
}

TEST_CASE("law: an n-year minimum needs two annual minima") {
  const std::vector<year_minimum> minima{{2001, celsius(-20)}, {2002, celsius(-26)}};
  CHECK_FALSE(return_minimum(std::span(minima).first(0), 10.0).has_value());
  CHECK_FALSE(return_minimum(std::span(minima).first(1), 10.0).has_value());
  const auto t = return_minimum(minima, 10.0);
  REQUIRE(t.has_value());
  CHECK(near(t->in_celsius(), -23.0 - gumbel_factor(10.0) * std::sqrt(18.0), 1e-14));
}

TEST_CASE("law: a year that misses more than a tenth of December to February has no annual minimum") {
  const auto year_without = [](int year, int missing) {
    std::vector<daily_extremes> days;
    for (int d = day(year, 1, 1); d <= day(year, 12, 31); ++d) {
      if (d - day(year, 1, 1) >= missing) days.push_back({d, -5.0, 0.0});
    }
    return make_daily_series("test", std::move(days));
  };
  // 90 days of winter in a common year: nine may be missing.
  CHECK(annual_minima(year_without(2003, 9)).size() == 1);
  CHECK(annual_minima(year_without(2003, 10)).empty());
  CHECK(years_left_out(year_without(2003, 9)) == 0);
  CHECK(years_left_out(year_without(2003, 10)) == 1);
  // 91 in a leap year.
  CHECK(annual_minima(year_without(2004, 9)).size() == 1);
  CHECK(annual_minima(year_without(2004, 10)).empty());

  // Days missing in summer cost nothing.
  daily_series summer_gap = year_without(2003, 0);
  std::erase_if(summer_gap.days, [](const daily_extremes& d) { return date_of(d.day).month == 7; });
  CHECK(annual_minima(summer_gap).size() == 1);

  const climate_answer answer = describe(year_without(2003, 10));
  CHECK(answer.annual_minima.empty());
  CHECK(answer.return_minima.empty());
  REQUIRE_FALSE(answer.notes.empty());
  CHECK(answer.notes.front().find("1 year misses more than a tenth of December to February") != std::string::npos);
}

TEST_CASE("law: annual minima are of calendar years") {
  daily_series s = noisy(21, 2001, 2003, 0.0);
  for (daily_extremes& d : s.days) {
    if (d.day == day(2001, 12, 31)) d.low = -70.0;
    if (d.day == day(2002, 1, 1)) d.low = -71.0;
  }
  const auto minima = annual_minima(s);
  REQUIRE(minima.size() == 3);
  CHECK(minima[0].year == 2001);
  CHECK(minima[0].minimum.in_celsius() == -70.0);
  CHECK(minima[1].minimum.in_celsius() == -71.0);
  CHECK(minima[2].minimum.in_celsius() > -70.0);
}

TEST_CASE("law: fewer than ten annual minima are said to say little") {
  const auto says_few = [](int years) {
    for (const std::string& note : describe(noisy(5, 2001, 2000 + years, 0.0)).notes) {
      if (note.find("fewer than 10 years") != std::string::npos) return true;
    }
    return false;
  };
  CHECK(says_few(1));
  CHECK(says_few(9));
  CHECK_FALSE(says_few(10));
  CHECK(describe(noisy(5, 2001, 2001, 0.0)).return_minima.empty());
  const auto rows = describe(noisy(5, 2001, 2002, 0.0)).return_minima;
  REQUIRE(rows.size() == 4);
  CHECK(rows[0].years == 5);
  CHECK(rows[3].years == 50);
  for (std::size_t i = 1; i < 4; ++i) CHECK(rows[i].temperature < rows[i - 1].temperature);
}

TEST_CASE("law: the month's figures are in order, and months pool all years") {
  for (const month_climate& c : describe(noisy(31, 2001, 2012, 0.01)).months) {
    CHECK(c.record <= c.cold);
    CHECK(c.cold < c.mean);
    CHECK(c.mean < c.hot);
    REQUIRE(c.return_minimum.has_value());
    CHECK(*c.return_minimum < c.mean);
  }
  // Nine years of a month give no n-year minimum.
  for (const month_climate& c : describe(noisy(31, 2001, 2009, 0.0)).months) CHECK_FALSE(c.return_minimum.has_value());
}

TEST_CASE("law: a month's cold quantile is that of its hours in the whole series") {
  const daily_series s = noisy(32, 2001, 2003, 0.02);
  const std::vector<double> hours = hours_of(s);
  for (const month_climate& m : describe(s).months) {
    std::vector<double> own;
    for (std::size_t i = 0; i < hours.size(); ++i) {
      if (date_of(s.days[i / 24].day).month == m.month) own.push_back(hours[i]);
    }
    CHECK(m.cold.in_celsius() == quantile(own, 0.01));
  }
}

TEST_CASE("law: make_daily_series sorts, counts what was out of order, keeps the first of a day that stands twice") {
  const int d = day(2015, 1, 26);
  const daily_series s =
      make_daily_series("test", {{d + 2, -3, 0}, {d, -1, 0}, {d + 1, -2, 0}, {d, -9, 0}}, duplicate_rule::first);
  CHECK_THROWS_AS(make_daily_series("test", {{d, -1, 0}, {d, -9, 0}}), input_error);
  REQUIRE(s.days.size() == 3);
  CHECK(s.days[0].low == -1.0);
  CHECK(s.days[2].day == d + 2);
  REQUIRE(s.dropped.size() == 1);
  CHECK(s.dropped[0].count == 1);
  CHECK(s.dropped[0].reason.find("2015-01-26") != std::string::npos);
  REQUIRE(s.notes.size() == 1);
  CHECK(s.notes[0].find("3 rows") != std::string::npos);  // the last three stand behind a later day
  CHECK(make_daily_series("test", {{d, -1, 0}, {d + 1, -2, 0}}).notes.empty());
  CHECK_THROWS_AS(make_daily_series("test", {{d, 1, 0}}), input_error);
  CHECK_THROWS_AS(make_daily_series("test", {{d, std::nan(""), 0}}), input_error);
  CHECK_THROWS_AS(make_daily_series("test", {{d, -1, INFINITY}}), input_error);
}

TEST_CASE("case: under 251 daily minima the 0.4 % value is nearly the lowest, and it is said") {
  for (const int count : {250, 251}) {
    std::vector<daily_extremes> days;
    for (int d = 0; d < count; ++d) days.push_back({d, -0.1 * d, 5.0});
    const climate_answer a = describe(make_daily_series("s", std::move(days)));
    bool said = false;
    for (const std::string& note : a.notes)
      said = said || note.find("is nearly the lowest of them") != std::string::npos;
    CHECK(said == (count == 250));
    // Place (n - 1) 0.004 from the lowest: 0.996 steps of 0.1 K at 250, one step at 251.
    CHECK(
        near(a.tmin_quantiles[0].temperature.in_celsius(), -0.1 * (count - 1) + 0.1 * 0.004 * (count - 1), 0.0, 1e-9));
  }
}

TEST_CASE("law: in the south a year without its July has no annual minimum, one without its January has") {
  const auto minima_without = [](int month, double latitude) {
    std::vector<daily_extremes> days;
    for (int day = day_number({2001, 1, 1}); day <= day_number({2003, 12, 31}); ++day) {
      const date d = date_of(day);
      if (d.year != 2002 || d.month != month) days.push_back({day, -5.0, 5.0});
    }
    daily_series s = make_daily_series("s", std::move(days));
    s.latitude = latitude;
    return annual_minima(s).size();
  };
  CHECK(minima_without(7, -45.0) == 2);
  CHECK(minima_without(1, -45.0) == 3);
  CHECK(minima_without(7, 45.0) == 3);
  CHECK(minima_without(1, 45.0) == 2);
}
