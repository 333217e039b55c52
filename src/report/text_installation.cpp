// One installation at one temperature, as an engineer reads it: the verdict, then every line, worst first.
#include <algorithm>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bullets;
using detail::chance_words;
using detail::dose_warnings;
using detail::dose_words;
using detail::duration_words;
using detail::grease_rows;
using detail::or_dash;
using detail::outlet_doubt_words;
using detail::point_width;
using detail::row;
using detail::run_words;
using detail::table_row;
using detail::words;
using detail::wrapped;

namespace {

/// What bars a grease whatever flows: a plan does not use it.
std::string barring_words(const barring& b, const installation& i) {
  if (b.by == exclusion::none) return {};
  const std::string whose = b.line ? "rule of " + i.lines[*b.line].point : std::string("limit of the system");
  return is_not_shown(b.by) ? fmt::format("; a {} is not shown to be kept", whose)
                            : fmt::format("; barred by a {}", whose);
}

std::string verdict_words(const installation_answer& a, const installation& i) {
  const installation_outcome& o = a.outcome;
  const std::string decides = o.line ? "worst line, " + i.lines[*o.line].point : "inlet of the pump";
  if (!o.chance || o.verdict == verdict::not_shown)
    return fmt::format("not shown: {}, at the {}", name_of(o.missing), decides);
  return fmt::format("{}: {}; decided by the {}", name_of(o.verdict), detail::chance_beside(*o.chance, a.confidence),
                     decides);
}

/// Of the points whose outlet may have been found in the warm, the one that would then be worst.
std::optional<std::size_t> worst_in_doubt(const installation_answer& a) {
  std::optional<std::size_t> worst;
  std::optional<judged_part> decider;
  for (std::size_t p = 0; p < a.points.size(); ++p) {
    const auto& doubt = a.points[p].check.outlet_doubt;
    if (!doubt || !decides({doubt->verdict, doubt->chance}, decider)) continue;
    decider = {doubt->verdict, doubt->chance};
    worst = p;
  }
  return worst;
}

std::string choices_words(const installation_answer& a) {
  std::string out;
  for (const feed_choice& c : a.feed_choices)
    out += fmt::format("{}{}: {}{}", out.empty() ? "" : "; ", name_of(c.kind), name_of(c.verdict),
                       c.chance ? " " + chance_words(*c.chance) : std::string());
  return out;
}

std::string pumping_table(const installation_answer& a, const installation& i, unit_system units) {
  std::string out =
      table_row({{"pumping", point_width},
                 {fmt::format("{:>6} {:<9} {:>8} {:<18} {:>7}", "chance", "verdict", "needs", "coldest", "longest")}});
  for (const point_answer& p : a.points) {
    const line_answer& c = p.check;
    out += table_row(
        {{i.lines[p.line].point, point_width},
         {fmt::format("{:>6} {:<9} {:>8} {:<18} {:>7}", or_dash(c.chance, chance_words), name_of(c.verdict),
                      or_dash(c.needed, [&](pressure v) { return words(v, units); }), or_dash(c.coldest, both_scales),
                      or_dash(c.longest, [&](length v) { return run_words(v, units); }))}});
  }
  return out;
}

std::string supply_table(const installation_answer& a, const installation& i, unit_system units) {
  std::string out =
      table_row({{"supply", point_width},
                 {fmt::format("{:>9} {:>4} {:>9} {:>9} {:>6}", "holds", "days", "gets/day", "asks/day", "dose %")}});
  const auto vol = [&](volume v) { return words(v, units); };
  const auto dose = [&](volume v) { return dose_words(v, units); };
  for (const point_answer& p : a.points) {
    const line_answer& c = p.check;
    out += table_row({{i.lines[p.line].point, point_width},
                      {fmt::format("{:>9} {:>4} {:>9} {:>9} {:>6}", vol(c.line_volume),
                                   or_dash(c.residence, [](duration d) { return fmt::format("{:.0f}", in_days(d)); }),
                                   or_dash(c.daily, dose), or_dash(c.asked, dose),
                                   or_dash(c.dose_share, [](double s) { return fmt::format("{:.0f}", 100.0 * s); }))}});
  }
  return out +
         wrapped(
             "days: grease stays that long in the line. A day is a calendar day, the mean over a week. asks: what is "
             "given, or a film of 0.0254 mm (0.001 in) every 4 h in service on the size given, a published rule. dose "
             "%: what still arrives by the middle estimate.") +
         "\n";
}

std::string filling_table(const installation_answer& a, const installation& i, unit_system units) {
  const bool single = i.type == system_type::single_line;
  const auto press = [&](pressure v) { return words(v, units); };
  std::string out = table_row({{"filling", point_width},
                               {fmt::format("{:>8} {:>9} {:>7}{}", "front", "takes up", "delay",
                                            single ? fmt::format(" {:>11} {:>9}", "stays", "resets") : "")}});
  for (const point_answer& p : a.points) {
    const line_answer& c = p.check;
    std::string figures =
        fmt::format("{:>8} {:>9} {:>7}", or_dash(c.front_reach, [&](length v) { return run_words(v, units); }),
                    or_dash(c.uptake, [&](volume v) { return words(v, units); }), or_dash(c.delay, duration_words));
    if (single) figures += fmt::format(" {:>11} {:>9}", or_dash(c.residual, press), or_dash(c.reset, press));
    out += table_row({{i.lines[p.line].point, point_width}, {figures}});
  }
  return out +
         wrapped(fmt::format("front: how far the pressure goes into such a line. takes up: held by grease and "
                             "walls before the full flow stands at the point; delay: the time that takes (- where "
                             "the wall of a tube is not given).{}",
                             single ? " stays: left in the supply after relief, at this confidence; the meters "
                                      "recharge where it is at or below what resets them."
                                    : "")) +
         "\n";
}

}  // namespace

std::string to_text(const installation_answer& a, const installation& i, const grease& g, unit_system units) {
  std::string out;
  for (const std::string& warning : a.warnings) out += wrapped(fmt::format("WARNING: {}", warning), 9) + "\n";
  for (const point_answer& p : a.points) {
    for (const std::string& warning : p.check.warnings)
      out += wrapped(fmt::format("WARNING: {}: {}", i.lines[p.line].point, warning), 9) + "\n";
    for (const breach& b : p.breaches)
      out += wrapped(fmt::format("WARNING: {} {}", i.lines[p.line].point, b.words), 9) + "\n";
  }
  for (const std::string& warning : dose_warnings(a.points, i, units))
    out += wrapped(fmt::format("WARNING: {}", warning), 9) + "\n";
  if (!out.empty()) out += "\n";
  const usual_range range = usual(i.type);
  out += row("installation", fmt::format("{}, {}", i.name, name_of(i.type)));
  out += grease_rows(g);
  if (a.worth_most) out += row("worth most", words_of_worth(*a.worth_most));
  out += row("at", both_scales(a.temperature));
  out += row("VERDICT", verdict_words(a, i) + barring_words(barring_of(i, g, a), i));
  out += row("available", words(a.available, units));
  if (const auto worst = worst_in_doubt(a))
    out += row("the point", fmt::format("{}: {}", i.lines[a.points[*worst].line].point,
                                        outlet_doubt_words(a.points[*worst].check, units)));
  out += row("usual", fmt::format("{}; {} an outlet and cycle; {} outlets; {} ({})", range.pressure, range.dose,
                                  range.outlets, range.greases, range.source));
  out += row("coldest", or_dash(a.coldest, both_scales) + " at this confidence");
  out += row("inlet", fmt::format("{}{} at {}: {}; fed down to {} (judgement)", name_of(a.feed_by.kind),
                                  i.feed ? "" : ", assumed,", both_scales(a.feed.temperature),
                                  or_dash(a.feed.chance, [](double c) { return "chance " + chance_words(c); }),
                                  or_dash(a.feed.coldest, both_scales)));
  if (!a.feed_choices.empty()) out += row("", choices_words(a));
  if (a.daily) {
    const duty in_service = duty_of(i);
    out += row("doses", fmt::format("{:.1f} cycles a day, {} a day in all: calendar days, {:g} h in service on {:g} "
                                    "of 7",
                                    *a.cycles_a_day, words(*a.daily, units), in_service.hours_per_day,
                                    in_service.days_per_week));
  }
  if (a.reservoir)
    out += row("reservoir", fmt::format("{}, {:.1f} kg ({:.1f} lb): lasts {:.0f} days", words(*a.holds, units),
                                        in_kilogram(*a.reservoir_mass), in_kilogram(*a.reservoir_mass) / factor::pound,
                                        in_days(*a.reservoir)));
  if (a.level) {
    const auto week = [&](volume v) { return words(v, units); };
    out += row("level", fmt::format("falls {}{} a week; {} with the worst line blocked; {} while it is full of air; as "
                                    "ever where it is broken, which the level does not show",
                                    week(a.level->as_expected),
                                    a.level->height ? fmt::format(" ({:.1f} mm)", in_millimetre(*a.level->height)) : "",
                                    week(a.level->one_blocked), week(a.level->one_with_air)));
  }
  if (a.shortest_pause)
    out += row("pause", fmt::format("a cycle takes at least {}", duration_words(*a.shortest_pause)));
  out += "\n" + pumping_table(a, i, units) + "\n" + supply_table(a, i, units) + "\n" + filling_table(a, i, units);
  return out + bullets("\nNotes", a.notes) + "\n" + cautions();
}

}  // namespace coldgrease::inline v0
