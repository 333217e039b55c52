// Time of a pressure solve (flow -> pressure loss), beside a general-purpose way of doing the same: the flow integral
// by adaptive quadrature inside a bracketing root finder, both of a numerical library. One run, the same cases, and the
// accuracy that each reached against a third, slower and tighter solve.
#include <algorithm>
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <boost/math/quadrature/tanh_sinh.hpp>
#include <boost/math/tools/roots.hpp>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <limits>
#include <numbers>
#include <random>
#include <vector>

#include "coldgrease/line/tube_flow.hpp"

namespace {

using coldgrease::detail::curve;

struct tube_case {
  curve f;
  double bore = 0.0;    // [m]
  double length = 0.0;  // [m]
  double flow = 0.0;    // [m3/s]
};

/// Greases of the trade from warm to cold, in thin lines at metering flows; every curve has all four parameters.
std::vector<tube_case> cases(std::size_t count) {
  std::mt19937_64 random(9);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const auto decades = [&](double low, double high) { return low * std::pow(high / low, unit(random)); };
  std::vector<tube_case> all(count);
  for (tube_case& c : all) {
    const double ty = decades(10, 3000);
    c = {{ty, ty / 10.0, 0.3 + 0.5 * unit(random), decades(0.1, 100)},
         decades(2e-3, 1e-2),
         decades(0.5, 20),
         decades(1e-9, 2e-7)};
  }
  return all;
}

/// Nominal rate 32 Q/(pi D^3) at a true wall rate, by quadrature of Q = pi R^3/(3 tau_w^3) * integral of
/// (tau_w - tau)(tau_w^2 + tau_w tau + tau^2) dg, g = g_w x^3: the same integral with the same stable integrand, so
/// that the general-purpose way is not hobbled by cancellation or by the singularity of g^n at 0.
template <class Real, class Integrate>
Real nominal(const curve& f, Real wall_rate, Integrate integrate) {
  using std::pow;
  const Real ty = f.ty, k = f.k, n = f.n, c = f.c;
  const Real top = k * pow(wall_rate, n) + c * wall_rate;
  const Real tau_w = ty + top;
  const auto integrand = [&](Real x) {
    const Real g = wall_rate * x * x * x;
    const Real over = k * pow(g, n) + c * g;
    const Real t = (ty + over) / tau_w;
    return (top - over) / tau_w * (1 + t + t * t) * 3 * x * x;
  };
  return Real(4) / 3 * wall_rate * integrate(integrand);
}

/// Pressure at a flow: the wall rate bracketed and solved for in ln g.
template <class Real, class Integrate>
Real general_purpose(const tube_case& t, unsigned bits, Integrate integrate) {
  using std::exp, std::log, std::pow;
  const Real target = 32 * Real(t.flow) / (std::numbers::pi_v<Real> * t.bore * t.bore * t.bore);
  const auto miss = [&](Real u) { return log(nominal<Real>(t.f, exp(u), integrate) / target); };
  // The true rate is at least the nominal one; the plug sets how far above.
  const Real low = log(target) - Real(1e-3);
  Real high = low + 2;
  while (miss(high) < 0) high += 2;
  std::uintmax_t iterations = 200;
  const auto [a, b] =
      boost::math::tools::toms748_solve(miss, low, high, boost::math::tools::eps_tolerance<Real>(bits), iterations);
  const Real g = exp((a + b) / 2);
  return 4 * Real(t.length) / t.bore * (t.f.ty + t.f.k * pow(g, Real(t.f.n)) + t.f.c * g);
}

double by_gauss_kronrod(const tube_case& t) {
  return general_purpose<double>(t, 48, [](auto f) {
    return boost::math::quadrature::gauss_kronrod<double, 15>::integrate(f, 0.0, 1.0, 12, 1e-12);
  });
}

double by_tanh_sinh(const tube_case& t) {
  static boost::math::quadrature::tanh_sinh<double> rule;
  return general_purpose<double>(t, 48, [](auto f) { return rule.integrate(f, 0.0, 1.0, 1e-12); });
}

long double reference(const tube_case& t) {
  return general_purpose<long double>(t, 60, [](auto f) {
    return boost::math::quadrature::gauss_kronrod<long double, 31>::integrate(f, 0.0L, 1.0L, 15, 1e-17L);
  });
}

double closed_form(const tube_case& t) { return coldgrease::detail::loss(t.f, t.length, t.bore, t.flow); }

struct timing {
  double ns = 0.0;
  double sum = 0.0;  // printed, so that no call can be left out
};

/// The fastest of a few passes over the cases.
template <class Solve>
timing time_of(const std::vector<tube_case>& all, Solve solve, int passes) {
  timing best{std::numeric_limits<double>::infinity(), 0.0};
  for (int pass = 0; pass < passes; ++pass) {
    const auto start = std::chrono::steady_clock::now();
    double sum = 0.0;
    for (const tube_case& t : all) sum += solve(t);
    const std::chrono::duration<double, std::nano> spent = std::chrono::steady_clock::now() - start;
    best = {std::min(best.ns, spent.count() / static_cast<double>(all.size())), sum};
  }
  return best;
}

template <class Solve>
double worst_error(const std::vector<tube_case>& all, Solve solve) {
  double worst = 0.0;
  for (const tube_case& t : all) worst = std::max(worst, static_cast<double>(std::abs(solve(t) / reference(t) - 1)));
  return worst;
}

}  // namespace

int main() {
  const std::vector<tube_case> many = cases(20000);
  const std::vector<tube_case> few(many.begin(), many.begin() + 500);

  const timing closed = time_of(many, closed_form, 7);
  const timing kronrod = time_of(few, by_gauss_kronrod, 5);
  const timing sinh = time_of(few, by_tanh_sinh, 5);
  std::printf("pressure solve, four-parameter curve                        ns/solve   largest relative error\n");
  const auto row = [&](const char* name, const timing& t, double error) {
    std::printf("%-56s %11.0f   %.1e\n", name, t.ns, error);
  };
  row("closed form + Newton", closed, worst_error(few, closed_form));
  row("adaptive Gauss-Kronrod + bracketing root finder", kronrod, worst_error(few, by_gauss_kronrod));
  row("adaptive tanh-sinh + bracketing root finder", sinh, worst_error(few, by_tanh_sinh));
  double apart = 0.0;
  for (const tube_case& t : few) apart = std::max(apart, std::abs(closed_form(t) / by_gauss_kronrod(t) - 1.0));
  std::printf("closed form against Gauss-Kronrod: %.1e apart at most\n", apart);
  std::printf("times faster than the faster of the two: %.0f (target: 100)\n",
              std::min(kronrod.ns, sinh.ns) / closed.ns);
  std::printf("(sums %.6g %.6g %.6g Pa)\n", closed.sum, kronrod.sum, sinh.sum);
  return 0;
}
