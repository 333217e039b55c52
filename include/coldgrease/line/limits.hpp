// Where a line stops passing: the coldest temperature, the longest run, the smallest bore, the largest flow.
#pragma once

#include <limits>
#include <optional>
#include <span>

#include "coldgrease/line/line.hpp"
#include "coldgrease/line/tube_flow.hpp"

namespace coldgrease::inline v0 {

namespace detail {

/// The segments of a line as SI numbers.
struct tube {
  double length = 0.0;
  double bore = 0.0;
  double offset_k = 0.0;
  double flow_ratio = 1.0;  // flow in it over the line's
  bool vents = false;       // its pressure must fall before meters recharge
};

/// A line reduced to what the kernels need.
struct line_kernel {
  std::vector<tube> tubes;
  double flow = 0.0;
  double allowed = 0.0;                                    // available - outlet - dividers [Pa]
  double start = 1.0;                                      // factor on the yield stress
  double reset = std::numeric_limits<double>::infinity();  // what the residual must come down to [Pa]
};

/// Sum of 4 L tau_w/D at an air temperature; `start` multiplies the yield stress of every segment.
inline double loss(const line_kernel& l, const grease_model& g, double t_c, double start, double flow) noexcept {
  double sum = 0.0;
  for (const tube& s : l.tubes) {
    curve f = g.at(t_c + s.offset_k);
    f.ty *= start;
    sum += loss(f, s.length, s.bore, flow * s.flow_ratio);
  }
  return sum;
}

/// Sum of 4 L ty/D over the tubes that must vent: what stays in them after relief [Pa].
inline double residual(const line_kernel& l, const grease_model& g, double t_c) noexcept {
  double sum = 0.0;
  for (const tube& s : l.tubes) {
    if (s.vents) sum += 4.0 * s.length / s.bore * g.at(t_c + s.offset_k).ty;
  }
  return sum;
}

/// Phi(ln(allowed/loss)/sigma), 0 where nothing is allowed, 1 where nothing is lost.
inline double chance(double allowed, double loss, double sigma) noexcept {
  if (!(allowed > 0.0)) return 0.0;
  if (!(loss > 0.0)) return 1.0;
  return 0.5 * std::erfc(-std::log(allowed / loss) / (sigma * std::numbers::sqrt2));
}

}  // namespace detail

/// Quantile z of the normal law: Phi(z) = confidence. Range 0.5 to 0.99.
double normal_quantile(double confidence);

/// The coldest air temperature at which a line passes at a confidence, searched from 60 C down to the oil's bound.
/// @return nothing if it does not pass at 60 C, nothing is known of other temperatures, or the reset pressure of a
///         single-line system is missing
std::optional<temperature> coldest_passing(const line& l, const grease& g, const conditions& c);

}  // namespace coldgrease::inline v0
