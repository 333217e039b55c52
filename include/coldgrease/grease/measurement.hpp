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
/// JUDGEMENT: 90 % factor of a measured grease within 10 K of the measurement and at the rates of its points; where a
/// line runs below them it grows as (lowest measured rate/line rate)^rate_growth.
inline constexpr double measured_factor = 1.5;
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

/// Reads points from CSV: columns `temperature [C]` (or F, K), `rate [1/s]` and either `apparent viscosity [Pa s]` (or
/// mPa s, P, cP) or `stress [Pa]` (or any other unit of pressure), in any order, names in any case; lines that begin
/// with '#' are comments, below the header those with fewer than three cells; at most 10,000 points.
/// @param kind  what the rates of the file are
/// @throws file_error naming file, line, column, value and what is expected. Test: tests/grease/measurement.cpp
std::vector<measured_point> read_points(const source& file, rate_kind kind);

}  // namespace coldgrease::inline v0
