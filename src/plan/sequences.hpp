// Every way through a route's year that passes, with the days that the rule gives each, and what is preferred of them.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "coldgrease/plan/choice.hpp"
#include "plan/route_year.hpp"

namespace coldgrease::inline v0::detail {

inline constexpr std::size_t most_fills = 4;

/// Greases one after the other around the year.
struct sequence {
  change_practice practice = change_practice::emptied;
  std::size_t fills = 1;
  std::array<std::size_t, most_fills> grease{};
  std::array<int, most_fills> from{};  // ordinal of the first day of each
  std::array<date_basis, most_fills> basis{};
  int hot_days = 0;
  double penetration = 0.0;           // mean of the days pumped: the smaller, the stiffer
  std::optional<year_money> money{};  // nothing where a price, a dose or a reservoir is not known
  season days_of(std::size_t k) const { return fills == 1 ? season{} : season_between(from[k], from[(k + 1) % fills]); }
};

/// The day on which one grease is pumped in the place of another. Into the cold: before the cold that the outgoing one
/// cannot stand, so much earlier that the last of it is used up; out of it: after the cold that the incoming one cannot
/// stand while it settles. Where no cold asks for the change, days too hot for a grease end or begin.
/// @return nothing where nothing asks for it
struct change {
  int day = 0;  // ordinal
  date_basis basis = date_basis::pentads;
  bool into_cold = false;
};
std::optional<change> change_of(const route_year& y, std::size_t from, std::size_t to, int carry);

/// True if a grease may be pumped on some days: warm enough until the last of it is used up, while it settles too, and
/// barred by nothing but, in the end, the owner's limit of the heat.
/// The days are no fewer than its way to the last point.
bool may_be_pumped(const route_year& y, std::size_t g, const season& days, const change_times& times);
/// The same of days however few.
bool passes_on(const route_year& y, std::size_t g, const season& days, const change_times& times);

/// All sequences of at most policy.fills greases by one practice, from the greases `allowed`, with their money for so
/// many vehicles.
std::vector<sequence> sequences_of(const fleet_limits& f, const route_year& y, change_practice practice, int vehicles,
                                   std::span<const std::size_t> allowed);
/// The same by the policy's practice; where it names none, emptied and purged.
std::vector<sequence> sequences_of(const fleet_limits& f, const route_year& y, int vehicles,
                                   std::span<const std::size_t> allowed);

/// Days with a hot caution, a further fill weighing as a month of them (judgement): so much work must save as much
/// heat.
inline constexpr int days_a_fill = 30;
inline int weight_of(const sequence& s) { return s.hot_days + days_a_fill * (static_cast<int>(s.fills) - 1); }

/// True if one sequence is to be preferred to another, whatever is done at a change.
bool better(const sequence& a, const sequence& b, preference p, std::span<const grease> stock);
/// The same, but for the practice, which goes before all else: emptied, then purged.
bool preferred(const sequence& a, const sequence& b, preference p, std::span<const grease> stock);
/// The best of some; nothing of none. By `cheapest` those whose money is not known come last.
const sequence* best_of(std::span<const sequence> all, preference p, std::span<const grease> stock);

/// What is shown of a sequence.
choice choice_of(const fleet_limits& f, const route_year& y, const sequence& s, int vehicles);

}  // namespace coldgrease::inline v0::detail
