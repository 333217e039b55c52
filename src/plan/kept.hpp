// What if the grease that is in a route's installations stays.
#pragma once

#include <optional>

#include "coldgrease/plan/plan.hpp"
#include "plan/route_year.hpp"

namespace coldgrease::inline v0::detail {

/// Hours a year on the days of a season that are colder than a limit at a station, by month; nothing where the weather
/// tells no hours.
std::optional<by_month<double>> hours_below(const year_climate& climate, temperature at_station, const season& days);
double sum(const by_month<double>& all);

/// What if what is in a route's installations stays. Nothing where nobody says what that is.
std::optional<kept_plan> keep_of(const fleet& fleet, const fleet_limits& f, const route_year& y, const route_pick& r);

}  // namespace coldgrease::inline v0::detail
