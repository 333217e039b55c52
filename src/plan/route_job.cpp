// Months judged, fills chosen.
#include "plan/route_job.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"

namespace coldgrease::inline v0::detail {

route_job::route_job(std::span<const installation> installations, std::span<const grease> stock, const policy& p,
                     std::span<const published_rule> rules)
    : installations_(installations.begin(), installations.end()),
      stock_(stock),
      policy_(p),
      rules_(rules),
      thickeners_(thickeners_for(installations)) {
  validate(p);
  if (stock.empty()) throw input_error("greases", "none is given", "one or more");
  if (installations.empty()) throw input_error("installations", "none is given", "one or more");
  for (installation& i : installations_) {
    join_mains(i);
    if (i.lines.empty()) throw input_error(i.name, "has no lines", "one or more");
    for (const line& l : i.lines) validate(l);
    validate(conditions_of(i, celsius(0), p.confidence));
  }
  limits_.resize(installations.size());
}

route_pick route_job::route(std::string name, std::string region, std::span<const leg_climate> legs,
                            std::vector<std::size_t> used) {
  route_pick r{.route = std::move(name), .region = std::move(region), .installations = std::move(used)};
  r.carry_over = second(0);
  for (const std::size_t i : r.installations)
    r.carry_over = std::max(r.carry_over, carry_over(installations_[i], policy_.carry_over));
  for (int month = 1; month <= 12; ++month) r.months[static_cast<std::size_t>(month - 1)] = judge_month(month, legs, r);
  choose(r);
  mark_shown(r);
  add_time_below(r, legs);
  if (r.seasons.empty()) add_remedies(r);
  add_warnings(r);
  add_conflicts(r);
  add_gaps_of_record(r, legs);
  add_assumptions(r);
  return r;
}

std::optional<temperature> route_job::coldest_of(std::size_t g, const route_pick& r) {
  std::optional<temperature> worst;
  for (const std::size_t i : r.installations) {
    const auto& own = limits_of(i)[g].coldest;
    if (!own) return std::nullopt;
    worst = worst ? std::max(*worst, *own) : *own;
  }
  return worst;
}

bool route_job::before(std::size_t a, std::size_t b) const {
  const grease& x = stock_[a];
  const grease& y = stock_[b];
  if (softness(x) != softness(y)) return softness(x) < softness(y);
  const double px = price_of(x), py = price_of(y);
  return px != py ? px < py : x.name() < y.name();
}

int route_job::months_judged(const route_pick& r, int length) {
  constexpr double days_a_month = 365.2425 / 12.0;
  return std::min(12, length + static_cast<int>(std::ceil(in_days(r.carry_over) / days_a_month - 1e-9)));
}

const std::vector<grease_limit>& route_job::limits_of(std::size_t i) {
  if (limits_[i].empty()) {
    for (const grease& g : stock_) limits_[i].push_back(limit(installations_[i], g));
  }
  return limits_[i];
}

grease_limit route_job::limit(const installation& i, const grease& g) const {
  return {.coldest = coldest_passing(i, g, policy_.confidence), .excluded = exclusion_of(breach_of_caps(i, g))};
}

void route_job::add_breach(const point_index& point, const grease& g, temperature coldest, temperature hot,
                           grease_month& into) const {
  const point_rules& rules = installations_[point.installation].lines[point.line].rules;
  const std::vector<breach> broken = breaches(rules, g, coldest, hot, thickeners_);
  if (broken.empty()) return;
  const exclusion by = exclusion_of(broken.front().kind);
  if (!goes_before(by, into.excluded)) return;
  into.excluded = by;
  into.excluded_by = point;
  into.broken_rule = broken.front().words;
}

grease_month route_job::judge_grease(std::size_t g, temperature at, temperature hot, const route_pick& r) {
  grease_month worst{.grease = g, .verdict = verdict::flows};
  bool limited = true;
  std::optional<double> smallest = 1.0;
  std::optional<judged_part> decider;
  for (const std::size_t i : r.installations) {
    const installation& system = installations_[i];
    const grease_limit& known = limits_of(i)[g];
    if (goes_before(known.excluded, worst.excluded)) worst.excluded = known.excluded;
    limited = limited && known.coldest;
    if (known.coldest && (!worst.coldest || *known.coldest > *worst.coldest)) worst.coldest = known.coldest;
    for (std::size_t l = 0; l < system.lines.size() && goes_before(exclusion::point_rule, worst.excluded); ++l)
      add_breach({i, l}, stock_[g], at, hot, worst);
    const installation_outcome o = outcome_of(system, stock_[g], at, policy_.confidence);
    worst.below_oil_bound = worst.below_oil_bound || o.below_oil_bound;
    smallest = smallest && o.chance ? std::optional(std::min(*smallest, *o.chance)) : std::nullopt;
    if (!decides({o.verdict, o.chance}, decider)) continue;
    decider = {o.verdict, o.chance};
    worst.verdict = o.verdict;
    worst.missing = o.missing;
    worst.stays = o.stays;
    worst.unfed = o.line ? std::nullopt : std::optional(i);
    if (!o.line) continue;
    worst.available = o.available;
    worst.worst = {i, *o.line};
  }
  if (!worst.unfed)
    worst.needed = needed_pressure(installations_[worst.worst.installation].lines[worst.worst.line], stock_[g],
                                   conditions_of(installations_[worst.worst.installation], at, policy_.confidence));
  worst.chance = smallest;
  if (!limited) worst.coldest.reset();
  return worst;
}

month_pick route_job::judge_month(int month, std::span<const leg_climate> legs, const route_pick& r) {
  month_pick m{.month = month};
  bool first = true;
  for (const leg_climate& l : legs) {
    const month_climate& c = l.climate->months[static_cast<std::size_t>(month - 1)];
    const temperature design = c.cold + l.shift;
    if (first || c.hot > m.hot) m.hot = c.hot;
    if (first || design < m.design) {
      m.design = design;
      m.governing_station = l.station;
      m.return_minimum = c.return_minimum ? std::optional(*c.return_minimum + l.shift) : std::nullopt;
    }
    first = false;
  }
  for (std::size_t g = 0; g < stock_.size(); ++g) {
    m.greases.push_back(judge_grease(g, m.design, std::max(m.design, m.hot), r));
    grease_month& judged = m.greases.back();
    if (const exclusion heat = barred_by_heat(stock_[g], m.hot); goes_before(heat, judged.excluded))
      judged.excluded = heat;
  }
  for (const std::size_t i : r.installations) {
    for (rule_answer& a : rules_at(rules_, m.design, name_of(installations_[i].type))) {
      const auto same = [&](const rule_answer& known) { return known.rule == a.rule && known.says == a.says; };
      if (std::ranges::none_of(m.published_rules, same)) m.published_rules.push_back(std::move(a));
    }
  }
  return m;
}

exclusion route_job::barred_by_heat(const grease& g, temperature hot) const {
  const auto& limit = policy_.softest_in_heat;
  if (!limit || !(hot > limit->above)) return exclusion::none;
  if (!(g.soft_penetration() > 0.0)) return exclusion::class_unknown;
  return g.soft_penetration() > nlgi_classes[parse_nlgi(limit->nlgi, "softest_in_heat").soft].upper
             ? exclusion::too_soft_for_heat
             : exclusion::none;
}

std::optional<fill> route_job::try_fill(const route_pick& r, std::size_t g, int from, int length) const {
  const int judged = months_judged(r, length);
  fill f{.from_month = from, .to_month = (from + length - 2) % 12 + 1, .grease = g, .chance = 1.0};
  for (int step = 0; step < judged; ++step) {
    const month_pick& m = r.months[static_cast<std::size_t>((from - 1 + step) % 12)];
    const grease_month& gm = m.greases[g];
    if (!passes(gm)) return std::nullopt;
    f.chance = std::min(f.chance, *gm.chance);
    if (is_soft(stock_[g]) && m.hot > hot_caution()) f.hot_months.push_back(m.month);
  }
  std::ranges::sort(f.hot_months);
  return f;
}

std::optional<fill> route_job::best_fill(const route_pick& r, int from, int length) const {
  std::optional<fill> best;
  for (std::size_t g = 0; g < stock_.size(); ++g) {
    if (best && !before(g, best->grease)) continue;
    if (auto f = try_fill(r, g, from, length)) best = std::move(f);
  }
  return best;
}

int route_job::class_of(const grease& g) {
  constexpr double stiffest_middle = 235.0, apart = 45.0;  // NLGI 3; middles of neighbours
  return static_cast<int>(std::lround((softness(g) - stiffest_middle) / apart));
}

route_job::score route_job::score_of(std::span<const fill> fills) const {
  score s;
  for (const fill& f : fills) {
    const double months = months_pumped(f);
    s.penetration += months / 12.0 * softness(stock_[f.grease]);
    s.price += months / 12.0 * price_of(stock_[f.grease]);
    s.names += stock_[f.grease].name() + '\n';
  }
  return s;
}

void route_job::choose(route_pick& r) const {
  r.year = best_fill(r, 1, 12);
  if (r.year) r.seasons = {*r.year};
  if (policy_.seasons < 2) return;
  std::optional<score> best;
  for (int from = 1; from <= 12; ++from) {
    for (int length = 1; length < 12; ++length) {
      const auto first = best_fill(r, from, length);
      if (!first) continue;
      const auto second = best_fill(r, (from - 1 + length) % 12 + 1, 12 - length);
      // Each split is met twice, from either season: taken is the one that begins with the softer grease, the cold
      // one.
      if (!second || softness(stock_[first->grease]) <= softness(stock_[second->grease])) continue;
      std::vector<fill> fills{*first, *second};
      score s = score_of(fills);
      // A second fill must be worth its change-over: a whole class stiffer than the one grease of the year.
      if (r.year && (s.penetration >= softness(stock_[r.year->grease]) ||
                     class_of(stock_[second->grease]) >= class_of(stock_[r.year->grease])))
        continue;
      if (!best || s < *best) {
        best = std::move(s);
        r.seasons = std::move(fills);
      }
    }
  }
}

void route_job::mark_shown(route_pick& r) const {
  for (month_pick& m : r.months) {
    if (r.year) {
      m.picked = true;
      m.shown = r.year->grease;
      continue;
    }
    const auto season =
        std::ranges::find_if(r.seasons, [&](const fill& f) { return within(f, months_pumped(f), m.month); });
    m.picked = season != r.seasons.end();
    m.shown = m.picked ? season->grease : nearest(m);
  }
}

std::size_t route_job::nearest(const month_pick& m) {
  const auto rank = [](const grease_month& g) {
    const int allowed = g.excluded == exclusion::none ? 2 : is_not_shown(g.excluded) ? 1 : 0;
    return std::tuple(allowed, !g.below_oil_bound, g.chance.value_or(-1.0));
  };
  const auto best = std::ranges::max_element(m.greases, {}, rank);
  return static_cast<std::size_t>(best - m.greases.begin());
}

std::optional<temperature> route_job::limit_in(const route_pick& r, const month_pick& m) const {
  auto limit = m.greases[m.shown].coldest;
  if (r.year) return limit;
  for (const fill& f : r.seasons) {
    if (!within(f, months_judged(r, months_pumped(f)), m.month)) continue;
    const auto& coldest = m.greases[f.grease].coldest;
    if (!coldest || !limit) return std::nullopt;
    limit = std::max(*limit, *coldest);
  }
  return limit;
}

void route_job::add_time_below(route_pick& r, std::span<const leg_climate> legs) const {
  std::array<std::optional<temperature>, 12> limits;
  for (std::size_t m = 0; m < 12; ++m) limits[m] = limit_in(r, r.months[m]);
  for (const leg_climate& l : legs) {
    if (!l.has_hours()) continue;
    std::vector<temperature> at_station;
    for (const auto& limit : limits) at_station.push_back(limit ? *limit - l.shift : kelvin(0.0));
    const auto below = below_by_month(l.climate->series, std::span<const temperature, 12>(at_station));
    for (std::size_t m = 0; m < 12; ++m) {
      if (!limits[m]) continue;
      month_pick& month = r.months[m];
      month.hours_below = std::max(month.hours_below.value_or(0.0), below[m].hours_a_year);
      month.longest_spell = std::max(month.longest_spell.value_or(0), below[m].longest.hours);
    }
  }
}

}  // namespace coldgrease::inline v0::detail
