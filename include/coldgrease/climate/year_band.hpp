// The year of a station as a band: how cold and how warm its days get, five days at a time.
#pragma once

#include <array>
#include <optional>

#include "coldgrease/climate/calendar.hpp"
#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0 {

/// Five days of the year with the five before and after, over all years on record: one odd week draws no spike.
struct pentad {
  temperature low = celsius(0);     // `share` of the daily minima lies below
  temperature high = celsius(0);    // `share` of the daily maxima lies above
  temperature record = celsius(0);  // lowest daily minimum
};

/// The 73 pentads from 1 January on; 29 February belongs to the pentad of 28 February.
using year_band = std::array<pentad, pentads_a_year>;

/// The band of a station. @param share  0 to 0.5
/// @return nothing if a pentad has no day on record, as where published design values stand for the weather
/// @throws input_error for a share out of range
/// Test: tests/climate/year_band.cpp
std::optional<year_band> band_of(const weather& series, double share = 0.01);

}  // namespace coldgrease::inline v0
