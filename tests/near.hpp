// Comparing numbers with both tolerances spelled out.
#pragma once

#include <cmath>

/// |actual - expected| <= absolute + relative |expected|; false for NaN.
inline bool near(double actual, double expected, double relative, double absolute = 0.0) {
  return std::abs(actual - expected) <= absolute + relative * std::abs(expected);
}
