// How much old grease stays at the walls of a tube while new grease is pumped through it.
#pragma once

#include <cmath>

#include "coldgrease/grease/flow_curve.hpp"

namespace coldgrease::inline v0 {

namespace detail {

/// Integral of g dtau from rest to a true rate, K n/(n + 1) g^(n + 1) + c g^2/2: what velocity is made of.
inline double rate_integral(const curve& f, double g) noexcept {
  return g > 0.0 ? f.k * f.n / (f.n + 1.0) * std::pow(g, f.n + 1.0) + 0.5 * f.c * g * g : 0.0;
}

/// Velocity over its mean, by x = (r/R)^2: v(x) = 4 (I(g_w) - I(g(x)))/(tau_w nominal), with tau(x) = tau_w sqrt(x).
inline double velocity_over_mean(const curve& f, const wall& w, double x) noexcept {
  const double g = rate_at_stress(f, w.stress * std::sqrt(x));
  return 4.0 * (rate_integral(f, w.rate) - rate_integral(f, g)) / (w.stress * w.nominal);
}

/// Share of a tube still filled by old grease after `volumes` of it have been pumped at a nominal rate [1/s]: a
/// streamline of velocity v over the mean is old for 1 - volumes v of its length. Old and new flow alike (the curve of
/// the new one); nothing mixes across streamlines, so with mixing less stays.
/// Test: tests/line/displacement.cpp (limits: 1/(4 volumes) of a Newtonian oil, nothing of a plug)
inline double old_left(const curve& f, double nominal, double volumes) noexcept {
  const wall w = wall_at_nominal(f, nominal);
  if (!(w.rate > 0.0)) return 0.0;
  constexpr int steps = 2000;
  double left = 0.0;
  for (int k = 0; k < steps; ++k) {
    // Dense towards the wall, where all of it stays: x = 1 - s^2.
    const double s = (k + 0.5) / steps;
    left += std::fmax(0.0, 1.0 - volumes * velocity_over_mean(f, w, 1.0 - s * s)) * 2.0 * s / steps;
  }
  return left;
}

}  // namespace detail

}  // namespace coldgrease::inline v0
