// What grease makes of the air: a reservoir lags behind it, a thin part under a clear night sky falls below it. Both
// are off unless asked for, since a line follows the air within minutes and a lag is a credit.
#pragma once

#include <cmath>
#include <span>
#include <string_view>
#include <vector>

#include "coldgrease/base/units.hpp"
#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0 {

/// Wind is no part of it: it speeds cooling, but what it leads to is the temperature of the air.
struct soak {
  duration lag = second(0);  // time constant; a reservoir of 1 to 10 litres parked: 0.5 to 3 h at its wall
  temperature_step night_sky =
      kelvins(0);  // below the air from 18 h to 06 h; parked with a view of the sky: 2 K, at most 5 K
  friend bool operator==(const soak&, const soak&) = default;
};

/// @throws input_error for a negative lag, or for a night sky outside 0 to 5 K, by the names they were given under
void validate(const soak& s, std::string_view lag = "lag", std::string_view night_sky = "night_sky");

/// Grease after one step of `step` [h] with the time constant `lag` [h], while the air goes from `before` to `after`
/// along a straight line [C]. dT/dt = (air - T)/lag, solved exactly: T = after - s lag + (grease - before + s lag)
/// e^(-step/lag) with s the slope of the air. `lag` 0: the air.
inline double lagged_step(double before, double after, double grease, double step, double lag) noexcept {
  if (!(lag > 0.0)) return after;
  const double rise = (after - before) / step * lag;
  return after - rise + (grease - before + rise) * std::exp(-step / lag);
}

/// Grease behind hours of air [n, C], in balance with the first of them. Never below their lowest.
std::vector<double> lagged(std::span<const double> air, double lag_hours);

/// The same of a series, hour by hour, the night sky first; a gap of hours begins anew in balance. Days become hours by
/// half-cosines. Nothing to do: the series as it is.
/// @throws input_error as validate
weather soaked(weather air, const soak& s);

}  // namespace coldgrease::inline v0
