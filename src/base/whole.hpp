// From a double to a whole number. The cast itself is undefined for what no int can hold: it stands here alone, behind
// bounds.
#pragma once

#include <algorithm>
#include <cmath>

namespace coldgrease::inline v0::detail {

/// The least whole number that is not below v, where equal but for rounding (1e-9) is enough, kept within bounds.
/// @return most  for what is no number: callers count what errs to the safe side upwards
inline int whole_up(double v, int least, int most) {
  if (std::isnan(v)) return most;
  return static_cast<int>(std::ceil(std::clamp<double>(v, least, most) - 1e-9));
}

/// The greatest whole number that is not above v, where equal but for rounding (1e-9) is enough, kept within bounds.
/// @return least  for what is no number: callers count what errs to the safe side downwards
inline int whole_down(double v, int least, int most) {
  if (std::isnan(v)) return least;
  return static_cast<int>(std::floor(std::clamp<double>(v, least, most) + 1e-9));
}

/// The nearest whole number, kept within bounds. @return most  for what is no number
inline int whole_near(double v, int least, int most) {
  if (std::isnan(v)) return most;
  return static_cast<int>(std::lround(std::clamp<double>(v, least, most)));
}

}  // namespace coldgrease::inline v0::detail
