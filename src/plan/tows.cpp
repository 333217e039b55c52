// Fills that are coupled on one road.
#include <algorithm>
#include <tuple>

#include "coldgrease/plan/pick.hpp"

namespace coldgrease::inline v0 {

namespace {

tow_month judge_month(std::span<const std::size_t> fills, std::span<const route_pick> routes, std::size_t month) {
  const auto shown = [&](std::size_t r) -> const month_pick& { return routes[r].months[month]; };
  // That of the fills pumped in it, which are judged on all their days; of the nearest grease where none is.
  const auto chance = [&](std::size_t r) -> std::optional<double> {
    if (!shown(r).picked) return shown(r).greases[shown(r).shown].chance;
    double least = 1.0;
    for (const fill& f : routes[r].decided.fills) {
      if (days_by_month(f.days)[month] > 0) least = std::min(least, f.chance);
    }
    return least;
  };
  const auto rank = [&](std::size_t r) { return std::tuple(shown(r).picked, chance(r)); };  // nothing before any chance
  tow_month m{.weakest = *std::ranges::min_element(fills, {}, rank)};
  m.served = std::ranges::all_of(fills, [&](std::size_t r) { return shown(r).picked; });
  m.chance = chance(*std::ranges::min_element(fills, {}, chance));
  return m;
}

}  // namespace

std::vector<tow_pick> judge_tows(const fleet& f, std::span<const route_pick> routes) {
  std::vector<tow_pick> answers;
  for (const tow& t : f.tows) {
    tow_pick& a = answers.emplace_back();
    a.tow = t.name;
    a.routes = t.routes;
    for (std::size_t month = 0; month < a.months.size(); ++month)
      a.months[month] = judge_month(t.routes, routes, month);
    a.served = std::ranges::all_of(a.months, &tow_month::served);
  }
  return answers;
}

}  // namespace coldgrease::inline v0
