// A grease system on one kind of vehicle: pump, limits and all its lines.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/line/inlet.hpp"
#include "coldgrease/line/line.hpp"

namespace coldgrease::inline v0 {

struct installation {
  std::string name{};
  system_type type = system_type::multi_outlet;
  std::optional<pressure> available{};       // what the pump can do
  std::optional<pressure> relief{};          // setting of its relief valve
  std::vector<pressure> ratings{};           // of parts common to all lines
  std::string stiffest{};                    // stiffest NLGI class the maker allows
  std::optional<double> solids_max{};        // share of the mass [-]
  std::optional<volume_flow> pump_output{};  // while it delivers
  std::optional<pressure> divider_loss{};    // of each stage, progressive
  std::optional<pressure> reset{};           // of the meters, single-line
  std::optional<inlet> feed{};               // how grease comes to the pump; feed_of() where nobody says
  std::optional<duration> rest{};            // longest between cycles that it must start after; overnight() assumed
  std::optional<volume> reservoir{};         // what it holds
  std::optional<mass> reservoir_mass{};      // or given as a mass of grease: reservoir_of()
  std::optional<duration> interval{};        // between cycles
  std::optional<double> hours_per_day{};     // in service; assumed_hours_per_day, and said so
  std::optional<double> days_per_week{};     // in service; assumed_days_per_week, and said so
  std::vector<volume> elements{};            // volumes a cycle that the pump's elements (meters, outlets) are made for
  std::vector<duration> intervals{};         // settings of the timer
  std::optional<duration> service{};         // from one refill of the reservoir to the next
  std::vector<line> lines{};
  std::vector<std::string> left_out{};  // of the schedule they were read from, with file and line; a warning each
  friend bool operator==(const installation&, const installation&) = default;
};

/// The feed that is judged: the installation's own, else a stirred reservoir for a multi-outlet or progressive pump
/// (common practice, no source) and gravity for a single-line one, the least favourable.
inlet feed_of(const installation& i);

/// Finds the flow and the volume a cycle in every segment of a shared main: in a single-line system the sum over the
/// lines that name it, in a progressive one the flow of one line (one outlet at a time) and the sum of volumes. One
/// pump feeds all meters of a single-line system: where its output is known a dose takes the time of all of them
/// (line::cycle).
/// @throws input_error for a main in a multi-outlet system, one called as a point is, one that is not the same tube in
///         every line that names it, and lines of a progressive system whose flows differ from each other's or from
///         the pump's output
void join_mains(installation& i);

/// What a handbook calls usual for a type of system.
struct usual_range {
  std::string_view outlets;
  std::string_view dose;  // a cycle and outlet
  std::string_view pressure;
  std::string_view greases;
  std::string_view source;
};
usual_range usual(system_type type);

/// The least of pump capability, relief setting and the ratings of common parts.
/// @throws input_error if neither available nor relief is given
pressure available_pressure(const installation& i);

/// In service, by what is given or else assumed.
duty duty_of(const installation& i);

/// What the reservoir holds: as given, or the mass of grease it is given by over its density.
/// @param grease  its density at 15 C; where no grease is at hand 900 kg/m3 is assumed, which says too many days of a
///                denser grease: too long for the refill, the safe side for how long a fill stays
std::optional<volume> reservoir_of(const installation& i, density grease = assumed_density());
/// How long a full reservoir lasts, in calendar days; nothing without reservoir or daily volume. @param grease  density
std::optional<duration> reservoir_time(const installation& i, density grease = assumed_density());
/// How long grease stays in a line, in calendar days; nothing without dose and interval.
std::optional<duration> residence_time(const line& l, const installation& i);
/// How long grease takes from the pump to the last point: the longest residence; nothing where one is not known.
std::optional<duration> way_through(const installation& i);

/// Volume of all tubes, each main once.
volume volume_of(const installation& i);

/// Why a maker's limits of a system bar a grease. A limit bars a grease whose class nobody knows, or whose solids the
/// record does not state: that it keeps the limit is not shown.
enum class cap_breach { none, stiffer, class_unknown, too_much_solid, solids_not_stated };
cap_breach breach_of_caps(const installation& i, const grease& g);

/// Parts that are rated below what the pump gives, common ones first, each sentence once with the lines it holds for.
std::vector<std::string> rating_warnings(const installation& i);
/// What is wrong or missing with the installation itself, whatever the grease: a part rated below the pump first.
std::vector<std::string> warnings_of(const installation& i);
/// What is taken for granted because nobody said it, a note each.
std::vector<std::string> assumptions_of(const installation& i);

/// What the lines of an installation are checked against at a temperature.
conditions conditions_of(const installation& i, temperature at, double confidence);

}  // namespace coldgrease::inline v0
