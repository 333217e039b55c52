// How quantities, dates and verdicts are said, in the texts and on the page alike.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/line/doses.hpp"
#include "coldgrease/plan/changeover.hpp"
#include "coldgrease/plan/plan.hpp"
#include "coldgrease/report/text.hpp"

namespace coldgrease::inline v0::detail {

std::string words(pressure p, unit_system units);
std::string run_words(length l, unit_system units);
std::string bore_words(length l, unit_system units);
std::string words(volume_flow q, unit_system units);
std::string words(volume v, unit_system units);
/// A dose, or what a point gets a day: three digits, whatever its size.
std::string dose_words(volume v, unit_system units);
/// What the outlet would do in the cold if it was found in the warm. @param a  with an outlet_doubt
std::string outlet_doubt_words(const line_answer& a, unit_system units);
/// The least of the shares of their doses that still arrive at the points of a setting; nothing where that of one is
/// not known.
std::optional<double> least_share(const dose_setting& s);
/// The pause between cycles: "90 min", "2.5 h".
std::string pause_words(duration d);
/// All warnings of a line, those of its dose last.
std::vector<std::string> line_warnings(const line_answer& a, unit_system units);
/// What is wrong with doses, each fault once with the points that have it.
std::vector<std::string> dose_warnings(std::span<const point_answer> points, const installation& i, unit_system units);
/// Four digits, without an exponent for anything a grease is described by: "17850", "22.45".
std::string number_words(double v);
std::string_view month_name(int month);
/// No estimate is certain: a chance is never shown as 1.
std::string chance_words(double chance);
/// "chance 0.85, 0.80 asked for": with the digits that tell a chance below what is asked for from it.
std::string chance_beside(double chance, double asked);
/// The class, or "-" where none is known.
std::string class_words(const grease& g);
/// Rows of a text: name and class, and what it stands on.
std::string grease_rows(const grease& g);
/// Rows of its data, each with what it did; empty without any.
std::string data_rows(const grease& g);
/// The name; where the oil is in doubt, that it is.
std::string name_with_oil(const grease& g);
/// A sentence that names the greases whose oil is in doubt; empty if there is none.
std::string oils_in_doubt(std::span<const grease> stock);
/// Texts with a comma between them.
std::string joined(const std::vector<std::string>& texts);

/// "6.9 kg (15.1 lb)".
std::string mass_words(mass m);
/// A difference of temperature: "+6.2 K (+11.1 F)".
std::string step_words(temperature_step s);
/// Both scales without decimals, for pictures: "-35 C (-31 F)" with degree signs.
std::string whole_degrees(temperature t);
/// "good: 29 whole seasons (350 days or more)", and what a plan does where it is not.
std::string for_dates_words(const climate_answer& a);
/// "12 Sep".
std::string day_words(const day_of_year& d);
std::string duration_words(duration d);
/// What is known of a thickener, what one chart says of a pair, and what all do.
std::string thickener_words(const std::string& asked, const std::string& known);
std::string votes_words(const compatibility_answer::said& s);
std::string mixing_words(const compatibility_answer& a);
/// The oils before and after a change at one temperature, and what the change does.
std::string oil_words(const oil_pair& p);
std::string step_words(const oil_change& c);
/// What a change of grease does to the coldest air that an installation passes in; empty where nothing is known.
std::string coldest_words(const changeover_answer& a);
/// What stays at the walls of the line that waits longest, after so many of its volumes.
std::string at_walls_words(const changeover_answer& a);
/// Eight hexadecimal digits, or "-".
std::string checksum_words(std::optional<std::uint32_t> sum);
/// "below 1 %", "38 %".
std::string share_words(double share);
/// The cautions that end every report.
std::span<const std::string_view> caution_list();

template <class Value, class Words>
std::string or_dash(const std::optional<Value>& value, Words in_words) {
  return value ? in_words(*value) : std::string("-");
}

template <class Value, class Words>
std::string or_none(const std::optional<Value>& value, Words in_words) {
  return value ? in_words(*value) : std::string("none");
}

}  // namespace coldgrease::inline v0::detail
