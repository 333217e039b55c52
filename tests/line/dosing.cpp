// Doses: the film rule, what a week shows on the reservoir.
#include "coldgrease/line/dosing.hpp"

#include <doctest/doctest.h>

#include "coldgrease/base/error.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

installation system(system_type type, std::size_t points) {
  installation i{.name = "s",
                 .type = type,
                 .available = bar(100),
                 .reservoir = litre(2),
                 .interval = hour(2),
                 .days_per_week = 7.0};
  for (std::size_t p = 0; p < points; ++p)
    i.lines.push_back({.point = std::to_string(p),
                       .segments = {{.length = metre(4), .bore = millimetre(4)}},
                       .outlet = bar(10),
                       .dose = cm3(0.2),
                       .in = second(10)});
  return i;
}

}  // namespace

TEST_CASE("published value: film rule, 6 in x 6 in bearing asks for 0.113 in3 (1.85 cm3) a period") {
  // Source: a published page of basic lubrication formulas (0.001 in film per 4 h).
  CHECK(near(in_m3(film_volume({inch(6), inch(6)})) / factor::cubic_inch, 0.113, 0.001));
  CHECK(near(in_cm3(film_volume({inch(6), inch(6)})), 1.85, 0.002));
  // Derived from the same rule: a kingpin bush of 45 mm x 50 mm, 0.18 cm3 in 4 h.
  CHECK(near(in_cm3(film_volume({millimetre(45), millimetre(50)})), 0.18, 0.005));
  CHECK(near(in_cm3(film_need({millimetre(45), millimetre(50)}, 10.0)),
             2.5 * in_cm3(film_volume({millimetre(45), millimetre(50)})), 1e-12));
}

TEST_CASE("law: the weekly level tells a blocked line only while the points are few") {
  for (const std::size_t points : {2U, 5U, 20U, 40U}) {
    const auto signs = *level_in_a_week(system(system_type::multi_outlet, points), 0);
    const double expected = 7.0 * 5.0 * 0.2 * static_cast<double>(points);
    CHECK(near(in_cm3(signs.as_expected), expected, 1e-12));
    CHECK(near(in_cm3(signs.one_broken), expected, 1e-12));
    CHECK(near(in_cm3(signs.one_blocked) / expected, 1.0 - 1.0 / static_cast<double>(points), 1e-12));
  }
  CHECK(in_cm3(level_in_a_week(system(system_type::progressive, 5), 0)->one_blocked) == 0.0);
  installation unknown = system(system_type::multi_outlet, 2);
  unknown.interval.reset();
  CHECK(!level_in_a_week(unknown, 0));
}

TEST_CASE("law: the shortest pause is the longest delivery, or in a progressive system the sum") {
  const grease g = estimate({.nlgi = "00", .kv40 = mm2_per_s(46), .kv100 = mm2_per_s(6.8)});
  const auto pause = [&](const installation& i, double t_c) { return shortest_pause(i, g, celsius(t_c), 0.80); };
  CHECK(near(in_second(*pause(system(system_type::multi_outlet, 5), 0)), 10.0, 1e-12));
  CHECK(near(in_second(*pause(system(system_type::progressive, 5), 0)), 50.0, 1e-12));
  installation single = system(system_type::single_line, 5);
  single.reset = bar(20);
  // The wall of its tubes tells how they swell: without it there is no time to print.
  CHECK_FALSE(pause(single, 0).has_value());
  for (line& l : single.lines) l.segments[0].wall = millimetre(1);
  CHECK(in_second(*pause(single, 0)) > 10.0);
  CHECK(in_second(*pause(single, -5)) > in_second(*pause(single, 0)));
  // Meters that cannot be shown to recharge have no pause.
  single.reset = bar(1);
  CHECK_FALSE(pause(single, -5).has_value());
}

TEST_CASE("case: one pump serves all meters of a single line") {
  // Ten meters of 0.2 cm3 from a pump of 2.4 cm3/min: 2.0/2.4 min = 50 s for a cycle, not 5 s.
  installation i = system(system_type::single_line, 10);
  i.pump_output = cm3_per_min(2.4);
  i.reset = bar(20);
  for (line& l : i.lines) {
    l.in = second(5);
    l.segments = {{.length = metre(8), .bore = millimetre(9), .main = "main", .wall = millimetre(1.5)},
                  {.length = metre(1), .bore = millimetre(4), .wall = millimetre(1)}};
  }
  join_mains(i);
  for (const line& l : i.lines) {
    CHECK(near(in_second(*l.cycle), 50.0, 1e-12));
    // The main carries what the pump gives.
    CHECK(near(l.segments[0].flow_ratio * in_cm3_per_min(flow_of(l)), 2.4, 1e-12));
  }
  const grease g = estimate({.nlgi = "000", .kv40 = mm2_per_s(46), .kv100 = mm2_per_s(6.8)});
  CHECK(in_second(*shortest_pause(i, g, celsius(10), 0.80)) > 50.0);
}

TEST_CASE("published value: the level drops by its share of the reservoir's height") {
  installation i = system(system_type::multi_outlet, 5);
  i.feed = inlet{.height = millimetre(200)};
  // 35 cm3 a week of 2000 cm3: 1.75 % of 200 mm (derived).
  CHECK(near(in_millimetre(*level_in_a_week(i, 0)->height), 3.5, 1e-12));
}

TEST_CASE("law: what a point gets and what it asks for are of the same calendar day, whatever the duty") {
  // Both are in proportion to the days in service, the film rule and the cycles to the hours as well: served or not
  // does not depend on them, where the need is by the film.
  line l = system(system_type::multi_outlet, 1).lines[0];
  l.bearing = bearing_size{millimetre(45), millimetre(50)};
  for (const double hours : {2.0, 10.0, 24.0}) {
    for (const double week : {1.0, 5.0, 7.0}) {
      const duty d{hours, week};
      const double cycles = cycles_a_day(hour(2), d);
      CHECK(near(cycles, hours * week / 7.0 / 2.0, 1e-12));
      CHECK(near(in_m3(*daily_volume(l, cycles)) / in_m3(*asked_of(l, d)),
                 0.2 / (0.5 * in_cm3(film_volume(*l.bearing))), 1e-12));
    }
  }
}

TEST_CASE("case: what is stated of a point goes before the film rule, by movements it is what they come to") {
  line l{.point = "arm", .bearing = bearing_size{millimetre(45), millimetre(50)}};
  const duty d{10.0, 7.0};
  CHECK(near(in_cm3(*asked_of(l, d)), 0.449, 0.001));
  l.needs = point_need{cm3(0.8)};
  CHECK(near(in_cm3(*asked_of(l, d)), 0.8, 1e-12));
  l.needs = point_need{cm3(0.1), 100.0};
  CHECK_FALSE(asked_of(l, d));  // how often it moves is not known
  l.movements = 450.0;
  CHECK(near(in_cm3(*asked_of(l, d)), 0.45, 1e-12));
  CHECK(near(in_cm3(*asked_of(l, {10.0, 5.0})), 0.45 * 5 / 7, 1e-12));
  CHECK_FALSE(asked_of({}, d));
}

TEST_CASE("case: each fault of a dose at its edge") {
  using enum dose_fault;
  using faults = std::vector<dose_fault>;
  const auto of = [](double gets, double asks) { return dose_faults_of({.daily = cm3(gets), .asked = cm3(asks)}); };
  CHECK(of(0.15, 0.91) == faults{too_little});
  CHECK(of(0.91, 0.91).empty());
  CHECK(of(0.91 * 0.999999, 0.91) == faults{too_little});
  CHECK(of(9.1, 0.91).empty());
  CHECK(of(9.11, 0.91) == faults{too_much});
  CHECK(of(31.0, 1.0) == faults{too_much});
  CHECK(dose_faults_of({.residence = days(1131)}) == faults{stays_long});
  CHECK(dose_faults_of({.residence = days(365)}) == faults{stays_long});
  CHECK(dose_faults_of({.residence = days(364)}).empty());
  CHECK(dose_faults_of({.uptake = cm3(0.1), .dose = cm3(0.03)}) == faults{taken_up});
  CHECK(dose_faults_of({.uptake = cm3(0.03), .dose = cm3(0.03)}).empty());
  CHECK(dose_faults_of({.residence = days(3), .daily = cm3(1)}).empty());  // what it asks for is not known
  CHECK(dose_faults_of({}).empty());
}

TEST_CASE("case: a line on its own knows what its residence and its swelling do to a dose") {
  // 6 m of 4 mm hold 75.4 cm3; 0.03 cm3 every 2 h of 10: 0.15 on a day in service, 503 days in service, 704 of the
  // calendar on five days a week.
  line l{.point = "p",
         .segments =
             {{.length = metre(6), .bore = millimetre(4), .wall = millimetre(1), .material = tube_material::polyamide}},
         .outlet = bar(10),
         .dose = cm3(0.03),
         .in = second(10)};
  const grease g = estimate({.nlgi = "0", .kv40 = mm2_per_s(48), .kv100 = mm2_per_s(8)});
  const line_answer a = check(
      l, g,
      {.at = celsius(0), .available = bar(250), .interval = hour(2), .hours_per_day = 10.0, .days_per_week = 5.0});
  CHECK(near(in_days(*a.residence), 703.7, 0.001));
  CHECK(*a.uptake > *a.dose);
  CHECK(a.dose_faults == std::vector{dose_fault::stays_long, dose_fault::taken_up});
}

TEST_CASE("law: what is assumed of the duty is said, and only that") {
  CHECK_FALSE(assumed_duty_note(10.0, 5.0));
  CHECK(assumed_duty_note({}, 5.0)->starts_with("10 h a day in service"));
  CHECK(assumed_duty_note(9.0, {})->starts_with("5 days a week in service"));
  CHECK(assumed_duty_note({}, {})->starts_with("10 h a day and 5 days a week in service"));
}

TEST_CASE("law: a reservoir given as a mass holds that mass of whatever grease, and lasts shorter of a denser one") {
  installation i = system(system_type::multi_outlet, 5);
  i.reservoir.reset();
  i.reservoir_mass = kilogram(4);
  for (const double rho : {850.0, 900.0, 980.0}) {
    CHECK(near(in_kilogram(*reservoir_of(i, kg_per_m3(rho)) * kg_per_m3(rho)), 4.0, 1e-12));
    CHECK(near(in_days(*reservoir_time(i, kg_per_m3(rho))), 4.0 / rho * 1e6 / in_cm3(*daily_volume(i)), 1e-12));
  }
  CHECK(near(in_cm3(*reservoir_of(i)), 4000 / 0.9, 1e-12));
}

TEST_CASE("case: a time that contradicts the pump's output softens no line") {
  installation single = system(system_type::single_line, 4);
  single.pump_output = cm3_per_min(2.4);
  installation slow = single;
  for (line& l : slow.lines) l.in = second(600);
  join_mains(single);
  join_mains(slow);
  for (std::size_t l = 0; l < 4; ++l) CHECK(flow_of(slow.lines[l]) == flow_of(single.lines[l]));
  installation progressive = system(system_type::progressive, 4);
  CHECK_NOTHROW(join_mains(progressive));  // 0.2 cm3 in 10 s: 1.2 cm3/min
  progressive.pump_output = cm3_per_min(12);
  CHECK_THROWS_AS(join_mains(progressive), input_error);
}
