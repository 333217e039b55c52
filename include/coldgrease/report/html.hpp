// Everything about a fleet's year as one page to print, and its pictures alone.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "coldgrease/base/words.hpp"
#include "coldgrease/plan/dossier.hpp"
#include "coldgrease/report/text.hpp"

namespace coldgrease::inline v0 {

/// Who a part of the page is for.
enum class page_reader { buyer, engineer, workshop };
template <>
struct words_of<page_reader> {
  using enum page_reader;
  static constexpr std::string_view what = "reader";
  static constexpr word_for<page_reader> table[]{{buyer, "buyer"}, {engineer, "engineer"}, {workshop, "workshop"}};
};

/// One HTML file that needs nothing beside it: no script, no outside address; it prints on A4 and Letter. Both systems
/// of units stand on it, `units` first. It computes nothing: every number is one of `d`, rounded.
/// The first page is the decision; what follows is by reader, buyer first.
/// @param f, stock  what the dossier was made of @param made_by  program and version, for the foot
/// @param only  the parts of one reader, with the decision and the cautions that are everybody's; else all parts
/// @param jobs  threads that write, 0: one a core; the page is the same
std::string to_html(const dossier& d, const fleet& f, std::span<const grease> stock, std::string_view made_by,
                    unit_system units = unit_system::si, std::optional<page_reader> only = {}, int jobs = 1);

// One picture of the page as an SVG file.
std::string season_svg(const season_sheet& s, const route_plan& r, std::span<const grease> stock);
std::string limit_svg(const line_sheet& s, const installation& i, const grease& g);
/// Empty where nothing is known of the grease.
std::string flow_svg(const grease_sheet& s, const grease& g);
/// Empty where no datum speaks of the grease.
std::string belief_svg(const grease_sheet& s, const grease& g);

}  // namespace coldgrease::inline v0
