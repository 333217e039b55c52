#include "coldgrease/line/installation_check.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

namespace {

void warn(const installation& i, const grease& g, const installation_answer& a, std::vector<std::string>& warnings) {
  warnings = warnings_of(i);
  switch (breach_of_caps(i, g)) {
    case cap_breach::stiffer:
      warnings.push_back(fmt::format("NLGI {} is stiffer than the maker allows, {}", g.nlgi(), i.stiffest));
      break;
    case cap_breach::class_unknown:
      warnings.push_back(fmt::format(
          "the maker allows nothing stiffer than NLGI {}, the class of this grease is not known", i.stiffest));
      break;
    case cap_breach::too_much_solid:
      warnings.push_back(fmt::format("{:g} % of solids, the maker allows {:g} %", 100.0 * solids_of(g.known()),
                                     100.0 * *i.solids_max));
      break;
    case cap_breach::none: break;
  }
  if (a.feed && a.feed->coldest && a.feed->temperature < *a.feed->coldest)
    warnings.push_back(fmt::format("the pump is not fed this cold: {} feeds this grease down to {} (judgement)",
                                   name_of(i.feed->kind), both_scales(*a.feed->coldest)));
  if (i.interval && a.shortest_pause && *i.interval < *a.shortest_pause)
    warnings.push_back(fmt::format("a cycle every {:.0f} min is shorter than the {:.1f} min that one takes",
                                   in_second(*i.interval) / 60.0, in_second(*a.shortest_pause) / 60.0));
}

/// What every line says is said once.
template <class Texts>
void move_common(std::vector<point_answer>& points, Texts line_answer::*texts, std::vector<std::string>& common) {
  if (points.empty()) return;
  for (const std::string& text : points.front().check.*texts) {
    const bool everywhere = std::ranges::all_of(points, [&](const point_answer& p) {
      return std::ranges::find(p.check.*texts, text) != (p.check.*texts).end();
    });
    if (everywhere && std::ranges::find(common, text) == common.end()) common.push_back(text);
  }
  for (point_answer& p : points)
    std::erase_if(p.check.*texts, [&](const std::string& t) { return std::ranges::find(common, t) != common.end(); });
}

}  // namespace

installation_answer check(const installation& given, const grease& g, temperature at, double confidence) {
  installation i = given;
  join_mains(i);
  if (i.lines.empty()) throw input_error(i.name, "has no lines", "one or more");
  installation_answer a;
  a.temperature = at;
  a.available = available_pressure(i);
  const conditions c = conditions_of(i, at, confidence);
  for (std::size_t l = 0; l < i.lines.size(); ++l) {
    point_answer p{.line = l, .check = check(i.lines[l], g, c)};
    if (i.lines[l].bearing) p.film_need = film_need(*i.lines[l].bearing, hours_in_service(duty_of(i)));
    p.breaches = breaches(i.lines[l].rules, g, at);
    // The installation names them first of all, with the lines they hold for.
    for (const std::string& text : detail::rating_warnings(i.lines[l], c.available)) std::erase(p.check.warnings, text);
    a.points.push_back(std::move(p));
  }
  // Worst first: by verdict, then by chance, then by the cold it stands, then by how much of what is available is
  // needed.
  std::ranges::stable_sort(a.points, [](const point_answer& x, const point_answer& y) {
    if (x.check.verdict != y.check.verdict) return x.check.verdict > y.check.verdict;
    if (x.check.chance != y.check.chance) return x.check.chance < y.check.chance;
    if (x.check.coldest != y.check.coldest)
      return !x.check.coldest || (y.check.coldest && *x.check.coldest > *y.check.coldest);
    const auto part = [](const line_answer& l) {
      return in_pascal(l.needed.value_or(pascal(0))) / in_pascal(l.available);
    };
    return part(x.check) > part(y.check);
  });
  a.verdict = a.points.front().check.verdict;
  if (i.feed) {
    a.feed = feeding(*i.feed, g, at, confidence);
    a.verdict = std::max(a.verdict, judge(a.feed->chance, confidence, a.feed->below_oil_bound));
  }
  a.cycles_a_day = cycles_a_day(i);
  a.daily = daily_volume(i);
  const density heavy = kg_per_m3(g.kernel().density15);
  a.reservoir = reservoir_time(i, heavy);
  a.holds = reservoir_of(i, heavy);
  if (a.holds) a.reservoir_mass = *a.holds * heavy;
  a.level = level_in_a_week(i, a.points.front().line, heavy);
  a.shortest_pause = shortest_pause(i, g, at);
  warn(i, g, a, a.warnings);
  move_common(a.points, &line_answer::warnings, a.warnings);
  move_common(a.points, &line_answer::notes, a.notes);
  if (i.reservoir_mass && !i.reservoir && !g.known().density)
    a.notes.push_back(
        fmt::format("the reservoir is given by mass, the density of the grease is not: {:g} kg/m3 is assumed; a denser "
                    "grease lasts "
                    "fewer days",
                    in_kg_per_m3(heavy)));
  const bool counts_days =
      a.cycles_a_day || std::ranges::any_of(a.points, [](const point_answer& p) { return p.check.asked.has_value(); });
  if (counts_days) {
    if (auto assumed = assumed_duty_note(i.hours_per_day, i.days_per_week)) a.notes.push_back(std::move(*assumed));
  }
  return a;
}

rule_conflicts conflicts_of(const installation& i, std::span<const grease> stock, temperature at) {
  rule_conflicts found;
  for (std::size_t a = 0; a < i.lines.size(); ++a) {
    for (std::size_t b = 0; b < i.lines.size(); ++b) {
      const point_rules& asks = i.lines[a].rules;
      const point_rules& bans = i.lines[b].rules;
      for (const std::string& what : asks.required_solids) {
        if (std::ranges::any_of(bans.banned_solids,
                                [&](const std::string& s) { return s == "any" || same_substance(s, what); }))
          found.contradictions.push_back({a, b, what});
      }
    }
  }
  for (std::size_t g = 0; g < stock.size(); ++g) {
    std::vector<std::size_t> against;
    for (std::size_t l = 0; l < i.lines.size(); ++l) {
      if (!breaches(i.lines[l].rules, stock[g], at).empty()) against.push_back(l);
    }
    if (found.grease && against.size() >= found.take_off.size()) continue;
    found.grease = g;
    found.take_off = std::move(against);
  }
  return found;
}

}  // namespace coldgrease::inline v0
