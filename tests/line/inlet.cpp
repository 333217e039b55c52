// When a pump is no longer fed. The limits are judgement; the slump heights are derived from slump theory.
#include "coldgrease/line/inlet.hpp"

#include <doctest/doctest.h>

#include "coldgrease/base/error.hpp"
#include "coldgrease/line/limits.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

grease nlgi(std::string_view label) {
  return estimate({.nlgi = std::string(label), .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)});
}

}  // namespace

TEST_CASE("law: gravity feeds at an even chance while ty < rho g H/4") {
  // rho g H/2 of 900 kg/m3: 441, 883, 1324 Pa at 0.1, 0.2, 0.3 m (derived, slump theory); half of it is the limit here.
  const grease g = measured({pascal(883.0 / 2), 1.0, 0.5, pascal_second(0)}, celsius(15));
  const auto chance = [&](double metres) { return *feeding({.height = metre(metres)}, g, celsius(15), 0.80).chance; };
  CHECK(near(chance(0.2), 0.5, 0.002));
  CHECK(chance(0.1) < 0.1);
  CHECK(chance(0.3) > 0.9);
}

TEST_CASE("law: softer, warmer, higher and stirred are never fed worse, the limit put back in meets the confidence") {
  for (const char* label : {"2", "1", "0", "00"}) {
    const grease g = nlgi(label);
    const inlet by_gravity{}, by_plate{.kind = feed_kind::follower_plate};
    double last = 0.0;
    for (double t = -24; t <= 40; t += 4) {
      const double chance = *feeding(by_gravity, g, celsius(t), 0.80).chance;
      CHECK(chance >= last);
      CHECK(*feeding(by_plate, g, celsius(t), 0.80).chance >= chance);
      CHECK(*feeding({.height = metre(0.4)}, g, celsius(t), 0.80).chance >= chance);
      last = chance;
    }
    const auto coldest = feeding(by_gravity, g, celsius(0), 0.80).coldest;
    if (!coldest) continue;
    CHECK(*feeding(by_gravity, g, *coldest, 0.80).chance >= 0.80 - 1e-9);
    if (*coldest > *g.oil_bound()) CHECK(near(*feeding(by_gravity, g, *coldest, 0.80).chance, 0.80, 1e-6));
  }
}

TEST_CASE("law: a heated reservoir changes the inlet: from its own temperature on it feeds in any cold") {
  const grease g = nlgi("1");
  const inlet heated{.kind = feed_kind::stirred, .heated_to = celsius(20)};
  const inlet_answer a = feeding(heated, g, celsius(-40), 0.80);
  CHECK(a.temperature == celsius(20));
  CHECK(*a.chance > 0.80);
  CHECK(coldest_air(heated, a) == kelvin(0));
  const inlet too_little{.kind = feed_kind::gravity, .height = millimetre(50), .heated_to = celsius(-10)};
  const inlet_answer b = feeding(too_little, g, celsius(-40), 0.80);
  CHECK(coldest_air(too_little, b) == b.coldest);
}

TEST_CASE("case: a way of feeding that is none") {
  CHECK(parse_word<feed_kind>("follower plate", "feed") == feed_kind::follower_plate);
  CHECK_THROWS_AS(parse_word<feed_kind>("suction", "feed"), input_error);
}
