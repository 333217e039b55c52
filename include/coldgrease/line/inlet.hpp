// How grease comes to the pump, and from which cold on it no longer does.
#pragma once

#include <optional>
#include <string_view>

#include "coldgrease/base/words.hpp"
#include "coldgrease/line/line.hpp"

namespace coldgrease::inline v0 {

/// Gravity alone, a paddle that stirs, or a plate that follows the grease down.
enum class feed_kind { gravity, stirred, follower_plate };
template <>
struct words_of<feed_kind> {
  using enum feed_kind;
  static constexpr std::string_view what = "way to feed a pump";
  static constexpr word_for<feed_kind> table[]{
      {gravity, "gravity"}, {stirred, "stirred"}, {follower_plate, "follower plate"}};
};

struct inlet {
  feed_kind kind = feed_kind::gravity;
  std::optional<length> height{};          // of the grease over the pump; 0.2 m assumed
  std::optional<temperature> heated_to{};  // a heated reservoir is never colder; its lines are
  friend bool operator==(const inlet&, const inlet&) = default;
};

/// Whether the pump is fed.
struct inlet_answer {
  coldgrease::temperature temperature = celsius(0);  // of the grease at the pump
  std::optional<double> chance{};                    // share of greases of this description that reach the pump
  std::optional<coldgrease::temperature> coldest{};  // of the grease at the pump, at the confidence
  bool below_oil_bound = false;
  coldgrease::verdict verdict = verdict::not_shown;
};

/// JUDGEMENT: a mass of grease of height H slumps to the pump while ty < rho g H/4, half of the slump theory's rho g
/// H/2; with a paddle or a plate while ty < 5 kPa; and in no case where the stress at 1 1/s is above 5 kPa. chance =
/// Phi(ln(limit/stress)/sigma), the worse of the two demands, at ambient pressure.
/// @param at  of the air; a heated reservoir is at heated_to where that is warmer
/// Source: slump theory (Pashias et al., J. Rheology 40, 1996, from memory). Test: tests/line/inlet.cpp
inlet_answer feeding(const inlet& i, const grease& g, coldgrease::temperature at, double confidence);

/// The coldest air in which the pump is fed: a reservoir heated above `coldest` feeds it in any cold.
/// @return nothing if it is not fed at all, absolute zero if always
std::optional<temperature> coldest_air(const inlet& i, const inlet_answer& answer);

}  // namespace coldgrease::inline v0
