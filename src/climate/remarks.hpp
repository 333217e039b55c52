// What has to be said of a series that stands behind an answer.
#pragma once

#include <string>

#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0::detail {

/// How much of a record is missing between its ends; empty: nothing.
std::string gap_of(const daily_series& series);
std::string gap_of(const hourly_series& series);

/// All of it in one line: the unit, what was left out and why, gaps, and what the reader noted.
std::string remarks_of(const weather& w);

}  // namespace coldgrease::inline v0::detail
