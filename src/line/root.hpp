// Roots of monotone functions, by Boost.Math.
#pragma once

#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <cstdint>
#include <optional>

namespace coldgrease::detail {

/// Root of a monotone function between two arguments of opposite sign.
template <class Function>
double root_between(Function function, double low, double high) {
  std::uintmax_t iterations = 200;
  const auto [a, b] =
      boost::math::tools::toms748_solve(function, low, high, boost::math::tools::eps_tolerance<double>(46), iterations);
  return 0.5 * (a + b);
}

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

}  // namespace coldgrease::detail
