// A grease system on one kind of vehicle: pump, limits and all its lines.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/line/line.hpp"

namespace coldgrease {

/// How the pump reaches the points. Only multi_outlet (each point its own pump element) is computed by this version.
enum class system_type { multi_outlet, progressive, single_line };
std::string_view name_of(system_type type);

struct installation {
  std::string name{};
  system_type type = system_type::multi_outlet;
  std::optional<pressure> available{};  // what the pump can do
  std::optional<pressure> relief{};     // setting of its relief valve
  std::vector<pressure> ratings{};      // of parts common to all lines
  std::string stiffest{};               // stiffest NLGI class the maker allows
  std::optional<double> solids_max{};   // share of the mass [-]
  std::optional<volume> reservoir{};
  std::optional<duration> interval{};  // between cycles
  double hours_per_day = 10.0;         // in service; 10 assumed, common practice, no source
  std::vector<line> lines{};
};

/// The least of pump capability, relief setting and the ratings of common parts.
/// @throws input_error if neither available nor relief is given
pressure available_pressure(const installation& i);

/// Dose of all lines together a day [m^3 over 24 h of calendar]; nothing without interval and every dose.
std::optional<volume> daily_volume(const installation& i);
/// How long a full reservoir lasts; nothing without reservoir or daily volume.
std::optional<duration> reservoir_time(const installation& i);
/// How long grease stays in a line; nothing without dose and interval.
std::optional<duration> residence_time(const line& l, const installation& i);
/// How long a fill stays in the installation: the larger of the slowest line's residence and the reservoir, each
/// `unknown` where it is not known.
duration carry_over(const installation& i, duration unknown);

/// What the lines of an installation are checked against at a temperature.
conditions conditions_of(const installation& i, temperature at, double confidence);

}  // namespace coldgrease
