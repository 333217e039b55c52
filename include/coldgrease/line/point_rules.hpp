// What the maker of a part allows at its point: solids, thickeners, classes by temperature, or no automatic greasing.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "coldgrease/base/words.hpp"
#include "coldgrease/grease/grease.hpp"
#include "coldgrease/grease/substances.hpp"

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
  std::vector<std::string> banned_solids{};  // kinds, by any of their names; "any" for all
  std::vector<std::string> required_solids{};
  std::optional<double> solids_max{};  // share of the mass [-]
  std::vector<std::string> banned_thickeners{};
  std::vector<std::string> required_thickeners{};  // one of them
  std::vector<class_window> classes{};             // where several hold at a temperature, each is a rule
  friend bool operator==(const point_rules&, const point_rules&) = default;
};

/// Why a point's rules bar a grease. The last three are no breach that is known: the record does not say enough to show
/// that the rule is kept, and what is not shown is not passed.
enum class breach_kind {
  excluded,           // the point must not be on the system
  banned_solid,       // by name or as any solid
  missing_solid,      // one that is asked for
  too_much_solid,     // in all
  banned_thickener,   // or a kind of it
  missing_thickener,  // none of those that are asked for
  wrong_class,        // for the temperature
  solids_not_stated,
  thickener_not_stated,  // or only by the name of a family that a banned one is of
  class_not_known
};
template <>
struct words_of<breach_kind> {
  using enum breach_kind;
  static constexpr std::string_view what = "breach";
  static constexpr word_for<breach_kind> table[]{{excluded, "excluded"},
                                                 {banned_solid, "banned solid"},
                                                 {missing_solid, "missing solid"},
                                                 {too_much_solid, "too much solid"},
                                                 {banned_thickener, "banned thickener"},
                                                 {missing_thickener, "missing thickener"},
                                                 {wrong_class, "wrong class"},
                                                 {solids_not_stated, "solids not stated"},
                                                 {thickener_not_stated, "thickener not stated"},
                                                 {class_not_known, "class not known"}};
};
/// True where the record does not say enough: it may keep the rule, which is not shown.
constexpr bool is_not_shown(breach_kind kind) { return kind >= breach_kind::solids_not_stated; }

struct breach {
  breach_kind kind = breach_kind::excluded;
  std::string words{};  // a clause for people: "bans molybdenum disulfide (3 %)"
};

/// True if a name of a ban on solids stands for all of them: "any".
bool means_any(std::string_view name);

/// What a grease breaks of a point's rules in air of a temperature, and what is not shown to be kept; what is known to
/// be broken first. A ban errs to the safe side: one on a thickener covers its kinds (substance_names::reach), and so
/// does a demand: a kind of what is asked for is not it.
/// @param thickeners  the names in force: thickener_names(compatibility_charts())
std::vector<breach> breaches(const point_rules& rules, const grease& g, temperature at,
                             const substance_names& thickeners);
/// The same over a range of temperatures, as a month has it: every class window that some of it lies in counts.
std::vector<breach> breaches(const point_rules& rules, const grease& g, temperature coldest, temperature warmest,
                             const substance_names& thickeners);

/// The spans of temperature that none of the windows covers and some of a range lies in, coldest first: there no rule
/// of the maker speaks. Nothing for a point without windows.
std::vector<class_window> silent_spans(const point_rules& rules, temperature coldest, temperature warmest);

/// "below -40 C (-40 F)", "from -20 C (-4 F) to 0 C (32 F)".
std::string span_words(const class_window& w);

}  // namespace coldgrease::inline v0
