#include "coldgrease/plan/plan.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/climate/statistics.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "plan/kept.hpp"
#include "plan/kinds.hpp"
#include "plan/plan_with.hpp"
#include "plan/purchase.hpp"
#include "plan/route_remarks.hpp"

namespace coldgrease::inline v0 {

namespace detail {

namespace {

/// The mean over the recorded winters of the chance, at each one's coldest hours, of the worst grease that may stand in
/// the lines then; of the leg where it is the smallest.
struct winters {
  double chance = 2.0;
  int count = 0;
};
winters winters_of(const fleet_limits& f, const route_year& y, const choice& c) {
  constexpr int near = 45;  // days of the coldest
  const int coldest = middle_of_pentad(y.coldest_pentad());
  std::set<std::size_t> in_winter;
  for (const fill& made : c.fills) {
    const season stands = standing(c, made);
    for (int day = coldest - near; day <= coldest + near; ++day) {
      if (stands.contains(day)) in_winter.insert(made.grease);
    }
  }
  const season_options options{.risk = f.policy.risk, .starts = y.starts};
  winters worst;
  for (const leg_climate& l : y.weather.legs) {
    std::vector<temperature> minima;
    if (const auto* days = std::get_if<daily_series>(&l.climate->series))
      minima = season_quantiles(*days, f.policy.share, options);
    if (const auto* hours = std::get_if<hourly_series>(&l.climate->series))
      minima = season_quantiles(*hours, f.policy.share, options);
    if (minima.empty()) return {};
    double sum = 0.0;
    for (const temperature t : minima) {
      double chance = 1.0;
      for (const std::size_t g : in_winter) chance = std::min(chance, chance_in(f, y.installations, g, t + l.shift));
      sum += chance;
    }
    const double mean = sum / static_cast<double>(minima.size());
    if (mean < worst.chance) worst = {mean, static_cast<int>(minima.size())};
  }
  return worst;
}

std::optional<trip_share> trip_of(const route_year& y, const fill& cold) {
  const auto& legs = y.weather.legs;
  const auto& limit = y.greases[cold.grease].coldest;
  if (legs.size() < 2 || !limit) return std::nullopt;
  trip_share trip;
  double hours = 0.0;
  for (const leg_climate& l : legs) {
    if (!l.hours) return std::nullopt;
    const auto colder = hours_below(*l.climate, *limit - l.shift, cold.days);
    if (!colder) return std::nullopt;
    const double share = sum(*colder) / (24.0 * cold.days.days);
    trip.of_time += *l.hours * share;
    trip.least = std::max(trip.least, share);
    trip.most += share;
    hours += *l.hours;
  }
  trip.of_time /= hours;
  trip.most = std::min(1.0, trip.most);
  return trip;
}

std::vector<alternative> alternatives_of(const route_pick& r, std::size_t picked) {
  const month_pick& m = coldest_month(r);
  std::vector<alternative> found;
  for (const grease_month& g : m.greases) {
    if (g.grease == picked || g.excluded != exclusion::none || !g.coldest || !g.chance) continue;
    found.push_back({g.grease, *g.chance, m.design - *g.coldest});
  }
  // Nearest: the least away from just passing.
  std::ranges::stable_sort(found, {}, [](const alternative& a) { return std::abs(in_kelvins(a.margin)); });
  if (found.size() > 2) found.resize(2);
  return found;
}

/// How cold one grease may get in one installation if an assumption is moved by a step that people argue about.
struct moved_limits {
  std::optional<temperature> confidence{};  // a tenth more of it
  std::optional<temperature> outlet{};      // 10 bar more at every point
  std::optional<temperature> found_warm{};  // pressures at the points found at 20 C
};
/// Solved once for an installation and grease, whatever the route.
using moved_by_system = made_once<std::pair<std::size_t, std::size_t>, moved_limits>;

double higher_confidence(const policy& p) { return std::min(most_confidence, p.confidence + 0.1); }

moved_limits moved(const fleet_limits& f, std::size_t i, std::size_t g, moved_by_system& known) {
  return known.get({i, g}, [&] {
    const auto with = [&](auto&& change) {
      installation system = f.systems[i];
      for (line& l : system.lines) change(l);
      return coldest_passing(system, f.stock[g], f.policy.confidence);
    };
    return moved_limits{
        .confidence = coldest_passing(f.systems[i], f.stock[g], higher_confidence(f.policy)),
        .outlet = with([](line& l) { l.outlet = l.outlet.value_or(assumed_outlet()) + bar(10); }),
        .found_warm = with([](line& l) { l.outlet_at = l.outlet_at.value_or(outlet_found_warm{}.at); })};
  });
}

/// What each of them does to the margin of a route's grease of the coldest days, one at a time.
std::vector<sensitivity> sensitivities_of(const fleet_limits& f, const route_pick& r, std::size_t g,
                                          moved_by_system& known) {
  std::vector<sensitivity> found;
  const month_pick& m = coldest_month(r);
  const auto now = coldest_of(f, r.installations, g);
  if (!now) return found;
  const auto add = [&](std::string what, std::optional<temperature> then) {
    if (then) found.push_back({std::move(what), *now - *then});
  };
  const auto warmest = [&](auto limit_in) -> std::optional<temperature> {
    std::optional<temperature> worst;
    for (const std::size_t i : r.installations) {
      const std::optional<temperature> own = limit_in(i);
      if (!own) return std::nullopt;
      worst = worst ? std::max(*worst, *own) : *own;
    }
    return worst;
  };
  const auto if_moved = [&](std::optional<temperature> moved_limits::*which) {
    return warmest([&](std::size_t i) { return moved(f, i, g, known).*which; });
  };
  add(fmt::format("confidence {:.2f} instead of {:.2f}", higher_confidence(f.policy), f.policy.confidence),
      if_moved(&moved_limits::confidence));
  add(fmt::format("{} more at every point", both_units(bar(10))), if_moved(&moved_limits::outlet));
  if (std::ranges::any_of(r.installations, [&](std::size_t i) {
        return std::ranges::any_of(f.systems[i].lines, [](const line& l) { return !l.outlet_at; });
      }))
    add("pressures at the points found at " + both_scales(outlet_found_warm{}.at), if_moved(&moved_limits::found_warm));
  static_assert(settling_bore == 0.95);
  add("every bore 5 % smaller", settling_of(f, r.installations, g));
  const grease& own = f.stock[g];
  if (const auto curve = own.was_measured() ? std::nullopt : own.at(m.design)) {
    // The same grease, measured in the cold where it is used, and found to be just what was estimated.
    evidence known_so = own.known();
    known_so.points = {{m.design, per_second(3.0), stress(*curve, nominal_rate{per_second(3.0)})}};
    const grease measured = estimate(known_so);
    add("the grease measured in the cold, as estimated",
        warmest([&](std::size_t i) { return coldest_passing(f.systems[i], measured, f.policy.confidence); }));
  }
  if (m.return_minimum)
    found.push_back(
        {fmt::format("{:g}-year minimum instead of the coldest {:g} %", f.policy.return_years, 100.0 * f.policy.share),
         *m.return_minimum - m.design});
  std::ranges::stable_sort(found, std::ranges::greater{},
                           [](const sensitivity& s) { return std::abs(in_kelvins(s.moves)); });
  return found;
}

route_plan plan_of(const fleet& fleet, const fleet_limits& f, const route_year& y, route_pick pick,
                   moved_by_system& known) {
  route_plan p{.pick = std::move(pick)};
  const choice& c = p.pick.decided;
  p.keep = keep_of(fleet, f, y, p.pick);
  p.evidence = p.pick.evidence;
  if (!c.served()) return p;
  const fill& cold = *pumped_on(c, middle_of_pentad(y.coldest_pentad()));
  if (const winters w = winters_of(f, y, c); w.count > 0) {
    p.winter_chance = w.chance;
    p.winters = w.count;
  }
  p.trip = trip_of(y, cold);
  p.alternatives = alternatives_of(p.pick, cold.grease);
  p.sensitivities = sensitivities_of(f, p.pick, cold.grease, known);
  std::set<std::size_t> greases;
  for (const fill& made : c.fills) greases.insert(made.grease);
  p.evidence = evidence_of(f, p.pick, std::vector(greases.begin(), greases.end()));
  return p;
}

route_ways ways_of(const fleet_limits& f, const route_year& y, const route_pick& pick, std::vector<sequence> all) {
  route_ways w{.vehicles = pick.vehicles, .coldest_pentad = y.coldest_pentad()};
  w.passing.resize(f.stock.size());
  for (const sequence& s : all) {
    for (std::size_t k = 0; k < s.fills; ++k) w.passing[s.grease[k]] = true;
  }
  for (const grease_year& g : y.greases)
    w.margins.push_back(g.coldest ? y.pentads[w.coldest_pentad].cold - *g.coldest : kelvins(-1000.0));
  if (const fill* on = pumped_on(pick.decided, middle_of_pentad(w.coldest_pentad))) {
    w.served = true;
    w.planned = on->grease;
  }
  w.sequences = best_of_each_set(std::move(all), f.policy.prefer, f.stock);
  return w;
}

struct planned_route {
  route_plan plan{};
  route_ways ways{};
  route_paper paper{};
};

}  // namespace

plan_on_paper plan_with(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules,
                        const progress& listener, int jobs, const write_paper& write) {
  const fleet_limits limits = limits_of(f.installations, stock, f.policy, rules, jobs);
  plan_on_paper all;
  plan_answer& a = all.plan = {.about = f.about,
                               .confidence = f.policy.confidence,
                               .risk = f.policy.risk,
                               .prefer = f.policy.prefer,
                               .at_change = f.policy.at_change,
                               .currency = currency_of(f.greases, f.policy),
                               .missing = missing_of(limits, f),
                               .rules = std::vector(rules.begin(), rules.end())};
  moved_by_system known;
  std::vector<route_ways> ways(f.routes.size());
  a.routes.resize(f.routes.size());
  if (write) {
    all.seasons.resize(f.routes.size());
    all.sources.resize(f.routes.size());
  }
  for_each_route(
      f, limits, listener, jobs,
      [&](decided_route&& d) {
        planned_route p{.plan = plan_of(f, limits, d.year, std::move(d.pick), known)};
        if (write) p.paper = write(p.plan, d.year);
        p.ways = ways_of(limits, d.year, p.plan.pick, std::move(d.sequences));
        return p;
      },
      [&](std::size_t i, planned_route&& p) -> route_pick& {
        a.routes[i] = std::move(p.plan);
        ways[i] = std::move(p.ways);
        if (write) {
          all.seasons[i] = std::move(p.paper.season);
          all.sources[i] = std::move(p.paper.sources);
        }
        return a.routes[i].pick;
      });
  a.purchase = invoice_of(limits, a.routes);
  a.kinds = kinds_of(limits, ways, a.notes);
  return all;
}

}  // namespace detail

plan_answer plan(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules,
                 const progress& listener, int jobs) {
  return detail::plan_with(f, stock, rules, listener, jobs).plan;
}

}  // namespace coldgrease::inline v0
