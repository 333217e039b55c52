// The plan, with each route's year shown while it is at hand.
#pragma once

#include <functional>
#include <span>

#include "coldgrease/plan/plan.hpp"
#include "plan/route_pick.hpp"

namespace coldgrease::inline v0::detail {

using take_plan = std::function<void(const route_plan&, const route_year&)>;

/// As coldgrease::plan; `take` is called for each route in order.
plan_answer plan_with(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules,
                      const progress& listener, const take_plan& take);

}  // namespace coldgrease::inline v0::detail
