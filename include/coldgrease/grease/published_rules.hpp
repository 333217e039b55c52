// What handbooks, magazines and makers say about the class for a temperature, side by side and with their disagreement.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/source.hpp"
#include "coldgrease/base/temperature.hpp"

namespace coldgrease::inline v0 {

/// One step of a rule: what it says from `from` up to `to`, both included; an open end is empty.
struct rule_step {
  std::optional<temperature> from{};
  std::optional<temperature> to{};
  std::vector<std::string> classes{};  // NLGI classes it allows; empty if it names none
  std::string says{};
};

/// A published rule. Empty `system`: any system type.
struct published_rule {
  std::string name{};
  std::string source{};
  std::string system{};
  std::vector<rule_step> steps{};
};

/// A step of a rule that holds at some temperature, as indices into the rules and into its steps. At an edge both of
/// its steps stand: "below -20 C" and "above -20 C" are said by people who did not think of -20.0 C.
struct rule_answer {
  std::size_t rule = 0;
  std::size_t step = 0;
};

/// Reads a table of rules. @throws file_error
std::vector<published_rule> read_published_rules(const source& file);
/// The table in force (find_table).
std::vector<published_rule> published_rules();

/// What the rules say at a temperature for a system type, two steps of a rule at their common edge; rules that say
/// nothing there are left out. A temperature within 1e-6 K of an edge is at it.
std::vector<rule_answer> rules_at(std::span<const published_rule> rules, temperature at, std::string_view system);

}  // namespace coldgrease::inline v0
