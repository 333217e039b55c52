// Air temperature at a station. The kind of series is its type: what needs real years takes no typical one.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "coldgrease/base/date.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/base/temperature.hpp"

namespace coldgrease {

/// Extremes of one day in local time.
struct daily_extremes {
  int day = 0;        // day_number
  double low = 0.0;   // minimum [C]
  double high = 0.0;  // maximum [C]
};

/// Rows that a reader left out, and why.
struct dropped_rows {
  std::string reason{};
  int count = 0;
};

/// Daily minima and maxima of real years, by day, each day once; days may be missing.
struct daily_series {
  std::string station{};
  std::vector<daily_extremes> days{};
  std::vector<dropped_rows> dropped{};
  std::vector<std::string> notes{};
};

/// The usual way to make a series in a program: sorts the days and drops those that stand twice (the first one counts).
/// @throws input_error for a minimum above the maximum or a value that is not finite
daily_series make_daily_series(std::string station, std::vector<daily_extremes> days);

}  // namespace coldgrease
