// One route judged month by month, and the walk over a fleet's routes: shared by pick and plan.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/format.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"
#include "coldgrease/plan/pick.hpp"

namespace coldgrease::detail {

inline constexpr double lapse = 6.5e-3;          // [K/m], ISO 2533; upward only: a valley may be colder than its pass
inline constexpr double soft_penetration = 355;  // NLGI 0 and softer

/// A leg with its weather and what the road's height adds.
struct leg_climate {
  std::string station;
  const monthly_climate* climate;
  temperature_step shift;
  std::optional<double> hours{};  // a trip spends on it

  /// False where published design values stand for the weather.
  bool has_hours() const {
    const auto* year = std::get_if<typical_year>(&climate->series);
    return !year || !year->hours.empty();
  }
};

/// What does not depend on the weather: solved once for each grease and installation.
struct grease_limit {
  std::optional<temperature> coldest;  // of the line that gives out first
  exclusion excluded = exclusion::none;
};

class route_job {
 public:
  route_job(std::span<const installation> installations, std::span<const grease> stock, const policy& p,
            std::span<const published_rule> rules)
      : installations_(installations.begin(), installations.end()), stock_(stock), policy_(p), rules_(rules) {
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

  route_pick route(std::string name, std::string region, std::span<const leg_climate> legs,
                   std::vector<std::size_t> used) {
    route_pick r{.route = std::move(name), .region = std::move(region), .installations = std::move(used)};
    r.carry_over = second(0);
    for (const std::size_t i : r.installations)
      r.carry_over = std::max(r.carry_over, carry_over(installations_[i], policy_.carry_over));
    for (int month = 1; month <= 12; ++month)
      r.months[static_cast<std::size_t>(month - 1)] = judge_month(month, legs, r);
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

  /// Its installations, mains joined.
  const std::vector<installation>& installations() const { return installations_; }
  /// One grease at an air temperature: as in a month of this route.
  grease_month in_air(std::size_t g, temperature at, const route_pick& r) { return judge_grease(g, at, r); }
  /// Air temperature down to which a grease passes everywhere on a route; nothing if somewhere at none.
  std::optional<temperature> coldest_of(std::size_t g, const route_pick& r) {
    std::optional<temperature> worst;
    for (const std::size_t i : r.installations) {
      const auto& own = limits_of(i)[g].coldest;
      if (!own) return std::nullopt;
      worst = worst ? std::max(*worst, *own) : *own;
    }
    return worst;
  }
  /// What greases stand on, what would narrow it, and what is assumed of them.
  std::vector<std::string> evidence_of(std::span<const std::size_t> greases) const {
    std::vector<std::string> out;
    for (const std::size_t g : greases) {
      out.push_back(fmt::format("{} stands on {}{}{}", stock_[g].name(), stock_[g].stands_on(),
                                stock_[g].wanted().empty() ? "" : "; would narrow it: ", stock_[g].wanted()));
      for (const std::string& note : stock_[g].notes()) out.push_back(fmt::format("{}: {}", stock_[g].name(), note));
    }
    return out;
  }
  static bool passes(const grease_month& g) { return g.verdict == verdict::flows && g.excluded == exclusion::none; }
  static bool is_soft(const grease& g) { return g.soft_penetration() >= soft_penetration; }
  /// In how many months a fill pumped in `length` months stands in the lines.
  static int months_judged(const route_pick& r, int length) {
    constexpr double days_a_month = 365.2425 / 12.0;
    return std::min(12, length + static_cast<int>(std::ceil(in_days(r.carry_over) / days_a_month - 1e-9)));
  }

 private:
  const std::vector<grease_limit>& limits_of(std::size_t i) {
    if (limits_[i].empty()) {
      for (const grease& g : stock_) limits_[i].push_back(limit(installations_[i], g));
    }
    return limits_[i];
  }

  grease_limit limit(const installation& i, const grease& g) const {
    grease_limit found;
    const conditions c = conditions_of(i, celsius(0), policy_.confidence);
    bool all = true;
    for (const line& l : i.lines) {
      const auto t = coldest_passing(l, g, c);
      all = all && t;
      if (t && (!found.coldest || *t > *found.coldest)) found.coldest = t;
    }
    if (!all) found.coldest.reset();
    if (i.feed && found.coldest) {
      const auto fed = coldest_air(*i.feed, feeding(*i.feed, g, celsius(0), policy_.confidence));
      found.coldest = fed ? std::optional(std::max(*found.coldest, *fed)) : std::nullopt;
    }
    double solids = 0.0;
    for (const solid& s : g.known().solids) solids += s.share;
    if (!i.stiffest.empty() && g.stiff_penetration() > 0.0 &&
        g.stiff_penetration() < nlgi_classes[parse_nlgi(i.stiffest, "stiffest").stiff].lower) {
      found.excluded = exclusion::stiffer_than_allowed;
    } else if (i.solids_max && solids > *i.solids_max) {
      found.excluded = exclusion::too_much_solid;
    }
    return found;
  }

  /// The worst line of a route's installations decides, or the worst inlet; and what a system, a point's maker or the
  /// owner excludes.
  grease_month judge_grease(std::size_t g, temperature at, const route_pick& r) {
    grease_month worst{.grease = g};
    bool first = true;
    bool limited = true;
    std::optional<double> smallest = 1.0;
    const auto take = [&](std::optional<double> chance, verdict v) {
      smallest = smallest && chance ? std::optional(std::min(*smallest, *chance)) : std::nullopt;
      // A line below its oil's bound may have the better chance and the worse verdict: the verdict goes first.
      const bool worse = first || (v != worst.verdict ? v > worst.verdict : chance < worst.chance);
      first = false;
      if (!worse) return false;
      worst.chance = chance;
      worst.verdict = v;
      return true;
    };
    for (const std::size_t i : r.installations) {
      const installation& system = installations_[i];
      const grease_limit& known = limits_of(i)[g];
      if (worst.excluded == exclusion::none) worst.excluded = known.excluded;
      limited = limited && known.coldest;
      if (known.coldest && (!worst.coldest || *known.coldest > *worst.coldest)) worst.coldest = known.coldest;
      const conditions c = conditions_of(system, at, policy_.confidence);
      for (std::size_t l = 0; l < system.lines.size(); ++l) {
        if (worst.excluded == exclusion::none) {
          const auto broken = breaches(system.lines[l].rules, stock_[g], at);
          if (!broken.empty()) {
            worst.excluded = exclusion::point_rule;
            worst.excluded_by = {i, l};
            worst.broken_rule = broken.front();
          }
        }
        const outcome o = outcome_of(system.lines[l], stock_[g], c);
        worst.below_oil_bound = worst.below_oil_bound || o.below_oil_bound;
        worst.reset_missing = worst.reset_missing || o.reset_missing;
        if (!take(o.chance, o.verdict)) continue;
        worst.needed = o.needed;
        worst.available = o.available;
        worst.worst = {i, l};
        worst.unfed.reset();
      }
      if (!system.feed) continue;
      const inlet_answer fed = feeding(*system.feed, stock_[g], at, policy_.confidence);
      worst.below_oil_bound = worst.below_oil_bound || fed.below_oil_bound;
      if (take(fed.chance, judge(fed.chance, policy_.confidence, fed.below_oil_bound))) worst.unfed = i;
    }
    worst.chance = smallest;
    if (!limited) worst.coldest.reset();
    return worst;
  }

  month_pick judge_month(int month, std::span<const leg_climate> legs, const route_pick& r) {
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
      m.greases.push_back(judge_grease(g, m.design, r));
      if (m.greases.back().excluded == exclusion::none && too_soft(stock_[g], m.hot))
        m.greases.back().excluded = exclusion::too_soft_for_heat;
    }
    for (const std::size_t i : r.installations) {
      for (rule_answer& a : rules_at(rules_, m.design, name_of(installations_[i].type))) {
        if (std::ranges::find(m.published_rules, a.rule, &rule_answer::rule) == m.published_rules.end())
          m.published_rules.push_back(std::move(a));
      }
    }
    return m;
  }

  bool too_soft(const grease& g, temperature hot) const {
    const auto& limit = policy_.softest_in_heat;
    return limit && hot > limit->above &&
           g.soft_penetration() > nlgi_classes[parse_nlgi(limit->nlgi, "softest_in_heat").soft].upper;
  }

  /// The fill of grease g pumped in `length` months from `from`, if it passes until it is used up.
  std::optional<fill> try_fill(const route_pick& r, std::size_t g, int from, int length) const {
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

  /// A grease without a price stands behind every one that has it.
  static double price_of(const grease& g) { return g.known().price.value_or(INFINITY); }

  /// True if grease a is to be preferred to b where both pass: stiffer, then cheaper, then by name.
  bool before(std::size_t a, std::size_t b) const {
    const grease& x = stock_[a];
    const grease& y = stock_[b];
    if (x.stiff_penetration() != y.stiff_penetration()) return x.stiff_penetration() < y.stiff_penetration();
    const double px = price_of(x), py = price_of(y);
    return px != py ? px < py : x.name() < y.name();
  }

  std::optional<fill> best_fill(const route_pick& r, int from, int length) const {
    std::optional<fill> best;
    for (std::size_t g = 0; g < stock_.size(); ++g) {
      if (best && !before(g, best->grease)) continue;
      if (auto f = try_fill(r, g, from, length)) best = std::move(f);
    }
    return best;
  }

  /// Place of a penetration on the scale of classes, 0 for the stiffest pumped: the nearest middle of a class.
  static int class_of(const grease& g) {
    constexpr double stiffest_middle = 235.0, apart = 45.0;  // NLGI 3; middles of neighbours
    return static_cast<int>(std::lround((g.stiff_penetration() - stiffest_middle) / apart));
  }

  /// Mean penetration over the year [0.1 mm], mean price and the names: what two splits are compared by.
  struct score {
    double penetration = 0.0;
    double price = 0.0;
    std::string names;
    auto operator<=>(const score&) const = default;
  };
  score score_of(std::span<const fill> fills) const {
    score s;
    for (const fill& f : fills) {
      const double months = months_pumped(f);
      s.penetration += months / 12.0 * stock_[f.grease].stiff_penetration();
      s.price += months / 12.0 * price_of(stock_[f.grease]);
      s.names += stock_[f.grease].name() + '\n';
    }
    return s;
  }

  void choose(route_pick& r) const {
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
        if (!second || stock_[first->grease].stiff_penetration() <= stock_[second->grease].stiff_penetration())
          continue;
        std::vector<fill> fills{*first, *second};
        score s = score_of(fills);
        // A second fill must be worth its change-over: a whole class stiffer than the one grease of the year.
        if (r.year && (s.penetration >= stock_[r.year->grease].stiff_penetration() ||
                       class_of(stock_[second->grease]) >= class_of(stock_[r.year->grease])))
          continue;
        if (!best || s < *best) {
          best = std::move(s);
          r.seasons = std::move(fills);
        }
      }
    }
  }

  static int months_pumped(const fill& f) { return (f.to_month - f.from_month + 12) % 12 + 1; }
  /// True if a month is one of the `length` months that begin with the fill's first.
  static bool within(const fill& f, int length, int month) { return (month - f.from_month + 12) % 12 < length; }

  /// Marks the grease each month's figures are shown for: the decision with the fewest fills, else the nearest.
  void mark_shown(route_pick& r) const {
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

  static std::size_t nearest(const month_pick& m) {
    const auto rank = [](const grease_month& g) {
      return std::pair(g.excluded == exclusion::none, std::pair(!g.below_oil_bound, g.chance.value_or(-1.0)));
    };
    const auto best = std::ranges::max_element(m.greases, {}, rank);
    return static_cast<std::size_t>(best - m.greases.begin());
  }

  /// The warmest limit of the greases that may stand in the lines in a month: the one pumped, and the one before it
  /// until it is used up. Nothing where one of them has no limit.
  std::optional<temperature> limit_in(const route_pick& r, const month_pick& m) const {
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

  void add_time_below(route_pick& r, std::span<const leg_climate> legs) const {
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

  /// What is wrong or suspect with the lines, as a line check would warn.
  void add_warnings(route_pick& r) const {
    for (const std::size_t i : r.installations) {
      const installation& system = installations_[i];
      for (const std::string& warning : warnings_of(system)) r.warnings.push_back(system.name + ": " + warning);
      const pressure pump = available_pressure(system);
      std::size_t suspect = 0;
      const line* first = nullptr;
      for (const line& l : system.lines) {
        bool outside = false;
        for (const segment& s : l.segments) {
          if (s.rating && *s.rating < pump)
            r.warnings.push_back(
                fmt::format("{} ({}): a part rated {} stands below the {} of the pump, which limits the line", l.point,
                            system.name, both_units(*s.rating), both_units(pump)));
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

  /// Points whose makers' rules no grease can serve together, and which to take off the system.
  void add_conflicts(route_pick& r) const {
    for (const std::size_t i : r.installations) {
      const installation& system = installations_[i];
      const temperature coldest = std::ranges::min(r.months, {}, [](const month_pick& m) { return m.design; }).design;
      const rule_conflicts found = conflicts_of(system, stock_, coldest);
      for (const contradiction& c : found.contradictions)
        r.notes.push_back(
            fmt::format("{}: {} asks for {}, {} bans it: no grease serves both; grease one of them by hand",
                        system.name, system.lines[c.asks].point, c.what, system.lines[c.bans].point));
      if (found.take_off.empty()) continue;
      std::string points;
      for (const std::size_t l : found.take_off)
        points += fmt::format("{}{}", points.empty() ? "" : ", ", system.lines[l].point);
      r.notes.push_back(
          fmt::format("{}: no grease of the stock keeps every point's rules at {}; {} breaks the fewest, if these come "
                      "off the system and are greased by hand: {}",
                      system.name, both_scales(coldest), stock_[*found.grease].name(), points));
    }
  }

  /// Why a month shows no n-year minimum.
  void add_gaps_of_record(route_pick& r, std::span<const leg_climate> legs) const {
    for (const leg_climate& l : legs) {
      const auto& months = l.climate->months;
      if (!l.has_hours() ||
          std::ranges::all_of(months, [](const month_climate& m) { return m.return_minimum.has_value(); }))
        continue;
      r.notes.push_back(fmt::format("{}: a month with fewer than 10 whole years on record shows no {:g}-year minimum",
                                    l.station, policy_.return_years));
    }
  }

  /// What the answer takes for granted: pressures at the points, and what the greases shown stand on.
  void add_assumptions(route_pick& r) const {
    for (const std::size_t i : r.installations) {
      const auto assumed = std::ranges::count_if(installations_[i].lines, [](const line& l) { return !l.outlet; });
      if (assumed > 0)
        r.notes.push_back(fmt::format("{}: points of unknown pressure: {}; {} is assumed (common practice, no source)",
                                      installations_[i].name, assumed, both_units(assumed_outlet())));
    }
    std::vector<std::size_t> shown;
    for (const month_pick& m : r.months) {
      if (std::ranges::find(shown, m.shown) == shown.end()) shown.push_back(m.shown);
    }
    r.evidence = evidence_of(shown);
  }

  void add_remedies(route_pick& r) const {
    const month_pick* stuck = nullptr;
    for (const month_pick& m : r.months) {
      if (std::ranges::none_of(m.greases, passes) && (!stuck || m.design < stuck->design)) stuck = &m;
    }
    if (!stuck) {
      r.notes.push_back(
          "every month has a grease, but no fill lasts from one to the next: shorten the carry-over or fill more "
          "often");
      return;
    }
    const std::size_t g = nearest(*stuck);
    const grease_month& near = stuck->greases[g];
    if (near.excluded != exclusion::none) {
      r.notes.push_back(
          "the systems of this route, the rules of their points or the owner exclude every grease of the stock");
      return;
    }
    if (near.reset_missing) {
      r.notes.push_back("enter the reset pressure of the meters: without it no grease can be shown to pass");
      return;
    }
    if (near.unfed) {
      r.notes.push_back(
          fmt::format("{}: the pump is not fed in the coldest month: a paddle, a follower plate or a heated "
                      "reservoir would help, no change of a line",
                      installations_[*near.unfed].name));
      return;
    }
    // Where the oil gives out no line helps: one demand on the grease stands for all lines, the hardest of them.
    const bool colder_oil = near.below_oil_bound || !near.chance;
    const double z = normal_quantile(policy_.confidence);
    for (const std::size_t i : r.installations) {
      const installation& system = installations_[i];
      const conditions c = conditions_of(system, stuck->design, policy_.confidence);
      for (std::size_t l = 0; l < system.lines.size(); ++l) {
        const line_answer a = check(system.lines[l], stock_[g], c);
        if (a.verdict == verdict::flows) continue;
        remedy fix{
            .month = stuck->month, .at = stuck->design, .grease = g, .point = {i, l}, .ask_supplier = a.ask_supplier};
        fix.colder_oil = colder_oil;
        if (colder_oil) {
          if (r.would_help.empty()) {
            r.would_help.push_back(fix);
          } else if (harder(fix, r.would_help.front())) {
            r.would_help.front() = fix;
          }
          continue;
        }
        fix.bore = a.smallest_bore;
        fix.length = a.longest;
        const double outlet = in_pascal(a.available - a.divider_loss) -
                              in_pascal(*a.start_loss) * std::pow(*a.spread_90, z / detail::z90);
        const bool vents = !a.residual || !a.reset || *a.residual <= *a.reset;
        if (outlet > 0.0 && vents) fix.outlet = pascal(outlet);
        r.would_help.push_back(fix);
      }
    }
  }

  /// True if a asks a lower stress at the wall of its supplier than b.
  static bool harder(const remedy& a, const remedy& b) {
    const auto stress = [](const remedy& r) {
      return r.ask_supplier ? in_pascal_second(r.ask_supplier->apparent_max) * in_per_second(r.ask_supplier->rate)
                            : INFINITY;
    };
    return stress(a) < stress(b);
  }

  std::vector<installation> installations_;  // mains joined
  std::span<const grease> stock_;
  policy policy_;
  std::span<const published_rule> rules_;
  std::vector<std::vector<grease_limit>> limits_;
};

/// What a route's answer is handed to, with its weather at hand.
using take_route = std::function<void(const route&, route_pick&&, std::span<const leg_climate>)>;

/// Judges every route of a fleet in order; each weather file is read once and kept only while a later leg names it.
void for_each_route(const fleet& f, route_job& work, const take_route& take);

}  // namespace coldgrease::detail
