// The dates of a plan as a calendar that office programs take.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "coldgrease/base/date.hpp"
#include "coldgrease/plan/plan.hpp"

namespace coldgrease::inline v0 {

/// Something to be done on a day of a plan.
struct plan_event {
  date day{};
  std::string what{};
  std::string more{};  // how sure it is, and what it stands on
};

/// What to_calendar() writes, by date.
std::vector<plan_event> events_of(const plan_answer& plan, std::span<const installation> installations,
                                  std::span<const grease> stock, const date& today);

/// That day of the year, today or later.
date next_date(const day_of_year& d, const date& today);

/// The twelve months from `today` on as whole-day events (iCalendar, RFC 5545): each change of grease, the last day to
/// order by (the day it is needed where no delivery is stated), and the days by which a reservoir that was full at a
/// change must be filled again, counted so that none runs empty. The description of each says how sure it is.
/// @param installations, stock  the lists that the answer's indices point into
std::string to_calendar(const plan_answer& plan, std::span<const installation> installations,
                        std::span<const grease> stock, const date& today);

}  // namespace coldgrease::inline v0
