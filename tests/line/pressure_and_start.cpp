// What pressure does to the oil in a line, what a start does to the spread, what the cold does to a point.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "coldgrease/line/limits.hpp"
#include "coldgrease/line/tube_flow.hpp"
#include "line/random_lines.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

const evidence class_0{.nlgi = "0", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)};

line six_metres() {
  return {.point = "p",
          .segments = {{.length = metre(6), .bore = millimetre(4)}},
          .outlet = bar(15),
          .flow = cm3_per_min(1)};
}

/// Pressure at the pump by integration from the point up, each step at its own pressure [Pa].
double integrated(const flow_curve& f, double alpha, double outlet, double run, double bore, double flow) {
  constexpr int steps = 4000;
  const detail::curve ambient = detail::kernel(f);
  const double rate = detail::nominal_rate_of(flow, bore);
  const auto gradient = [&](double p) {
    detail::curve c = ambient;
    c.c *= std::exp(alpha * p);
    return 4.0 / bore * detail::wall_at_nominal(c, rate).stress;
  };
  double p = outlet;
  for (int s = 0; s < steps; ++s) {
    const double h = run / steps, middle = p + 0.5 * h * gradient(p);
    p += h * gradient(middle);
  }
  return p;
}

/// A draw of the normal law by Box and Muller: the library's own differs from one standard library to the next.
double a_normal(std::mt19937_64& random) {
  const auto share = [&] { return (static_cast<double>(random() >> 11) + 0.5) * 0x1p-53; };
  const double radius = std::sqrt(-2.0 * std::log(share()));
  return radius * std::cos(2.0 * std::numbers::pi * share());
}

}  // namespace

TEST_CASE("law: what a line needs is that of its own mean pressure, as near as integration along the line tells") {
  const grease g = estimate(class_0);
  for (const double t : {0.0, -10.0, -20.0, -25.0}) {
    CAPTURE(t);
    conditions c{.at = celsius(t), .available = bar(250), .rest = second(0)};
    const line_answer a = check(six_metres(), g, c);
    // The fixed point: at `available` = `needed` the verdict turns, so the chance is even.
    c.available = *a.needed;
    CHECK(near(*check(six_metres(), g, c).chance, 0.5, 1e-9));
    const double along = integrated(*g.at(celsius(t)), 25e-9, 15e5, 6.0, 4e-3, in_m3_per_s(cm3_per_min(1)));
    CHECK(near(in_pascal(*a.needed), along, 0.003));
  }
}

TEST_CASE("published value: at 250 bar a mineral oil is 1.4 times as thick in the mean of the line") {
  // exp(25e-9 (250e5 + 15e5)/2), 25 1/GPa within the 17.5 to 35 1/GPa of Engineering Tribology table 2.3.
  CHECK(near(detail::thickening(estimate(class_0).kernel(), 250e5, 15e5), 1.4, 0.0, 0.01));
  evidence synthetic = class_0;
  synthetic.oil = oil_type::pao;
  CHECK(near(detail::thickening(estimate(synthetic).kernel(), 250e5, 15e5), std::exp(15e-9 * 132.5e5), 1e-12));
}

TEST_CASE("law: pressure never makes a line need less, and what needs more than 1000 bar has no figure") {
  line_sampler s(51);
  for (int n = 0; n < 200; ++n) {
    const line l = s.a_line();
    const grease g = s.an_estimate();
    const conditions c = s.some(s.between(-40, 10));
    const line_answer a = check(l, g, c);
    if (!a.needed) continue;
    CHECK(*a.needed <= bar(1000));
    double ambient = in_pascal(a.outlet);
    for (const segment& seg : l.segments)
      ambient += in_pascal(pressure_loss(*g.at(*c.at + seg.offset), seg.length, seg.bore, flow_of(l)));
    CHECK(in_pascal(a.outlet + *a.flow_loss) >= ambient * (1.0 - 1e-12));
  }
  const line_answer frozen = check(six_metres(), estimate(class_0), {.at = celsius(-60), .available = bar(250)});
  CHECK_FALSE(frozen.needed.has_value());
  CHECK_FALSE(frozen.start_loss.has_value());
  CHECK(frozen.verdict == verdict::stalls);
}

TEST_CASE("law: the spread of the start enters by what the loss owes to the yield stress, and not while it runs") {
  const flow_curve f{pascal(900), 90.0, 0.5, pascal_second(30)};
  const grease g = measured(f, celsius(-10));
  conditions c{.at = celsius(-10), .available = bar(250)};
  const double batch = std::log(1.5) / 1.645;
  for (const double hours : {0.0, 0.5, 12.0, 72.0}) {
    CAPTURE(hours);
    c.rest = hour(hours);
    const line_answer a = check(six_metres(), g, c);
    const double k = start_factor(*c.rest);
    const double thick = std::exp(25e-9 * 132.5e5);
    const auto loss = [&](double times) {
      const flow_curve start{pascal(900 * k * times), 90.0, 0.5, pascal_second(30 * thick)};
      return in_pascal(pressure_loss(start, metre(6), millimetre(4), cm3_per_min(1)));
    };
    const double h = 1e-4;
    const double share = k > 1.0 ? std::log(loss(1 + h) / loss(1 - h)) / std::log((1 + h) / (1 - h)) : 0.0;
    CHECK(near(*a.spread_90, std::exp(1.645 * std::hypot(batch, share * std::log(1.3) / 1.645)), 1e-7));
  }
}

TEST_CASE(
    "law: the outlet pressure rises in the cold as the yield stress does, never falls, and is said where unknown") {
  const grease g = estimate(class_0);
  line l = six_metres();
  const conditions cold{.at = celsius(-15), .available = bar(250)};
  const line_answer as_stated = check(l, g, cold);
  REQUIRE(as_stated.outlet_doubt.has_value());
  l.outlet_at = celsius(20);
  const line_answer found_warm = check(l, g, cold);
  const double ratio = in_pascal(g.at(celsius(-15))->yield) / in_pascal(g.at(celsius(20))->yield);
  CHECK(near(in_bar(found_warm.outlet), 15.0 * ratio, 1e-12));
  CHECK(*found_warm.chance < *as_stated.chance);
  CHECK(*found_warm.chance == as_stated.outlet_doubt->chance);
  CHECK(found_warm.outlet == as_stated.outlet_doubt->outlet);
  CHECK_FALSE(found_warm.outlet_doubt.has_value());
  CHECK(*found_warm.coldest > *as_stated.coldest);
  l.outlet_at = celsius(-30);
  CHECK(near(in_bar(check(l, g, cold).outlet), 15.0, 1e-12));
}

TEST_CASE("law: the largest outlet pressure, put back in, meets the confidence") {
  const grease g = estimate(class_0);
  const conditions c{.at = celsius(-12), .available = bar(250)};
  line l = six_metres();
  l.outlet = check(l, g, c).largest_outlet;
  REQUIRE(l.outlet.has_value());
  CHECK(near(*check(l, g, c).chance, 0.80, 1e-9));
}

TEST_CASE("case: a fit that leaves the yield stress open shows no recharge of meters") {
  // Points that a linear term alone explains: the yield stress is driven to zero, and a single line cannot be shown.
  evidence e{.nlgi = "000", .kv40 = mm2_per_s(46), .kv100 = mm2_per_s(6.8)};
  for (const double rate : {5.0, 10.0, 20.0, 50.0, 100.0, 200.0})
    e.points.push_back({celsius(-10), per_second(rate), pascal(3.0 * rate)});
  const grease g = estimate(e);
  const conditions c{.at = celsius(-10), .available = bar(60), .system = system_type::single_line, .reset = bar(8)};
  const line_answer a = check(six_metres(), g, c);
  CHECK(a.verdict == verdict::not_shown);
  CHECK(a.missing == missing_datum::yield);
  CHECK_FALSE(a.coldest.has_value());
  CHECK_FALSE(recharges(six_metres(), g, c));
  conditions own_lines = c;
  own_lines.system = system_type::multi_outlet;
  own_lines.reset.reset();
  CHECK(check(six_metres(), g, own_lines).verdict == verdict::flows);
}

TEST_CASE("law: the error of a fitted yield stress is in the chance of a recharge") {
  evidence e{.nlgi = "1", .kv40 = mm2_per_s(46), .kv100 = mm2_per_s(6.8)};
  const double noise[]{1.04, 0.97, 1.02, 0.95, 1.05, 0.98, 1.01, 0.96};
  for (int i = 0; i < 8; ++i) {
    const double rate = std::pow(10.0, -1.0 + 0.4 * i);
    e.points.push_back(
        {celsius(-10), per_second(rate), pascal(noise[i] * (400.0 + 40.0 * std::sqrt(rate) + 2.0 * rate))});
  }
  const grease g = estimate(e);
  REQUIRE(g.model().shows_yield);
  CHECK(g.model().yield_error > 0.0);
  const conditions c{.at = celsius(-10),
                     .available = bar(250),
                     .rest = second(0),
                     .system = system_type::single_line,
                     .reset = bar(40)};
  const double residual = 4.0 * 6.0 / 4e-3 * in_pascal(g.at(celsius(-10))->yield);
  const double sigma = std::hypot(g.sigma(celsius(-10)), g.model().yield_error);
  CHECK(near(in_pascal(*check(six_metres(), g, c).residual), residual * std::exp(normal_quantile(0.80) * sigma), 1e-9));
}

TEST_CASE(
    "case: of 100 data sheets with 5 % of noise few pass a recharge at its limit, none with its yield stress gone" *
    doctest::test_suite("long")) {
  // A true yield stress of 300 Pa keeps 4 x 6/0.004 x 300 = 18 bar, all of the reset pressure: the true chance is even.
  constexpr double yield = 300.0;
  const conditions c{.at = celsius(-10),
                     .available = bar(250),
                     .rest = second(0),
                     .system = system_type::single_line,
                     .reset = bar(18)};
  std::mt19937_64 random(3);
  int flows = 0, without_error = 0, gone = 0;
  for (int sheet = 0; sheet < 100; ++sheet) {
    CAPTURE(sheet);
    evidence e{.nlgi = "1", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)};
    for (int i = 0; i < 12; ++i) {
      const double rate = 3.0 * std::pow(10.0, 3.0 * i / 11.0);
      const double stress = (yield + 100.0 * std::sqrt(rate) + 3.0 * rate) * std::exp(0.05 * a_normal(random));
      e.points.push_back({celsius(-10), per_second(rate), pascal(stress), rate_kind::true_rate});
    }
    const grease g = estimate(e);
    const line_answer a = check(six_metres(), g, c);
    const double fitted = in_pascal(g.at(celsius(-10))->yield);
    if (fitted < 0.01 * yield) {
      ++gone;
      CHECK(a.missing == missing_datum::yield);
    }
    if (!a.chance) continue;
    flows += a.verdict == verdict::flows;
    without_error += std::log(yield / fitted) >= normal_quantile(0.80) * std::log(1.5) / 1.645;
  }
  // Measured: 4 of these 100 pass, and 19 would with the error of the fit left out; four other seeds gave 0 to 6 and 14
  // to 28. The bounds leave room for compilers that round otherwise.
  CHECK(flows <= 8);
  CHECK(without_error >= 12);
  CHECK(gone > 2);
}
