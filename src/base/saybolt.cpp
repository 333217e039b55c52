#include "coldgrease/base/saybolt.hpp"

#include "base/root.hpp"
#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0 {

kinematic_viscosity from_saybolt(double seconds, temperature at) {
  if (!(seconds >= saybolt_least)) throw input_error("SUS", "is below the scale of ASTM D2161", "32 SUS or more");
  const auto excess = [&](double v) { return detail::saybolt_seconds(v, at.in_fahrenheit()) - seconds; };
  if (!(excess(1.0) <= 0.0))
    throw input_error("SUS", "is below the scale at this temperature", "a temperature near 100 or 210 F");
  // Above 75 mm2/s the scale is linear with a slope of 4.6, so `seconds` itself is a bound in mm2/s.
  return mm2_per_s(detail::root_between(excess, 1.0, seconds));
}

}  // namespace coldgrease::inline v0
