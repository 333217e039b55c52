// What holds on every route: the fleet's systems, mains joined, and how cold each grease may get in each of them.
// Solved once; all that follows only reads it.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/plan/pick.hpp"
#include "line/line_kernel.hpp"

namespace coldgrease::inline v0::detail {

/// What bars a grease, and whose rule it is.
struct ban {
  exclusion by = exclusion::none;
  point_index point{};
  std::string rule{};
};

/// One grease in one installation.
struct system_limit {
  std::optional<temperature> coldest{};   // air in which every line passes and the pump is fed
  std::optional<temperature> settling{};  // the same until a second volume of it has passed each line
  ban barred{};                           // at any temperature
  bool by_temperature = false;            // some point allows classes by temperature
};

struct fleet_limits {
  std::vector<installation> systems{};       // mains joined
  std::vector<installation> new_fills{};     // the same until a second volume of a new grease has passed
  std::vector<system_kernel> kernels{};      // of the systems
  std::vector<system_kernel> new_kernels{};  // of the new fills
  std::span<const grease> stock{};
  coldgrease::policy policy{};
  std::span<const published_rule> rules{};
  substance_names thickeners;                   // in force, where a rule speaks of thickeners
  std::vector<std::vector<system_limit>> of{};  // [installation][grease]
};

/// @param jobs  threads; the answer hangs on none of them
/// @throws input_error for empty lists or numbers out of range
fleet_limits limits_of(std::span<const installation> installations, std::span<const grease> stock, const policy& p,
                       std::span<const published_rule> rules, int jobs = 1);

/// While about a tenth of the old grease stays at the walls, the new one is judged in a bore so much smaller
/// (judgement; a tenth of the area is 5 % of the bore). How much stays, by the velocity profile: detail::old_left.
inline constexpr double settling_bore = 0.95;

/// The warmest of the limits of some installations; nothing if one of them has none.
std::optional<temperature> coldest_of(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g);
std::optional<temperature> settling_of(const fleet_limits& f, std::span<const std::size_t> installations,
                                       std::size_t g);

/// What bars a grease in some installations between two temperatures: the owner's limit of the heat is no part of it.
ban barred(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g, temperature cold,
           temperature hot);
/// The owner's limit of the heat.
exclusion barred_by_heat(const policy& p, const grease& g, temperature hot);

/// A grease in the air of some installations: the worst line decides, or the worst inlet. @param hot  of the same days
grease_month judge(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g, temperature cold,
                   temperature hot);
/// Its chance alone. @param new_fill  until a second volume has passed
double chance_in(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g, temperature cold,
                 bool new_fill = false);

inline bool passes(const grease_month& g) { return g.verdict == verdict::flows && g.excluded == exclusion::none; }
/// Penetration that stiffness is compared by; a grease of unknown class stands behind every other.
inline double softness(const grease& g) {
  return g.stiff_penetration() > 0.0 ? g.stiff_penetration() : most_known_penetration + 1.0;
}

}  // namespace coldgrease::inline v0::detail
