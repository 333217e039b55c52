// How surely a grease is known, in one word.
#include "coldgrease/grease/known_by.hpp"

#include <doctest/doctest.h>

using namespace coldgrease;

TEST_CASE("case: one word says how surely a grease is known, and an oil in doubt outweighs what was measured") {
  const auto known = [](evidence e) { return how_known(estimate(e)); };
  evidence e{.name = "g", .nlgi = "1"};
  CHECK(known(e) == known_by::oil_unknown);
  e.kv40 = mm2_per_s(100);
  CHECK(known(e) == known_by::oil_unknown);  // its index is not known
  e.vi = 95;
  CHECK(known(e) == known_by::label);
}
