// Laminar flow of a flow curve through round tubes: pressure from flow, flow from pressure.
#pragma once

#include <numbers>

#include "coldgrease/grease/flow_curve.hpp"

namespace coldgrease::inline v0 {

namespace detail {

/// 32 Q/(pi D^3) [1/s].
inline double nominal_rate_of(double flow, double bore) noexcept {
  const double cube = std::numbers::pi * bore * bore * bore;
  if (cube > 0.0) return 32.0 * flow / cube;
  return 32.0 / std::numbers::pi * flow / bore / bore / bore;  // the cube of a bore above zero may be zero
}

/// Pressure lost along a tube: 4 L tau_w/D [Pa].
inline double loss(const curve& f, double length, double bore, double flow) noexcept {
  return 4.0 * length / bore * wall_at_nominal(f, nominal_rate_of(flow, bore)).stress;
}

/// Flow through a tube at a pressure difference [m^3/s]; exactly zero while the wall stress is at or below the yield.
inline double flow(const curve& f, double length, double bore, double pressure_drop) noexcept {
  const double tau = pressure_drop * bore / (4.0 * length);
  const double g = rate_at_stress(f, tau);
  if (g == 0.0) return 0.0;
  // The shares are taken of the stress given, not of the rate found: the yield share must not lose its last digits.
  const double b = f.k * std::pow(g, f.n) / tau;
  const double d = f.c * g / tau;
  return std::numbers::pi * bore * bore * bore / 32.0 * g * nominal_over_true(f.n)(f.ty / tau, b, d);
}

}  // namespace detail

/// Nominal wall rate 32 Q/(pi D^3) of a flow in a bore. Source: The Tribology Handbook C14.3.
inline nominal_rate nominal_rate_of(volume_flow flow, length bore) {
  return {per_second(detail::nominal_rate_of(in_m3_per_s(flow), in_metre(bore)))};
}

/// Pressure lost along a tube: 4 L tau_w/D, tau_w from the exact flow relation of the curve.
/// @param run   length [m], > 0   @param bore  inner diameter [m], > 0   @param flow  [m^3/s], >= 0
/// @return drop [Pa]; at zero flow the yield's own 4 L ty/D
/// Assumes laminar, isothermal flow without slip. Relative error below 1e-12.
/// Source: Q = (pi R^3/tau_w^3) integral tau^2 g dtau, by parts. Test: tests/published/tube_flow.csv
inline pressure pressure_loss(const flow_curve& f, length run, length bore, volume_flow flow) {
  return pascal(detail::loss(detail::kernel(f), in_metre(run), in_metre(bore), in_m3_per_s(flow)));
}

/// Flow through a tube at a pressure difference, the inverse of pressure_loss.
/// @return [m^3/s]; exactly zero where drop <= 4 L ty/D
inline volume_flow flow_at(const flow_curve& f, length run, length bore, pressure drop) {
  return m3_per_s(detail::flow(detail::kernel(f), in_metre(run), in_metre(bore), in_pascal(drop)));
}

}  // namespace coldgrease::inline v0
