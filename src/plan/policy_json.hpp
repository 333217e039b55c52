// The policy of a fleet file: how careful to be, the owner's limit for summer, costs.
#pragma once

#include "base/record.hpp"
#include "coldgrease/plan/fleet.hpp"

namespace coldgrease::inline v0::detail {

const record_table<policy>& policy_table();
const record_table<heat_limit>& heat_limit_table();
const record_table<plan_costs>& costs_table();

}  // namespace coldgrease::inline v0::detail
