// What the maker of a part allows at its point: solids, thickeners, classes by temperature, or no automatic greasing.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "coldgrease/grease/grease.hpp"

namespace coldgrease::inline v0 {

/// Classes allowed between two temperatures; an end that is not given is open.
struct class_window {
  std::optional<temperature> above{};
  std::optional<temperature> below{};
  std::vector<std::string> nlgi{};  // labels
  friend bool operator==(const class_window&, const class_window&) = default;
};

/// As entered by the user from the maker's document; empty: nothing is asked.
struct point_rules {
  std::string excluded{};                    // why the point must not be on the system
  std::vector<std::string> banned_solids{};  // kinds; "any" for all
  std::vector<std::string> required_solids{};
  std::optional<double> solids_max{};  // share of the mass [-]
  std::vector<std::string> banned_thickeners{};
  std::vector<std::string> required_thickeners{};  // one of them
  std::vector<class_window> classes{};             // where several hold at a temperature, each is a rule
  friend bool operator==(const point_rules&, const point_rules&) = default;
};

/// Two names of one solid or thickener: case and blanks aside, "MoS2" is "molybdenum disulfide".
bool same_substance(std::string_view a, std::string_view b);

/// What a grease breaks of a point's rules in air of a temperature, a clause each: "bans molybdenum disulfide (3 %)".
/// A record that names no solids counts as having none; without a thickener a required one is broken, since unknown.
std::vector<std::string> breaches(const point_rules& rules, const grease& g, temperature at);
/// The same over a range of temperatures, as a month has it: every class window that some of it lies in counts.
std::vector<std::string> breaches(const point_rules& rules, const grease& g, temperature coldest, temperature warmest);

}  // namespace coldgrease::inline v0
