// How much grease a point gets, how much its size asks for, and what the reservoir shows of it.
#pragma once

#include <numbers>
#include <optional>

#include "coldgrease/line/installation.hpp"

namespace coldgrease::inline v0 {

/// Film renewed on a bearing each period: 0.001 in every 4 h. Source: a published formula of the trade (film thickness
/// times bearing area); its example: 6 in x 6 in asks for 0.113 in3. Test: tests/line/dosing.cpp
inline constexpr double film_thickness = 0.001 * factor::inch;  // [m]
inline constexpr double film_hours = 4.0;                       // in service

/// Area of a plain bearing, pi d L, times the film.
inline volume film_volume(const bearing_size& b) {
  return cubic_metre(std::numbers::pi * in_metre(b.diameter) * in_metre(b.length) * film_thickness);
}
/// What the film rule asks for in so many hours in service.
inline volume film_need(const bearing_size& b, double hours) {
  return cubic_metre(in_m3(film_volume(b)) * hours / film_hours);
}

/// What a point asks for a calendar day: by `needs` (a volume a day in service, or one for a number of movements), else
/// by the film rule on its bearing; nothing where neither is given.
std::optional<volume> asked_of(const line& l, const duty& d);
/// True if a point gets what it asks for; equal but for rounding is enough.
inline bool serves(volume gets, volume asked) { return in_m3(gets) >= in_m3(asked) * (1.0 - 1e-9); }
/// What is wrong with the dose of a line, by what is known of it.
std::vector<dose_fault> dose_faults_of(const line_answer& a);

/// Cycles a calendar day; nothing without an interval.
std::optional<double> cycles_a_day(const installation& i);
/// Dose of a line a calendar day.
std::optional<volume> daily_volume(const line& l, const installation& i);
/// Dose of all lines together a calendar day; nothing without interval and every dose.
std::optional<volume> daily_volume(const installation& i);

/// What the reservoir loses in a week, and what it loses when one line is wrong: how a silent failure shows.
struct level_signs {
  volume as_expected{};
  volume
      one_blocked{};  // multi-outlet: all but that line; progressive: nothing, the cycle stops; single-line: all but it
  volume one_broken{};             // behind its element or meter: as expected, so the level tells nothing
  volume one_with_air{};           // until the air is out: as blocked
  std::optional<length> height{};  // of the expected drop, where reservoir and height are known
};
/// @param line  the one that is wrong @param grease  its density @return nothing without interval and every dose
std::optional<level_signs> level_in_a_week(const installation& i, std::size_t line, density grease = assumed_density());

/// The shortest pause between cycles: the longest delivery of the lines (multi-outlet), the sum of them (progressive,
/// one outlet at a time), or delivery, of all meters by the pump's output, and the time the supply takes to come down
/// (single-line).
/// @param i  mains joined
/// @return nothing where a time is not known, or the meters cannot be shown to recharge at the confidence
std::optional<duration> shortest_pause(const installation& i, const grease& g, temperature at, double confidence);

}  // namespace coldgrease::inline v0
