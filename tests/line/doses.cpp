// Elements and settings of the timer: held against every choice there is.
#include "coldgrease/line/doses.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "coldgrease/base/error.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

grease mineral_1() { return estimate({.nlgi = "1", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)}); }

line tube(std::string point, double metres, double need_cm3) {
  return {.point = std::move(point),
          .segments = {{.length = metre(metres), .bore = millimetre(4)}},
          .outlet = bar(15),
          .dose = cm3(0.2),
          .in = second(12),
          .needs = point_need{cm3(need_cm3)}};
}

/// In service all day and every day, so that a day is 24 cycles of an hour.
installation system() {
  return {.name = "s",
          .available = bar(250),
          .reservoir = litre(1),
          .hours_per_day = 24.0,
          .days_per_week = 7.0,
          .elements = {cm3(0.4), cm3(0.1), cm3(0.2)},
          .intervals = {hour(1), hour(2), hour(4)},
          .lines = {tube("a", 2, 1.0), tube("b", 4, 2.4), tube("c", 3, 4.0)}};
}

/// The least that all points together can be given over what they ask for, over every choice of elements that gives
/// each what it asks for; nothing where there is none.
std::optional<double> least_waste(const installation& i, duration interval) {
  const duty d = duty_of(i);
  const double cycles = hours_in_service(d) / in_hour(interval);
  std::size_t choices = 1;
  for (std::size_t l = 0; l < i.lines.size(); ++l) choices *= i.elements.size();
  std::optional<double> least;
  for (std::size_t choice = 0; choice < choices; ++choice) {
    double waste = 0.0;
    bool all = true;
    std::size_t rest = choice;
    for (const line& l : i.lines) {
      const double over = in_m3(i.elements[rest % i.elements.size()]) * cycles - in_m3(*asked_of(l, d));
      rest /= i.elements.size();
      all = all && over >= -1e-15;
      waste += over;
    }
    if (all && (!least || waste < *least)) least = waste;
  }
  return least;
}

const dose_setting& at_pause(const dose_answer& a, duration interval) {
  return *std::ranges::find(a.settings, interval, &dose_setting::interval);
}

}  // namespace

TEST_CASE("case: the engineer's three points on a timer of three settings") {
  // 24, 12, 6 cycles a day. a asks 1.0: 0.1 gives 2.4, 1.2, 0.6 -> 0.1, 0.1, 0.2 (1.2).
  // b asks 2.4: 0.1 gives 2.4; 0.2 gives 2.4 in 12 cycles; 0.4 gives 2.4 in 6. c asks 4.0: 0.2 gives 4.8 in 24 cycles,
  // 0.4 gives 4.8 in 12, and only 2.4 in 6: no element serves it there.
  const dose_answer a = choose_doses(system(), mineral_1(), celsius(20));
  const auto elements = [&](double hours) {
    std::vector<double> out;
    for (const point_dose& p : at_pause(a, hour(hours)).points) out.push_back(in_cm3(*p.element));
    return out;
  };
  const auto are = [&](double hours, std::vector<double> expected) {
    const std::vector<double> got = elements(hours);
    for (std::size_t l = 0; l < 3; ++l) CHECK(near(got[l], expected[l], 1e-12));
  };
  are(1, {0.1, 0.1, 0.2});
  are(2, {0.1, 0.2, 0.4});
  are(4, {0.2, 0.4, 0.4});
  // In all 2.4 + 2.4 + 4.8 = 9.6, 1.2 + 2.4 + 4.8 = 8.4, 1.2 + 2.4 + 2.4 = 6.0 a day; asked 7.4.
  CHECK(near(in_cm3(at_pause(a, hour(1)).daily), 9.6, 1e-12));
  CHECK(near(in_cm3(at_pause(a, hour(1)).waste), 2.2, 1e-9));
  CHECK(near(in_cm3(at_pause(a, hour(2)).waste), 1.0, 1e-9));
  CHECK(near(in_days(*at_pause(a, hour(2)).reservoir), 1000.0 / 8.4, 1e-12));
  CHECK(at_pause(a, hour(4)).unserved == 1);
  CHECK_FALSE(at_pause(a, hour(4)).points[2].served);
  // The least waste among those that serve all comes first, the setting that does not serve all last.
  CHECK(a.settings[0].interval == hour(2));
  CHECK(a.settings[1].interval == hour(1));
  CHECK(a.settings[2].interval == hour(4));
}

TEST_CASE("law: no choice of elements that serves all wastes less (every choice tried)") {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> need(0.1, 6.0);
  for (int round = 0; round < 20; ++round) {
    installation i = system();
    i.lines = {tube("a", 2, need(random)), tube("b", 3, need(random)), tube("c", 1, need(random)),
               tube("d", 2, need(random))};
    for (const dose_setting& s : choose_doses(i, mineral_1(), celsius(10)).settings) {
      const auto least = least_waste(i, s.interval);
      CHECK(least.has_value() == (s.unserved == 0));
      if (least) CHECK(near(in_m3(s.waste), *least, 1e-9, 1e-15));
    }
  }
}

TEST_CASE("law: each point gets what it asks for, and one element less would not do") {
  const installation i = system();
  for (const dose_setting& s : choose_doses(i, mineral_1(), celsius(10)).settings) {
    const double cycles = 24.0 / in_hour(s.interval);
    for (const point_dose& p : s.points) {
      CHECK(p.served == (in_m3(*p.check.daily) >= in_m3(*p.check.asked) * (1 - 1e-9)));
      for (const volume& v : i.elements) {
        if (v < *p.element) CHECK(in_m3(v) * cycles < in_m3(*p.check.asked));
      }
    }
  }
}

TEST_CASE("law: with the same elements a longer pause never gives more, and the reservoir never lasts shorter") {
  installation i = system();
  i.elements = {cm3(0.2)};
  i.intervals = {hour(0.5), hour(1), hour(2), hour(4)};
  const dose_answer a = choose_doses(i, mineral_1(), celsius(10));
  for (const dose_setting& x : a.settings) {
    for (const dose_setting& y : a.settings) {
      if (x.interval < y.interval) {
        CHECK(y.daily < x.daily);
        CHECK(*y.reservoir > *x.reservoir);
        CHECK(*y.longest_stay > *x.longest_stay);
      }
    }
  }
}

TEST_CASE("law: what the lines pass is what check says of the installation with those doses, in the same time") {
  const installation i = system();
  for (const double t : {20.0, -10.0, -18.0}) {
    for (const dose_setting& s : choose_doses(i, mineral_1(), celsius(t)).settings) {
      installation set = i;
      set.interval = s.interval;
      for (const point_dose& p : s.points) set.lines[p.line].dose = *p.element;
      const installation_answer a = check(set, mineral_1(), celsius(t));
      CHECK(s.verdict == a.outcome.verdict);
      CHECK(s.chance == a.outcome.chance);
      CHECK(near(in_days(*s.reservoir), in_days(*a.reservoir), 1e-12));
      CHECK(s.coldest == a.coldest);
    }
  }
}

TEST_CASE("law: a bigger dose in the same time costs pressure, at the pump's whole output it takes longer") {
  installation i = system();
  i.elements = {cm3(0.4)};
  i.intervals = {hour(1)};
  const point_dose bigger = choose_doses(i, mineral_1(), celsius(-10)).settings.front().points.front();
  const line_answer now = check(i.lines[0], mineral_1(), conditions_of(i, celsius(-10), usual_confidence));
  CHECK(*bigger.check.flow_loss > *now.flow_loss);
  CHECK(near(in_per_second(bigger.check.nominal_rate), 2.0 * in_per_second(now.nominal_rate), 1e-12));
  i.pump_output = flow_of(i.lines[0]);
  const point_dose slower = choose_doses(i, mineral_1(), celsius(-10)).settings.front().points.front();
  CHECK(near(in_pascal(*slower.check.flow_loss), in_pascal(*now.flow_loss), 1e-12));
}

TEST_CASE("law: a setting that wastes less but does not pass in the cold stands behind one that passes") {
  // 2 h wastes 1.0 and 1 h 2.2 cm3 a day, but takes 0.4 in place of 0.2 cm3 at c, at twice the flow.
  installation i = system();
  i.intervals = {hour(1), hour(2)};
  const dose_answer warm = choose_doses(i, mineral_1(), celsius(20));
  CHECK(warm.settings.front().interval == hour(2));
  const temperature soft = *at_pause(warm, hour(1)).coldest, stiff = *at_pause(warm, hour(2)).coldest;
  REQUIRE(soft < stiff);
  const dose_answer between = choose_doses(i, mineral_1(), soft + (stiff - soft) / 2.0);
  CHECK(between.settings.front().interval == hour(1));
  CHECK(between.settings.front().verdict == verdict::flows);
  CHECK(between.settings.back().verdict != verdict::flows);
}

TEST_CASE("case: the reservoir must last from one refill to the next, one that nobody knows does not") {
  installation i = system();
  i.intervals = {hour(1), hour(2)};
  i.service = days(110);  // 1000 cm3 last 104 days of 9.6 cm3, 119 of 8.4
  const dose_answer a = choose_doses(i, mineral_1(), celsius(20));
  CHECK_FALSE(at_pause(a, hour(1)).lasts);
  CHECK(at_pause(a, hour(2)).lasts);
  i.reservoir.reset();
  CHECK_FALSE(choose_doses(i, mineral_1(), celsius(20)).settings.front().lasts);
  i.service.reset();
  CHECK(choose_doses(i, mineral_1(), celsius(20)).settings.front().lasts);
}

TEST_CASE("case: a pause in which the pump cannot end its cycle comes last, whatever else it does") {
  installation i = system();
  // Three outlets one after the other, at a flow that takes hours for a dose.
  i.type = system_type::progressive;
  i.divider_loss = bar(0);
  for (line& l : i.lines) l.in = second(in_m3(*l.dose) / in_m3_per_s(cm3_per_min(0.002)));
  i.intervals = {hour(0.9), hour(24)};
  const dose_answer a = choose_doses(i, mineral_1(), celsius(20));
  CHECK(a.settings.back().interval == hour(0.9));
  CHECK(a.settings.back().too_short);
  CHECK_FALSE(a.settings.front().too_short);
}

TEST_CASE("case: a point of which nobody knows what it asks for keeps its dose and is named") {
  installation i = system();
  i.lines[1].needs.reset();
  const dose_answer a = choose_doses(i, mineral_1(), celsius(10));
  CHECK(a.unstated == std::vector<std::size_t>{1});
  const dose_setting& hourly = at_pause(a, hour(1));
  CHECK_FALSE(hourly.points[1].element);
  // 0.1 + 0.2 as it is + 0.2, 24 times.
  CHECK(near(in_cm3(hourly.daily), 12.0, 1e-12));
}

TEST_CASE("case: nothing to choose from is refused, and what is missing is named") {
  const auto refusal = [](const installation& i) -> std::string {
    CHECK_FALSE(offers_doses(i));
    try {
      choose_doses(i, mineral_1(), celsius(0));
    } catch (const input_error& e) {
      return e.what();
    }
    return "taken";
  };
  CHECK(offers_doses(system()));
  installation i = system();
  i.elements.clear();
  CHECK(refusal(i).find("elements") != std::string::npos);
  i = system();
  i.intervals.clear();
  CHECK(refusal(i).find("intervals") != std::string::npos);
  i = system();
  for (line& l : i.lines) l.needs.reset();
  CHECK(refusal(i).find("no point says what it asks for") != std::string::npos);
}

TEST_CASE("law: what check warns of, with those doses, is warned of here as well") {
  installation i = system();
  i.hours_per_day.reset();
  i.ratings = {bar(200)};
  i.lines[2].outlet.reset();
  for (const dose_setting& s : choose_doses(i, mineral_1(), celsius(0)).settings) {
    installation set = i;
    set.interval = s.interval;
    for (const point_dose& p : s.points) set.lines[p.line].dose = *p.element;
    const installation_answer a = check(set, mineral_1(), celsius(0));
    CHECK(s.warnings == a.warnings);
    CHECK_FALSE(s.warnings.empty());
    CHECK(s.notes == a.notes);
    CHECK(s.notes.back().starts_with("10 h a day in service are assumed"));
  }
}

TEST_CASE("law: the doses chosen are judged as the same installation written with them, in every type of system") {
  for (const system_type type : {system_type::multi_outlet, system_type::progressive, system_type::single_line}) {
    for (const double written : {0.05, 0.2}) {
      CAPTURE(written);
      // Ten points on one pump of 2.4 cm3/min, as a fleet file gives them: `in` by the pump's output.
      const auto system_with = [&](double dose) {
        installation i{.name = "s", .type = type, .available = bar(150), .interval = hour(1)};
        i.pump_output = cm3_per_min(2.4);
        i.elements = {cm3(0.05)};
        i.intervals = {hour(1)};
        if (type == system_type::single_line) i.reset = bar(20);
        if (type == system_type::progressive) i.divider_loss = bar(5);
        for (int p = 0; p < 10; ++p) {
          line l{.point = std::to_string(p), .outlet = bar(10), .dose = cm3(dose)};
          l.in = second(dose / 2.4 * 60.0);
          l.needs = point_need{.volume = cm3(0.1)};
          if (type != system_type::multi_outlet)
            l.segments.push_back({.length = metre(20), .bore = millimetre(4), .main = "main", .wall = millimetre(1)});
          l.segments.push_back({.length = metre(1), .bore = millimetre(4), .wall = millimetre(1)});
          i.lines.push_back(std::move(l));
        }
        join_mains(i);
        return i;
      };
      const dose_setting chosen = choose_doses(system_with(written), mineral_1(), celsius(5)).settings.front();
      const installation_answer same = check(system_with(0.05), mineral_1(), celsius(5));
      CHECK(chosen.verdict == same.outcome.verdict);
      REQUIRE(chosen.chance.has_value());
      REQUIRE(same.outcome.chance.has_value());
      CHECK(near(*chosen.chance, *same.outcome.chance, 1e-12));
      REQUIRE(chosen.coldest.has_value() == same.coldest.has_value());
      if (same.coldest) CHECK(near(chosen.coldest->in_celsius(), same.coldest->in_celsius(), 0.0, 1e-9));
    }
  }
}
