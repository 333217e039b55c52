// What is said beside a route's decision, a list each: nothing here decides.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "plan/route_year.hpp"

namespace coldgrease::inline v0::detail {

/// What would narrow the answer about a grease most: on the coldest day on which it is shown, else of the year, at its
/// worst line there; a gauge can be read in the three months before. @param installations  mains joined
std::optional<worth> worth_on(const route_pick& r, std::size_t g, const grease& known,
                              std::span<const installation> installations, double confidence);
/// What greases stand on, which data count and what they did, what would narrow the answer on a route most, and what is
/// assumed of them.
std::vector<std::string> evidence_of(const fleet_limits& f, const route_pick& r, std::span<const std::size_t> greases);
/// What is wrong or suspect with the lines, as a line check would warn.
std::vector<std::string> warnings_on(const fleet_limits& f, const route_pick& r);
/// Points whose makers' rules no grease can serve together, and which to take off the system.
std::vector<std::string> conflicts_on(const fleet_limits& f, const route_pick& r);
/// Why a month shows no n-year minimum.
std::vector<std::string> gaps_of_record(const fleet_limits& f, const route_year& y);
/// What the answer takes for granted: pressures at the points, duty, and what no rule decides.
std::vector<std::string> assumptions_on(const fleet_limits& f, const route_pick& r);
/// How the days of its changes came about, and what an answer hangs on.
std::vector<std::string> notes_of_dates(const fleet_limits& f, const route_year& y, const route_pick& r);
/// What nobody stated and the decision hangs on.
std::vector<std::string> missing_on(const fleet_limits& f, const route_year& y, const route_pick& r);

/// What would help where nothing passes: remedies by line, or a reason why none helps.
struct help {
  std::vector<remedy> remedies{};
  std::vector<std::string> notes{};
};
help help_on(const fleet_limits& f, const route_pick& r);

/// The nearest grease of a month: allowed, good for the cold, the greatest chance.
std::size_t nearest(const month_pick& m);

/// What nobody stated and every answer of a fleet hangs on. @param routes  of the fleet; none: of a program's own
/// station
std::vector<std::string> missing_of(const fleet_limits& f, std::span<const route> routes);
/// The same, behind what the files of a fleet have that was left out.
std::vector<std::string> missing_of(const fleet_limits& limits, const fleet& f);

}  // namespace coldgrease::inline v0::detail
