// The flow curve: its members reduce to the closed forms of their textbooks (law), and what was solved is solved (law).
#include "coldgrease/grease/flow_curve.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "coldgrease/base/error.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

flow_curve curve(double ty, double k, double n, double c) { return {pascal(ty), k, n, pascal_second(c)}; }

/// Nominal rate at a wall stress, by way of the true rate.
double nominal_at(const flow_curve& f, double tau) {
  const detail::curve k = detail::kernel(f);
  return detail::wall_at(k, detail::rate_at_stress(k, tau)).nominal;
}

class sampler {
 public:
  explicit sampler(unsigned seed) : random_(seed) {}
  double between(double low, double high) { return low + (high - low) * unit_(random_); }
  double decades(double low, double high) { return std::pow(10.0, between(low, high)); }
  flow_curve any(int i) {
    return curve(i % 4 == 1 ? 0.0 : decades(-1, 4), i % 4 == 2 ? 0.0 : decades(-2, 3), between(0.1, 1.5),
                 i % 4 == 3 ? 0.0 : decades(-3, 3));
  }

 private:
  std::mt19937_64 random_;
  std::uniform_real_distribution<double> unit_{0.0, 1.0};
};

constexpr int samples = 3000;

}  // namespace

TEST_CASE("flow curve: Newton, nominal rate = tau/eta (law)" * doctest::test_suite("long")) {
  sampler s(51);
  for (int i = 0; i < samples; ++i) {
    const double eta = s.decades(-3, 3), tau = s.decades(-2, 5);
    CHECK(near(nominal_at(curve(0, 0, 0.5, eta), tau), tau / eta, 1e-14));
    CHECK(near(nominal_at(curve(0, eta, 1.0, 0), tau), tau / eta, 1e-14));
    CHECK(near(nominal_at(curve(0, 0.3 * eta, 1.0, 0.7 * eta), tau), tau / eta, 1e-13));
  }
}

TEST_CASE("flow curve: power law, true rate = nominal (3n+1)/(4n) (law: Rabinowitsch)" * doctest::test_suite("long")) {
  sampler s(52);
  for (int i = 0; i < samples; ++i) {
    const double k = s.decades(-2, 3), n = s.between(0.1, 1.5), tau = s.decades(0, 4);
    const double nominal = nominal_at(curve(0, k, n, 0), tau);
    CHECK(near(nominal * (3.0 * n + 1.0) / (4.0 * n), std::pow(tau / k, 1.0 / n), 1e-13));
  }
}

TEST_CASE("flow curve: Bingham, by Buckingham and Reiner (law)" * doctest::test_suite("long")) {
  sampler s(53);
  for (int i = 0; i < samples; ++i) {
    const double eta = s.decades(-3, 3), ty = s.decades(0, 4), x = s.decades(-6, 0) * 0.999;
    const double tau = ty / (1.0 - x);
    // 1 - 4 phi/3 + phi^4/3 without its cancellation; x from the stresses as rounded.
    const double over = (tau - ty) / tau, phi = ty / tau;
    const double expected = tau / eta * over * over * (phi * phi + 2.0 * phi + 3.0) / 3.0;
    CHECK(near(nominal_at(curve(ty, 0, 0.5, eta), tau), expected, 1e-13));
    CHECK(near(nominal_at(curve(ty, eta, 1.0, 0), tau), expected, 1e-13));
  }
}

TEST_CASE("flow curve: Herschel-Bulkley, its three-term form (law)" * doctest::test_suite("long")) {
  sampler s(54);
  for (int i = 0; i < samples; ++i) {
    const double k = s.decades(-2, 3), n = s.between(0.1, 1.5), ty = s.decades(0, 4), x = s.decades(-6, 0) * 0.999;
    const double tau = ty / (1.0 - x), over = (tau - ty) / tau, phi = ty / tau, m = 1.0 / n;
    const double rate = std::pow((tau - ty) / k, m);
    const double expected =
        4.0 * rate * over * (over * over / (m + 3.0) + 2.0 * over * phi / (m + 2.0) + phi * phi / (m + 1.0));
    CHECK(near(nominal_at(curve(ty, k, n, 0), tau), expected, 1e-13));
  }
}

TEST_CASE("flow curve: Casson, as K = 2 sqrt(ty eta) and n = 1/2 (law)" * doctest::test_suite("long")) {
  sampler s(55);
  for (int i = 0; i < samples; ++i) {
    const double ty = s.decades(0, 4), eta = s.decades(-2, 2), x = s.decades(-4, 0) * 0.999;
    const double tau = ty / (1.0 - x);
    const double z = std::sqrt(ty / tau), rest = (tau - ty) / tau / (1.0 + z);  // 1 - z
    const double expected = tau / eta * rest * rest * rest * (21 + z * (15 + z * (10 + z * (6 + z * (3 + z))))) / 21.0;
    const flow_curve casson = curve(ty, 2.0 * std::sqrt(ty * eta), 0.5, eta);
    CHECK(near(nominal_at(casson, tau), expected, 1e-10));
    const double g = s.decades(-4, 4);
    CHECK(near(in_pascal(stress(casson, true_rate{per_second(g)})), std::pow(std::sqrt(ty) + std::sqrt(eta * g), 2),
               1e-14));
  }
}

TEST_CASE("flow curve: Sisko, by its own closed integral (law)" * doctest::test_suite("long")) {
  sampler s(56);
  for (int i = 0; i < samples; ++i) {
    const double a = s.decades(-2, 2), b = s.decades(-1, 3), m = s.between(0.1, 1.0), g = s.decades(-3, 4);
    const double tau = a * g + b * std::pow(g, m);
    // Q/(pi R^3/3 tau^3) = tau^3 g - integral of tau^3 over g, the integral term by term.
    const double cubes = a * a * a * std::pow(g, 4) / 4 + 3 * a * a * b * std::pow(g, m + 3) / (m + 3) +
                         3 * a * b * b * std::pow(g, 2 * m + 2) / (2 * m + 2) +
                         b * b * b * std::pow(g, 3 * m + 1) / (3 * m + 1);
    const double expected = 4.0 / 3.0 * (g - cubes / (tau * tau * tau));
    CHECK(near(nominal_at(curve(0, b, m, a), tau), expected, 1e-11));
  }
}

TEST_CASE("flow curve: the wall state at a nominal rate is the one whose nominal rate it is (law)" *
          doctest::test_suite("long")) {
  sampler s(57);
  for (int i = 0; i < samples; ++i) {
    CAPTURE(i);
    const detail::curve f = detail::kernel(s.any(i));
    const double nominal = s.decades(-12, 6);
    const detail::wall w = detail::wall_at_nominal(f, nominal);
    CHECK(near(w.nominal, nominal, 1e-13));
    CHECK(near(w.stress, f.stress(w.rate), 1e-14));
    if (f.n <= 1.0) CHECK(w.rate >= w.nominal * (1.0 - 1e-14));  // where nothing thickens with the rate
    CHECK(w.slope > 0.0);
    CHECK(w.slope <= 1.0 + std::max(f.n, 1.0) + 1e-12);
    // The slope is the derivative.
    const double step = 1e-6;
    const double rise =
        std::log(detail::wall_at(f, w.rate * (1 + step)).nominal / detail::wall_at(f, w.rate * (1 - step)).nominal);
    CHECK(near(rise / (std::log1p(step) - std::log1p(-step)), w.slope, 1e-7));
  }
}

TEST_CASE(
    "flow curve: derivatives of the nominal relation by its shares and the index are those of the relation (law)" *
    doctest::test_suite("long")) {
  sampler s(60);
  constexpr double h = 1e-5;
  for (int i = 0; i < 300; ++i) {
    const double n = s.between(0.1, 1.5), a = s.between(0, 1), b = s.between(0, 1), d = s.between(0, 1);
    const detail::nominal_over_true over(n);
    const auto by = over.slope(a, b, d);
    CHECK(near((over(a + h, b, d) - over(a - h, b, d)) / (2 * h), by.a, 1e-8, 1e-9));
    CHECK(near((over(a, b + h, d) - over(a, b - h, d)) / (2 * h), by.b, 1e-8, 1e-9));
    CHECK(near((over(a, b, d + h) - over(a, b, d - h)) / (2 * h), by.d, 1e-8, 1e-9));
    const double up = detail::nominal_over_true(n + h)(a, b, d), down = detail::nominal_over_true(n - h)(a, b, d);
    CHECK(near((up - down) / (2 * h), by.n, 1e-7, 1e-9));
  }
}

TEST_CASE("flow curve: the rate at a stress has that stress (law)" * doctest::test_suite("long")) {
  sampler s(58);
  for (int i = 0; i < samples; ++i) {
    CAPTURE(i);
    const detail::curve f = detail::kernel(s.any(i));
    const double excess = s.decades(-6, 6), tau = f.ty + excess;
    const double g = detail::rate_at_stress(f, tau);
    CHECK(near(f.k * std::pow(g, f.n) + f.c * g, tau - f.ty, 1e-12));
    CHECK(detail::rate_at_stress(f, f.ty) == 0.0);
    CHECK(detail::rate_at_stress(f, 0.5 * f.ty) == 0.0);
    CHECK(detail::rate_at_stress(f, -1.0) == 0.0);
  }
}

TEST_CASE("flow curve: stress rises, apparent viscosity falls, with the rate (law)" * doctest::test_suite("long")) {
  sampler s(59);
  for (int i = 0; i < 300; ++i) {
    CAPTURE(i);
    flow_curve f = s.any(i);
    f.index = s.between(0.1, 1.0);
    double tau = 0.0, true_tau = 0.0, eta = std::numeric_limits<double>::infinity();
    for (double g = 1e-6; g < 1e6; g *= 3.0) {
      const nominal_rate nominal{per_second(g)};
      const double next = in_pascal(stress(f, nominal));
      CHECK(next > tau);
      CHECK(in_pascal(stress(f, true_rate{per_second(g)})) > true_tau);
      CHECK(in_pascal_second(apparent_viscosity(f, nominal)) <= eta * (1.0 + 1e-13));
      CHECK(near(in_pascal_second(apparent_viscosity(f, nominal)) * g, next, 1e-14));
      // The mistake that two types prevent: at most 15.8 %, the four thirds of a plug or ((3n+1)/4n)^n.
      const double mixed = next / in_pascal(stress(f, true_rate{per_second(g)}));
      CHECK(mixed >= 1.0 - 1e-13);
      CHECK(mixed < 1.19);
      tau = next;
      true_tau = in_pascal(stress(f, true_rate{per_second(g)}));
      eta = in_pascal_second(apparent_viscosity(f, nominal));
    }
  }
}

TEST_CASE("flow curve: at rest the stress is the yield stress (law)") {
  const flow_curve f = curve(500, 50, 0.5, 2);
  CHECK(in_pascal(stress(f, nominal_rate{per_second(0)})) == 500.0);
  CHECK(in_pascal(stress(f, true_rate{per_second(0)})) == 500.0);
  CHECK(in_pascal(stress(curve(500, 0, 0.5, 0), nominal_rate{per_second(10)})) == 500.0);
}

TEST_CASE("flow curve: parameters outside the law are refused by name") {
  CHECK_NOTHROW(validate(curve(0, 1, 0.1, 0)));
  CHECK_NOTHROW(validate(curve(0, 1, 1.5, 0)));
  CHECK_NOTHROW(validate(curve(500, 0, 0.5, 1)));
  const auto refused = [](const flow_curve& f, std::string_view field) {
    try {
      validate(f);
      FAIL("accepted: " << field);
    } catch (const input_error& e) {
      CHECK(std::string_view(e.what()).find(field) == 0);
    }
  };
  constexpr double nan = std::numeric_limits<double>::quiet_NaN(), infinite = std::numeric_limits<double>::infinity();
  for (const double bad : {-1.0, nan, infinite}) {
    refused(curve(bad, 1, 0.5, 1), "yield");
    refused(curve(1, bad, 0.5, 1), "consistency");
    refused(curve(1, 1, 0.5, bad), "linear");
  }
  for (const double bad : {0.0999, 1.501, 0.0, -1.0, nan}) refused(curve(1, 1, bad, 1), "index");
  refused(curve(500, 0, 0.5, 0), "consistency");
}

TEST_CASE("law: how the stress at the wall follows the yield stress is the difference quotient at a constant flow") {
  const detail::curve curves[]{
      {500, 50, 0.5, 2}, {500, 0, 0.5, 30}, {10, 200, 0.3, 0}, {1500, 150, 1.2, 0.5}, {40, 4, 0.5, 90}};
  for (const detail::curve& f : curves) {
    for (const double nominal : {1e-4, 0.1, 2.65, 50.0, 2000.0}) {
      CAPTURE(nominal);
      const double h = 1e-5;
      detail::curve more = f, less = f;
      more.ty *= 1 + h;
      less.ty *= 1 - h;
      const double quotient =
          std::log(detail::wall_at_nominal(more, nominal).stress / detail::wall_at_nominal(less, nominal).stress) /
          std::log((1 + h) / (1 - h));
      CHECK(near(detail::yield_elasticity(f, detail::wall_at_nominal(f, nominal).rate), quotient, 1e-6, 1e-8));
    }
    CHECK(near(detail::yield_elasticity(f, 0.0), 1.0, 1e-14));
  }
  CHECK(detail::yield_elasticity({0, 50, 0.5, 2}, 3.0) == 0.0);
}
