// What is said beside a route's pick: warnings, conflicts, evidence, and what would help.
#include "plan/route_remarks.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/line/dosing.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"
#include "coldgrease/line/worth.hpp"

namespace coldgrease::inline v0::detail {

std::optional<worth> worth_on(const route_pick& r, std::size_t g, const grease& known,
                              std::span<const installation> installations, double confidence) {
  constexpr std::size_t months_before = 3, year = 12;
  const month_pick* day = nullptr;
  for (const month_pick& m : r.months) {
    if (m.greases[m.shown].grease == g && (!day || m.design < day->design)) day = &m;
  }
  if (!day) day = &*std::ranges::min_element(r.months, {}, &month_pick::design);
  const auto judged = std::ranges::find(day->greases, g, &grease_month::grease);
  if (judged == day->greases.end()) return std::nullopt;
  std::vector<temperature> mornings;
  const auto at = static_cast<std::size_t>(day - r.months.data());
  for (std::size_t k = months_before; r.months.size() == year && k > 0; --k)
    mornings.push_back(r.months[(at + year - k) % year].design);
  if (judged->unfed) return worth_most(known, day->design);
  const installation& i = installations[judged->worst.installation];
  return worth_most(i.lines[judged->worst.line], known, conditions_of(i, day->design, confidence), mornings);
}

std::vector<std::string> evidence_of(const fleet_limits& f, const route_pick& r, std::span<const std::size_t> greases) {
  std::vector<std::string> out;
  for (const std::size_t g : greases) {
    out.push_back(fmt::format("{} stands on {}", f.stock[g].name(), f.stock[g].stands_on()));
    for (const used_datum& d : f.stock[g].data())
      out.push_back(fmt::format("{}: {}", f.stock[g].name(), words_of_datum(d)));
    if (const auto most = worth_on(r, g, f.stock[g], f.systems, f.policy.confidence))
      out.push_back(fmt::format("{}: worth most would be {}", f.stock[g].name(), words_of_worth(*most)));
    for (const std::string& note : f.stock[g].notes()) out.push_back(fmt::format("{}: {}", f.stock[g].name(), note));
  }
  return out;
}

std::vector<std::string> warnings_on(const fleet_limits& f, const route_pick& r) {
  std::vector<std::string> out;
  for (auto here = r.installations.begin(); here != r.installations.end(); ++here) {
    if (std::find(r.installations.begin(), here, *here) != here) continue;  // told already
    const installation& system = f.systems[*here];
    if (std::ranges::count(r.installations, *here) > 1)
      out.push_back(system.name +
                    " stands more than once on this route: its kilograms and money are counted each time");
    for (const std::string& warning : warnings_of(system)) out.push_back(system.name + ": " + warning);
    std::size_t suspect = 0;
    const line* first = nullptr;
    for (const line& l : system.lines) {
      const bool outside = std::ranges::any_of(
          l.segments, [](const segment& s) { return !s.bore_from_tube && is_common_outside_diameter(s.bore); });
      suspect += outside;
      if (outside && !first) first = &l;
    }
    if (first)
      out.push_back(
          fmt::format("{}: lines whose bore is a common outside diameter: {}, the first {}; if it is one, the line "
                      "loses far more: write the tube as outside diameter x wall",
                      system.name, suspect, first->point));
  }
  return out;
}

std::vector<std::string> conflicts_on(const fleet_limits& f, const route_pick& r) {
  std::vector<std::string> out;
  const temperature coldest = coldest_month(r).design;
  for (const std::size_t i : r.installations) {
    const installation& system = f.systems[i];
    const rule_conflicts found = conflicts_of(system, f.stock, coldest, f.thickeners);
    for (const contradiction& c : found.contradictions)
      out.push_back(fmt::format("{}: {} asks for {}, {} bans it: no grease serves both; grease one of them by hand",
                                system.name, system.lines[c.asks].point, c.what, system.lines[c.bans].point));
    if (found.take_off.empty()) continue;
    std::string points;
    for (const std::size_t l : found.take_off)
      points += fmt::format("{}{}", points.empty() ? "" : ", ", system.lines[l].point);
    out.push_back(fmt::format(
        "{}: no grease of the stock is shown to keep every point's rules at {}; {} keeps the most, if these come "
        "off the system and are greased by hand: {}",
        system.name, both_scales(coldest), f.stock[*found.grease].name(), points));
  }
  return out;
}

std::vector<std::string> gaps_of_record(const fleet_limits& f, const route_year& y) {
  std::vector<std::string> out;
  for (const leg_climate& l : y.weather.legs) {
    const auto& minima = l.climate->return_minimum;
    if (l.climate->by_design_values() || std::ranges::all_of(minima, [](const auto& m) { return m.has_value(); }))
      continue;
    out.push_back(fmt::format("{}: a month with fewer than 10 whole years on record shows no {:g}-year minimum",
                              l.station, f.policy.return_years));
  }
  return out;
}

std::vector<std::string> assumptions_on(const fleet_limits& f, const route_pick& r) {
  std::vector<std::string> out;
  const temperature coldest = coldest_month(r).design;
  const auto by_heat = [](const month_pick& m) { return std::max(m.design, m.hot); };
  const temperature hottest = by_heat(*std::ranges::max_element(r.months, {}, by_heat));
  for (const std::size_t i : r.installations) {
    const installation& system = f.systems[i];
    for (const std::string& text : assumptions_of(system)) out.push_back(system.name + ": " + text);
  }
  for (const std::size_t i : r.installations) {
    for (const std::string& note : rule_notes(f.systems[i], f.stock, coldest, hottest, f.thickeners))
      out.push_back(f.systems[i].name + ": " + note);
  }
  return out;
}

std::vector<std::string> notes_of_dates(const fleet_limits& f, const route_year& y, const route_pick& r) {
  std::vector<std::string> out;
  const choice& c = r.decided.served() || !r.if_purged ? r.decided : *r.if_purged;
  if (c.fills.size() < 2) return out;
  const season_options options{.risk = f.policy.risk, .starts = y.starts};
  for (const leg_climate& l : y.weather.legs) {
    const int seasons = whole_seasons(l.climate->series, options);
    switch (grade_of(seasons)) {
      case date_grade::none:
        out.push_back(fmt::format(
            "{}: no whole winter on record: its part of the dates stands on its typical days alone", l.station));
        break;
      case date_grade::too_few:
        out.push_back(
            fmt::format("{}: {} winters, fewer than {}: its part of the dates stands on the earliest and the "
                        "latest cold there was",
                        l.station, seasons, fewest_seasons));
        break;
      case date_grade::rough:
        out.push_back(fmt::format("{}: the dates stand on {} seasons, fewer than {}: they are rough", l.station,
                                  seasons, few_seasons));
        break;
      case date_grade::good: break;
    }
  }
  return out;
}

namespace {

/// Doses and intervals without which there are no kilograms; empty where none is missing.
std::string undosed(const installation& i) {
  if (!i.interval) return "no interval";
  const auto without = std::ranges::count_if(i.lines, [](const line& l) { return !l.dose; });
  return without > 0 ? fmt::format("no dose of {} of its {} points", without, i.lines.size()) : std::string();
}

std::string joined_names(std::span<const std::string> names) { return fmt::format("{}", fmt::join(names, ", ")); }

}  // namespace

std::vector<std::string> missing_on(const fleet_limits& f, const route_year& y, const route_pick& r) {
  std::vector<std::string> out = y.weather.missing;
  if (f.policy.prefer == preference::cheapest && r.decided.served() && !r.decided.money)
    out.emplace_back("no money is known here: not the cheapest, but what the other preference takes");
  if (r.decided.fills.size() < 2) return out;
  for (const std::size_t i : r.installations) {
    if (!reservoir_of(f.systems[i]) && r.decided.practice != change_practice::run_down)
      out.push_back(
          fmt::format("{}: no reservoir: what fills it at a change is in no kilogram and no money", f.systems[i].name));
  }
  return out;
}

std::vector<std::string> missing_of(const fleet_limits& f, std::span<const route> routes) {
  std::vector<std::string> out;
  for (const installation& i : f.systems) {
    const bool used = routes.empty() || std::ranges::any_of(routes, [&](const route& r) {
                        return std::ranges::find(r.installations, static_cast<std::size_t>(&i - f.systems.data())) !=
                               r.installations.end();
                      });
    if (const std::string what = undosed(i); used && !what.empty())
      out.push_back(fmt::format("{}: {}: no kilograms and no money for it, and old grease is taken to last {:g} days",
                                i.name, what, in_days(f.policy.carry_over)));
    if (const auto duty = assumed_duty_note(i.hours_per_day, i.days_per_week); used && duty && i.interval)
      out.push_back(fmt::format("{}: {}: kilograms, money and dates hang on it", i.name, *duty));
  }
  std::vector<std::string> unpriced, unpacked, oils, unclassed;
  for (const grease& g : f.stock) {
    if (!(g.soft_penetration() > 0.0)) unclassed.push_back(g.name());
    if ((g.known().price || g.known().pack_price) && !g.known().pack) unpacked.push_back(g.name());
    if (!g.known().price && !g.known().pack_price) unpriced.push_back(g.name());
    if (g.oil() != oil_knowledge::known && g.stiffer_oil()) oils.push_back(g.name());
  }
  if (!unpriced.empty()) out.push_back("no price of " + joined_names(unpriced) + ": no money where it is pumped");
  if (!f.policy.costs.changeover) out.push_back("no cost of a change-over: no money where fills change");
  if (!unpacked.empty())
    out.push_back("no pack of " + joined_names(unpacked) + ": paid by the kilogram; whole packs may cost more");
  if (!unclassed.empty())
    out.push_back("no class of " + joined_names(unclassed) +
                  ": taken for the softest on hot days, and behind every other in stiffness");
  if (!oils.empty())
    out.push_back("oil not known of " + joined_names(oils) +
                  ": judged with the spread of all oils that it may be, which makes no chance better");
  if (!f.policy.softest_in_heat)
    out.push_back(
        "no limit for summer (softest_in_heat): soft greases are cautioned on hot days, none is barred from them");
  std::vector<std::string> by_design;
  for (const route& r : routes) {
    if (std::ranges::any_of(r.legs, [](const leg& l) { return !l.design.empty(); })) by_design.push_back(r.name);
  }
  if (!by_design.empty())
    out.push_back(
        fmt::format("no weather of {}: judged by published design values; nothing is known of summer there, "
                    "and no limit for heat is applied",
                    joined_names(by_design)));
  std::size_t level = 0;
  for (const route& r : routes)
    level += static_cast<std::size_t>(std::ranges::count_if(r.legs, [](const leg& l) { return !l.elevation; }));
  if (level > 0)
    out.push_back(fmt::format("heights of {} leg{} (elevation, highest): judged as level with {} station", level,
                              level == 1 ? "" : "s", level == 1 ? "its" : "their"));
  return out;
}

std::vector<std::string> missing_of(const fleet_limits& limits, const fleet& f) {
  std::vector<std::string> out = f.left_out, more = missing_of(limits, f.routes);
  std::ranges::move(more, std::back_inserter(out));
  return out;
}

std::size_t nearest(const month_pick& m) {
  const auto rank = [](const grease_month& g) {
    const int allowed = g.excluded == exclusion::none ? 2 : is_not_shown(g.excluded) ? 1 : 0;
    return std::tuple(allowed, !g.below_oil_bound, g.chance.value_or(-1.0));
  };
  const auto best = std::ranges::max_element(m.greases, {}, rank);
  return static_cast<std::size_t>(best - m.greases.begin());
}

namespace {

/// Why no change of a line helps the nearest grease; nothing where one may.
std::optional<std::string> beyond_lines(const fleet_limits& f, const grease_month& near) {
  const grease& g = f.stock[near.grease];
  if (near.excluded != exclusion::none && !is_not_shown(near.excluded))
    return "the systems of this route, the rules of their points or the owner exclude every grease of the stock";
  if (!g.has_model()) return "no grease of the stock is of a class that these systems pump";
  if (near.missing == missing_datum::yield)
    return "the points of the nearest grease leave its yield stress open: points at lower rates would show whether "
           "meters recharge";
  if (near.missing == missing_datum::reset)
    return "enter the reset pressure of the meters: without it no grease can be shown to pass";
  if (near.unfed)
    return fmt::format(
        "{}: the pump is not fed in the coldest month: a paddle, a follower plate or a heated reservoir would help, no "
        "change of a line",
        f.systems[*near.unfed].name);
  return std::nullopt;
}

/// True if a asks a lower stress at the wall of its supplier than b.
bool harder(const remedy& a, const remedy& b) {
  const auto stress = [](const remedy& r) {
    return r.ask_supplier ? in_pascal_second(r.ask_supplier->apparent_max) * in_per_second(r.ask_supplier->rate)
                          : INFINITY;
  };
  return stress(a) < stress(b);
}

/// What the record of the nearest grease leaves out, if its cold bound or its chance is that of an oil nobody stated.
std::string unstated(const grease& g) {
  const evidence& e = g.known();
  std::vector<std::string> left_out;
  if (g.oil() != oil_knowledge::known) left_out.emplace_back("the viscosities of its oil");
  if (!e.pour) left_out.emplace_back("its pour point");
  return fmt::format("{}", fmt::join(left_out, " and "));
}

/// What would help each line that the nearest grease leaves dry in the month that none serves.
void add_line_remedies(const fleet_limits& f, const route_pick& r, const month_pick& stuck, const grease_month& near,
                       help& into) {
  // Where the oil gives out no line helps: one demand on the grease stands for all lines, the hardest of them.
  const bool colder_oil = near.below_oil_bound || !near.chance;
  for (const std::size_t i : r.installations) {
    const installation& system = f.systems[i];
    const conditions c = conditions_of(system, stuck.design, f.policy.confidence);
    for (std::size_t l = 0; l < system.lines.size(); ++l) {
      const line_answer a = check(system.lines[l], f.stock[near.grease], c);
      if (a.verdict == verdict::flows) continue;
      if (a.outlet + a.divider_loss >= a.available) {
        into.notes.push_back(fmt::format("{} ({}) asks for as much pressure as there is: no grease and no tube helps",
                                         system.lines[l].point, system.name));
        continue;
      }
      remedy& fix = into.remedies.emplace_back();
      fix.month = stuck.month;
      fix.at = stuck.design;
      fix.grease = near.grease;
      fix.point = {i, l};
      fix.ask_supplier = a.ask_supplier;
      fix.colder_oil = colder_oil;
      if (colder_oil) continue;
      fix.bore = a.smallest_bore;
      fix.length = a.longest;
      fix.outlet = a.largest_outlet;
    }
  }
  if (colder_oil && !into.remedies.empty()) into.remedies = {*std::ranges::min_element(into.remedies, harder)};
}

/// Why no sequence passes although each month has a grease.
std::string why_no_sequence(const fleet_limits& f, const route_pick& r) {
  if (r.by_design_values) return "no one grease passes the whole year, and design values tell no seasons";
  if (f.policy.fills < 2) return "one fill a year is allowed and no one grease passes every day: allow two";
  if (r.if_purged)
    return "every month has a grease, but the old one stands in the lines too long: purge the lines at each change "
           "(at_change), and there is an answer";
  return "every month has a grease, but no sequence of fills leaves each enough days to reach its last point and to be "
         "used up: more fills a year, shorter lines or larger doses would help";
}

}  // namespace

help help_on(const fleet_limits& f, const route_pick& r) {
  help found;
  const month_pick* stuck = nullptr;
  for (const month_pick& m : r.months) {
    if (std::ranges::none_of(m.greases, passes) && (!stuck || m.design < stuck->design)) stuck = &m;
  }
  if (!stuck) {
    found.notes.push_back(why_no_sequence(f, r));
    return found;
  }
  const grease_month& near = stuck->greases[nearest(*stuck)];
  if (is_not_shown(near.excluded)) {
    found.notes.push_back(
        fmt::format("no grease is shown to keep the limits of the systems, of their points and of the owner: state "
                    "what the record of {}, the nearest, leaves out",
                    f.stock[near.grease].name()));
    if (near.verdict == verdict::flows) return found;
  }
  if (const std::string left_out = unstated(f.stock[near.grease]); !left_out.empty())
    found.notes.push_back(
        fmt::format("first of all state {} of {}, the nearest: without it the grease is judged as if "
                    "it were the worst that it may be",
                    left_out, f.stock[near.grease].name()));
  if (auto why = beyond_lines(f, near)) {
    found.notes.push_back(std::move(*why));
  } else {
    add_line_remedies(f, r, *stuck, near, found);
  }
  return found;
}

}  // namespace coldgrease::inline v0::detail
