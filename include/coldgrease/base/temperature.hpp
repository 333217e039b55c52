// A point on the temperature scale; differences of two points are temperature_step, another type.
#pragma once

#include <compare>

#include "coldgrease/base/units.hpp"

namespace coldgrease::inline v0 {

/// A temperature. Degrees Celsius inside, so that what a person wrote comes back to the last digit.
/// Two points cannot be added nor one be scaled; point - point = step, point + step = point.
class temperature {
 public:
  static constexpr temperature from_celsius(double t) { return temperature{t}; }
  static constexpr temperature from_kelvin(double t) { return temperature{t - zero_celsius}; }
  constexpr double in_celsius() const { return celsius_; }
  constexpr double in_fahrenheit() const { return celsius_ * 1.8 + 32.0; }
  constexpr double in_kelvin() const { return celsius_ + zero_celsius; }

  friend constexpr auto operator<=>(const temperature&, const temperature&) = default;
  friend temperature_step operator-(temperature a, temperature b) { return kelvins(a.celsius_ - b.celsius_); }
  friend temperature operator+(temperature t, temperature_step step) {
    return temperature{t.celsius_ + in_kelvins(step)};
  }
  friend temperature operator-(temperature t, temperature_step step) {
    return temperature{t.celsius_ - in_kelvins(step)};
  }

 private:
  static constexpr double zero_celsius = 273.15;  // [K]
  constexpr explicit temperature(double t) : celsius_(t) {}
  double celsius_;
};

constexpr temperature celsius(double t) { return temperature::from_celsius(t); }
constexpr temperature fahrenheit(double t) { return temperature::from_celsius((t - 32.0) / 1.8); }
constexpr temperature kelvin(double t) { return temperature::from_kelvin(t); }

}  // namespace coldgrease::inline v0
