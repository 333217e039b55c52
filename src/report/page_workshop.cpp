// For the workshop: what to purge at a changeover, and what gauge and reservoir should show.
#include <algorithm>
#include <array>
#include <span>

#include "base/format.hpp"
#include "report/page.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// A changeover and, where the next sheet is the way back, that too.
std::span<const changeover_sheet> there_and_back(std::span<const changeover_sheet> rest) {
  const bool back = rest.size() > 1 && rest[0].installation == rest[1].installation && rest[0].from == rest[1].to &&
                    rest[0].to == rest[1].from && rest[0].routes == rest[1].routes;
  return rest.first(back ? 2 : 1);
}

std::string purge_words(const page& p, const changeover_answer& a) {
  return fmt::format("Purge at least {}, {}, in all lines.{}", p.both(a.total), p.weight(a.total_mass),
                     a.reservoir ? fmt::format(" The reservoir, if full and not drained, feeds old grease for {:.0f} "
                                               "days more first.",
                                               in_days(*a.reservoir))
                                 : std::string());
}

/// How two thickeners go together, by each chart that speaks of them.
std::string mixing_with_charts(const compatibility_answer& a) {
  std::string words = mixing_words(a) + ".";
  for (const auto& s : a.charts) words += fmt::format(" {}: {} ({}).", s.chart, votes_words(s), s.source);
  return words;
}

using purge_rows = std::vector<std::array<std::string, 5>>;
purge_rows purge_rows_of(const page& p, const changeover_sheet& s) {
  purge_rows rows;
  for (const changeover_line& l : s.answer.lines)
    rows.push_back({p.system(s.installation).lines[l.line].point, p.both(l.purge), p.weight(l.purge_mass),
                    l.shots ? fmt::format("{:.0f}", *l.shots) : "-",
                    l.arrives ? fmt::format("{:.0f}", in_days(*l.arrives)) : "-"});
  return rows;
}

void write_purge_table(page& p, const std::string& caption, const purge_rows& rows) {
  page_table table(p, caption,
                   {{"Point"}, {"Purge", true}, {"Mass", true}, {"Shots", true}, {"New grease after, days", true}});
  for (const auto& r : rows) table.row({r[0], r[1], r[2], r[3], r[4]});
}

/// @param told  what was said of two greases already: it is not said again
void write_changeover(page& p, std::span<const changeover_sheet> ways, std::vector<std::string>& told) {
  const changeover_sheet& there = ways.front();
  const installation& i = p.system(there.installation);
  const auto name = [&](std::size_t g) { return p.grease_name(g); };
  std::vector<std::string> routes;
  for (const std::size_t r : there.routes) routes.push_back(p.d.plan.routes[r].pick.route);
  p.out.element("h3", ways.size() == 1
                          ? fmt::format("{}: from {} to {}", i.name, name(there.from), name(there.to))
                          : fmt::format("{}: from {} to {} and back", i.name, name(there.from), name(there.to)));
  const auto in_bold = [&](const std::string& what, const std::string& words) {
    p.out.open("p").element("b", what).text(" " + words).close();
  };
  const bool alike = ways.size() == 1 || purge_words(p, ways[0].answer) == purge_words(p, ways[1].answer);
  p.paragraph(fmt::format("On {}.{}", joined(routes), alike ? " " + purge_words(p, there.answer) : std::string()));
  const auto once = [&](const std::string& what, const std::string& words) {
    const std::string both = what + words;
    if (std::ranges::find(told, both) != told.end()) return;
    told.push_back(both);
    in_bold(what, words);
  };
  once("Mixing:", mixing_with_charts(there.answer.thickeners));
  for (const changeover_sheet& s : ways) {
    once(fmt::format("Oil, to {}:", name(s.to)), step_words(s.answer.oils) + ".");
    const std::string to = fmt::format("To {}:", name(s.to));
    std::string words = "passes in air " + coldest_words(s.answer) + ".";
    if (!alike) words = purge_words(p, s.answer) + " It " + words;
    if (!s.answer.at_walls.empty())
      words += " At the walls of the last point's line: " + at_walls_words(s.answer) + ".";
    in_bold(to, words);
  }
  const std::string caption = i.name + ", last point first";
  if (ways.size() == 1 || purge_rows_of(p, ways[0]) == purge_rows_of(p, ways[1]))
    return write_purge_table(p, caption, purge_rows_of(p, there));
  for (const changeover_sheet& s : ways)
    write_purge_table(p, fmt::format("{}, to {}", caption, name(s.to)), purge_rows_of(p, s));
}

/// What the reservoir loses, and which points starve first.
std::vector<std::string> signs_of(const page& p, const line_sheet& s) {
  const installation& i = p.system(s.installation);
  std::vector<std::string> sentences;
  if (s.when_dry.level) {
    const level_signs& level = *s.when_dry.level;
    std::string text = fmt::format("The reservoir should lose {} a week", p.both(level.as_expected));
    if (level.height)
      text +=
          fmt::format(", {} of its height",
                      p.units == unit_system::si
                          ? fmt::format("{:.0f} mm ({:.1f} in)", in_millimetre(*level.height), in_inch(*level.height))
                          : fmt::format("{:.1f} in ({:.0f} mm)", in_inch(*level.height), in_millimetre(*level.height)));
    text += fmt::format("; with the line to {} blocked {}; broken behind its element or meter, as much as ever.",
                        i.lines[s.when_dry.feel_first.front()].point, p.both(level.one_blocked));
    sentences.push_back(std::move(text));
  }
  std::vector<std::string> first;
  for (std::size_t k = 0; k < std::min<std::size_t>(3, s.when_dry.feel_first.size()); ++k)
    first.push_back(i.lines[s.when_dry.feel_first[k]].point);
  sentences.push_back("Points that starve first: " + joined(first) + ".");
  return sentences;
}

void write_gauge_table(page& p, const line_sheet& s) {
  page_table table(p,
                   fmt::format("{} with {}: gauge at the pump while it feeds the line that starves first",
                               p.system(s.installation).name, p.grease_name(s.grease)),
                   {{"Air"}, {"Middle", true}, {"Nine of ten from", true}, {"to", true}, {"Verdict"}});
  for (const workshop_row& row : s.card) {
    const auto read = [&](pressure expected_gauge::*which) {
      return row.gauge ? p.both((*row.gauge).*which) : std::string("-");
    };
    table.row({p.degrees(row.temperature), read(&expected_gauge::middle), read(&expected_gauge::low),
               read(&expected_gauge::high), name_of(row.verdict)});
  }
}

/// The sheets of one installation: what they say alike is said once.
void write_card(page& p, std::span<const line_sheet> sheets) {
  p.out.element("h3", p.system(sheets.front().installation).name);
  std::vector<std::string> told;
  for (const line_sheet& s : sheets) {
    for (std::string& text : signs_of(p, s)) {
      if (std::ranges::find(told, text) != told.end()) continue;
      p.paragraph(text);
      told.push_back(std::move(text));
    }
  }
  for (const line_sheet& s : sheets) write_gauge_table(p, s);
}

using cause_rows = std::vector<std::array<std::string, 3>>;
/// Causes of a dry point in the order to look.
cause_rows causes_of(const page& p, const line_sheet& s) {
  cause_rows rows;
  for (std::size_t k = 0; k < std::min<std::size_t>(5, s.when_dry.causes.size()); ++k) {
    const cause& c = s.when_dry.causes[k];
    rows.push_back({std::string(name_of(c.fault)), share_words(c.weight),
                    std::string(check_of(c.fault, p.system(s.installation).type))});
  }
  return rows;
}

/// Tables of causes, each once, with the installations that it is for.
void write_causes(page& p) {
  struct table_of_causes {
    cause_rows rows;
    std::vector<std::string> of;
  };
  std::vector<table_of_causes> tables;
  for (const line_sheet& s : p.d.lines) {
    cause_rows rows = causes_of(p, s);
    auto same = std::ranges::find(tables, rows, &table_of_causes::rows);
    if (same == tables.end()) same = tables.insert(tables.end(), {std::move(rows), {}});
    const std::string& name = p.system(s.installation).name;
    if (std::ranges::find(same->of, name) == same->of.end()) same->of.push_back(name);
  }
  for (const table_of_causes& t : tables) {
    page_table table(p, fmt::format("If a point is dry, look in this order (weights are judgement): {}", joined(t.of)),
                     {{"Cause"}, {"Weight", true}, {"What tells it from the others"}});
    for (const auto& row : t.rows) table.row({row[0], row[1], row[2]});
  }
}

}  // namespace

void write_changeovers(page& p) {
  p.paragraph(
      "Let stored pressure off before a line is opened. Purge is what the lines hold: old grease smears behind, "
      "so it is the least, and the days are those of the first new grease, not of the last old.",
      "small");
  if (p.d.changeovers.empty()) p.paragraph("The plan asks for no changeover.");
  std::vector<std::string> told;
  for (std::span<const changeover_sheet> rest = p.d.changeovers; !rest.empty();) {
    const auto ways = there_and_back(rest);
    write_changeover(p, ways, told);
    rest = rest.subspan(ways.size());
  }
}

void write_workshop(page& p) {
  p.paragraph(
      "A gauge well below the table says that a line is open or has air in it. Well above it, or at relief where the "
      "table reads less, the grease is too stiff or the point is blocked. Never clear a blocked line by more pressure.",
      "small");
  if (p.d.lines.empty()) p.paragraph("No installation is on a route.");
  for (std::span<const line_sheet> rest = p.d.lines; !rest.empty();) {
    const auto other =
        std::ranges::find_if(rest, [&](const line_sheet& s) { return s.installation != rest.front().installation; });
    const auto here = static_cast<std::size_t>(other - rest.begin());
    write_card(p, rest.first(here));
    rest = rest.subspan(here);
  }
  write_causes(p);
}

}  // namespace coldgrease::inline v0::detail
