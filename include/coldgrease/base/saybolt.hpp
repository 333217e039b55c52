// Saybolt Universal seconds, the unit of viscosity of older data sheets.
#pragma once

#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/units.hpp"

namespace coldgrease::inline v0 {

/// The least efflux time that ASTM D2161 converts (1.81 mm2/s at 100 F) [s].
inline constexpr double saybolt_least = 32.0;

namespace detail {
/// SUS = (1 + 0.000061 (t_F - 100)) (4.6324 v + (1 + 0.03264 v) / ((3930.2 + 262.7 v + 23.97 v^2 + 1.646 v^3) 1e-5))
/// @param v   kinematic viscosity [mm2/s]
/// @param t_f temperature [F]
/// Source: ASTM D2161 as coded in the open library "chemicals" (ChEDL, chemicals/viscosity.py); the temperature factor
/// from memory, consistent with the standard's multipliers 4.632 at 100 F and 4.664 at 210 F.
inline double saybolt_seconds(double v, double t_f) noexcept {
  const double efflux = 4.6324 * v + (1.0 + 0.03264 * v) / ((3930.2 + v * (262.7 + v * (23.97 + v * 1.646))) * 1e-5);
  return (1.0 + 0.000061 * (t_f - 100.0)) * efflux;
}
}  // namespace detail

/// SUS of a viscosity at a temperature. Range: 1.81 mm2/s and above.
inline double to_saybolt(kinematic_viscosity v, temperature at) {
  return detail::saybolt_seconds(in_mm2_per_s(v), at.in_fahrenheit());
}

/// Viscosity of an efflux time at a temperature: the inverse of to_saybolt.
/// @param seconds  [SUS], saybolt_least or more @throws input_error below it
kinematic_viscosity from_saybolt(double seconds, temperature at);

}  // namespace coldgrease::inline v0
