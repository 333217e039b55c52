// Points of a flow curve that somebody measured, and how they are read from a file.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/source.hpp"
#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/units.hpp"
#include "coldgrease/grease/flow_curve.hpp"

namespace coldgrease::inline v0 {

namespace detail {
/// JUDGEMENT, but the standard's repeatability of a point: 90 % factors of what was measured. ASTM D1092 states no
/// precision below 10 1/s.
inline constexpr double capillary_laboratory = 1.2;  // shared by all points of a laboratory
inline constexpr double rheometer_laboratory = 1.4;
inline constexpr double point_factor = 1.08;
inline constexpr double slow_point_factor = 1.3;    // of a capillary point below
inline constexpr double least_precise_rate = 10.0;  // [1/s]
inline constexpr double mobility_factor = 1.4;
inline constexpr double flow_pressure_ratio = 1.3;
/// JUDGEMENT: where a line runs below the rates of a fit its 90 % factor grows as (lowest measured rate/line
/// rate)^rate_growth.
inline constexpr double rate_growth = 0.15;
}  // namespace detail

/// One reading. A capillary viscometer (ASTM D1092) gives a nominal rate and the stress at the wall, a rotational
/// rheometer a true rate and the stress at it; D1092's apparent viscosity is that stress over the nominal rate.
struct measured_point {
  temperature at = celsius(25);
  shear_rate rate{};  // of the kind below [1/s], > 0
  pressure stress{};  // [Pa], > 0
  rate_kind kind = rate_kind::nominal;
  friend bool operator==(const measured_point&, const measured_point&) = default;
};

/// A mobility figure, the steel industry's: the mass that a pressure drives through a capillary of 40 bores of length.
struct mobility_reading {
  double grams_per_minute = 0.0;  // > 0
  temperature at = celsius(-18);
  length bore = millimetre(3.8);  // from memory
  pressure driving = psi(150.0);  // from memory
  friend bool operator==(const mobility_reading&, const mobility_reading&) = default;
};
/// Reads "12 g/min at -18 C", with own bore and pressure behind commas: "12 g/min at 0 F, 3.8 mm, 150 psi".
/// @throws input_error
mobility_reading parse_mobility(std::string_view text, std::string_view where);
/// Writes it so that it reads back.
std::string text_of(const mobility_reading& m);
/// As a point of a capillary: nominal rate 32 Q/(pi D^3), stress at the wall p/(4 x 40).
measured_point point_of(const mobility_reading& m, density of_grease);

/// Reads points from CSV: columns `temperature [C]` (or F, K), `rate [1/s]` and either `apparent viscosity [Pa s]` (or
/// mPa s, P, cP) or `stress [Pa]` (or any other unit of pressure), in any order, names in any case; lines that begin
/// with '#' are comments, below the header those with fewer than three cells; at most 10,000 points.
/// @param kind  what the rates of the file are
/// @throws file_error naming file, line, column, value and what is expected. Test: tests/grease/measurement.cpp
std::vector<measured_point> read_points(const source& file, rate_kind kind);

}  // namespace coldgrease::inline v0
