// What a route's vehicles take of a grease, and what that costs.
#pragma once

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "plan/fleet_limits.hpp"

namespace coldgrease::inline v0::detail {

/// What one vehicle of a route takes of one grease; nothing where a dose, an interval or a reservoir is not known.
struct take {
  std::optional<double> daily{};       // [kg] a calendar day
  std::optional<double> reservoirs{};  // [kg] that fill them
  double purge = 0.0;                  // [kg] that displace what is in the lines: policy.line_volumes of them

  /// What fills reservoirs and displaces the old grease at a change, beside what is pumped then [kg].
  std::optional<double> at_change(change_practice p) const {
    if (p == change_practice::run_down) return 0.0;
    if (!reservoirs) return std::nullopt;
    return *reservoirs + (p == change_practice::purged ? purge : 0.0);
  }
};
take take_of(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g);

/// Whole packs of a mass, where the pack is known: equal but for rounding is enough.
std::optional<double> packs_of(const evidence& e, double kg);
/// What so much of a grease costs, in whole packs where the pack is known; nothing without a price.
std::optional<double> cost_of(const evidence& e, double kg);

}  // namespace coldgrease::inline v0::detail
