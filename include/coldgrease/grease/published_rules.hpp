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

/// One step of a rule: what it says from `from` (included) up to `to` (excluded); an open end is empty.
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

/// What one rule says at a temperature. Edges belong to the warmer step, as "below -20 C" excludes -20 C.
struct rule_answer {
  std::string rule{};
  std::string says{};
  std::string source{};
  std::vector<std::string> classes{};
};

/// Reads a table of rules. @throws file_error
std::vector<published_rule> read_published_rules(const source& file);
/// The table in force (find_table).
std::vector<published_rule> published_rules();

/// What the rules say at a temperature for a system type; rules that say nothing there are left out.
std::vector<rule_answer> rules_at(std::span<const published_rule> rules, temperature at, std::string_view system);

}  // namespace coldgrease::inline v0
