// Root of a monotone function, by Boost.Math.
#pragma once

#include <boost/math/tools/roots.hpp>
#include <cstdint>
#include <utility>

namespace coldgrease::inline v0::detail {

/// Two arguments, the lower one first, between which a monotone function changes its sign; or twice its root.
/// @pre the function has opposite signs at `low` and `high`
template <class Function>
std::pair<double, double> root_bracket(Function function, double low, double high) {
  std::uintmax_t iterations = 200;
  return boost::math::tools::toms748_solve(function, low, high, boost::math::tools::eps_tolerance<double>(50),
                                           iterations);
}

/// Root of a monotone function between two arguments of opposite sign.
template <class Function>
double root_between(Function function, double low, double high) {
  const auto [a, b] = root_bracket(function, low, high);
  return 0.5 * (a + b);
}

/// The end of that bracket at which the function is at or below 0: a limit there is met, by the same arithmetic.
template <class Function>
double met_beside_root(Function excess, double low, double high) {
  const auto [a, b] = root_bracket(excess, low, high);
  return excess(a) <= 0.0 ? a : b;
}

}  // namespace coldgrease::inline v0::detail
