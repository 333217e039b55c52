// One day by the hour, for the sources of this stage.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "coldgrease/climate/series.hpp"

namespace coldgrease::detail {

/// Hours 0 to 23 of day i (statistics.hpp, hours_of) [C].
void expand_day(std::span<const daily_extremes> days, std::size_t i, std::span<double, 24> out);

/// Month of every day, 1 to 12 [n_day].
std::vector<std::uint8_t> months_of(const daily_series& series);

}  // namespace coldgrease::detail
