// A whole installation at one temperature: every line, worst first, the inlet, doses and reservoir.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/line/dosing.hpp"
#include "coldgrease/line/installation.hpp"

namespace coldgrease::inline v0 {

/// A part that is judged with others: a line, an inlet, a system of a route.
struct judged_part {
  coldgrease::verdict verdict = verdict::not_shown;
  std::optional<double> chance{};
};
/// True if a part decides rather than the worst so far, if there is one: the worse verdict goes first, among equals the
/// smaller chance, none at all being the smallest. A part below its oil's bound may have the better chance and the
/// worse verdict.
inline bool decides(const judged_part& part, const std::optional<judged_part>& worst) {
  if (!worst) return true;
  return part.verdict != worst->verdict ? part.verdict > worst->verdict : part.chance < worst->chance;
}

/// What an installation answers as a whole, as a line does: plans, texts and programs take it from here.
struct installation_outcome {
  std::optional<double> chance{};                    // the smallest of lines and inlet; nothing where one is not shown
  coldgrease::verdict verdict = verdict::not_shown;  // the worst of them
  std::optional<std::size_t> line{};                 // that decides; nothing: the inlet of the pump does
  pressure available{};                              // of that line
  std::optional<pressure> stays{};                   // there, after relief, where the recharge of meters decides
  bool below_oil_bound = false;                      // of some line or the inlet
  missing_datum missing = missing_datum::none;       // of the line that decides
};

/// Every line and the inlet at an air temperature. The worst verdict decides, among equals the smallest chance.
/// @param i  with at least one line, mains joined
installation_outcome outcome_of(const installation& i, const grease& g, temperature at, double confidence);
/// The coldest air in which every line passes and the pump is fed.
/// @return nothing if one of them passes in none, or cannot be shown to
std::optional<temperature> coldest_passing(const installation& i, const grease& g, double confidence);

struct point_answer {
  std::size_t line = 0;  // index into the installation's
  line_answer check{};
  std::optional<volume> film_need{};  // what the film rule asks for its size a calendar day
  std::vector<breach> breaches{};     // of the point's rules, and what is not shown to keep them
};

/// A way to feed the pump, and what it would give.
struct feed_choice {
  feed_kind kind = feed_kind::stirred;
  std::optional<double> chance{};
  coldgrease::verdict verdict = verdict::not_shown;
};

struct installation_answer {
  coldgrease::temperature temperature = celsius(0);
  double confidence = usual_confidence;  // asked for
  pressure available{};
  installation_outcome outcome{};
  std::optional<pressure> needed{};                  // by the worst line
  std::optional<coldgrease::temperature> coldest{};  // that passes, lines and inlet
  std::optional<coldgrease::worth> worth_most{};     // what would narrow the answer of what decides most
  std::vector<point_answer> points{};                // worst first
  inlet feed_by{};                                   // the feed that is judged
  inlet_answer feed{};
  std::vector<feed_choice> feed_choices{};  // where the feed was assumed: all that there are
  std::optional<double> cycles_a_day{};     // calendar days, as all that follows
  std::optional<volume> daily{};
  std::optional<duration> reservoir{};   // how long it lasts
  std::optional<volume> holds{};         // the reservoir
  std::optional<mass> reservoir_mass{};  // what a fill weighs
  std::optional<level_signs> level{};    // with the worst line wrong
  std::optional<duration> shortest_pause{};
  std::vector<std::string> warnings{};
  std::vector<std::string> notes{};
};

/// Checks every line as check(line, ...) does, mains joined. @throws input_error
installation_answer check(const installation& i, const grease& g, temperature at, double confidence = usual_confidence);

/// The names of thickeners that the rules of these installations are read by: those in force (compatibility_charts()),
/// which are read only if some rule speaks of thickeners. @throws file_error for a table that cannot be read
substance_names thickeners_for(std::span<const installation> all);

/// What no rule decides: a name in a rule or a record that no list knows, so that it is compared as it is written; and
/// the temperatures of a range where a point has class windows and none of them speaks. Each once, with its points.
std::vector<std::string> rule_notes(const installation& i, std::span<const grease> stock, temperature coldest,
                                    temperature warmest, const substance_names& thickeners);

/// Two points of which one asks for what the other bans.
struct contradiction {
  std::size_t asks = 0;
  std::size_t bans = 0;
  std::string what{};
};

/// Which points stand in the way of one grease for all.
struct rule_conflicts {
  std::vector<contradiction> contradictions{};
  std::optional<std::size_t> grease{};  // of the stock, with the fewest points against it
  std::vector<std::size_t> take_off{};  // those points: to be greased by hand; empty if that grease serves all
};
rule_conflicts conflicts_of(const installation& i, std::span<const grease> stock, temperature at,
                            const substance_names& thickeners);

}  // namespace coldgrease::inline v0
