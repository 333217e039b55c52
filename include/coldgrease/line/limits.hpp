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
  friend bool operator==(const tube&, const tube&) = default;
};

/// A line reduced to what the kernels need.
struct line_kernel {
  std::vector<tube> tubes;
  double flow = 0.0;
  double available = 0.0;                                  // at the pump, after the ratings of the parts [Pa]
  double dividers = 0.0;                                   // what they take [Pa]
  double outlet = 0.0;                                     // what the point asks for, as stated [Pa]
  std::optional<double> outlet_at_c;                       // where it was found; nothing: it holds in any cold
  double start = 1.0;                                      // factor on the yield stress
  double reset = std::numeric_limits<double>::infinity();  // what the residual must come down to [Pa]
  friend bool operator==(const line_kernel&, const line_kernel&) = default;

  /// Of the coldest segment to the air [K].
  double coldest_offset() const noexcept {
    double coldest = tubes.front().offset_k;
    for (const tube& s : tubes) coldest = std::fmin(coldest, s.offset_k);
    return coldest;
  }
  /// Outlet pressure at an air temperature: a bearing full of grease resists as its yield stress does.
  double outlet_in(const grease_kernel& g, double t_c) const noexcept {
    if (!outlet_at_c) return outlet;
    const double then = yield_stress(g, *outlet_at_c).stress;
    return then > 0.0 ? outlet * std::fmax(1.0, yield_stress(g, t_c).stress / then) : outlet;
  }
};

/// Factor on the linear term by the mean of the pressures at both ends of a line [Pa].
inline double thickening(const grease_kernel& g, double inlet, double outlet) noexcept {
  return std::exp(g.middle.alpha * 0.5 * (inlet + outlet));
}

/// The median of what is lost or stays in a line, and what it hangs on.
struct median_pressure {
  double pressure = 0.0;  // [Pa]
  weights of{};           // d ln(pressure)

  /// Adds 4 L/D of a stress.
  void add(const tube& s, const median_stress& m, double factor = 1.0) noexcept {
    const double part = 4.0 * s.length / s.bore * m.stress * factor;
    of.add(part, m.of);
    pressure += part;
  }
  /// To be called once all is added.
  void finish() noexcept {
    for (double& by : of.by) by = pressure > 0.0 ? by / pressure : 0.0;
  }
};

/// Sum of 4 L tau_w/D at an air temperature; `start` multiplies the yield stress of every segment, `thick` the linear
/// term.
inline median_pressure loss(const line_kernel& l, const grease_kernel& g, double t_c, double start, double flow,
                            double thick) noexcept {
  median_pressure sum;
  for (const tube& s : l.tubes)
    sum.add(s, wall_stress(g, t_c + s.offset_k, nominal_rate_of(flow * s.flow_ratio, s.bore), start, thick));
  sum.finish();
  return sum;
}

/// Sum of 4 L ty/D over the tubes that must vent: what stays in them after relief; where rates were measured and no
/// yield stress, all of the least stress may.
inline median_pressure residual(const line_kernel& l, const grease_kernel& g, double t_c) noexcept {
  median_pressure sum;
  for (const tube& s : l.tubes) {
    if (!s.vents) continue;
    sum.add(s, yield_stress(g, t_c + s.offset_k), g.middle.held_over_yield);
  }
  sum.finish();
  return sum;
}

/// What is asked for, what is allowed, and how surely the first is known: ln(asked) has the deviation `sigma`, and
/// `least` without what nobody said of the oil.
struct demand {
  double asked = 0.0;    // median [Pa]
  double allowed = 0.0;  // [Pa]
  double sigma = 1.0;
  double least = 1.0;
  weights of{};  // what ln(asked) hangs on

  /// 0 where nothing is allowed, 1 where nothing is asked.
  double chance() const noexcept {
    if (!(allowed > 0.0)) return 0.0;
    if (!(asked > 0.0)) return 1.0;
    return chance_of(std::log(allowed / asked), sigma, least);
  }
  /// ln of what is asked for at the normal quantile z over what is allowed: at or below 0 it passes. Never
  /// plus infinity.
  double excess(double z) const noexcept {
    constexpr double nothing = 1e-3;  // [Pa]
    return std::log(std::fmax(asked, nothing) / std::fmax(allowed, nothing)) + z * sigma;
  }
};

}  // namespace detail

/// Quantile z of the normal law: Phi(z) = confidence. Range 0.5 to 0.99.
double normal_quantile(double confidence);

/// The coldest air temperature at which a line passes at a confidence, searched from 60 C down to the oil's bound.
/// @return nothing if it does not pass at 60 C, nothing is known of other temperatures, or the reset pressure of a
///         single-line system or the yield stress that its meters wait for is missing
std::optional<temperature> coldest_passing(const line& l, const grease& g, const conditions& c);
/// The length at which a line of these segments, each in proportion, still passes at a temperature and confidence.
/// @return nothing where the grease is not known there, no pressure is left for the line, or a datum is missing as for
///         coldest_passing
/// @throws input_error as check(line)
std::optional<length> longest_passing(const line& l, const grease& g, const conditions& c);

}  // namespace coldgrease::inline v0
