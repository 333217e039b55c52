#include "plan/fleet_limits.hpp"

#include "base/format.hpp"

#include <algorithm>

#include "base/parallel.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/line/limits.hpp"

namespace coldgrease::inline v0 {

exclusion exclusion_of(cap_breach breach) {
  switch (breach) {
    case cap_breach::stiffer: return exclusion::stiffer_than_allowed;
    case cap_breach::class_unknown: return exclusion::class_unknown;
    case cap_breach::too_much_solid: return exclusion::too_much_solid;
    case cap_breach::solids_not_stated: return exclusion::solids_not_stated;
    case cap_breach::none: break;
  }
  return exclusion::none;
}

exclusion exclusion_of(breach_kind kind) {
  return is_not_shown(kind) ? exclusion::rule_not_shown : exclusion::point_rule;
}

barring barring_of(const installation& i, const grease& g, const installation_answer& a) {
  barring found{.by = exclusion_of(breach_of_caps(i, g))};
  for (const point_answer& p : a.points) {
    if (p.breaches.empty()) continue;
    const exclusion own = exclusion_of(p.breaches.front().kind);
    if (goes_before(own, found.by)) found = {own, p.line};
  }
  return found;
}

std::optional<temperature> hot_caution(const grease& g) {
  constexpr double softest_0 = 385.0, softest_1 = 340.0;  // ends of the bands of NLGI 0 and 1
  const bool known = g.soft_penetration() > 0.0;
  if (!known || g.soft_penetration() > softest_0) return celsius(28.0);
  if (g.soft_penetration() > softest_1) return celsius(35.0);
  return std::nullopt;
}

namespace detail {

namespace {

/// What the rules of a point do to a grease, if that goes before what bars it already.
void add_rules(const fleet_limits& f, const point_index& point, const point_rules& rules, const grease& g,
               temperature cold, temperature hot, ban& into) {
  const std::vector<breach> broken = breaches(rules, g, cold, hot, f.thickeners);
  if (broken.empty()) return;
  const exclusion by = exclusion_of(broken.front().kind);
  if (goes_before(by, into.by)) into = {by, point, broken.front().words};
}

/// The same system until a second volume of a new grease has passed its lines.
installation settling(const installation& i) {
  installation narrower = i;
  for (line& l : narrower.lines) {
    for (segment& s : l.segments) s.bore *= settling_bore;
  }
  return narrower;
}

system_limit limit_of(const fleet_limits& f, std::size_t i, const grease& g) {
  const installation& system = f.systems[i];
  system_limit limit{.coldest = coldest_passing(f.kernels[i], g), .settling = coldest_passing(f.new_kernels[i], g)};
  limit.barred.by = exclusion_of(breach_of_caps(system, g));
  for (std::size_t l = 0; l < system.lines.size(); ++l) {
    point_rules at_any = system.lines[l].rules;
    limit.by_temperature = limit.by_temperature || !at_any.classes.empty();
    at_any.classes.clear();
    add_rules(f, {i, l}, at_any, g, celsius(0), celsius(0), limit.barred);
  }
  return limit;
}

template <auto Limit>
std::optional<temperature> warmest(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g) {
  std::optional<temperature> worst;
  for (const std::size_t i : installations) {
    const auto& own = f.of[i][g].*Limit;
    if (!own) return std::nullopt;
    worst = worst ? std::max(*worst, *own) : *own;
  }
  return worst;
}

}  // namespace

fleet_limits limits_of(std::span<const installation> installations, std::span<const grease> stock, const policy& p,
                       std::span<const published_rule> rules, int jobs) {
  validate(p);
  if (stock.empty()) throw input_error("greases", "none is given", "one or more");
  if (installations.empty()) throw input_error("installations", "none is given", "one or more");
  fleet_limits f{.systems = std::vector(installations.begin(), installations.end()),
                 .stock = stock,
                 .policy = p,
                 .rules = rules,
                 .thickeners = thickeners_for(installations)};
  for (installation& i : f.systems) {
    join_mains(i);
    if (i.lines.empty()) throw input_error(i.name, "has no lines", "one or more");
    for (const line& l : i.lines) validate(l);
    validate(conditions_of(i, celsius(0), p.confidence));
  }
  for (const installation& i : f.systems) {
    f.new_fills.push_back(settling(i));
    f.kernels.push_back(kernel(i, p.confidence));
    f.new_kernels.push_back(kernel(f.new_fills.back(), p.confidence));
  }
  f.of.assign(f.systems.size(), std::vector<system_limit>(stock.size()));
  for_each_index(f.systems.size() * stock.size(), jobs, [&](std::size_t k) {
    const std::size_t i = k / stock.size(), g = k % stock.size();
    f.of[i][g] = limit_of(f, i, stock[g]);
  });
  return f;
}

std::optional<temperature> coldest_of(const fleet_limits& f, std::span<const std::size_t> installations,
                                      std::size_t g) {
  return warmest<&system_limit::coldest>(f, installations, g);
}

std::optional<temperature> settling_of(const fleet_limits& f, std::span<const std::size_t> installations,
                                       std::size_t g) {
  return warmest<&system_limit::settling>(f, installations, g);
}

ban barred(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g, temperature cold,
           temperature hot) {
  ban found;
  for (const std::size_t i : installations) {
    const system_limit& limit = f.of[i][g];
    if (goes_before(limit.barred.by, found.by)) found = limit.barred;
    if (!limit.by_temperature) continue;
    const auto& lines = f.systems[i].lines;
    for (std::size_t l = 0; l < lines.size() && goes_before(exclusion::point_rule, found.by); ++l)
      add_rules(f, {i, l}, lines[l].rules, f.stock[g], cold, hot, found);
  }
  return found;
}

exclusion barred_by_heat(const policy& p, const grease& g, temperature hot) {
  const auto& limit = p.softest_in_heat;
  if (!limit || !(hot > limit->above)) return exclusion::none;
  if (!(g.soft_penetration() > 0.0)) return exclusion::class_unknown;
  return g.soft_penetration() > nlgi_classes[parse_nlgi(limit->nlgi, "softest_in_heat").soft].upper
             ? exclusion::too_soft_for_heat
             : exclusion::none;
}

grease_month judge(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g, temperature cold,
                   temperature hot) {
  grease_month worst{
      .grease = static_cast<std::uint32_t>(g), .verdict = verdict::flows, .coldest = coldest_of(f, installations, g)};
  std::optional<double> smallest = 1.0;
  std::optional<judged_part> decider;
  recent_answers recent;
  const grease_kernel own = f.stock[g].kernel(&recent);
  for (const std::size_t i : installations) {
    const installation_outcome o = outcome_of(f.systems[i], f.kernels[i], f.stock[g], own, cold);
    worst.below_oil_bound = worst.below_oil_bound || o.below_oil_bound;
    smallest = smallest && o.chance ? std::optional(std::min(*smallest, *o.chance)) : std::nullopt;
    if (!decides({o.verdict, o.chance}, decider)) continue;
    decider = {o.verdict, o.chance};
    worst.verdict = o.verdict;
    worst.missing = o.missing;
    worst.stays = o.stays;
    worst.unfed = o.line ? std::nullopt : std::optional(static_cast<std::uint32_t>(i));
    if (!o.line) continue;
    worst.available = o.available;
    worst.worst = {i, *o.line};
  }
  if (!worst.unfed)
    worst.needed = needed_pressure(f.kernels[worst.worst.installation].lines[worst.worst.line], f.stock[g], own, cold);
  worst.chance = smallest;
  ban found = barred(f, installations, g, cold, std::max(cold, hot));
  if (const exclusion heat = barred_by_heat(f.policy, f.stock[g], hot); goes_before(heat, found.by)) found = {heat};
  worst.excluded = found.by;
  worst.excluded_by = found.point;
  worst.broken_rule = std::move(found.rule);
  return worst;
}

double chance_in(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g, temperature cold,
                 bool new_fill) {
  double least = 1.0;
  recent_answers recent;
  const grease_kernel own = f.stock[g].kernel(&recent);
  for (const std::size_t i : installations) {
    const installation_outcome o = new_fill ? outcome_of(f.new_fills[i], f.new_kernels[i], f.stock[g], own, cold)
                                            : outcome_of(f.systems[i], f.kernels[i], f.stock[g], own, cold);
    least = std::min(least, o.chance.value_or(0.0));
  }
  return least;
}

}  // namespace detail

}  // namespace coldgrease::inline v0
