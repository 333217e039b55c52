// Points of a flow curve that somebody measured, and how they are read from a file.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/units.hpp"
#include "coldgrease/grease/flow_curve.hpp"

namespace coldgrease::inline v0 {

/// One reading. A capillary viscometer (ASTM D1092) gives a nominal rate and the stress at the wall, a rotational
/// rheometer a true rate and the stress at it; D1092's apparent viscosity is that stress over the nominal rate.
struct measured_point {
  temperature at = celsius(25);
  shear_rate rate{};  // of the kind below [1/s], > 0
  pressure stress{};  // [Pa], > 0
  rate_kind kind = rate_kind::nominal;
};

/// Reads points from CSV: columns `temperature [C]` (or F, K), `rate [1/s]` and either `apparent viscosity [Pa s]` (or
/// mPa s, P, cP) or `stress [Pa]` (or any other unit of pressure), in any order, names in any case; lines that begin
/// with '#' are comments, below the header those with fewer than three cells. @param kind  what the rates of the file
/// are
/// @throws file_error naming file, line, column, value and what is expected. Test: tests/grease/measurement.cpp
std::vector<measured_point> read_points(const std::string& path, rate_kind kind);
/// The same from text, at most 10,000 points; `name` stands for the file in errors.
std::vector<measured_point> parse_points(std::string_view text, std::string_view name, rate_kind kind);

}  // namespace coldgrease::inline v0
