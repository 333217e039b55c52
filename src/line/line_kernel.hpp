// Limits on SI numbers, shared by the sources of this stage.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/root.hpp"
#include "coldgrease/line/limits.hpp"

namespace coldgrease::inline v0::detail {

line_kernel kernel(const line& l, const conditions& c);

/// A sentence for each rating of a line's parts that is below the pressure at the pump.
std::vector<std::string> rating_warnings(const line& l, pressure available);

/// True if the grease is known at the temperature of every segment.
bool knows(const line_kernel& l, const grease& g, double t_c);
/// Spread at the coldest segment and the slowest rate: the largest of the line.
double sigma_of(const line_kernel& l, const grease_model& g, double t_c);
/// True if some segment is colder than the oil's bound.
bool below_bound(const line_kernel& l, const grease_model& g, double t_c);

/// What the dividers on the way take.
pressure in_dividers(const line& l, const conditions& c);
/// Chance that the line flows and, in a single-line system, that its meters recharge: the worse of the two. `lost` is
/// the loss at the start.
double chance_of(const line_kernel& l, const grease_model& g, double t_c, double lost);
double narrowest(const line_kernel& l);
/// How far `allowed` drives a front through the tubes, the last of them going on for ever; nothing without a yield
/// stress.
std::optional<length> front_reach(const line_kernel& l, const grease_model& g, double t_c);

/// Where the search for the coldest temperature begins.
inline constexpr double warmest_search_c = 60.0;

/// Coldest temperature at which a demand that rises in the cold is met (excess <= 0), between bound and warmest [C].
/// @return nothing if it is not met at the warmest
template <class Function>
std::optional<double> coldest_root(Function excess, double bound, double warmest) {
  if (!(excess(warmest) <= 0.0) || bound >= warmest) return std::nullopt;
  if (excess(bound) <= 0.0) return bound;
  if (!std::isfinite(excess(bound))) return std::nullopt;
  const double found = root_between(excess, bound, warmest);
  return excess(found) <= 0.0 ? found : found + 1e-9;
}

/// Coldest air temperature that passes at the normal quantile z; never below the bound [C].
std::optional<double> coldest_c(const line_kernel& l, const grease_model& g, double z);
/// Smallest bore among the segments once all are scaled so that the loss is `allowed` [m].
std::optional<double> smallest_bore(const line_kernel& l, const grease_model& g, double t_c, double allowed);
/// Flow at which the loss is `allowed`; 0 where start-up alone takes more [m^3/s].
double largest_flow(const line_kernel& l, const grease_model& g, double t_c, double allowed);
/// What a measured grease must stay below at the quantile z: exp(z ln(measured_factor)/z90).
double supplier_factor(double z);

}  // namespace coldgrease::inline v0::detail
