// The dates of a plan as a calendar that office programs take.
#pragma once

#include <span>
#include <string>

#include "coldgrease/base/date.hpp"
#include "coldgrease/plan/plan.hpp"

namespace coldgrease::inline v0 {

/// The twelve months from `today` on as whole-day events (iCalendar, RFC 5545): each change of grease, the last day to
/// order by (the day it is needed where no delivery is stated), and the days by which a reservoir that was full at a
/// change must be filled again, counted so that none runs empty. The description of each says how sure it is.
/// @param installations, stock  the lists that the answer's indices point into
std::string to_calendar(const plan_answer& plan, std::span<const installation> installations,
                        std::span<const grease> stock, const date& today);

}  // namespace coldgrease::inline v0
