// Law: the longest line against the cold.
#include "coldgrease/line/limit_curve.hpp"

#include <doctest/doctest.h>

#include <array>

#include "near.hpp"
#include "refusal.hpp"

using namespace coldgrease;

namespace {

grease softest() {
  return estimate({.nlgi = "00", .kv40 = mm2_per_s(46), .vi = 140, .pour = celsius(-54), .oil = oil_type::pao});
}

line thin() {
  return {.point = "slack adjuster",
          .segments = {{.length = metre(5), .bore = millimetre(3.5)}, {.length = metre(1), .bore = millimetre(3)}},
          .outlet = bar(15),
          .dose = cm3(0.1),
          .in = second(10)};
}

conditions pump() { return {.at = celsius(0), .available = bar(150)}; }

}  // namespace

TEST_CASE("law: a line as long as the curve says passes at the confidence, one 1 % longer does not") {
  const std::array at{celsius(-30), celsius(-10), celsius(10)};
  const limit_curve curve = longest_lines(thin(), millimetre(4), softest(), pump(), at);
  REQUIRE(curve.points.size() == at.size());
  for (const limit_curve::point& p : curve.points) {
    REQUIRE(p.longest);
    line l = thin();
    conditions c = pump();
    c.at = p.temperature;
    l.segments = {{.length = 0.999 * *p.longest, .bore = millimetre(4)}};
    CHECK(check(l, softest(), c).verdict == verdict::flows);
    l.segments.front().length = 1.01 * *p.longest;
    CHECK(check(l, softest(), c).verdict != verdict::flows);
  }
}

TEST_CASE("law: colder is never longer, wider is always longer") {
  const std::array at{celsius(20), celsius(5), celsius(-10), celsius(-25), celsius(-40)};
  const limit_curve narrow = longest_lines(thin(), millimetre(3), softest(), pump(), at);
  const limit_curve wide = longest_lines(thin(), millimetre(4), softest(), pump(), at);
  for (std::size_t i = 0; i < at.size(); ++i) {
    REQUIRE(narrow.points[i].longest);
    CHECK(*wide.points[i].longest > *narrow.points[i].longest);
    if (i > 0) CHECK(*narrow.points[i].longest < *narrow.points[i - 1].longest);
  }
}

TEST_CASE("law: below the bound of the oil no length is shown") {
  const std::array at{celsius(-45), celsius(-60)};
  const limit_curve curve = longest_lines(thin(), millimetre(4), softest(), pump(), at);
  CHECK(curve.points[0].longest);
  CHECK_FALSE(curve.points[1].longest);
}

TEST_CASE("case from users: a bore of nothing is refused") {
  const std::array at{celsius(0)};
  CHECK(refusal([&] { longest_lines(thin(), millimetre(0), softest(), pump(), at); }).find("bore") !=
        std::string::npos);
}
