// Where values and ticks stand in a picture.
#include "report/scale.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <vector>

#include "near.hpp"
#include "report/plot.hpp"

using namespace coldgrease::detail;

using numbers = std::vector<double>;

TEST_CASE("law: degrees by ten, by five and by twenty, both ends included") {
  CHECK(round_step(-40, 40, 9) == 10.0);
  CHECK(ticks_by(10, -40, 40) == numbers{-40, -30, -20, -10, 0, 10, 20, 30, 40});
  CHECK(round_step(-20, 20, 8) == 5.0);
  CHECK(ticks_by(5, -20, 20) == numbers{-20, -15, -10, -5, 0, 5, 10, 15, 20});
  CHECK(ticks_by(20, -40, 104) == numbers{-40, -20, 0, 20, 40, 60, 80, 100});
  CHECK(ticks_by(10, -35, 34) == numbers{-30, -20, -10, 0, 10, 20, 30});
  CHECK(ticks_by(10, 1, 9).empty());
  CHECK_FALSE(std::signbit(ticks_by(10, -10, 10).at(1)));  // else it is labelled -0
}

TEST_CASE("law: tenths end where their range does") {
  const numbers tenths = ticks_by(0.1, 0.0, 1.0);
  REQUIRE(tenths.size() == 11);
  for (std::size_t k = 0; k < tenths.size(); ++k) CHECK(near(tenths[k], 0.1 * static_cast<double>(k), 1e-15, 1e-15));
}

TEST_CASE("law: powers of ten are exact, and stand at both ends") {
  CHECK(decades(0.1, 1000) == numbers{0.1, 1, 10, 100, 1000});
  CHECK(decades(1, 1) == numbers{1});
  CHECK(decades(0.11, 999) == numbers{1, 10, 100});
  CHECK(decades(2, 9).empty());
}

TEST_CASE("law: a step is 1, 2 or 5 times a power of ten, and the least that cuts a range into so many parts" *
          doctest::test_suite("long")) {
  std::mt19937 random(20240901);
  std::uniform_real_distribution<double> from(-1000, 1000), decade(-6, 6);
  std::uniform_int_distribution<int> parts(1, 20);
  for (int n = 0; n < 20000; ++n) {
    const double low = from(random), high = low + std::pow(10.0, decade(random));
    const int most = parts(random);
    const double step = round_step(low, high, most);
    CAPTURE(low);
    CAPTURE(high);
    CAPTURE(most);
    const double power = std::pow(10.0, std::floor(std::log10(step) + 1e-9)), digit = step / power;
    REQUIRE((near(digit, 1, 1e-9) || near(digit, 2, 1e-9) || near(digit, 5, 1e-9)));
    REQUIRE((high - low) / step <= most * (1.0 + 1e-8));
    const double finer = near(digit, 5, 1e-9) ? 2.0 * power : near(digit, 2, 1e-9) ? power : 0.5 * power;
    REQUIRE((high - low) / finer > most * (1.0 - 1e-8));
    // So many parts have one tick more at most.
    REQUIRE(ticks_by(step, low, high).size() <= static_cast<std::size_t>(most) + 1);
  }
}

TEST_CASE("law: a scale meets its ends, by steps and by factors, whichever way it runs") {
  for (const bool by_decades : {false, true}) {
    for (const auto& [begin, end] : {std::pair(46.0, 674.0), std::pair(300.0, 34.0)}) {
      const scale s{.from = 0.1, .to = 1000, .begin = begin, .end = end, .by_decades = by_decades};
      CHECK(s.at(0.1) == begin);
      CHECK(near(s.at(1000), end, 1e-15));
    }
  }
}

TEST_CASE("law: the middle of a scale is the mean of its ends, by factors the geometric one" *
          doctest::test_suite("long")) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> value(0.01, 1e4);
  for (int n = 0; n < 1000; ++n) {
    const double a = value(random), b = a * (1.1 + value(random));
    CHECK(near(scale{.from = a, .to = b, .begin = 0, .end = 100}.at(0.5 * (a + b)), 50, 1e-9));
    CHECK(near(scale{.from = a, .to = b, .begin = 0, .end = 100, .by_decades = true}.at(std::sqrt(a * b)), 50, 1e-9));
  }
  // Decades stand at equal distances.
  const scale s{.from = 0.1, .to = 1000, .begin = 0, .end = 400, .by_decades = true};
  double at = 0.0;
  for (const double v : decades(0.1, 1000)) {
    CHECK(near(s.at(v), at, 1e-12, 1e-9));
    at += 100.0;
  }
}

TEST_CASE("law: floor_to and ceil_to keep a multiple, and else go to the next one outward") {
  for (const double v : {-40.0, -5.0, 0.0, 5.0, 35.0}) {
    CHECK(floor_to(5, v) == v);
    CHECK(ceil_to(5, v) == v);
  }
  CHECK(floor_to(5, -21.3) == -25.0);
  CHECK(ceil_to(5, -21.3) == -20.0);
  CHECK(floor_to(5, 21.3) == 20.0);
  CHECK(ceil_to(5, 21.3) == 25.0);
}

TEST_CASE("law: labels spread out keep their order and their distance, and those far apart their place" *
          doctest::test_suite("long")) {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> place(0, 250);
  std::uniform_int_distribution<int> many(0, 16);
  for (int n = 0; n < 2000; ++n) {
    numbers at(static_cast<std::size_t>(many(random)));
    for (double& v : at) v = place(random);
    const numbers before = at;
    spread_out(at, 12.0);
    REQUIRE(at.size() == before.size());
    for (std::size_t i = 0; i < at.size(); ++i) {
      for (std::size_t j = 0; j < at.size(); ++j) {
        if (before[i] < before[j]) REQUIRE(at[j] - at[i] >= 12.0 - 1e-9);
      }
    }
  }
  numbers far{200, 0, 100};
  spread_out(far, 12.0);
  CHECK(far == numbers{200, 0, 100});
  numbers same{50, 50, 50};
  spread_out(same, 12.0);
  std::ranges::sort(same);
  CHECK(near(same[0], 38, 1e-12));
  CHECK(near(same[1], 50, 1e-12));
  CHECK(near(same[2], 62, 1e-12));
}

TEST_CASE("law: lengths in a picture have one decimal at most, and no zero below zero") {
  CHECK(px(46) == "46");
  CHECK(px(46.04) == "46");
  CHECK(px(46.06) == "46.1");
  CHECK(px(-0.04) == "0");
  CHECK(px(-12.5) == "-12.5");
}

TEST_CASE("law: a name is cut by characters, not by bytes") {
  CHECK(short_name("Mineral 2") == "Mineral 2");
  CHECK(short_name(std::string(22, 'x')) == std::string(22, 'x'));
  CHECK(short_name(std::string(23, 'x')) == std::string(21, 'x') + "\u2026");
  CHECK(short_name("\u00e9\u00e9\u00e9\u00e9", 3) == "\u00e9\u00e9\u2026");
  CHECK(short_name("").empty());
}
