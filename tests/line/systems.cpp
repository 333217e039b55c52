// Progressive and single-line systems: laws between them and the multi-outlet one.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "coldgrease/base/error.hpp"
#include "coldgrease/line/dosing.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"
#include "coldgrease/line/tube_flow.hpp"
#include "near.hpp"
#include "refusal.hpp"

using namespace coldgrease;

namespace {

grease on_vg46(std::string_view label = "000") {
  return estimate(
      {.nlgi = std::string(label), .kv40 = mm2_per_s(46), .vi = 50, .pour = celsius(-45), .oil = oil_type::naphthenic});
}

line branch(std::string point, double metres, double dose_cm3, std::string main = "main") {
  line l{.point = std::move(point), .outlet = bar(10), .dose = cm3(dose_cm3), .in = second(10)};
  l.segments = {{.length = metre(8), .bore = millimetre(9), .main = std::move(main)},
                {.length = metre(metres), .bore = millimetre(4)}};
  return l;
}

installation system(system_type type) {
  installation i{.name = "s", .type = type, .available = bar(60), .interval = hour(1), .days_per_week = 7.0};
  if (type == system_type::single_line) i.reset = bar(8);
  if (type == system_type::progressive) i.divider_loss = bar(5);
  i.lines = {branch("a", 1, 0.1), branch("b", 3, 0.4), branch("c", 2, 0.2)};
  if (type == system_type::progressive) {
    // One pump of 2.4 cm3/min serves one outlet after the other.
    for (line& l : i.lines) l.in = second(in_m3(*l.dose) / in_m3_per_s(cm3_per_min(2.4)));
  }
  return i;
}

}  // namespace

TEST_CASE("law: a main carries the sum of the flows (single-line) or one of them (progressive), and all the volume") {
  for (const system_type type : {system_type::single_line, system_type::progressive}) {
    installation i = system(type);
    join_mains(i);
    const double flow = type == system_type::single_line ? 4.2 : 2.4;
    for (const line& l : i.lines) {
      CHECK(near(l.segments[0].flow_ratio * in_cm3_per_min(flow_of(l)), flow, 1e-12));
      CHECK(near(l.segments[0].dose_ratio * in_cm3(*l.dose), 0.7, 1e-12));
      CHECK(l.segments[1].flow_ratio == 1.0);
      CHECK(l.segments[1].dose_ratio == 1.0);
    }
  }
}

TEST_CASE("law: the loss of a line is that of its tubes, each at its own flow") {
  installation i = system(system_type::single_line);
  join_mains(i);
  const flow_curve f{pascal(60), 6.0, 0.5, pascal_second(0)};  // no linear term: pressure thickens nothing
  const grease g = measured(f, celsius(-10));
  const line_answer a = check(i.lines[1], g, conditions_of(i, celsius(-10), 0.80));
  const pressure main = pressure_loss(f, metre(8), millimetre(9), m3_per_s(0.7e-6 / 10));
  const pressure own = pressure_loss(f, metre(3), millimetre(4), m3_per_s(0.4e-6 / 10));
  CHECK(near(in_pascal(*a.flow_loss), in_pascal(main + own), 1e-12));
}

TEST_CASE("law: residence is the sum of volume over the daily volume through each tube") {
  installation i = system(system_type::single_line);
  join_mains(i);
  const double pi = std::numbers::pi;
  // 10 cycles a day: 7 cm3 through the main, 4 through the tube of b.
  const double expected = pi / 4 * 81 * 8 / 7.0 + pi / 4 * 16 * 3 / 4.0;
  CHECK(near(in_days(*residence_time(i.lines[1], i)), expected, 1e-12));
  // A main stands once in the volume of the installation.
  CHECK(near(in_cm3(volume_of(i)), pi / 4 * 81 * 8 + pi / 4 * 16 * 6, 1e-12));
}

TEST_CASE("law: one line on a main of its own is a multi-outlet line, whatever the system") {
  const grease g = on_vg46("1");
  for (const system_type type : {system_type::single_line, system_type::progressive}) {
    installation one = system(type);
    one.lines = {branch("a", 3, 0.2)};
    one.reset = bar(1e9);
    one.divider_loss = bar(0);
    installation plain = one;
    plain.type = system_type::multi_outlet;
    plain.lines[0].segments[0].main.clear();
    const line_answer x = check(one, g, celsius(0)).points[0].check;
    const line_answer y = check(plain, g, celsius(0)).points[0].check;
    CHECK(near(*x.chance, *y.chance, 1e-12));
    CHECK(near(x.coldest->in_celsius(), y.coldest->in_celsius(), 0.0, 1e-9));
    CHECK(near(in_metre(*x.longest), in_metre(*y.longest), 1e-12));
    CHECK(near(in_metre(*x.smallest_bore), in_metre(*y.smallest_bore), 1e-9));
    CHECK(near(in_days(*residence_time(one.lines[0], one)), in_days(*residence_time(plain.lines[0], plain)), 1e-12));
  }
}

TEST_CASE("law: each divider stage takes its loss from what is available") {
  // No linear term: pressure thickens nothing, so that only what is left for the line counts.
  const grease g = measured({pascal(150), 15.0, 0.5, pascal_second(0)}, celsius(-10), on_vg46("0").known());
  installation i = system(system_type::progressive);
  i.lines[1].stages = 3;
  const line_answer three = check(i.lines[1], g, conditions_of(i, celsius(-10), 0.80));
  CHECK(near(in_bar(three.divider_loss), 15.0, 1e-12));
  CHECK(near(in_pascal(*three.needed), in_pascal(three.outlet + three.divider_loss + *three.start_loss), 1e-12));
  installation weaker = i;
  weaker.divider_loss = bar(0);
  weaker.available = bar(45);
  const line_answer less = check(weaker.lines[1], g, conditions_of(weaker, celsius(-10), 0.80));
  CHECK(near(*three.chance, *less.chance, 1e-12));
  CHECK(near(three.coldest->in_celsius(), less.coldest->in_celsius(), 0.0, 1e-9));
  // A loss that nobody gave is 0 and is warned of.
  i.divider_loss.reset();
  const line_answer silent = check(i.lines[1], g, conditions_of(i, celsius(-10), 0.80));
  CHECK(silent.warnings.front().find("divider stage") != std::string::npos);
}

TEST_CASE("law: a single line flows only where its meters recharge, and the worse of the two chances counts") {
  const grease g = on_vg46("1");
  installation i = system(system_type::single_line);
  join_mains(i);
  double last_chance = 0.0, last_coldest = 1e9;
  for (const double reset : {1.0, 2.0, 4.0, 8.0, 16.0, 1e6}) {
    i.reset = bar(reset);
    const conditions c = conditions_of(i, celsius(-5), 0.80);
    const line_answer a = check(i.lines[0], g, c);
    const double sigma = g.sigma(celsius(-5)), z = normal_quantile(0.80);
    // Only the main must vent: the tube behind the meter need not.
    const double residual = 4.0 * 8.0 / 9e-3 * in_pascal(g.at(celsius(-5))->yield);
    CHECK(near(in_pascal(*a.residual), residual * std::exp(z * sigma), 1e-12));
    const double vents = detail::chance_of(std::log(reset * 1e5 / residual), sigma, sigma);
    CHECK(*a.chance <= vents * (1 + 1e-12));
    installation open = i;  // its meters recharge at any pressure
    open.reset = bar(1e9);
    const double flows = *check(open.lines[0], g, conditions_of(open, celsius(-5), 0.80)).chance;
    CHECK(near(*a.chance, std::min(vents, flows), 1e-12));
    CHECK(*a.chance >= last_chance);
    last_chance = *a.chance;
    if (a.coldest) {
      CHECK(a.coldest->in_celsius() <= last_coldest);
      last_coldest = a.coldest->in_celsius();
      const line_answer there = check(i.lines[0], g, conditions_of(i, *a.coldest, 0.80));
      CHECK(*there.chance >= 0.80 - 1e-9);
      CHECK(in_pascal(*there.residual) <= reset * 1e5 * (1 + 1e-9));
    }
    // Limits put back in meet the confidence.
    line shorter = i.lines[0];
    for (segment& s : shorter.segments) s.length *= in_metre(*a.longest) / 9.0;
    CHECK(near(*check(shorter, g, c).chance, 0.80, 1e-6));
    line wider = i.lines[0];
    for (segment& s : wider.segments) s.bore *= in_metre(*a.smallest_bore) / 4e-3;
    CHECK(near(*check(wider, g, c).chance, 0.80, 1e-6));
  }
}

TEST_CASE("case: without a reset pressure a single line is not shown, and the answer says what is missing") {
  installation i = system(system_type::single_line);
  i.reset.reset();
  const installation_answer a = check(i, on_vg46(), celsius(10));
  CHECK(a.outcome.verdict == verdict::not_shown);
  CHECK(a.outcome.missing == missing_datum::reset);
  CHECK(!a.outcome.chance);
  CHECK(!a.points[0].check.chance);
  CHECK(!a.points[0].check.coldest);
  CHECK(a.points[0].check.needed);
  CHECK(a.warnings.front().find("reset pressure missing") != std::string::npos);
}

TEST_CASE("case: mains that cannot be") {
  installation i = system(system_type::multi_outlet);
  CHECK(refusal([&] { join_mains(i); }).find("stands in a multi-outlet system") != std::string::npos);
  i = system(system_type::progressive);
  i.lines[2].segments[0].main = "c";  // a main that names its own line
  CHECK(refusal([&] { join_mains(i); }).find("\"c\" is the name of a point") != std::string::npos);
  i = system(system_type::progressive);
  i.lines[2].segments[0].length = metre(7);
  CHECK(refusal([&] { join_mains(i); }).find("is another tube") != std::string::npos);
  i = system(system_type::progressive);
  i.lines[2].segments[1] = i.lines[2].segments[0];
  CHECK(refusal([&] { join_mains(i); }).find("stands twice in one line") != std::string::npos);
}

TEST_CASE("case: a rating below the pump is the first line of the answer") {
  installation i = system(system_type::progressive);
  i.ratings = {bar(40)};
  const installation_answer a = check(i, on_vg46(), celsius(0));
  CHECK(a.warnings.front().find("rated 40 bar (580 psi), below the 60 bar (870 psi)") != std::string::npos);
  CHECK(near(in_bar(a.available), 40.0, 1e-12));
  // A hose of one line goes before whatever else is wrong, said once, with its line.
  i.ratings.clear();
  i.divider_loss.reset();
  i.stiffest = "000";
  i.lines[0].rules.excluded = "turns";
  i.lines[2].segments[1].rating = bar(30);
  const installation_answer hose = check(i, on_vg46("1"), celsius(0));
  CHECK(hose.warnings.front() ==
        "c: a part rated 30 bar (435 psi) stands below the 60 bar (870 psi) of the pump: the rating limits the line");
  for (const point_answer& p : hose.points) {
    for (const std::string& w : p.check.warnings) CHECK(w.find("rated") == std::string::npos);
  }
}

TEST_CASE("law: lines stand worst first, each as its own check has it") {
  installation i = system(system_type::progressive);
  const installation_answer a = check(i, on_vg46("1"), celsius(-5));
  REQUIRE(a.points.size() == 3);
  join_mains(i);
  for (std::size_t p = 0; p < 3; ++p) {
    const line_answer own = check(i.lines[a.points[p].line], on_vg46("1"), conditions_of(i, celsius(-5), 0.80));
    CHECK(*own.chance == *a.points[p].check.chance);
    if (p > 0) CHECK(*a.points[p].check.chance >= *a.points[p - 1].check.chance);
  }
  CHECK(i.lines[a.points[0].line].point == "b");
}

TEST_CASE(
    "law: what still arrives is all of the dose above the pressure needed, none below start-up, monotone between") {
  const grease g = on_vg46("2");
  line l{.segments = {{.length = metre(6), .bore = millimetre(4)}}, .outlet = bar(0), .flow = cm3_per_min(1)};
  double last = 0.0;
  const line_answer full = check(l, g, {.at = celsius(-10), .available = bar(1000)});
  const double start = 4 * 6 / 4e-3 * 1.25 * in_pascal(g.at(celsius(-10))->yield);
  for (double p = 0.5 * start; p < 1.2 * in_pascal(*full.start_loss); p += 0.02 * start) {
    const line_answer a = check(l, g, {.at = celsius(-10), .available = pascal(p)});
    CHECK(*a.dose_share >= last);
    last = *a.dose_share;
    if (p <= start) CHECK(last == 0.0);
    if (p >= in_pascal(*full.start_loss)) CHECK(near(last, 1.0, 1e-9));
    // The front stops where 4 L ty/D has eaten the pressure: P D/(4 ty), on the stress at the start.
    CHECK(near(in_metre(*a.front_reach), 6.0 * p / start, 1e-12));
  }
}

TEST_CASE("law: a grease that meets the tender of a single line lets its meters recharge") {
  installation i = system(system_type::single_line);
  join_mains(i);
  for (const double reset : {1.0, 4.0, 8.0, 30.0}) {
    i.reset = bar(reset);
    const conditions c = conditions_of(i, celsius(-10), 0.80);
    for (const line& l : i.lines) {
      const supplier_question q = *check(l, on_vg46(), c).ask_supplier;
      const double stress = in_pascal_second(q.apparent_max) * in_per_second(q.rate);
      // All of its stress yield: the worst that a grease of this apparent viscosity can be for the meters.
      const grease just = measured({pascal(0.999 * stress), 1e-6, 0.5, pascal_second(0)}, celsius(-10));
      CHECK(in_pascal(*check(l, just, c).residual) <= reset * 1e5 * (1 + 1e-6));
    }
  }
}

TEST_CASE("case: without a divider on the way there is no loss of one to miss") {
  installation i = system(system_type::progressive);
  i.divider_loss.reset();
  for (line& l : i.lines) l.stages = 0;
  CHECK(warnings_of(i).empty());
  i.lines[1].stages = 1;
  CHECK(warnings_of(i).size() == 1);
}
