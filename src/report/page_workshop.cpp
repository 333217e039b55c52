// For the workshop: what to purge at a changeover, and what gauge and reservoir should show.
#include <algorithm>

#include "base/format.hpp"
#include "report/page.hpp"

namespace coldgrease::inline v0::detail {

namespace {

void write_mixing(page& p, const compatibility_answer& a) {
  p.out.open("p").element("b", "Mixing: ").text(mixing_words(a) + ".").close();
  std::vector<std::string> charts;
  for (const auto& s : a.charts) charts.push_back(fmt::format("{}: {} ({})", s.chart, votes_words(s), s.source));
  p.bullets(charts);
}

void write_changeover(page& p, const changeover_sheet& s) {
  const installation& i = p.system(s.installation);
  const changeover_answer& a = s.answer;
  std::vector<std::string> routes;
  for (const std::size_t r : s.routes) routes.push_back(p.d.plan.routes[r].pick.route);
  p.out.element("h3", fmt::format("{}: from {} to {}", i.name, p.grease_name(s.from), p.grease_name(s.to)));
  p.paragraph(fmt::format(
      "On {}. Purge at least {}, {}, in all lines.{}", joined(routes), p.both(a.total), p.weight(a.total_mass),
      a.reservoir ? fmt::format(" The reservoir, if full and not drained, feeds old grease for {:.0f} "
                                "days more first.",
                                in_days(*a.reservoir))
                  : std::string()));
  write_mixing(p, a.thickeners);
  p.out.open("p").element("b", "Oil: ").text(step_words(a.oils) + ".").close();
  p.out.open("p").element("b", "Passes in air ").text(coldest_words(a) + ".").close();
  if (!a.at_walls.empty())
    p.out.open("p").element("b", "At the walls of the last point's line: ").text(at_walls_words(a) + ".").close();
  page_table table(p, "Last point first",
                   {{"Point"}, {"Purge", true}, {"Mass", true}, {"Shots", true}, {"New grease after, days", true}});
  for (const changeover_line& l : a.lines)
    table.row({i.lines[l.line].point, p.both(l.purge), p.weight(l.purge_mass),
               l.shots ? fmt::format("{:.0f}", *l.shots) : "-",
               l.arrives ? fmt::format("{:.0f}", in_days(*l.arrives)) : "-"});
}

void write_card(page& p, const line_sheet& s) {
  const installation& i = p.system(s.installation);
  p.out.open("div", {{"class", "keep"}}).element("h3", fmt::format("{} with {}", i.name, p.grease_name(s.grease)));
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
    p.paragraph(text);
  }
  std::vector<std::string> first;
  for (std::size_t k = 0; k < std::min<std::size_t>(3, s.when_dry.feel_first.size()); ++k)
    first.push_back(i.lines[s.when_dry.feel_first[k]].point);
  p.paragraph("Points that starve first: " + joined(first) + ".");
  {
    page_table table(p, "What the gauge at the pump should read while it feeds the line that starves first",
                     {{"Air"}, {"Middle", true}, {"Nine of ten from", true}, {"to", true}, {"Verdict"}});
    for (const workshop_row& row : s.card) {
      const auto read = [&](pressure expected_gauge::*which) {
        return row.gauge ? p.both((*row.gauge).*which) : std::string("-");
      };
      table.row({p.degrees(row.temperature), read(&expected_gauge::middle), read(&expected_gauge::low),
                 read(&expected_gauge::high), name_of(row.verdict)});
    }
  }
  p.out.close();
}

/// Causes of a dry point in the order to look.
void write_causes(page& p, const line_sheet& s) {
  const installation& i = p.system(s.installation);
  page_table table(p, "If a point is dry, look in this order (weights are judgement)",
                   {{"Cause"}, {"Weight", true}, {"What tells it from the others"}});
  for (std::size_t k = 0; k < std::min<std::size_t>(5, s.when_dry.causes.size()); ++k) {
    const cause& c = s.when_dry.causes[k];
    table.row({name_of(c.fault), share_words(c.weight), check_of(c.fault, i.type)});
  }
}

/// True if one table of causes serves two sheets.
bool same_causes(const line_sheet& a, const line_sheet& b) {
  return a.installation == b.installation &&
         std::ranges::equal(a.when_dry.causes, b.when_dry.causes, [](const cause& x, const cause& y) {
           return x.fault == y.fault && share_words(x.weight) == share_words(y.weight);
         });
}

}  // namespace

void write_changeovers(page& p) {
  p.begin_section("change", "Changeovers", true);
  p.paragraph(
      "Let stored pressure off before a line is opened. Purge is what the lines hold: old grease smears behind, "
      "so it is the least, and the days are those of the first new grease, not of the last old.",
      "small");
  if (p.d.changeovers.empty()) p.paragraph("The plan asks for no changeover.");
  for (const changeover_sheet& s : p.d.changeovers) write_changeover(p, s);
  p.end_section();
}

void write_workshop(page& p) {
  p.begin_section("card", "At the vehicle", true);
  p.paragraph(
      "A gauge well below the table says that a line is open or has air in it. Well above it, or at relief where the "
      "table reads less, the grease is too stiff or the point is blocked. Never clear a blocked line by more pressure.",
      "small");
  if (p.d.lines.empty()) p.paragraph("No installation is on a route.");
  for (std::size_t k = 0; k < p.d.lines.size(); ++k) {
    write_card(p, p.d.lines[k]);
    if (k + 1 == p.d.lines.size() || !same_causes(p.d.lines[k], p.d.lines[k + 1])) write_causes(p, p.d.lines[k]);
  }
  p.end_section();
}

}  // namespace coldgrease::inline v0::detail
