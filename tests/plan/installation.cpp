#include <doctest/doctest.h>

#include "coldgrease/grease/published_rules.hpp"
#include "coldgrease/line/dosing.hpp"
#include "examples.hpp"
#include "near.hpp"

using namespace coldgrease;

TEST_CASE("published value: reservoir days of a 72-point truck") {
  // 72 points x 0.1 ml x 5 cycles a day = 36 ml a day; 4 kg at 0.9 kg/L = 4.44 L last 123 days; 90 days need 3.24 L.
  // Size: machine locator magazine on refuse trucks; dose and cycles assumed there; the rest derived.
  installation i{.name = "refuse truck",
                 .available = bar(100),
                 .reservoir = cm3(4000.0 / 0.9),
                 .interval = hour(2),
                 .days_per_week = 7.0};
  for (int p = 0; p < 72; ++p)
    i.lines.push_back(
        {.point = "p", .segments = {{.length = metre(1), .bore = millimetre(4)}}, .dose = cm3(0.1), .in = second(10)});
  CHECK(near(in_cm3(*daily_volume(i)), 36.0, 1e-12));
  CHECK(near(in_days(*reservoir_time(i)), 123.0, 0.005));
  i.reservoir = cm3(3240);
  CHECK(near(in_days(*reservoir_time(i)), 90.0, 1e-12));
}

TEST_CASE("published value: residence in a long line, from its volume and the daily dose") {
  // 6 m x 4 mm holds 75.4 ml, 0.2 ml x 3.33 cycles a day: 113 working days; 3 m x 2.5 mm: 14.7 ml, 22 days (derived).
  installation i{.name = "i", .available = bar(100), .interval = hour(10.0 / 3.33), .days_per_week = 7.0};
  CHECK(near(in_days(*residence_time(examples::tube("p", 6.0, 4.0), i)), 113.0, 0.005));
  CHECK(near(in_days(*residence_time(examples::tube("p", 3.0, 2.5), i)), 22.0, 0.01));
  // On five days of seven the same 113 working days are 113 x 7/5 = 158 of the calendar; so it is where nobody says.
  i.days_per_week = 5.0;
  CHECK(near(in_days(*residence_time(examples::tube("p", 6.0, 4.0), i)), 158.5, 0.005));
  i.days_per_week.reset();
  i.hours_per_day.reset();
  CHECK(near(in_days(*residence_time(examples::tube("p", 6.0, 4.0), i)), 158.5, 0.005));
}

TEST_CASE("law: the way to the last point is that of the slowest line, and not known where one is not") {
  installation i = examples::system(250, 40);
  CHECK(near(in_days(*way_through(i)), 40.0, 1e-9));
  i.lines[0].dose.reset();
  CHECK(!way_through(i));
  i = examples::system(250, 40);
  i.interval.reset();
  CHECK(!way_through(i));
}

TEST_CASE("law: available is the least of pump, relief and ratings") {
  installation i{.name = "i", .available = bar(280), .relief = bar(250), .ratings = {bar(300), bar(200)}};
  CHECK(near(in_bar(available_pressure(i)), 200.0, 1e-12));
  i.ratings.clear();
  CHECK(near(in_bar(available_pressure(i)), 250.0, 1e-12));
  i.relief.reset();
  CHECK(near(in_bar(available_pressure(i)), 280.0, 1e-12));
  i.available.reset();
  CHECK_THROWS_AS(available_pressure(i), input_error);
}

TEST_CASE("published value: rules at their edges, side by side with their disagreement") {
  const auto rules = published_rules();
  const auto says = [&](std::string_view rule, temperature at, std::string_view system = "multi-outlet") {
    for (const rule_answer& a : rules_at(rules, at, system)) {
      if (rules[a.rule].name == rule) return rules[a.rule].steps[a.step].classes;
    }
    return std::vector<std::string>{"silent"};
  };
  using classes = std::vector<std::string>;
  // forestry machine maker: NLGI 2 above 0 C, 1 below, 0 below -20 C
  CHECK(says("forestry machine maker", celsius(0.1)) == classes{"2"});
  CHECK(says("forestry machine maker", celsius(-0.1)) == classes{"1"});
  CHECK(says("forestry machine maker", celsius(-20.1)) == classes{"0"});
  // Read as written, an edge is of neither step: both stand there.
  const auto both = [&](temperature at) {
    std::vector<classes> out;
    for (const rule_answer& a : rules_at(rules, at, "multi-outlet")) {
      if (rules[a.rule].name == "forestry machine maker") out.push_back(rules[a.rule].steps[a.step].classes);
    }
    return out;
  };
  CHECK(both(celsius(0)) == std::vector<classes>{{"2"}, {"1"}});
  CHECK(both(celsius(-20)) == std::vector<classes>{{"1"}, {"0"}});
  CHECK(both(fahrenheit(32)).size() == 2);
  CHECK(both(fahrenheit(-4)).size() == 2);
  CHECK(both(celsius(-0.001)).size() == 1);
  CHECK(both(celsius(-19.999)).size() == 1);
  CHECK(says("farm press", fahrenheit(20)) == classes{"1"});
  // farm press: when it falls to 10 to 20 F; fleet magazine: wherever an automatic system is fitted
  CHECK(says("farm press", fahrenheit(19)) == classes{"1"});
  CHECK(says("farm press", fahrenheit(21)) == classes{"silent"});
  CHECK(says("fleet magazine", fahrenheit(60)) == classes{"1", "0", "2"});
  // handbook: caps by system, whatever the weather
  CHECK(says("handbook, single-line", celsius(20), "single-line") == classes{"000"});
  CHECK(says("handbook, single-line", celsius(20)) == classes{"silent"});
  CHECK(says("handbook, progressive", celsius(-40), "progressive") == classes{"000", "00", "0", "1", "2"});
  CHECK(says("trade page, Germany", celsius(20)) == classes{"000", "00", "0"});
  // case from users: 15 F; the forestry rule says 1, the farm rule says start 1 now, the trucking rule allows 2 or 1
  CHECK(says("forestry machine maker", fahrenheit(15)) == classes{"1"});
  CHECK(says("farm press", fahrenheit(15)) == classes{"1"});
  CHECK(says("trucking magazine", fahrenheit(15)) == classes{"2", "1"});
  for (const published_rule& r : rules) CHECK(!r.source.empty());
}
