// One four-parameter flow curve for every model the field uses, and what it means in a round tube.
#pragma once

#include <algorithm>
#include <cmath>

#include "coldgrease/base/units.hpp"
#include "coldgrease/base/words.hpp"

namespace coldgrease::inline v0 {

/// Range of flow_curve::index.
inline constexpr double least_index = 0.1, most_index = 1.5;

/// Stress against true shear rate: tau(g) = yield + consistency g^index + linear g.
/// Newtonian (linear), power law (consistency, index), Bingham (yield, linear), Herschel-Bulkley (no linear), Sisko (no
/// yield), Casson (K = 2 sqrt(yield linear), index 1/2), and the four-parameter grease law are members.
/// Range: each parameter >= 0, index least_index to most_index. Test: tests/published/tube_flow.csv,
/// tests/line/quadrature.cpp.
struct flow_curve {
  pressure yield{};            // ty [Pa]
  double consistency = 0.0;    // K [Pa s^n]
  double index = 0.5;          // n [-]
  dynamic_viscosity linear{};  // c [Pa s]
};

/// The true shear rate at the wall, as a rotational rheometer reports it [1/s].
struct true_rate {
  shear_rate value{};
};

/// The nominal (Newtonian) wall rate 32 Q/(pi D^3), as ASTM D1092 and the line formula of the trade use it [1/s].
/// Another type than true_rate: mixing the two costs up to 15 % in pressure.
struct nominal_rate {
  shear_rate value{};
};

/// Which of the two a table of points is written against.
enum class rate_kind { nominal, true_rate };
template <>
struct words_of<rate_kind> {
  using enum rate_kind;
  static constexpr std::string_view what = "";
  static constexpr word_for<rate_kind> table[]{{nominal, "nominal"}, {true_rate, "true"}};
};

namespace detail {

/// flow_curve in SI doubles.
struct curve {
  double ty = 0.0;
  double k = 0.0;
  double n = 0.5;
  double c = 0.0;

  double stress(double g) const noexcept { return ty + k * std::pow(g, n) + c * g; }
  bool yields_only() const noexcept { return k == 0.0 && c == 0.0; }
};

inline curve kernel(const flow_curve& f) noexcept { return {to_si(f.yield), f.consistency, f.index, to_si(f.linear)}; }

/// Nominal over true wall rate, from Q = (pi R^3/tau_w^3) * integral of tau^2 g dtau, by parts over g, with the stress
/// at the wall split into shares a = ty/tau_w, b = K g^n/tau_w, d = c g/tau_w (a + b + d = 1). Every term is positive,
/// so nothing cancels even where the plug almost fills the tube. The coefficients hang on n alone: made once a solve.
class nominal_over_true {
 public:
  explicit nominal_over_true(double n) noexcept
      : n_(n),
        aab_(4.0 * n / (n + 1.0)),
        abb_(8.0 * n / (2.0 * n + 1.0)),
        abd_(8.0 * (1.0 + n) / (n + 2.0)),
        bbb_(4.0 * n / (3.0 * n + 1.0)),
        bbd_(2.0 * (1.0 + 2.0 * n) / (n + 1.0)),
        bdd_(4.0 * (2.0 + n) / (n + 3.0)) {}

  double operator()(double a, double b, double d) const noexcept {
    return a * a * (aab_ * b + aad * d) + a * (abb_ * b * b + abd_ * b * d + add * d * d) +
           b * b * (bbb_ * b + bbd_ * d) + d * d * (bdd_ * b + ddd * d);
  }

  /// Its derivatives by a, b, d and the index; a, b and d are taken as independent. For fits.
  struct gradient {
    double a, b, d, n;
  };
  gradient slope(double a, double b, double d) const noexcept {
    const auto over_square = [](double v, double w) { return v / (w * w); };
    return {2.0 * a * (aab_ * b + aad * d) + abb_ * b * b + abd_ * b * d + add * d * d,
            a * a * aab_ + a * (2.0 * abb_ * b + abd_ * d) + b * (3.0 * bbb_ * b + 2.0 * bbd_ * d) + d * d * bdd_,
            a * a * aad + a * (abd_ * b + 2.0 * add * d) + b * b * bbd_ + d * (2.0 * bdd_ * b + 3.0 * ddd * d),
            b * (over_square(4.0, n_ + 1.0) * a * a + over_square(8.0, 2.0 * n_ + 1.0) * a * b +
                 over_square(8.0, n_ + 2.0) * a * d + over_square(4.0, 3.0 * n_ + 1.0) * b * b +
                 over_square(2.0, n_ + 1.0) * b * d + over_square(4.0, n_ + 3.0) * d * d)};
  }

 private:
  static constexpr double aad = 2.0, add = 8.0 / 3.0, ddd = 1.0;  // terms without the index
  double n_, aab_, abb_, abd_, bbb_, bbd_, bdd_;
};

/// What holds at the wall of a tube at one true rate g.
struct wall {
  double rate = 0.0;           // true [1/s]
  double stress = 0.0;         // [Pa]
  double nominal = 0.0;        // [1/s]
  double slope = 1.0;          // d ln nominal/d ln g
  double stress_change = 0.0;  // d stress/d ln g [Pa]
};

/// `over` holds for the index of f. By Rabinowitsch, 4 g/nominal = 3 + d ln nominal/d ln tau: the slope costs nothing.
inline wall wall_at(const curve& f, const nominal_over_true& over, double ln_rate) noexcept {
  const double g = std::exp(ln_rate);
  const double b = f.k * std::exp(f.n * ln_rate);
  const double d = f.c * g;
  const double tau = f.ty + b + d;
  const double ratio = over(f.ty / tau, b / tau, d / tau);
  return {g, tau, g * ratio, (4.0 / ratio - 3.0) * (f.n * b + d) / tau, f.n * b + d};
}
inline wall wall_at(const curve& f, double g) noexcept { return wall_at(f, nominal_over_true(f.n), std::log(g)); }

/// The wall state at a nominal rate: Newton on ln g against ln nominal. The slope lies between 1 and 1 + max(n, 1), so
/// the step always contracts; about four are needed. Relative error of the stress below 1e-13.
inline wall wall_at_nominal(const curve& f, double nominal) noexcept {
  if (!(nominal > 0.0) || f.yields_only()) return {0.0, f.ty, std::max(nominal, 0.0)};
  constexpr double close = 1e-8;  // its square is below rounding
  constexpr int most_steps = 50;
  const nominal_over_true over(f.n);
  const double target = std::log(nominal);
  double ln_rate = target;
  for (int step = 0;; ++step) {
    wall w = wall_at(f, over, ln_rate);
    const double miss = target - std::log(w.nominal);
    const double change = miss / w.slope;
    if (std::abs(miss) < close || step == most_steps) {
      // Close enough for the first derivative: another evaluation would change no digit.
      w.rate *= 1.0 + change;
      w.stress += w.stress_change * change;
      w.nominal = nominal;
      return w;
    }
    ln_rate += change;
  }
}

/// d ln(stress at the wall)/d ln(yield stress) at a constant nominal rate, where the true rate at the wall is `rate`:
/// ty int tau^2 dg/int tau^3 dg from 0 to the wall, from the derivative of Q = (pi R^3/tau_w^3) int tau^2 g dtau. 0
/// without a yield stress, 1 with nothing else; every term is positive. Test: tests/grease/flow_curve.cpp (law: the
/// difference quotient)
inline double yield_elasticity(const curve& f, double rate) noexcept {
  if (!(f.ty > 0.0)) return 0.0;
  const double b_abs = f.k * std::pow(rate, f.n), d_abs = f.c * rate;
  const double tau = f.ty + b_abs + d_abs;
  const double a = f.ty / tau, b = b_abs / tau, d = d_abs / tau, n = f.n;
  const double squares =
      a * (a + 2.0 * b / (n + 1.0) + d) + b * (b / (2.0 * n + 1.0) + 2.0 * d / (n + 2.0)) + d * d / 3.0;
  const double cubes = a * a * (a + 3.0 * b / (n + 1.0) + 1.5 * d) +
                       a * (3.0 * b * b / (2.0 * n + 1.0) + 6.0 * b * d / (n + 2.0) + d * d) +
                       b * b * (b / (3.0 * n + 1.0) + 1.5 * d / (n + 1.0)) + d * d * (3.0 * b / (n + 3.0) + 0.25 * d);
  return a * squares / cubes;
}

/// The true rate at a stress: zero at and below the yield stress. Newton on the excess stress in ln g from an upper
/// bound of a convex function: it comes down monotonically.
inline double rate_at_stress(const curve& f, double tau) noexcept {
  const double excess = tau - f.ty;
  if (!(excess > 0.0) || f.yields_only()) return 0.0;
  if (f.c == 0.0) return std::pow(excess / f.k, 1.0 / f.n);
  if (f.k == 0.0) return excess / f.c;
  double g = std::min(std::pow(excess / f.k, 1.0 / f.n), excess / f.c);
  for (int step = 0; step < 50; ++step) {
    const double b = f.k * std::pow(g, f.n);
    const double d = f.c * g;
    const double miss = std::log((b + d) / excess);
    g *= std::exp(-miss * (b + d) / (f.n * b + d));
    if (std::abs(miss) < 1e-8) break;
  }
  return g;
}

}  // namespace detail

/// Stress at a true shear rate: tau(g) [Pa].
inline pressure stress(const flow_curve& f, true_rate rate) {
  return pascal(detail::kernel(f).stress(in_per_second(rate.value)));
}
/// Stress at the wall of a tube at a nominal rate [Pa].
inline pressure stress(const flow_curve& f, nominal_rate rate) {
  return pascal(detail::wall_at_nominal(detail::kernel(f), in_per_second(rate.value)).stress);
}

/// Apparent viscosity, stress over rate of the same kind [Pa s]; with a nominal rate this is that of ASTM D1092.
template <class Rate>
dynamic_viscosity apparent_viscosity(const flow_curve& f, Rate rate) {
  return pascal_second(in_pascal(stress(f, rate)) / in_per_second(rate.value));
}

/// @throws input_error unless every parameter is finite and in its range, and K or c is above 0
void validate(const flow_curve& f);

}  // namespace coldgrease::inline v0
