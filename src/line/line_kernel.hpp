// Limits on SI numbers, shared by the sources of this stage.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/root.hpp"
#include "coldgrease/line/inlet.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"

namespace coldgrease::inline v0::detail {

line_kernel kernel(const line& l, const conditions& c);

/// Lines of one tube each that differ in its length alone: the first of them in their list, and the first of the
/// longest.
struct alike_lines {
  std::size_t first = 0;
  std::size_t longest = 0;
};

/// An installation as kernels take it: made once for questions about many greases at many temperatures.
struct system_kernel {
  conditions given{};  // at no temperature yet
  std::vector<line_kernel> lines{};
  std::vector<alike_lines> alike{};  // of each line, itself among them
  inlet feed{};
};
/// @param i  with mains joined
system_kernel kernel(const installation& i, double confidence);

/// outcome_of(line) and needed_pressure(line) with kernels at hand; `kernel` is of g, `at` stands for that of c.
outcome outcome_of(const line& l, const line_kernel& k, const grease& g, const grease_kernel& kernel,
                   const conditions& c, temperature at);
std::optional<pressure> needed_pressure(const line_kernel& k, const grease& g, const grease_kernel& kernel,
                                        temperature at);
/// coldest_passing(line) likewise, where nothing is missing.
std::optional<temperature> coldest_passing(const line_kernel& k, const grease_kernel& kernel, const conditions& c);
/// outcome_of(installation) and coldest_passing(installation) likewise. @param s  of i
installation_outcome outcome_of(const installation& i, const system_kernel& s, const grease& g,
                                const grease_kernel& kernel, temperature at);
std::optional<temperature> coldest_passing(const system_kernel& s, const grease& g);

/// A sentence for each rating of a line's parts that is below the pressure at the pump.
std::vector<std::string> rating_warnings(const line& l, pressure available);
/// What is odd in a line, each once.
std::vector<std::string> odd_parts(const line& l);

inline constexpr std::string_view rest_assumed = "the rest before a start is not given: parked overnight is assumed";
/// What is taken for granted of a line because nobody said it, a note each.
std::vector<std::string> assumptions_of(const line& l);

/// What keeps an answer from being shown at any temperature.
missing_datum missing_for(const conditions& c, const grease& g);
/// True if the grease is known at the temperature of every segment.
bool knows(const line_kernel& l, const grease& g, double t_c);
/// True if some segment is colder than the oil's bound.
bool below_bound(const line_kernel& l, const grease_model& g, double t_c);

/// What the dividers on the way take.
pressure in_dividers(const line& l, const conditions& c);

/// The pressure lost to start a flow, at the mean pressure where the verdict turns: that of available and outlet. Its
/// weights are those of the segments by their shares of the loss.
demand flow_demand(const line_kernel& l, const grease_kernel& g, double t_c, double flow);
/// What stays in the supply after relief, at ambient pressure, against what resets the meters; nothing asked where
/// nothing must vent. A fitted yield stress brings its own error.
demand vent_demand(const line_kernel& l, const grease_kernel& g, double t_c);
/// What is lost while the pump runs, at that mean pressure.
median_pressure running_loss(const line_kernel& l, const grease_kernel& g, double t_c);
/// d ln(running loss)/dT, by a difference to the warm side: the loss is known there wherever it is at t_c [1/K].
double ln_loss_per_kelvin(const line_kernel& l, const grease_kernel& g, double t_c);
/// The worse of the two chances, in this and in warmer air.
double chance_of(const line_kernel& l, const grease_kernel& g, double t_c);
double vent_chance(const line_kernel& l, const grease_kernel& g, double t_c);
/// The same of the excess of one demand at the quantile z.
double flow_excess(const line_kernel& l, const grease_kernel& g, double t_c, double flow, double z);
double vent_excess(const line_kernel& l, const grease_kernel& g, double t_c, double z);

/// The pressure lost at the pump pressure that it asks for itself: the fixed point of needed = dividers + outlet +
/// loss(needed) [Pa]; nothing where that is above 1000 bar.
std::optional<double> own_loss(const line_kernel& l, const grease_kernel& g, double t_c, double start);

/// The largest apparent viscosity which, entered as the one datum of the grease, passes the line after its rest: all
/// that is lost is proportional to it.
std::optional<supplier_question> question_of(const line_kernel& k, const grease& g, double t_c, double z,
                                             const tube& tight);

/// feeding() without the search for `coldest`, for tables of many months.
inlet_answer fed_now(const inlet& i, const grease& g, const grease_kernel& kernel, temperature at, double confidence);
double narrowest(const line_kernel& l);
/// How far `allowed` drives a front through the tubes, the last of them going on for ever; nothing without a yield
/// stress.
std::optional<length> front_reach(const line_kernel& l, const grease_kernel& g, double t_c);

/// Where the search for the coldest temperature begins.
inline constexpr double warmest_search_c = 60.0;

/// The most of a function of the temperature at t_c and, where data make a grease surer in the cold than in warmer air,
/// or even softer, at every full degree above it: no grease is softer in the cold, so what is asked for or doubted in
/// warmer air counts. This errs to the side of too much doubt.
template <class Function>
double most_from(const belief& known, double t_c, Function function) {
  double most = function(t_c);
  for (double t = std::floor(t_c) + 1.0; known.colder_looks_better && t <= warmest_search_c; t += 1.0)
    most = std::fmax(most, function(t));
  return most;
}

/// Coldest temperature down to which a demand is met (excess <= 0) everywhere from `warmest` on, not below `bound` [C]:
/// the warmest root. A demand by a description alone rises in the cold; one that data taught may rise and fall again,
/// and is looked at in steps of 1 K first.
/// @return nothing if it is not met at the warmest
template <class Function>
std::optional<double> coldest_root(Function excess, double bound, double warmest, bool taught) {
  if (!(excess(warmest) <= 0.0) || bound >= warmest) return std::nullopt;
  constexpr double step = 1.0;  // [K]
  for (double t = warmest - step; taught && t > bound; t -= step) {
    if (excess(t) <= 0.0) continue;
    bound = t;
    warmest = t + step;
    break;
  }
  if (excess(bound) <= 0.0) return bound;
  if (!std::isfinite(excess(bound))) return std::nullopt;
  return met_beside_root(excess, bound, warmest);
}

/// Coldest air temperature that passes at the normal quantile z; never below the bound [C].
std::optional<double> coldest_c(const line_kernel& l, const grease_kernel& g, double z);
/// The length of the whole line at which it still passes [m]: loss and residual are both proportional to it.
double longest(const line_kernel& l, const grease_kernel& g, double t_c, double z);
/// Smallest bore among the segments once all are scaled so that the line passes at the quantile z [m].
std::optional<double> smallest_bore(const line_kernel& l, const grease_kernel& g, double t_c, double z);
/// Largest flow that passes at the quantile z; 0 where start-up alone takes more [m^3/s].
double largest_flow(const line_kernel& l, const grease_kernel& g, double t_c, double z);
/// Largest outlet pressure at which the line passes at the quantile z [Pa].
std::optional<double> largest_outlet(const line_kernel& l, const grease_kernel& g, double t_c, double z);

}  // namespace coldgrease::inline v0::detail
