// What fleets read on running systems: the gauge on a cold morning, and whether a point was reached.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/base/date.hpp"
#include "coldgrease/base/source.hpp"
#include "coldgrease/line/installation.hpp"

namespace coldgrease::inline v0 {

/// One look at a vehicle: what the gauge at the pump showed, or whether grease came out at a point, or both.
struct reading {
  date day{};
  std::string vehicle{};
  std::string batch{};         // of the grease; empty: one batch between two fills
  std::string installation{};  // as all three by name
  std::string point{};         // empty: the worst
  std::string grease{};
  temperature at = celsius(0);  // of the air, as the lines are
  std::optional<pressure> gauge{};
  std::optional<bool> reached{};   // the point
  std::optional<duration> rest{};  // before the start that was read; nothing: a running pump
  std::size_t row = 0;             // of its file, for people
  friend bool operator==(const reading&, const reading&) = default;
};

/// JUDGEMENT, 90 % errors of a reading.
struct reading_errors {
  pressure gauge = bar(8);
  temperature_step thermometer = kelvins(3);  // shared by all readings of a day
  pressure assumed_outlet = bar(8);  // of a point whose pressure nobody stated, shared by a vehicle's readings of it
  pressure stated_outlet = bar(3);   // and of one that is stated
  double vehicle = 1.15;             // factor on the loss: bore, length and pump together, shared by a vehicle
};

/// Reads CSV: columns `date`, `vehicle`, `installation`, `grease`, `temperature [C]` (or F, K), and `gauge [bar]` (or
/// any unit of pressure) or `reached` (yes, no) or both, and where there are any `batch`, `point`, `rest [h]` (or min,
/// days; 0 h: running), in any order; separators as in every table here; at most 3,000 rows.
/// @param installations, greases  whose names the rows use
/// @throws file_error naming file, line, column, value and what is expected: a name that is not there, a temperature no
///         vehicle is read at, a gauge below the pressure at the point or far above what the pump has, a row that says
///         nothing, a row that stands twice
struct readings_file {
  std::vector<reading> readings{};
  input_file read{};
  std::vector<std::string> left_out{};  // what was, or was taken otherwise than it stands, with file and line
};
readings_file read_readings(const source& file, std::span<const installation> installations,
                            std::span<const std::string> greases);

}  // namespace coldgrease::inline v0
