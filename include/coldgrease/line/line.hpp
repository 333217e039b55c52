// One line of the system, from the pump to one point, and the verdict on it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/units.hpp"
#include "coldgrease/grease/grease.hpp"

namespace coldgrease {

/// A length of tube of one bore.
struct segment {
  coldgrease::length length{};       // [m], > 0
  coldgrease::length bore{};         // inner diameter [m], > 0
  temperature_step offset{};         // its temperature over that of the air [K]
  std::optional<pressure> rating{};  // what tube and fittings are rated for
  bool bore_from_tube = false;       // computed from outside diameter and wall, so surely no outside diameter
};

/// Outlet pressure assumed where nobody knows it: common practice, no source.
inline pressure assumed_outlet() { return bar(15); }

/// A line: segments in series from the pump element to one point.
struct line {
  std::string point{};
  std::vector<segment> segments{};
  std::optional<pressure> outlet{};   // pressure the point asks for; 15 bar assumed, and said so
  std::optional<volume_flow> flow{};  // while the pump delivers; else dose over in
  std::optional<volume> dose{};       // a cycle
  std::optional<duration> in{};       // the time a dose is delivered in
};

/// Tube by outside diameter and wall, "6 mm x 1 mm": the bore is OD - 2 wall.
/// @throws input_error for anything that leaves no bore
length bore_of_tube(std::string_view text, std::string_view where);

/// True for bores that are common outside diameters: 4, 6, 8, 10, 12 mm, 1/8, 3/16, 1/4 in.
bool is_common_outside_diameter(length bore);

/// Longest pause between cycles that counts as parked overnight: the default rest.
inline duration overnight() { return hour(12); }

/// Factor on the yield stress when flow starts after a rest. JUDGEMENT: 1 running, 1.1 below 1 h, 1.25 up to 24 h, 1.5
/// beyond; no measured value for grease is published.
double start_factor(duration rest);

/// What a line is checked against.
struct conditions {
  std::optional<temperature> at{};        // required
  pressure available{};                   // at the pump, > 0
  double confidence = 0.80;               // 0.55 to 0.99
  duration rest = overnight();            // 0 means running
  std::optional<duration> interval{};     // between cycles, for the residence
  std::optional<double> hours_per_day{};  // for the residence
};

enum class verdict { flows, doubtful, stalls, not_shown };
std::string_view name_of(verdict v);

/// A line of a tender: the largest apparent viscosity (nominal rate, ASTM D1092) with which a measured grease passes.
struct supplier_question {
  coldgrease::temperature temperature = celsius(0);
  shear_rate rate{};
  dynamic_viscosity apparent_max{};
};

/// The answer to "does this grease reach the point?". Empty optionals mean that no such value exists.
struct line_answer {
  coldgrease::temperature temperature = celsius(0);
  shear_rate nominal_rate{};              // of the segment with the largest wall stress
  std::optional<pressure> wall_stress{};  // of the same, running
  std::optional<pressure> flow_loss{};    // running
  std::optional<pressure> start_loss{};   // after the rest
  pressure outlet{};
  std::optional<pressure> needed{};  // outlet + start_loss
  pressure available{};              // after the ratings of the parts
  std::optional<double> chance{};    // share of greases of this description that reach the point
  coldgrease::verdict verdict = verdict::not_shown;
  std::optional<coldgrease::temperature> coldest{};         // at the confidence
  std::optional<coldgrease::temperature> coldest_likely{};  // at an even chance
  std::optional<coldgrease::temperature> oil_bound{};
  std::optional<length> longest{};        // total length that still passes at `temperature`
  std::optional<length> smallest_bore{};  // the smallest segment's, all scaled by one factor
  std::optional<volume_flow> largest_flow{};
  volume line_volume{};
  std::optional<duration> residence{};
  std::optional<supplier_question> ask_supplier{};
  std::vector<std::string> warnings{};
  std::vector<std::string> notes{};
};

/// Flow of a line while the pump delivers: `flow`, or dose over in.
/// @throws input_error where neither is given or one is not above 0
volume_flow flow_of(const line& l);

/// What a line holds: the sum of pi/4 D^2 L.
volume volume_of(const line& l);
/// How long grease stays in a line: its volume over the daily dose; nothing without dose, interval and hours a day.
std::optional<duration> residence_of(const line& l, std::optional<duration> interval,
                                     std::optional<double> hours_per_day);

/// Checks the geometry and the numbers. @throws input_error naming the field
void validate(const line& l);
void validate(const conditions& c);

/// chance of flow = Phi(ln((available - outlet)/loss)/sigma); loss = sum of 4 L tau_w/D with the start factor on the
/// yield stress alone. Verdict: flows (chance >= confidence), doubtful, stalls (chance <= 1 - confidence), not shown;
/// below the oil's bound at best doubtful. Limits hold at `at` and the confidence: loss <= (available - outlet)
/// exp(-z sigma(T)), z the normal quantile of the confidence.
/// @throws input_error for wrong numbers; a line that cannot flow is an answer
line_answer check(const line& l, const grease& g, const conditions& c);

/// The core of a line_answer: what a table of many greases and months needs.
struct outcome {
  std::optional<double> chance{};
  coldgrease::verdict verdict = verdict::not_shown;
  std::optional<pressure> needed{};
  pressure available{};  // after the ratings of the parts
  bool below_oil_bound = false;
};

/// As check, without limits and notes, and without validating again: a microsecond a call.
outcome outcome_of(const line& l, const grease& g, const conditions& c);

}  // namespace coldgrease
