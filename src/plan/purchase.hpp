// What the fleet buys for a year of its plan.
#pragma once

#include <span>

#include "coldgrease/plan/plan.hpp"
#include "plan/fleet_limits.hpp"

namespace coldgrease::inline v0::detail {

/// Rows by grease and region, and what they come to. Money and kilograms are those of the fills' days.
invoice invoice_of(const fleet_limits& f, std::span<const route_plan> routes);

}  // namespace coldgrease::inline v0::detail
