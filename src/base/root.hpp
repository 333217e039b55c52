// Root of a monotone function, by Boost.Math.
#pragma once

#include <boost/math/tools/roots.hpp>
#include <cstdint>

namespace coldgrease::inline v0::detail {

/// Root of a monotone function between two arguments of opposite sign.
template <class Function>
double root_between(Function function, double low, double high) {
  std::uintmax_t iterations = 200;
  const auto [a, b] =
      boost::math::tools::toms748_solve(function, low, high, boost::math::tools::eps_tolerance<double>(50), iterations);
  return 0.5 * (a + b);
}

}  // namespace coldgrease::inline v0::detail
