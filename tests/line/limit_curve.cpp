// Law: the longest line against the cold.
#include "coldgrease/line/limit_curve.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>

#include "coldgrease/line/limits.hpp"
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

namespace {

installation three_lines() {
  installation i{.name = "three", .available = bar(150)};
  line thick = thin(), far = thin();
  thick.point = "kingpin";
  thick.segments = {{.length = metre(2), .bore = millimetre(3)}};
  far.point = "cam";
  far.segments = {{.length = metre(8), .bore = millimetre(4)}};
  i.lines = {thin(), thick, far};
  return i;
}

const limit_chart::bore_curve& curve_of(const limit_chart& chart, double millimetres) {
  return *std::ranges::find_if(chart.bores, [&](const limit_chart::bore_curve& b) {
    return near(in_millimetre(b.curve.bore), millimetres, 1e-9);
  });
}

}  // namespace

TEST_CASE("law: each bore has a curve, the shortest of its lines', and every line stands on one") {
  const std::array over{celsius(0), celsius(-20)};
  installation i = three_lines();
  i.lines[1].outlet = bar(60);  // asks for more than the other of its bore
  const limit_chart chart = chart_of(i, softest(), celsius(-20), 0.80, over);
  REQUIRE(chart.bores.size() == 2);
  const auto& narrow = curve_of(chart, 3.0);
  REQUIRE(narrow.lines.size() == 2);
  const limit_curve own =
      longest_lines(i.lines[1], millimetre(3), softest(), conditions_of(i, celsius(-20), 0.80), over);
  for (std::size_t k = 0; k < over.size(); ++k)
    CHECK(near(in_metre(*narrow.curve.points[k].longest), in_metre(*own.points[k].longest), 1e-12));
}

TEST_CASE("case from users: a point that takes all the pressure leaves the curve of its bore to the others") {
  const std::array over{celsius(0), celsius(-20)};
  installation i = three_lines();
  const limit_chart before = chart_of(i, softest(), celsius(-20), 0.80, over);
  i.lines[1].outlet = bar(160);
  const limit_chart after = chart_of(i, softest(), celsius(-20), 0.80, over);
  const auto& narrow = curve_of(after, 3.0);
  CHECK(narrow.curve.points.back().longest);
  CHECK(narrow.lines[0].how == drawn_as::by_limit);
  CHECK(narrow.lines[1].how == drawn_as::at_no_length);
  CHECK(curve_of(before, 3.0).lines[1].how == drawn_as::by_limit);
}

TEST_CASE("case from users: a single-line system without a reset pressure draws no limit") {
  const std::array over{celsius(0), celsius(-20)};
  installation i = three_lines();
  i.type = system_type::single_line;
  const limit_chart unknown = chart_of(i, softest(), celsius(-20), 0.80, over);
  CHECK_FALSE(unknown.bores.front().curve.points.front().longest);
  CHECK(unknown.bores.front().lines.front().how == drawn_as::not_known);
  CHECK_FALSE(coldest_passing(i.lines[0], softest(), conditions_of(i, celsius(-20), 0.80)));
  i.reset = bar(30);
  CHECK(chart_of(i, softest(), celsius(0), 0.80, over).bores.front().curve.points.front().longest);
}

TEST_CASE("law: a rating or a colder part of a line shortens its curve") {
  const std::array at{celsius(-20)};
  const conditions c = pump();
  const length plain = *longest_lines(thin(), millimetre(4), softest(), c, at).points[0].longest;
  line weak = thin(), cold = thin();
  weak.segments[1].rating = bar(80);
  cold.segments[0].offset = kelvins(-5);
  CHECK(*longest_lines(weak, millimetre(4), softest(), c, at).points[0].longest < plain);
  CHECK(*longest_lines(cold, millimetre(4), softest(), c, at).points[0].longest < plain);
}
