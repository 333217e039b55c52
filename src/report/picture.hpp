// The pictures of the page. Each is one SVG element; it computes nothing but places.
#pragma once

#include <optional>
#include <span>
#include <string>

#include "coldgrease/plan/dossier.hpp"
#include "coldgrease/report/text.hpp"

namespace coldgrease::inline v0::detail {

/// What is pumped on some routes through the year, a row each: the calendar of the first page.
std::string calendar_picture(const dossier& d, std::span<const std::size_t> routes, std::span<const grease> stock,
                             const std::string& id);

/// A route's year from July to June (January to December in the south): the band of its days, and what its greases
/// stand. @param id  of the picture's elements @param alone  in a file of its own
std::string season_picture(const season_sheet& s, const route_plan& r, std::span<const grease> stock,
                           const std::string& id, bool alone = false);

/// The longest line against the cold, and an installation's own lines; they bear the numbers of the sheet's table,
/// worst first.
std::string limit_picture(const line_sheet& s, const installation& i, const grease& g, const std::string& id,
                          bool alone = false);

/// Stress against rate, both by decades, with the points that somebody measured.
std::string flow_picture(const grease_sheet& s, const grease& g, const std::string& id, bool alone = false);

/// What is believed of a grease before and after its data, over its reference curve, against temperature; with a mark
/// for every datum. Empty without a chart.
std::string belief_picture(const grease_sheet& s, const grease& g, const std::string& id, bool alone = false);

/// What every number of kinds costs, or how many routes it serves.
std::string kinds_picture(const plan_answer& a, const std::string& id, bool alone = false);

/// What a line needs against what there is, as a bar. @param most  pressure at the bar's full width
std::string pressure_bar(std::optional<pressure> needed, pressure available, pressure most, std::string_view words);

}  // namespace coldgrease::inline v0::detail
