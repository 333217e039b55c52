// Law: the closed form of the tube flow is the integral it came from, taken here by a general-purpose quadrature.
//
// Q = pi R^3/(3 tau_w^3) * integral over g from 0 to g_w of (tau_w - tau)(tau_w^2 + tau_w tau + tau^2) dg, so the
// nominal rate 32 Q/(pi D^3) is 4/3 of that integral over tau_w^3. g = g_w x^p takes the root singularity of g^n at 0
// away.
#include <doctest/doctest.h>

#include <algorithm>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <cmath>
#include <random>

#include "coldgrease/grease/flow_curve.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

double nominal_by_quadrature(const detail::curve& f, double wall_rate) {
  // Stresses over the yield stress: where the plug almost fills the tube, tau_w - tau must not be a difference of two
  // large numbers.
  const double top = f.k * std::pow(wall_rate, f.n) + f.c * wall_rate;
  const double tau_w = f.ty + top;
  const double p = std::max(3.0, 2.0 / f.n);
  const auto integrand = [&](double x) {
    const double g = wall_rate * std::pow(x, p);
    const double over = f.k * std::pow(g, f.n) + f.c * g;
    const double t = (f.ty + over) / tau_w;
    return (top - over) / tau_w * (1.0 + t + t * t) * p * std::pow(x, p - 1.0);
  };
  return 4.0 / 3.0 * wall_rate *
         boost::math::quadrature::gauss_kronrod<double, 31>::integrate(integrand, 0.0, 1.0, 8, 1e-11);
}

}  // namespace

TEST_CASE("quadrature: 12,000 random curves and rates agree with the closed form to 1e-9 (law)" *
          doctest::test_suite("long")) {
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const auto decades = [&](double low, double high) { return std::pow(10.0, low + (high - low) * unit(random)); };
  double worst = 0.0, worst_inverse = 0.0;
  for (int i = 0; i < 12000; ++i) {
    detail::curve f{decades(-1, 4), decades(-2, 3), 0.1 + 1.4 * unit(random), decades(-3, 3)};
    // One in four lacks the yield stress, the power or the linear term.
    if (i % 4 == 1) f.ty = 0.0;
    if (i % 4 == 2) f.k = 0.0;
    if (i % 4 == 3) f.c = 0.0;
    const double rate = decades(-6, 5);

    const detail::wall w = detail::wall_at(f, rate);
    worst = std::max(worst, std::abs(w.nominal / nominal_by_quadrature(f, rate) - 1.0));

    // The inverse: the wall state found for a nominal rate must integrate back to that rate.
    const detail::wall inverse = detail::wall_at_nominal(f, rate);
    worst_inverse = std::max(worst_inverse, std::abs(nominal_by_quadrature(f, inverse.rate) / rate - 1.0));
  }
  MESSAGE("largest relative difference: closed form " << worst << ", solved for the nominal rate " << worst_inverse);
  CHECK(worst < 1e-9);
  CHECK(worst_inverse < 1e-9);
}
