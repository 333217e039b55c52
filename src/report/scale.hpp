// From values to places in a picture, and where its ticks stand.
#pragma once

#include <cmath>
#include <vector>

namespace coldgrease::inline v0::detail {

/// A value's place between two ends, by equal steps or by equal factors.
struct scale {
  double from = 0.0;   // value at `begin`
  double to = 1.0;     // value at `end`
  double begin = 0.0;  // [px]
  double end = 1.0;
  bool by_decades = false;

  double at(double value) const {
    const double part = by_decades ? std::log(value / from) / std::log(to / from) : (value - from) / (to - from);
    return begin + part * (end - begin);
  }
};

/// The least of 1, 2, 5, 10, 20, 50, ... (and below 1 of 0.5, 0.2, 0.1, ...) that cuts a range into `most` parts or
/// fewer.
double round_step(double from, double to, int most);
/// Multiples of a step within a range, ends included.
std::vector<double> ticks_by(double step, double from, double to);
/// Powers of ten within a range, ends included.
std::vector<double> decades(double from, double to);
/// The multiple of `step` at or below a value, and at or above.
inline double floor_to(double step, double value) { return step * std::floor(value / step + 1e-9); }
inline double ceil_to(double step, double value) { return step * std::ceil(value / step - 1e-9); }

}  // namespace coldgrease::inline v0::detail
