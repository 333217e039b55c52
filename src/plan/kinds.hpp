// How few kinds of grease would do, and which.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "coldgrease/plan/plan.hpp"
#include "plan/sequences.hpp"

namespace coldgrease::inline v0::detail {

/// What a route could do, and its coldest days.
struct route_ways {
  std::vector<sequence> sequences{};  // best_of_each_set()
  std::vector<bool> passing{};        // whether a grease is in some sequence that passes
  int vehicles = 1;
  std::vector<temperature_step> margins{};  // of each grease on the coldest pentad; negative: too cold
  std::size_t coldest_pentad = 0;
  std::size_t planned = 0;  // the grease pumped on it
  bool served = false;
};

/// The best sequence of each set of greases, what is preferred first; sets of which a part does better are left out.
std::vector<sequence> best_of_each_set(std::vector<sequence> all, preference p, std::span<const grease> stock);

/// For every number of kinds the best set, by the policy's preference summed over the routes, exact for up to 16
/// greases that pass somewhere. @param notes  where they are more
std::vector<kinds_row> kinds_of(const fleet_limits& f, std::span<const route_ways> routes,
                                std::vector<std::string>& notes);

}  // namespace coldgrease::inline v0::detail
