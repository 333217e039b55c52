// What stays at the walls of a tube, against closed forms and a volume balance.
#include "coldgrease/line/displacement.hpp"

#include <doctest/doctest.h>

#include "near.hpp"

using namespace coldgrease;
using detail::curve;

TEST_CASE("law: of a Newtonian oil 1/(4 volumes) stays, by its parabolic profile") {
  // v(x) = 2 (1 - x): the part of x above 1 - 1/(2 V) is old for 1 - 2 V (1 - x), which integrates to 1/(4 V).
  const curve oil{0.0, 0.0, 1.0, 5.0};
  for (const double volumes : {0.5, 1.0, 1.5, 2.0, 3.0, 10.0})
    CHECK(near(detail::old_left(oil, 3.0, volumes), 1.0 / (4.0 * volumes), 1e-4));
}

TEST_CASE(
    "law: the velocity's mean over the tube is one, and what has left is what was pumped until the front is out") {
  for (const curve& f : {curve{0.0, 0.0, 1.0, 5.0}, curve{300.0, 30.0, 0.5, 2.0}, curve{900.0, 90.0, 0.5, 0.0},
                         curve{10.0, 100.0, 0.2, 1.0}}) {
    const detail::wall w = detail::wall_at_nominal(f, 2.65);
    double mean = 0.0, fastest = 0.0;
    constexpr int steps = 20000;
    for (int k = 0; k < steps; ++k) {
      const double v = detail::velocity_over_mean(f, w, (k + 0.5) / steps);
      mean += v / steps;
      fastest = std::max(fastest, v);
    }
    CHECK(near(mean, 1.0, 1e-4));
    const double before = 0.9 / fastest;
    CHECK(near(detail::old_left(f, 2.65, before), 1.0 - before, 1e-4));
    // The more is pumped, the less stays; a stiffer plug leaves less than oil.
    CHECK(detail::old_left(f, 2.65, 2.0) <= detail::old_left(f, 2.65, 1.0));
    CHECK(detail::old_left(f, 2.65, 1.0) <= 0.25 + 1e-4);
  }
}

TEST_CASE("law: a grease that hardly flows but at the wall moves as a plug") {
  CHECK(detail::old_left({1e6, 1e3, 0.5, 0.0}, 1e-3, 1.5) < 0.01);
}
