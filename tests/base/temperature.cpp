// A point on the temperature scale: the fixed points of the scales (published value), points against steps (law).
#include "coldgrease/base/temperature.hpp"

#include <doctest/doctest.h>

#include <type_traits>
#include <utility>

#include "coldgrease/base/quantity_text.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {
template <class A, class B>
concept addable = requires(A a, B b) {
  a + b;
};
template <class A, class B>
concept multipliable = requires(A a, B b) {
  a* b;
};
}  // namespace

TEST_CASE("temperature: the scales meet at their fixed points (published value: definitions)") {
  CHECK(fahrenheit(32).in_celsius() == 0.0);
  CHECK(near(fahrenheit(212).in_celsius(), 100.0, 1e-15));
  CHECK(fahrenheit(-40).in_celsius() == -40.0);
  CHECK(celsius(-40).in_fahrenheit() == -40.0);
  CHECK(near(fahrenheit(77).in_celsius(), 25.0, 1e-15));
  CHECK(celsius(0).in_kelvin() == 273.15);
  CHECK(kelvin(273.15).in_celsius() == 0.0);
  CHECK(near(kelvin(0).in_fahrenheit(), -459.67, 1e-15));
}

TEST_CASE("temperature: what was written comes back (law)" * doctest::test_suite("long")) {
  for (double t = -100.0; t <= 200.0; t += 0.1) {
    CHECK(celsius(t).in_celsius() == t);
    CHECK(near(fahrenheit(t).in_fahrenheit(), t, 0.0, 1e-13));
    CHECK(near(kelvin(t + 273.15).in_kelvin(), t + 273.15, 1e-15));
  }
}

TEST_CASE("temperature: points and steps are two types (law)") {
  static_assert(!addable<temperature, temperature>);
  static_assert(!multipliable<temperature, double>);
  static_assert(!multipliable<double, temperature>);
  static_assert(addable<temperature, temperature_step>);
  static_assert(!std::is_convertible_v<double, temperature>);
  static_assert(std::is_same_v<decltype(celsius(1) - celsius(0)), temperature_step>);
  static_assert(std::is_trivially_copyable_v<temperature>);

  CHECK(near(in_kelvins(celsius(10) - celsius(-20)), 30.0, 1e-15));
  CHECK((celsius(10) + kelvins(5)).in_celsius() == 15.0);
  CHECK((celsius(10) - kelvins(5)).in_celsius() == 5.0);
  CHECK(celsius(-1) < celsius(0));
  CHECK(fahrenheit(10) < celsius(-12));
  CHECK(fahrenheit(11) > celsius(-12));
}

TEST_CASE("temperature: reports print both scales") {
  CHECK(both_scales(celsius(-15)) == "-15.0 C (5.0 F)");
  CHECK(both_scales(fahrenheit(-10)) == "-23.3 C (-10.0 F)");
  CHECK(both_scales(celsius(-0.04)) == "0.0 C (31.9 F)");
  CHECK(both_scales(celsius(-17.78)) == "-17.8 C (0.0 F)");
}
