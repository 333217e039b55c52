// What is said beside a route's pick: warnings, conflicts, evidence, and what would help.
#include "plan/route_job.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"
#include "coldgrease/line/worth.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// What would narrow the answer about a grease most: on the coldest day on which it is shown, else of the year, at its
/// worst line there; a gauge can be read in the three months before.
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

}  // namespace

std::vector<std::string> route_job::evidence_of(std::span<const std::size_t> greases, const route_pick& r) const {
  std::vector<std::string> out;
  for (const std::size_t g : greases) {
    out.push_back(fmt::format("{} stands on {}", stock_[g].name(), stock_[g].stands_on()));
    for (const used_datum& d : stock_[g].data())
      out.push_back(fmt::format("{}: {}", stock_[g].name(), words_of_datum(d)));
    if (const auto most = worth_on(r, g, stock_[g], installations_, policy_.confidence))
      out.push_back(fmt::format("{}: worth most would be {}", stock_[g].name(), words_of_worth(*most)));
    for (const std::string& note : stock_[g].notes()) out.push_back(fmt::format("{}: {}", stock_[g].name(), note));
  }
  return out;
}

void route_job::add_warnings(route_pick& r) const {
  for (const std::size_t i : r.installations) {
    const installation& system = installations_[i];
    for (const std::string& warning : warnings_of(system)) r.warnings.push_back(system.name + ": " + warning);
    std::size_t suspect = 0;
    const line* first = nullptr;
    for (const line& l : system.lines) {
      bool outside = false;
      for (const segment& s : l.segments) {
        outside = outside || (!s.bore_from_tube && is_common_outside_diameter(s.bore));
      }
      suspect += outside;
      if (outside && !first) first = &l;
    }
    if (first)
      r.warnings.push_back(
          fmt::format("{}: lines whose bore is a common outside diameter: {}, the first {}; if it is one, the line "
                      "loses far more: write the tube as outside diameter x wall",
                      system.name, suspect, first->point));
  }
}

void route_job::add_conflicts(route_pick& r) const {
  for (const std::size_t i : r.installations) {
    const installation& system = installations_[i];
    const temperature coldest = std::ranges::min(r.months, {}, [](const month_pick& m) { return m.design; }).design;
    const rule_conflicts found = conflicts_of(system, stock_, coldest, thickeners_);
    for (const contradiction& c : found.contradictions)
      r.notes.push_back(fmt::format("{}: {} asks for {}, {} bans it: no grease serves both; grease one of them by hand",
                                    system.name, system.lines[c.asks].point, c.what, system.lines[c.bans].point));
    if (found.take_off.empty()) continue;
    std::string points;
    for (const std::size_t l : found.take_off)
      points += fmt::format("{}{}", points.empty() ? "" : ", ", system.lines[l].point);
    r.notes.push_back(fmt::format(
        "{}: no grease of the stock is shown to keep every point's rules at {}; {} keeps the most, if these come "
        "off the system and are greased by hand: {}",
        system.name, both_scales(coldest), stock_[*found.grease].name(), points));
  }
}

void route_job::add_gaps_of_record(route_pick& r, std::span<const leg_climate> legs) const {
  for (const leg_climate& l : legs) {
    const auto& months = l.climate->months;
    if (!l.has_hours() ||
        std::ranges::all_of(months, [](const month_climate& m) { return m.return_minimum.has_value(); }))
      continue;
    r.notes.push_back(fmt::format("{}: a month with fewer than 10 whole years on record shows no {:g}-year minimum",
                                  l.station, policy_.return_years));
  }
}

void route_job::add_assumptions(route_pick& r) const {
  for (const std::size_t i : r.installations) {
    for (const std::string& text : assumptions_of(installations_[i]))
      r.notes.push_back(installations_[i].name + ": " + text);
    const installation& system = installations_[i];
    const auto duty_note = assumed_duty_note(system.hours_per_day, system.days_per_week);
    if (duty_note && system.interval) r.notes.push_back(fmt::format("{}: {}", system.name, *duty_note));
  }
  const auto by_design = [](const month_pick& m) { return m.design; };
  const auto by_heat = [](const month_pick& m) { return std::max(m.design, m.hot); };
  const temperature coldest = by_design(*std::ranges::min_element(r.months, {}, by_design)),
                    hottest = by_heat(*std::ranges::max_element(r.months, {}, by_heat));
  for (const std::size_t i : r.installations) {
    for (const std::string& note : rule_notes(installations_[i], stock_, coldest, hottest, thickeners_))
      r.notes.push_back(installations_[i].name + ": " + note);
  }
  std::vector<std::size_t> shown;
  for (const month_pick& m : r.months) {
    if (std::ranges::find(shown, m.shown) == shown.end()) shown.push_back(m.shown);
  }
  r.evidence = evidence_of(shown, r);
}

std::optional<std::string> route_job::beyond_lines(const grease_month& near) const {
  const grease& g = stock_[near.grease];
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
        installations_[*near.unfed].name);
  return std::nullopt;
}

void route_job::add_line_remedies(const month_pick& stuck, const grease_month& near, route_pick& r) const {
  // Where the oil gives out no line helps: one demand on the grease stands for all lines, the hardest of them.
  const bool colder_oil = near.below_oil_bound || !near.chance;
  for (const std::size_t i : r.installations) {
    const installation& system = installations_[i];
    const conditions c = conditions_of(system, stuck.design, policy_.confidence);
    for (std::size_t l = 0; l < system.lines.size(); ++l) {
      const line_answer a = check(system.lines[l], stock_[near.grease], c);
      if (a.verdict == verdict::flows) continue;
      if (a.outlet + a.divider_loss >= a.available) {
        r.notes.push_back(fmt::format("{} ({}) asks for as much pressure as there is: no grease and no tube helps",
                                      system.lines[l].point, system.name));
        continue;
      }
      remedy& fix = r.would_help.emplace_back();
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
  if (colder_oil && !r.would_help.empty()) r.would_help = {*std::ranges::min_element(r.would_help, harder)};
}

void route_job::add_remedies(route_pick& r) const {
  const month_pick* stuck = nullptr;
  for (const month_pick& m : r.months) {
    if (std::ranges::none_of(m.greases, passes) && (!stuck || m.design < stuck->design)) stuck = &m;
  }
  if (!stuck) {
    r.notes.push_back(policy_.seasons < 2
                          ? "one fill a year is allowed and no one grease passes every month: allow two"
                          : "every month has a grease, but no fill lasts from one to the next: shorten the carry-over "
                            "or fill more often");
    return;
  }
  const grease_month& near = stuck->greases[nearest(*stuck)];
  if (is_not_shown(near.excluded)) {
    r.notes.push_back(
        fmt::format("no grease is shown to keep the limits of the systems, of their points and of the owner: state "
                    "what the record of {}, the nearest, leaves out",
                    stock_[near.grease].name()));
    if (near.verdict == verdict::flows) return;
  }
  if (auto why = beyond_lines(near)) {
    r.notes.push_back(std::move(*why));
  } else {
    add_line_remedies(*stuck, near, r);
  }
}

bool route_job::harder(const remedy& a, const remedy& b) {
  const auto stress = [](const remedy& r) {
    return r.ask_supplier ? in_pascal_second(r.ask_supplier->apparent_max) * in_per_second(r.ask_supplier->rate)
                          : INFINITY;
  };
  return stress(a) < stress(b);
}

}  // namespace coldgrease::inline v0::detail
