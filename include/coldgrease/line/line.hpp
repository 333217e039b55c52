// One line of the system, from the pump to one point, and the verdict on it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/units.hpp"
#include "coldgrease/base/words.hpp"
#include "coldgrease/grease/grease.hpp"
#include "coldgrease/grease/worth.hpp"
#include "coldgrease/line/point_rules.hpp"

namespace coldgrease::inline v0 {

/// How the pump reaches the points.
/// multi_outlet: each point has its own pump element and line. progressive: dividers serve one outlet after the other
/// through shared mains. single_line: all meters fill a shared main's pressure at once, and recharge when it is
/// relieved.
enum class system_type { multi_outlet, progressive, single_line };
template <>
struct words_of<system_type> {
  using enum system_type;
  static constexpr std::string_view what = "system type";
  static constexpr word_for<system_type> table[]{
      {multi_outlet, "multi-outlet"}, {progressive, "progressive"}, {single_line, "single-line"}};
};

/// What a tube is made of: soft walls swell under pressure.
enum class tube_material { polyamide, steel, copper };
template <>
struct words_of<tube_material> {
  using enum tube_material;
  static constexpr std::string_view what = "tube material";
  static constexpr word_for<tube_material> table[]{{polyamide, "polyamide"}, {steel, "steel"}, {copper, "copper"}};
};

/// Of a tube whose material nobody says: the one that swells most.
inline constexpr tube_material assumed_material = tube_material::polyamide;

/// A length of tube of one bore; also a hose or a fitting, by its length, bore and rating.
struct segment {
  coldgrease::length length{};               // [m], > 0
  coldgrease::length bore{};                 // inner diameter [m], > 0
  temperature_step offset{};                 // its temperature over that of the air [K]
  std::optional<pressure> rating{};          // what tube and fittings are rated for
  bool bore_from_tube = false;               // computed from outside diameter and wall, so surely no outside diameter
  std::string main{};                        // the shared main it is a part of; empty for the point's own tube
  std::optional<coldgrease::length> wall{};  // wall thickness, for the swelling
  std::optional<tube_material> material{};   // for the swelling; assumed_material where nobody says
  double flow_ratio = 1.0;                   // flow in it over the line's own: join_mains()
  double dose_ratio = 1.0;                   // volume a cycle through it over the line's own: join_mains()
  friend bool operator==(const segment&, const segment&) = default;
};

/// Outlet pressure assumed where nobody knows it: common practice, no source.
inline pressure assumed_outlet() { return bar(15); }

/// A plain bearing: pin or bush.
struct bearing_size {
  coldgrease::length diameter{};  // [m], > 0
  coldgrease::length length{};    // [m], > 0
  friend bool operator==(const bearing_size&, const bearing_size&) = default;
};

/// What a point asks for by what is known of it: a volume for a day in service, or for a number of movements.
struct point_need {
  coldgrease::volume volume{};        // [m3], > 0
  std::optional<double> movements{};  // that it is for, > 0; nothing: a day in service
  friend bool operator==(const point_need&, const point_need&) = default;
};

/// A line: segments in series from the pump element to one point.
struct line {
  std::string point{};
  std::vector<segment> segments{};
  std::optional<pressure> outlet{};        // pressure the point asks for; 15 bar assumed, and said so
  std::optional<temperature> outlet_at{};  // where that was found: it rises in the cold with the yield stress
  std::optional<volume_flow> flow{};       // while the pump delivers; else dose over in
  std::optional<volume> dose{};            // a cycle
  std::optional<duration> in{};            // the time a dose is delivered in
  std::optional<duration> cycle{};         // single-line: that all meters take of one pump, join_mains(); before `in`
  int stages = 1;                          // dividers between pump and point, in a progressive system
  std::optional<bearing_size> bearing{};   // at the point, for the volume it asks for by the film rule
  std::optional<point_need> needs{};       // what it asks for, where that is known better than by the film rule
  std::optional<double> movements{};       // on a day in service, for needs by movements; > 0
  point_rules rules{};                     // what the point's maker allows
  friend bool operator==(const line&, const line&) = default;
};

/// Tube by outside diameter and wall, "6 mm x 1 mm": the bore is OD - 2 wall. Fills bore, wall and bore_from_tube.
/// @throws input_error for anything that leaves no bore
void set_tube(segment& s, std::string_view text, std::string_view where);

/// True for bores that are common outside diameters: 4, 6, 8, 10, 12 mm, 1/8, 3/16, 1/4 in.
bool is_common_outside_diameter(length bore);

/// Longest pause between cycles that counts as parked overnight: the default rest.
inline duration overnight() { return hour(12); }

/// Reads a rest: "12 h", or "none" for a running pump. @throws input_error
duration parse_rest(std::string_view text, std::string_view where);

/// Factor on the yield stress when flow starts after a rest. JUDGEMENT: 1 running, 1.1 below 1 h, 1.25 up to 24 h, 1.5
/// beyond; no measured value for grease is published.
double start_factor(duration rest);
/// The share of greases of a description that must pass: what may be asked for, and what is where nobody asks.
inline constexpr double least_confidence = 0.55, most_confidence = 0.99;
inline constexpr double usual_confidence = 0.80;
/// @param shown  the value as it was written; empty: the number
/// @throws input_error unless least_confidence <= value <= most_confidence
void check_confidence(double value, std::string_view where, std::string_view shown = {});

/// In service where nobody says: common practice, no source.
inline constexpr double assumed_hours_per_day = 10.0;
inline constexpr double assumed_days_per_week = 5.0;

/// How much of the calendar a vehicle is in service.
struct duty {
  double hours_per_day = assumed_hours_per_day;  // on a day in service, above 0 to 24
  double days_per_week = assumed_days_per_week;  // above 0 to 7
};
inline constexpr double days_a_week = 7.0;
/// Days in service a calendar day, and hours in service a calendar day: the means over a week. Whatever is said "a day"
/// or counted in days (cycles, doses, what a point asks for, residence, reservoir, level, kilograms) is of calendar
/// days and stands on these two.
inline double days_in_service(const duty& d) { return d.days_per_week / days_a_week; }
inline double hours_in_service(const duty& d) { return d.hours_per_day * days_in_service(d); }
/// Cycles a calendar day. @param interval  between cycles, in service
inline double cycles_a_day(duration interval, const duty& d) { return hours_in_service(d) / in_hour(interval); }
/// Says what is assumed of the two where they are not given; nothing where both are.
std::optional<std::string> assumed_duty_note(std::optional<double> hours_per_day, std::optional<double> days_per_week);

/// What a line is checked against.
struct conditions {
  std::optional<temperature> at{};        // required
  pressure available{};                   // at the pump, > 0
  double confidence = usual_confidence;   // check_confidence
  std::optional<duration> rest{};         // before the start, 0 means running; overnight() assumed, and said so
  std::optional<duration> interval{};     // between cycles, for the residence
  std::optional<double> hours_per_day{};  // in service, for the residence
  std::optional<double> days_per_week{};  // in service; assumed_days_per_week, and said so
  system_type system = system_type::multi_outlet;
  std::optional<pressure> divider_loss{};  // of each stage of a progressive system; 0 if not given, and said so
  std::optional<pressure> reset{};         // at or below which the meters of a single-line system recharge
};

/// Flows: chance >= confidence. Stalls: chance <= 1 - confidence. Not shown: something is not known that decides.
enum class verdict : unsigned char { flows, doubtful, stalls, not_shown };
template <>
struct words_of<verdict> {
  using enum verdict;
  static constexpr std::string_view what = "verdict";
  static constexpr word_for<verdict> table[]{
      {flows, "flows"}, {doubtful, "doubtful"}, {stalls, "stalls"}, {not_shown, "not shown"}};
};
/// What keeps a verdict from being shown.
enum class missing_datum : unsigned char {
  none,
  grease,  // nothing is known of it at this temperature
  reset,   // pressure at which the meters of a single-line system recharge
  yield    // stress, left open by a fit, that holds pressure in a single-line supply
};
template <>
struct words_of<missing_datum> {
  using enum missing_datum;
  static constexpr std::string_view what = "";
  static constexpr word_for<missing_datum> table[]{{none, "nothing"},
                                                   {grease, "nothing is known of this grease here"},
                                                   {reset, "reset pressure missing"},
                                                   {yield, "yield stress left open by the points"}};
};
/// Verdict on a chance; below the oil's bound at best doubtful, without a chance not shown.
verdict judge(std::optional<double> chance, double confidence, bool below_bound);
/// Whether a chance is at least what is asked for, up to the rounding of the normal law, its inverse and units: 1e-12.
/// A limit that is put back passes.
bool meets(double chance, double confidence) noexcept;

/// A line of a tender: the largest apparent viscosity (nominal rate, ASTM D1092) with which a measured grease passes.
struct supplier_question {
  coldgrease::temperature temperature = celsius(0);
  shear_rate rate{};
  dynamic_viscosity apparent_max{};
};

/// What a line would be where its outlet pressure was found in the warm.
struct outlet_found_warm {
  temperature at = celsius(20);  // where it is taken to have been found
  pressure outlet{};             // in the cold of the answer
  double chance = 0.0;
  coldgrease::verdict verdict = verdict::not_shown;
};

/// What is wrong with a dose.
enum class dose_fault { too_little, too_much, stays_long, taken_up };
template <>
struct words_of<dose_fault> {
  using enum dose_fault;
  static constexpr std::string_view what = "fault of a dose";
  static constexpr word_for<dose_fault> table[]{{too_little, "less than the point asks for"},
                                                {too_much, "more than ten times what the point asks for"},
                                                {stays_long, "grease stays a year or more in the line"},
                                                {taken_up, "the line takes up more than the dose"}};
};
/// Beyond so many times of what a point asks for a dose is too much, and from so long on grease stays too long:
/// JUDGEMENT.
inline constexpr double most_times_asked = 10.0;
inline duration longest_stay() { return days(365); }

/// The answer to "does this grease reach the point?". Empty optionals mean that no such value exists.
struct line_answer {
  coldgrease::temperature temperature = celsius(0);
  double confidence = usual_confidence;   // asked for
  bool inlet_judged = false;              // of the pump: in the answer of an installation
  shear_rate nominal_rate{};              // of the segment with the largest wall stress
  std::optional<pressure> wall_stress{};  // of the same, running
  std::optional<pressure> flow_loss{};    // running; nothing above 1000 bar, as start_loss and needed
  std::optional<pressure> start_loss{};   // after the rest
  pressure outlet{};                      // at this temperature
  pressure divider_loss{};                // of all stages
  std::optional<pressure> needed{};       // outlet + divider_loss + start_loss
  pressure available{};                   // after the ratings of the parts
  std::optional<pressure> residual{};     // left in the supply after relief, at the confidence
  std::optional<pressure> reset{};        // single-line: what the residual must come down to
  std::optional<double> spread_90{};      // nine of ten such greases lose this factor more or less
  std::optional<double> chance{};         // share of greases of this description that reach the point
  coldgrease::verdict verdict = verdict::not_shown;
  missing_datum missing = missing_datum::none;              // why it is not shown
  std::optional<coldgrease::temperature> coldest{};         // at the confidence
  std::optional<coldgrease::temperature> coldest_likely{};  // at an even chance
  std::optional<coldgrease::temperature> oil_bound{};
  std::optional<length> longest{};        // total length that still passes at `temperature`
  std::optional<length> smallest_bore{};  // the smallest segment's, all scaled by one factor
  std::optional<volume_flow> largest_flow{};
  std::optional<pressure> largest_outlet{};         // at the point that still passes
  std::optional<outlet_found_warm> outlet_doubt{};  // where nobody says at which temperature the outlet holds
  std::optional<double> dose_share{};   // of the flow wanted that the pressure still drives, by the middle estimate
  std::optional<length> front_reach{};  // how far the pressure goes before the yield stress has eaten it
  std::optional<volume> uptake{};       // by grease and walls before the full flow stands at the point
  std::optional<duration> delay{};      // of the full flow at the point: the uptake over the flow
  volume line_volume{};
  std::optional<duration> residence{};  // in calendar days
  std::optional<volume> dose{};         // a cycle
  std::optional<volume> daily{};        // what the point gets a calendar day
  std::optional<volume> asked{};        // what it asks for a calendar day
  std::vector<dose_fault> dose_faults{};
  std::optional<supplier_question> ask_supplier{};
  std::optional<coldgrease::worth> worth_most{};  // what would narrow the answer most
  std::vector<std::string> warnings{};
  std::vector<std::string> notes{};
};

/// Flow of a line while the pump delivers: `flow`, or dose over cycle, or dose over in.
/// @throws input_error where neither is given or one is not above 0
volume_flow flow_of(const line& l);

/// What a segment holds: pi/4 D^2 L.
volume volume_of(const segment& s);
/// What a line holds: the sum over its segments, shared mains included.
volume volume_of(const line& l);
/// Dose of a line a calendar day; nothing without a dose or cycles.
std::optional<volume> daily_volume(const line& l, std::optional<double> cycles_a_day);
/// How long grease stays in a line, in calendar days: the sum over its segments of volume over the daily volume through
/// each; nothing without a dose or cycles.
std::optional<duration> residence_of(const line& l, std::optional<double> cycles_a_day);

/// Checks the geometry and the numbers. @throws input_error naming the field
void validate(const line& l);
void validate(const conditions& c);
/// @throws input_error for a time between cycles that is not 1 s to 366 days
void check_interval(duration interval, std::string_view where);

/// chance of flow = Phi(ln((available - outlet)/loss)/sigma); loss = sum of 4 L tau_w/D with the start factor on the
/// yield stress alone and the linear term thickened by exp(alpha (available + outlet)/2), the mean pressure of the line
/// where the verdict turns. sigma holds the spread of the grease, that of the start factor by d ln(loss)/d ln(factor),
/// and, where the chance is above one half, what is not known of the oil. `needed` stands at its own mean pressure.
/// Where `outlet_at` says at which temperature the outlet pressure was found it rises as the yield stress does, never
/// falls. Verdict: flows (chance >= confidence), doubtful, stalls (chance <= 1 - confidence), not shown;
/// below the oil's bound at best doubtful. A single-line system flows only if its meters recharge as well: the residual
/// sum of 4 L ty/D of its supply (the segments of a main; the whole line where none is named) at or below `reset`; the
/// worse of the two chances counts. Limits hold at `at` and the confidence: loss <= (available - outlet)
/// exp(-z sigma), z the normal quantile of the confidence, sigma that of the line at its limit; a limit put back flows.
/// Where data make the grease look better in the cold than in warmer air, the worst chance from `at` up to 60 C counts,
/// by full degrees: colder air never makes a chance better.
/// @throws input_error for wrong numbers; a line that cannot flow is an answer
line_answer check(const line& l, const grease& g, const conditions& c);

/// The core of a line_answer: what a table of many greases and months needs.
struct outcome {
  std::optional<double> chance{};
  coldgrease::verdict verdict = verdict::not_shown;
  pressure available{};  // after the ratings of the parts
  bool below_oil_bound = false;
  std::optional<pressure> stays{};  // residual after relief, where it decides and not the flow
  missing_datum missing = missing_datum::none;
};

/// As check, without limits and notes, and without validating again: microseconds a call.
outcome outcome_of(const line& l, const grease& g, const conditions& c);
/// True if the meters behind a line of a single-line system can be shown to recharge at the confidence.
bool recharges(const line& l, const grease& g, const conditions& c);
/// line_answer::needed alone.
std::optional<pressure> needed_pressure(const line& l, const grease& g, const conditions& c);

}  // namespace coldgrease::inline v0
