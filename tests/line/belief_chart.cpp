// What the picture of a belief draws.
#include "coldgrease/line/belief_chart.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "near.hpp"

using namespace coldgrease;

namespace {

evidence class_1() {
  return {.name = "house 1",
          .nlgi = "1",
          .kv40 = mm2_per_s(100),
          .kv100 = mm2_per_s(11),
          .pour = celsius(-40),
          .oil = oil_type::naphthenic};
}

installation truck() {
  installation i{.name = "truck", .available = bar(400)};
  for (const double metres : {3.0, 6.0})
    i.lines.push_back({.point = "point " + std::to_string(i.lines.size()),
                       .segments = {{.length = metre(metres), .bore = millimetre(4)}},
                       .outlet = bar(15),
                       .flow = cm3_per_min(1)});
  return i;
}

/// What a running line of the truck needs of a grease: the pressure that its gauge shows.
pressure needed(const grease& g, double t_c, std::size_t line) {
  conditions c = conditions_of(truck(), celsius(t_c), usual_confidence);
  c.rest = second(0);
  return *check(truck().lines[line], g, c).needed;
}

reading gauge_at(double t_c, pressure gauge, std::size_t row = 2, const std::string& vehicle = "A") {
  return {.day = {2024, 11, 3},
          .vehicle = vehicle,
          .installation = "truck",
          .point = "point 1",
          .grease = "house 1",
          .at = celsius(t_c),
          .gauge = gauge,
          .row = row};
}

std::vector<temperature> from_25_down() {
  std::vector<temperature> over;
  for (double t = 25.0; t >= -40.0; t -= 5.0) over.push_back(celsius(t));
  return over;
}

struct taught {
  grease known;
  std::optional<grease_lesson> lesson{};
  std::optional<belief_chart> chart{};
};
taught chart_after(const grease& g, const std::vector<reading>& readings) {
  const learn_answer a = learn({{g}}, {{truck()}}, readings);
  taught t{.known = a.stock.front()};
  if (!a.lessons.empty()) t.lesson = a.lessons.front();
  t.chart = chart_of(t.known, t.lesson ? &*t.lesson : nullptr, readings, from_25_down());
  return t;
}

/// Greases with data of every kind that a sheet may hold.
std::vector<evidence> measured_greases() {
  std::vector<evidence> all(6, class_1());
  all[0].points = {{celsius(-20), per_second(10), pascal(3000), rate_kind::nominal}};
  all[1].points = {{celsius(-10), per_second(5), pascal(500), rate_kind::true_rate},
                   {celsius(-30), per_second(25), pascal(9000), rate_kind::nominal}};
  all[2].flow_pressures = {{celsius(20), pascal(14e3)}, {celsius(-30), pascal(69e3)}};
  all[3].kv40.reset();
  all[3].kv100.reset();
  all[3].oil.reset();
  all[3].pour.reset();
  all[3].points = {{celsius(-10), per_second(10), pascal(3000), rate_kind::nominal}};
  all[4].penetration = 330;
  all[4].mobility = mobility_reading{.grams_per_minute = 5.0, .at = celsius(-18)};
  for (const double rate : {1.0, 10.0, 100.0})
    all[5].points.push_back({celsius(-20), per_second(rate), pascal(700 + 40 * rate), rate_kind::nominal});
  return all;
}

}  // namespace

TEST_CASE("law: data never widen a band that no disagreement widens, and the middle lies within each") {
  const std::vector<reading> as_believed{gauge_at(-25, needed(estimate(class_1()), -25, 1)),
                                         gauge_at(-10, needed(estimate(class_1()), -10, 1), 3, "B")};
  std::size_t narrower = 0;
  for (const evidence& e : measured_greases()) {
    for (const std::vector<reading>& readings : {std::vector<reading>{}, as_believed}) {
      const taught t = chart_after(estimate(e), readings);
      REQUIRE(t.chart);
      REQUIRE(t.chart->steps.size() >= 2);
      if (t.known.belief().widening > 1.0) continue;
      for (const belief_chart::step& s : t.chart->steps) {
        for (const belief_chart::band& b : {s.before, s.after}) {
          CHECK(b.low < b.median);
          CHECK(b.median < b.high);
          CHECK(near(b.low * b.high, b.median * b.median, 1e-12));
        }
        CHECK(near(s.before.median, 1.0, 1e-12));
        CHECK(s.after.high / s.after.low <= s.before.high / s.before.low * (1.0 + 1e-12));
        if (s.after.high / s.after.low < 0.9 * s.before.high / s.before.low) ++narrower;
      }
    }
  }
  CHECK(narrower > 50);
}

TEST_CASE("law: a band is what answers about the grease say: its middle curve and its spread") {
  for (const evidence& e : measured_greases()) {
    const grease g = estimate(e);
    const taught t = chart_after(g, {});
    for (const belief_chart::step& s : t.chart->steps) {
      const double factor = std::exp(1.645 * g.sigma(s.temperature));
      CHECK(near(s.after.high, s.after.median * factor, 1e-12));
      const nominal_rate usual{per_second(2.65)};
      const detail::wall reference = detail::wall_at_nominal(g.model().at(s.temperature.in_celsius()), 2.65);
      CHECK(near(in_pascal(stress(*g.at(s.temperature), usual)) / reference.stress, s.after.median, 1e-9));
    }
  }
}

TEST_CASE("law: without data there is no chart, nor where the grease is known at one temperature alone") {
  CHECK_FALSE(chart_after(estimate(class_1()), {}).chart);
  const grease g = estimate(measured_greases()[0]);
  CHECK(chart_of(g, nullptr, {}, from_25_down()));
  CHECK_FALSE(chart_of(g, nullptr, {}, std::vector{celsius(-20)}));
  CHECK_FALSE(chart_of(g, nullptr, {}, std::vector{celsius(-20), celsius(-60)}));
}

TEST_CASE("law: a gauge that shows what the reference needs stands at 1, one of a stiffer grease above it") {
  const grease g = estimate(class_1());
  for (const double t_c : {-30.0, -15.0, 0.0}) {
    const taught as_believed = chart_after(g, {gauge_at(t_c, needed(g, t_c, 1))});
    REQUIRE(as_believed.chart);
    REQUIRE(as_believed.chart->points.size() == 1);
    const belief_chart::point& p = as_believed.chart->points.front();
    CHECK(p.kind == datum_kind::gauge);
    CHECK(p.temperature == celsius(t_c));
    CHECK(p.reading == 0);
    CHECK_FALSE(p.waits);
    CHECK(near(p.over_reference, 1.0, 1e-6));
    // 8 bar of gauge in nine of ten, over what the line itself takes.
    const double lost = in_bar(needed(g, t_c, 1)) - 15.0;
    CHECK(near(std::log(p.high / p.over_reference), 8.0 / 1.645 / lost, 0.01));
    CHECK(near(p.low * p.high, p.over_reference * p.over_reference, 1e-12));
    // Twice as much over the outlet is nearly twice the stress: pressure thickens the oil a little.
    const taught stiffer = chart_after(g, {gauge_at(t_c, bar(15.0 + 2.0 * lost))});
    CHECK(stiffer.chart->points.front().over_reference < 2.0);
    CHECK(stiffer.chart->points.front().over_reference > 1.8);
  }
}

TEST_CASE("law: with no other datum the reference is what is expected") {
  const grease g = estimate(class_1());
  for (const double times : {0.8, 1.0, 1.3}) {
    const double lost = in_bar(needed(g, -20, 1)) - 15.0;
    const taught t = chart_after(g, {gauge_at(-20, bar(15.0 + times * lost))});
    const judged_reading& j = t.lesson->readings.front();
    REQUIRE(j.over_reference);
    CHECK(near(*j.over_reference, j.over_expected, 1e-9));
  }
}

TEST_CASE("case: each datum of a sheet has its place over the reference, flow pressures have none") {
  const auto greases = measured_greases();
  const auto points_of = [](const evidence& e) { return chart_after(estimate(e), {}).chart->points; };
  const auto two = points_of(greases[1]);
  REQUIRE(two.size() == 2);
  CHECK(std::ranges::count(two, datum_kind::rheometer, &belief_chart::point::kind) == 1);
  CHECK(std::ranges::count(two, datum_kind::apparent_viscosity, &belief_chart::point::kind) == 1);
  for (const belief_chart::point& p : two) {
    CHECK(near(p.high / p.over_reference, std::pow(1.08, 1.0 / 1.645), 1e-9));
    const auto datum = std::ranges::find(greases[1].points, p.temperature, &measured_point::at);
    REQUIRE(datum != greases[1].points.end());
  }
  CHECK(points_of(greases[2]).empty());
  const auto mobility = points_of(greases[4]);
  REQUIRE(mobility.size() == 1);
  CHECK(mobility.front().kind == datum_kind::mobility);
  CHECK(near(mobility.front().high / mobility.front().over_reference, std::pow(1.4, 1.0 / 1.645), 1e-9));
  const auto fitted = points_of(greases[5]);
  REQUIRE(fitted.size() == 1);
  CHECK(fitted.front().kind == datum_kind::fit);
  CHECK(fitted.front().over_reference == 1.0);
}

TEST_CASE(
    "case: a point that was reached has no error of its own, a soft gauge waits, one that says nothing is left out") {
  const grease g = estimate(class_1());
  std::vector<reading> rows;
  for (std::size_t k = 0; k < 6; ++k) rows.push_back(gauge_at(-20, needed(g, -20, 1), k + 2, k % 2 == 0 ? "A" : "B"));
  rows.push_back(gauge_at(-20, bar(15.0 + 0.1 * (in_bar(needed(g, -20, 1)) - 15.0)), 8, "C"));
  rows.push_back(gauge_at(-20, bar(140), 9, "D"));
  rows.back().gauge.reset();
  rows.back().reached = true;
  rows.push_back(gauge_at(-60, bar(100), 10, "E"));  // nothing is known so far below the pour point
  const taught t = chart_after(g, rows);
  REQUIRE(t.chart);
  const auto point_of = [&](std::size_t reading) {
    return std::ranges::find(t.chart->points, std::optional(reading), &belief_chart::point::reading);
  };
  REQUIRE(t.chart->points.size() == 8);
  CHECK(point_of(6)->waits);
  CHECK(point_of(6)->over_reference < 0.2);
  CHECK(point_of(7)->kind == datum_kind::reached);
  CHECK(point_of(7)->low == point_of(7)->high);
  CHECK(point_of(7)->over_reference > 1.0);
  CHECK(point_of(8) == t.chart->points.end());
}
