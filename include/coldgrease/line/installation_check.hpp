// A whole installation at one temperature: every line, worst first, the inlet, doses and reservoir.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "coldgrease/line/dosing.hpp"
#include "coldgrease/line/installation.hpp"

namespace coldgrease::inline v0 {

struct point_answer {
  std::size_t line = 0;  // index into the installation's
  line_answer check{};
  std::optional<volume> film_need{};    // what the film rule asks for its size a calendar day
  std::vector<std::string> breaches{};  // of the point's rules
};

struct installation_answer {
  coldgrease::temperature temperature = celsius(0);
  pressure available{};
  coldgrease::verdict verdict = verdict::not_shown;  // of the worst line and the inlet
  std::vector<point_answer> points{};                // worst first
  std::optional<inlet_answer> feed{};
  std::optional<double> cycles_a_day{};  // calendar days, as all that follows
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
rule_conflicts conflicts_of(const installation& i, std::span<const grease> stock, temperature at);

}  // namespace coldgrease::inline v0
