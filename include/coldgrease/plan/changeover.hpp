// From one grease to another in a system that is full of the first: what to purge, when the new one arrives.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/units.hpp"
#include "coldgrease/grease/compatibility.hpp"
#include "coldgrease/grease/evidence.hpp"
#include "coldgrease/grease/oil_change.hpp"
#include "coldgrease/line/installation.hpp"
#include "coldgrease/line/line.hpp"

namespace coldgrease::inline v0 {

/// One line of a changeover sheet. The grease in it moves as a plug, which no grease does quite: old grease smears
/// behind, so `purge` is the least, and `arrives` the first of the new grease, not the last of the old.
struct changeover_line {
  std::size_t line = 0;           // index into the lines of the installation
  volume purge{};                 // what it holds: pi/4 D^2 L of its segments
  mass purge_mass{};              // of the old grease
  std::optional<double> shots{};  // whole doses that hold `purge`; nothing without a dose
  std::optional<duration>
      arrives{};  // since new grease enters the line (residence_time); nothing without dose or interval
};

/// How much of the old grease is still at the walls of a line once so many of its volumes have been pumped.
struct old_at_walls {
  double volumes = 0.0;
  double share = 0.0;
};

struct changeover_answer {
  std::vector<changeover_line> lines{};  // the point that waits longest first; those of unknown dose at the end
  std::optional<std::size_t> last{};     // index into the lines of the installation; nothing if any dose is unknown
  volume total{};                        // of all tubes, a shared main once
  mass total_mass{};
  density old_density{};
  bool density_assumed = false;
  std::optional<duration> reservoir{};  // how long a full reservoir of old grease goes on: comes before `arrives`
  compatibility_answer thickeners{};
  oil_change oils{};
  std::optional<temperature> coldest_before{};  // air in which every line passes; nothing if the oil is not known, or
  std::optional<temperature> coldest_after{};   // somewhere at no temperature
  temperature pumped_at = celsius(0);           // of what follows
  std::vector<old_at_walls> at_walls{};         // of the line that waits longest, by the new grease's velocity profile
  std::vector<std::string> cautions{};
  std::vector<std::string> notes{};
};

/// The changeover of one installation from one grease to another.
/// @param charts  what is published about thickeners (compatibility_charts())
/// @param confidence  at which a line passes, 0.55 to 0.99
/// @param cold  at which the oils are compared beside 40 C
/// @throws input_error for a line without segments, or a length, bore or dose that is not above 0
changeover_answer changeover(const installation& i, const grease& from, const grease& to,
                             const compatibility_table& charts, double confidence = usual_confidence,
                             temperature cold = usual_cold());

}  // namespace coldgrease::inline v0
