// What the data of a sheet make of its description; and what is kept without being used.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "coldgrease/base/error.hpp"
#include "coldgrease/grease/worth.hpp"
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

TEST_CASE("law: every datum counts, in any order: each narrows the answer, none throws another away") {
  evidence e = sheet();
  const grease label = estimate(e);
  e.penetration = 325;
  const grease worked = estimate(e);
  e.flow_pressures = {{celsius(25), pascal(15000)}, {celsius(-20), pascal(60000)}};
  const grease pressures = estimate(e);
  e.points = {{celsius(-20), per_second(10), pascal(9000)}};
  const grease point = estimate(e);
  e.points.push_back({celsius(0), per_second(10), pascal(2500)});
  const grease two = estimate(e);
  e.mobility = parse_mobility("12 g/min at -18 C", {});
  const grease all = estimate(e);
  for (const double t : {-28.0, -20.0, -10.0}) {
    CHECK(factor_of(worked, t) < factor_of(label, t));
    CHECK(factor_of(pressures, t) < factor_of(worked, t));
    CHECK(factor_of(point, t) < factor_of(pressures, t));
    CHECK(factor_of(two, t) < factor_of(point, t));
    CHECK(factor_of(all, t) < factor_of(two, t));
  }
  CHECK(all.data().size() == 4);  // the flow pressures are one
  for (const used_datum& d : all.data()) {
    CHECK(d.spread_90 <= d.spread_90_without * (1 + 1e-12));
    CHECK(!d.says.empty());
  }
  evidence turned = e;
  std::ranges::reverse(turned.points);
  std::ranges::reverse(turned.flow_pressures);
  for (const double t : {-28.0, -10.0, 5.0}) {
    CHECK(near(factor_of(estimate(turned), t), factor_of(all, t), 1e-12));
    CHECK(near(stress_at(estimate(turned), t, 2.65), stress_at(all, t, 2.65), 1e-12));
  }
}

TEST_CASE("law: a fit of a grease's own points gives that grease back, at every temperature") {
  const grease truth = estimate(sheet());
  evidence e = sheet();
  e.nlgi.clear();
  e.points = points_of(truth, {-25, -10, 5});
  const grease g = estimate(e);
  CHECK(g.reference() == reference_curve::fitted);
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

TEST_CASE("law: one cold point moves the curve by the share that its errors leave to the class") {
  // By hand: the level has ((ln 1.8)^2 - (ln 1.5)^2)/1.645^2 of variance, the slope (ln 2 (1/12 - 1/18)/1.645)^2, the
  // tilt (0.15/1.645)^2; batch 1.5, laboratory 1.2, point 1.08: one datum, one division.
  const auto of = [](double factor) { return std::pow(std::log(factor) / 1.645, 2); };
  const double level = of(1.8) - of(1.5), slope = std::pow(std::log(2.0) * (1.0 / 12 - 1.0 / 18) / 1.645, 2),
               tilt = std::pow(0.15 / 1.645, 2), noise = of(1.5) + of(1.2) + of(1.08);
  const grease label = estimate(sheet());
  evidence e = sheet();
  e.points = {{celsius(-15), per_second(10), pascal(1.7 * stress_at(label, -15, 10))}};
  const grease g = estimate(e);
  const double turn = std::log(10.0 / detail::usual_rate);
  const double whole = level + slope * 1600.0 + tilt * turn * turn + noise;
  for (const double t : {-25.0, -15.0, 0.0, 30.0}) {
    for (const double rate : {0.1, 2.65, 10.0, 1000.0}) {
      CAPTURE(t);
      CAPTURE(rate);
      const double below = std::max(0.0, 25.0 - t), own = std::max(0.0, std::log(rate / detail::usual_rate));
      const double together = level + slope * 40.0 * below + tilt * turn * own;
      const double median = detail::wall_stress(g.kernel(), t, rate).stress;
      CHECK(near(median, stress_at(label, t, rate) * std::pow(1.7, together / whole), 1e-9));
      const double left = level + slope * below * below + tilt * own * own - together * together / whole + of(1.5);
      CHECK(near(g.sigma(celsius(t), per_second(rate)), std::sqrt(left), 1e-9));
    }
  }
}

TEST_CASE("law: the ratio of flow pressures tells the slope alone, whatever the nozzle") {
  evidence e = sheet();
  const grease label = estimate(e);
  const double reference = in_pascal(label.at(celsius(-20))->yield) / in_pascal(label.at(celsius(20))->yield);
  const double slope = std::pow(std::log(2.0) * (1.0 / 12 - 1.0 / 18) / 1.645, 2),
               error = std::pow(std::log(1.3) / 1.645, 2);
  for (const double ratio : {2.0, 3.0, 5.0}) {
    e.flow_pressures = {{celsius(-20), pascal(ratio * 2e4)}, {celsius(20), pascal(2e4)}};
    const grease g = estimate(e);
    // 45 K and 5 K below 25 C.
    const double found = std::log(ratio / reference) * 40.0 * slope / (1600.0 * slope + error);
    CHECK(near(stress_at(g, -20, 2.65), stress_at(label, -20, 2.65) * std::exp(45.0 * found), 1e-4));
    CHECK(near(stress_at(g, 30, 2.65), stress_at(label, 30, 2.65), 1e-12));
    for (flow_pressure_point& p : e.flow_pressures) p.needed = 7.0 * p.needed;
    CHECK(near(stress_at(estimate(e), -20, 2.65), stress_at(g, -20, 2.65), 1e-9));
  }
  // Above 25 C the yield stress falls by its own law: a reading there is carried back by it.
  e.flow_pressures = {{celsius(-20), pascal(in_pascal(label.at(celsius(-20))->yield))},
                      {celsius(40), pascal(in_pascal(label.at(celsius(40))->yield))}};
  CHECK(near(stress_at(estimate(e), -20, 2.65), stress_at(label, -20, 2.65), 1e-9));
}

TEST_CASE("law: the same points as a fit and as single points tell about the same, and no more") {
  const grease label = estimate(sheet());
  evidence fitted = sheet(), single = sheet();
  for (const double rate : {1.0, 3.0, 9.0, 27.0})
    fitted.points.push_back({celsius(-20), per_second(rate), pascal(1.2 * stress_at(label, -20, rate))});
  single.points = {fitted.points[0], fitted.points[1]};  // two rates are no curve
  REQUIRE(estimate(fitted).reference() == reference_curve::fitted);
  REQUIRE(estimate(single).reference() == reference_curve::of_class);
  const double batch = std::log(1.5) / 1.645, laboratory = std::log(1.2) / 1.645;
  for (const grease& g : {estimate(fitted), estimate(single)}) {
    // Whatever is measured of one batch by one laboratory says no more of the next one than both allow.
    const double known = std::pow(label.sigma(celsius(-20)), 2) - batch * batch,
                 noise = batch * batch + laboratory * laboratory;
    CHECK(g.sigma(celsius(-20)) > std::sqrt(known * noise / (known + noise) + batch * batch) * (1 - 1e-9));
  }
  CHECK(near(estimate(fitted).sigma(celsius(-20)), estimate(single).sigma(celsius(-20)), 0.08));
}

TEST_CASE(
    "law: a fit counts at every temperature it was made at, where the reference does not pass through it as well") {
  evidence e = sheet();
  const grease label = estimate(sheet());
  // Steeper than greases are: the reference is the coldest curve with a slope that is held back.
  for (const auto& [t, times] : {std::pair{-20.0, 3.0}, {0.0, 0.4}}) {
    for (const double rate : {1.0, 4.0, 20.0, 100.0})
      e.points.push_back({celsius(t), per_second(rate), pascal(times * stress_at(label, t, rate))});
  }
  const grease g = estimate(e);
  REQUIRE(g.reference() == reference_curve::fitted);
  // Level and batch take their shares of what is left, so it is the slope between both that must be the measured one.
  const auto at = [&](double t) { return detail::wall_at_nominal(g.model().at(t), 2.65).stress; };
  const auto believed = [&](double t) { return detail::wall_stress(g.kernel(), t, 2.65).stress; };
  const double measured = 3.0 * stress_at(label, -20, 2.65) / (0.4 * stress_at(label, 0, 2.65));
  CHECK(at(-20.0) / at(0.0) < 0.7 * measured);
  CHECK(near(believed(-20.0) / believed(0.0), measured, 0.03));
  CHECK(believed(-20.0) >= 3.0 * stress_at(label, -20, 2.65) * 0.99);  // the safe side
}

TEST_CASE("law: what data say of the slope makes nothing softer beyond the coldest of them") {
  evidence e = sheet();
  e.points = {{celsius(-10), per_second(10), pascal(0.5 * stress_at(estimate(sheet()), -10, 10))},
              {celsius(20), per_second(10), pascal(1.6 * stress_at(estimate(sheet()), 20, 10))}};
  const grease g = estimate(e), label = estimate(sheet());
  REQUIRE(g.belief().mean[1] < 0.0);
  const auto over = [&](double t) {
    return detail::wall_stress(g.kernel(), t, 2.65).stress / stress_at(label, t, 2.65);
  };
  CHECK(over(0.0) > over(-10.0) * (1 + 1e-9));
  CHECK(near(over(-28.0), over(-10.0), 1e-12));
}

TEST_CASE("law: what a datum is worth is what it does if it comes as expected, and none is worth more") {
  const grease g = estimate(sheet());
  for (const double t : {-25.0, -10.0}) {
    const worth w = *worth_most(g, celsius(t));
    REQUIRE(w.datum == obtainable::apparent_viscosity);
    CHECK(near(w.spread_90_without, factor_of(g, t), 1e-12));
    const auto with = [&](temperature at, double rate) {
      evidence e = sheet();
      e.points = {{at, per_second(rate), pascal(stress_at(g, at.in_celsius(), rate))}};
      return factor_of(estimate(e), t);
    };
    CHECK(near(w.spread_90, with(*w.at, in_per_second(*w.rate)), 1e-9));
    for (const double rate : {1.0, 2.5, 10.0, 25.0}) {
      for (const double warmer : {0.0, 5.0, 10.0}) CHECK(w.spread_90 <= with(celsius(t + warmer), rate) * (1 + 1e-12));
    }
    evidence worked = sheet();
    worked.penetration = 325;
    CHECK(w.spread_90 <= factor_of(estimate(worked), t));
  }
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
  CHECK(spread(0.1) > spread(1.0));
  CHECK(spread(1.0) > spread(10.0));
}

TEST_CASE("case: a mobility figure is a point of its capillary (steel industry's method, from memory)") {
  // 12 g/min of 900 kg/m3 through 3.8 mm: 32 Q/(pi D^3) = 41.3 1/s; 150 psi over 160 is 6464 Pa.
  const mobility_reading m = parse_mobility("12 g/min at -18 C", "mobility");
  const measured_point p = point_of(m, kg_per_m3(900));
  CHECK(near(in_per_second(p.rate), 41.25, 0.0, 0.05));
  CHECK(near(in_pascal(p.stress), 6463.8, 0.0, 0.5));
  CHECK(parse_mobility(text_of(m), {}) == m);
  const mobility_reading own = parse_mobility("3.5 g/min at 0 F, 3 mm, 10 bar", {});
  CHECK(near(in_metre(own.bore), 3e-3, 1e-12));
  CHECK(parse_mobility(text_of(own), {}) == own);
  for (const char* wrong : {"", "12", "12 g/min", "12 g at -18 C", "-1 g/min at -18 C", "0 g/min at -18 C",
                            "nan g/min at 0 C", "12 g/min at -18", "12 g/min at -18 C, 3 bar", "12 g/min at -18 C,",
                            "1e300 g/min at -18 C", "12 g/min at -18 C, 1e-9 mm", "12 g/min at -18 C, 3 mm, 10 bar, 7"})
    CHECK_THROWS_AS(parse_mobility(wrong, {}), input_error);
  evidence e = sheet();
  e.mobility = m;
  const grease g = estimate(e);
  REQUIRE(g.data().size() == 1);
  CHECK(g.data()[0].kind == datum_kind::mobility);
  CHECK(near(g.data()[0].over_reference, 6463.8 / stress_at(estimate(sheet()), -18, 41.25 * 900 / (900 + 0.65 * 33)),
             1e-3));
  CHECK(factor_of(g, -18) < factor_of(estimate(sheet()), -18));
}

TEST_CASE("case: what is kept without being used says so") {
  evidence e = sheet();
  e.flow_pressures = {{celsius(-30), pascal(140000), true}};
  e.claim = "biodegradable, pumpable to -40 C";
  const grease g = estimate(e);
  CHECK(g.data().empty());
  CHECK(says(g, "at most 1400 hPa"));
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
  CHECK(g.oil() == oil_knowledge::index_unknown);
}

TEST_CASE("case: points alone make a grease, a single one does not") {
  evidence e{.name = "measured", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)};
  e.points = points_of(estimate(sheet()), {-10});
  CHECK(estimate(e).reference() == reference_curve::fitted);
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
  CHECK(g.data().empty());
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
  REQUIRE(in_wax.reference() == reference_curve::fitted);
  REQUIRE(in_wax.model().reference.k > 0.0);
  // At its own temperature it is what was measured; warmer it falls as a network does, by no more.
  const double own = in_wax.at(celsius(-24))->consistency, warm = in_wax.at(celsius(-10))->consistency;
  const double network = std::pow(in_wax.model().eta(-10) / in_wax.model().eta(-24), in_wax.model().yield_exponent);
  CHECK(near(warm / own, network, 1e-9));
  // With points above the wax as well, those stand for warmer air.
  for (const double rate : {1.0, 10.0, 100.0, 1000.0})
    e.points.push_back({celsius(-5), per_second(rate), pascal(900.0 * std::pow(rate, 0.3))});
  const grease both = estimate(e);
  CHECK(near(stress_at(both, -5, 10), 900.0 * std::pow(10.0, 0.3), 0.15));
  CHECK(both.at(celsius(-24))->consistency > both.at(celsius(-18))->consistency);
}
