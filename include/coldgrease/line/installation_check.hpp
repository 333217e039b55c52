// A whole installation at one temperature: every line, worst first, the inlet, doses and reservoir.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/line/dosing.hpp"
#include "coldgrease/line/installation.hpp"

namespace coldgrease::inline v0 {

struct point_answer {
  std::size_t line = 0;  // index into the installation's
  line_answer check{};
  std::optional<volume> daily{};      // what it gets
  std::optional<volume> film_need{};  // what its size asks for a day
  std::vector<breach> breaches{};     // of the point's rules, and what is not shown to keep them
};

struct installation_answer {
  coldgrease::temperature temperature = celsius(0);
  pressure available{};
  coldgrease::verdict verdict = verdict::not_shown;  // of the worst line and the inlet
  std::vector<point_answer> points{};                // worst first
  std::optional<inlet_answer> feed{};
  std::optional<double> cycles_a_day{};
  std::optional<volume> daily{};
  std::optional<duration> reservoir{};   // how long it lasts
  std::optional<mass> reservoir_mass{};  // what a fill weighs
  std::optional<level_signs> level{};    // with the worst line wrong
  std::optional<duration> shortest_pause{};
  std::vector<std::string> warnings{};
  std::vector<std::string> notes{};
};

/// Checks every line as check(line, ...) does, mains joined. @throws input_error
installation_answer check(const installation& i, const grease& g, temperature at, double confidence = usual_confidence);

/// The coldest air in which every line of an installation passes, and its pump is fed. Nothing if somewhere in none.
std::optional<temperature> coldest_passing(const installation& i, const grease& g, double confidence);

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
