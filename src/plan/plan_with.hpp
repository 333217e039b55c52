// The plan, with what goes on paper of each route's year while that is at hand.
#pragma once

#include <functional>
#include <span>
#include <vector>

#include "coldgrease/plan/dossier.hpp"
#include "coldgrease/plan/plan.hpp"
#include "plan/route_pick.hpp"

namespace coldgrease::inline v0::detail {

/// Where the weather of a route is from.
struct route_sources {
  std::vector<input_file> inputs{};
  std::vector<weather_sheet> weather{};  // by leg
};
/// What goes on paper of a route beside its plan.
struct route_paper {
  season_sheet season{};
  route_sources sources{};
};
using write_paper = std::function<route_paper(const route_plan&, const route_year&)>;

struct plan_on_paper {
  plan_answer plan{};
  // By route; empty where nothing writes them.
  std::vector<season_sheet> seasons{};
  std::vector<route_sources> sources{};
};

/// As coldgrease::plan. @param write  called by several threads
plan_on_paper plan_with(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules,
                        const progress& listener, int jobs, const write_paper& write = {});

}  // namespace coldgrease::inline v0::detail
