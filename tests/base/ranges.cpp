// What is refused and what is odd: the bounds hold in every unit, and what a truck has lies within them.
#include "coldgrease/base/ranges.hpp"

#include <doctest/doctest.h>

#include "near.hpp"
#include "refusal.hpp"

using namespace coldgrease;

TEST_CASE("law: a bound itself is read in any unit, what lies beyond is refused and the range is named") {
  for (const auto& text : {"0.03 m", "3 cm", "30 mm"})
    CHECK(near(in_metre(parse<length>(text, "", measure::line_length)), 0.03, 1e-12));
  for (const auto& text : {"200 m", "20000 cm", "656.16 ft"})
    CHECK(near(in_metre(parse<length>(text, "", measure::line_length)), 200.0, 1e-4));
  CHECK(refusal([] { parse<length>("29.9 mm", "length", measure::line_length); }) ==
        "length: \"29.9 mm\" is no length of a line; expected 0.03 to 200 m");
  CHECK(refusal([] { parse<length>("200.1 m", "length", measure::line_length); }).find("is no length of a line") !=
        std::string::npos);
  // The sign is that of the range.
  CHECK(refusal([] { parse<pressure>("-1 bar", "outlet", measure::point_pressure); }) != "");
  CHECK(in_pascal(parse<pressure>("0 bar", "outlet", measure::point_pressure)) == 0.0);
  CHECK(refusal([] { parse<length>("0 mm", "bore", measure::bore); }) != "");
  CHECK(in_kelvins(parse<temperature_step>("-5 K", "offset", measure::warmer_than_air)) == -5.0);
}

TEST_CASE("case from users: a unit mistaken for another, and numbers that no truck, grease or climate has") {
  CHECK(refusal([] { parse<length>("5.8 mm", "", measure::line_length); }) != "");
  CHECK(refusal([] { parse<temperature_step>("1e5 K", "", measure::warmer_than_air); }) != "");
  CHECK(refusal([] { parse<length>("6 in", "", measure::outside_diameter); }) != "");
  CHECK(refusal([] { parse<kinematic_viscosity>("1e300 mm2/s", "", measure::oil_viscosity); }) != "");
  CHECK(refusal([] { parse<pressure>("1e308 Pa", "", measure::shear_stress); }) != "");
  CHECK(refusal([] { parse<shear_rate>("4.9e-324 1/s", "", measure::wall_rate); }) != "");
  CHECK(refusal([] { parse<volume>("1e12 L", "", measure::reservoir_volume); }) != "");
  CHECK(refusal([] { parse<duration>("1e10 days", "", measure::delivery); }) != "");
}

TEST_CASE("law: what is usual is not said, what is odd is said with what is usual, what is refused is odd") {
  CHECK(!oddness(millimetre(4), measure::bore));
  CHECK(oddness(millimetre(30), measure::bore) == "30 mm is an odd bore, usual are 1.5 to 25 mm");
  for (const range& r : measure_ranges) {
    CHECK(r.least <= r.usual_least);
    CHECK(r.usual_most <= r.most);
    CHECK(!r.reason.empty());
    CHECK(range_text(r.of).ends_with(r.unit));
  }
}

TEST_CASE("published value: the records of the earth lie within the range of air") {
  // World Meteorological Organization, World Weather and Climate Extremes Archive: -89.2 C (Vostok, 21 July 1983) and
  // 56.7 C (Furnace Creek, 10 July 1913).
  CHECK(parse<temperature>("-89.2 C", "", measure::air_temperature).in_celsius() == -89.2);
  CHECK(parse<temperature>("56.7 C", "", measure::air_temperature).in_celsius() == 56.7);
}
