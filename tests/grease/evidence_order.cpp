// What an estimate stands on: a fitted curve before one cold point, before two flow pressures, before a worked
// penetration, before the label; and what is kept without being used.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "coldgrease/base/error.hpp"
#include "coldgrease/grease/grease.hpp"
#include "coldgrease/line/line.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

evidence sheet() {
  return {
      .nlgi = "1", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7), .pour = celsius(-30), .oil = oil_type::naphthenic};
}
bool says(const grease& g, std::string_view words) {
  return std::ranges::any_of(g.notes(), [&](const std::string& n) { return n.find(words) != std::string::npos; });
}
double factor_of(const grease& g, double t_c) { return std::exp(detail::z90 * g.sigma(celsius(t_c))); }
double stress_at(const grease& g, double t_c, double rate) {
  return in_pascal(stress(*g.at(celsius(t_c)), nominal_rate{per_second(rate)}));
}
/// Points of a grease itself, at rates that span three decades.
std::vector<measured_point> points_of(const grease& g, std::initializer_list<double> temperatures,
                                      double factor = 1.0) {
  std::vector<measured_point> points;
  for (const double t : temperatures) {
    for (double rate = 0.5; rate < 2000.0; rate *= 3.0)
      points.push_back({celsius(t), per_second(rate), pascal(factor * stress_at(g, t, rate))});
  }
  return points;
}

}  // namespace

TEST_CASE("law: each step of evidence is trusted more: the spread falls, and never rises above the label's") {
  const grease label = estimate(sheet());
  evidence e = sheet();
  e.penetration = 325;
  const grease worked = estimate(e);
  CHECK(worked.kind() == evidence_kind::penetration);
  e.flow_pressures = {{celsius(25), pascal(15000)}, {celsius(-20), pascal(60000)}};
  const grease pressures = estimate(e);
  CHECK(pressures.kind() == evidence_kind::flow_pressures);
  e.points = {{celsius(-20), per_second(10), pascal(9000)}};
  const grease point = estimate(e);
  CHECK(point.kind() == evidence_kind::cold_point);
  e.points = points_of(label, {-20, 0});
  const grease fitted = estimate(e);
  CHECK(fitted.kind() == evidence_kind::measured);
  for (const double t : {-28.0, -20.0, -10.0}) {
    CHECK(factor_of(worked, t) < factor_of(label, t));
    CHECK(factor_of(pressures, t) < factor_of(worked, t));
    CHECK(factor_of(point, t) < factor_of(pressures, t));
    CHECK(factor_of(fitted, t) <= factor_of(point, t));
  }
  for (const grease* g : {&label, &worked, &pressures, &point, &fitted}) {
    CHECK(!g->stands_on().empty());
    CHECK(!g->wanted().empty());
  }
}

TEST_CASE("law: a fit of a grease's own points gives that grease back, at every temperature") {
  const grease truth = estimate(sheet());
  evidence e = sheet();
  e.nlgi.clear();
  e.points = points_of(truth, {-25, -10, 5});
  const grease g = estimate(e);
  CHECK(g.kind() == evidence_kind::measured);
  for (const double t : {-28.0, -25.0, -18.0, -10.0, 0.0, 5.0, 20.0}) {
    for (const double rate : {1.0, 2.65, 10.0}) CHECK(near(stress_at(g, t, rate), stress_at(truth, t, rate), 0.01));
  }
  // Order does not matter, nor does a class beside the points.
  std::ranges::reverse(e.points);
  e.nlgi = "2";
  CHECK(near(stress_at(estimate(e), -18, 2.65), stress_at(g, -18, 2.65), 1e-6));
  CHECK_FALSE(says(g, "do not tell the shape"));
  // Fewer than three decades fix yield and linear term alone; what is kept is named.
  std::erase_if(e.points, [](const measured_point& p) { return in_per_second(p.rate) > 200.0; });
  CHECK(says(estimate(e), "do not tell the shape of the curve: K = yield/10 and n = 0.5 are kept"));
}

TEST_CASE("law: one cold point multiplies the whole curve of the class by one factor") {
  const grease label = estimate(sheet());
  evidence e = sheet();
  e.points = {{celsius(-15), per_second(10), pascal(1.7 * stress_at(label, -15, 10))}};
  const grease g = estimate(e);
  CHECK(g.kind() == evidence_kind::cold_point);
  for (const double t : {-25.0, -15.0, 0.0, 30.0}) {
    for (const double rate : {0.1, 10.0, 1000.0})
      CHECK(near(stress_at(g, t, rate), 1.7 * stress_at(label, t, rate), 1e-9));
  }
  CHECK(near(factor_of(g, -20), 1.5, 1e-12));  // within 10 K of the point
  // Of two points alone at their temperatures the colder one counts.
  e.points.push_back({celsius(0), per_second(10), pascal(9e9)});
  CHECK(near(stress_at(estimate(e), -15, 10), 1.7 * stress_at(label, -15, 10), 1e-9));
  // A wrong unit shows.
  e.points = {{celsius(-15), per_second(10), pascal(10.0 * stress_at(label, -15, 10))}};
  CHECK(says(estimate(e), "check its unit"));
}

TEST_CASE(
    "law: the ratio of two flow pressures is the ratio of the yield stresses, and leaves the level to the class") {
  evidence e = sheet();
  for (const double ratio : {2.0, 3.0, 5.0}) {
    e.flow_pressures = {{celsius(-20), pascal(ratio * 2e4)}, {celsius(20), pascal(2e4)}};
    const grease g = estimate(e);
    CHECK(near(in_pascal(g.at(celsius(-20))->yield) / in_pascal(g.at(celsius(20))->yield), ratio, 1e-9));
    CHECK(near(in_pascal(g.at(celsius(25))->yield), in_pascal(estimate(sheet()).at(celsius(25))->yield), 1e-12));
    for (flow_pressure_point& p : e.flow_pressures) p.needed = 7.0 * p.needed;
    CHECK(near(in_pascal(estimate(e).at(celsius(-20))->yield), in_pascal(g.at(celsius(-20))->yield), 1e-12));
  }
  // Above 25 C the yield stress falls by its own law: the reading there is carried back by it.
  e.flow_pressures = {{celsius(-20), pascal(8e4)}, {celsius(40), pascal(2e4)}};
  const grease g = estimate(e);
  CHECK(near(in_pascal(g.at(celsius(-20))->yield) / in_pascal(g.at(celsius(40))->yield), 4.0, 1e-9));
}

TEST_CASE("law: below the measured rates the spread of a fit grows, above them it does not") {
  evidence e = sheet();
  e.points = points_of(estimate(sheet()), {-20});
  for (measured_point& p : e.points) p.rate = 20.0 * p.rate;  // 10 1/s and more
  const grease g = estimate(e);
  const auto spread = [&](double cm3_min) {
    const line l{
        .segments = {{.length = metre(6), .bore = millimetre(4)}}, .outlet = bar(15), .flow = cm3_per_min(cm3_min)};
    // Running: a start has a spread of its own.
    return *check(l, g, {.at = celsius(-20), .available = bar(250), .rest = second(0)}).spread_90;
  };
  // 1 cm3/min through 4 mm is 2.65 1/s.
  CHECK(near(spread(1.0), 1.5 * std::pow(10.0 / (32e-6 / 60 / (3.14159265358979 * 64e-9)), 0.15), 1e-9));
  CHECK(spread(0.1) > spread(1.0));
  CHECK(near(spread(10.0), 1.5, 1e-12));
}

TEST_CASE("case: what is kept without being used says so") {
  evidence e = sheet();
  e.flow_pressures = {{celsius(-30), pascal(140000), true}};
  e.mobility = "12 g/min at -18 C";
  e.claim = "biodegradable, pumpable to -40 C";
  const grease g = estimate(e);
  CHECK(g.kind() == evidence_kind::label);
  CHECK(says(g, "at most 1400 hPa"));
  CHECK(says(g, "ranks greases at its temperature"));
  CHECK(says(g, "proves nothing"));
  CHECK(says(g, "ask whether the oil is an ester"));
  CHECK(stress_at(g, -15, 3) == stress_at(estimate(sheet()), -15, 3));
  e.flow_pressures = {{celsius(-20), pascal(90000)}};
  CHECK(says(estimate(e), "one flow pressure gives no slope"));
  e.oil = oil_type::vegetable;
  CHECK_FALSE(says(estimate(e), "ask whether"));
}

TEST_CASE("case: one viscosity of a synthetic oil is run at both ends of its usual index") {
  const grease g = estimate({.nlgi = "1", .kv100 = mm2_per_s(8), .oil = oil_type::pao});
  CHECK(says(g, "a viscosity index of 125 to 150 is usual for a pao oil (from memory)"));
  CHECK(says(g, "mm2/s at -30.0 C"));
  CHECK(g.wanted().find("second viscosity") != std::string::npos);
}

TEST_CASE("case: points alone make a grease, a single one does not") {
  evidence e{.name = "measured", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)};
  e.points = points_of(estimate(sheet()), {-10});
  CHECK(estimate(e).kind() == evidence_kind::measured);
  e.points.resize(1);
  CHECK_THROWS_AS(estimate(e), input_error);
}

TEST_CASE("case: measured far below the pour point, nothing softer is concluded for warmer air") {
  evidence e{
      .nlgi = "2", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7), .pour = celsius(-18), .oil = oil_type::mineral};
  const grease label = estimate(e);
  for (const double rate : {1.0, 10.0, 100.0})
    e.points.push_back({celsius(-40), per_second(rate), pascal(3360.0 * std::pow(rate, 0.3))});
  const grease g = estimate(e);
  CHECK(g.kind() == evidence_kind::label);
  CHECK(says(g, "measured points too far below the oil's pour point, left out: 3"));
  CHECK(near(stress_at(g, -10, 2.65), stress_at(label, -10, 2.65), 1e-12));
  e.nlgi.clear();
  CHECK_THROWS_AS(estimate(e), input_error);
}

TEST_CASE("law: what was measured in wax is not made softer by taking the wax out again") {
  evidence e{
      .nlgi = "2", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7), .pour = celsius(-21), .oil = oil_type::mineral};
  for (const double rate : {1.0, 10.0, 100.0, 1000.0})
    e.points.push_back({celsius(-24), per_second(rate), pascal(3000.0 * std::pow(rate, 0.3))});
  const grease in_wax = estimate(e);
  REQUIRE(in_wax.kind() == evidence_kind::measured);
  REQUIRE(in_wax.kernel().reference.k > 0.0);
  // At its own temperature it is what was measured; warmer it falls as a network does, by no more.
  const double own = in_wax.at(celsius(-24))->consistency, warm = in_wax.at(celsius(-10))->consistency;
  const double network = std::pow(in_wax.kernel().eta(-10) / in_wax.kernel().eta(-24), in_wax.kernel().yield_exponent);
  CHECK(near(warm / own, network, 1e-9));
  // With points above the wax as well, those stand for warmer air.
  for (const double rate : {1.0, 10.0, 100.0, 1000.0})
    e.points.push_back({celsius(-5), per_second(rate), pascal(900.0 * std::pow(rate, 0.3))});
  const grease both = estimate(e);
  CHECK(near(stress_at(both, -5, 10), 900.0 * std::pow(10.0, 0.3), 0.15));
  CHECK(both.at(celsius(-24))->consistency > both.at(celsius(-18))->consistency);
}
