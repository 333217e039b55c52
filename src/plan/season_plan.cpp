#include "coldgrease/plan/season_plan.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numeric>
#include <set>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/climate/statistics.hpp"
#include "coldgrease/line/dosing.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "plan/plan_job.hpp"
#include "plan/route_job.hpp"
#include "plan/sequence.hpp"

namespace coldgrease::inline v0 {

namespace {

using detail::leg_climate;
using detail::score;
using detail::sequence;
using detail::year_of_choices;

constexpr std::size_t most_candidates = 16;

/// A day so many days earlier, by the calendar of a year without leap day.
day_of_year earlier(day_of_year d, double days_back) {
  int day = ordinal(d) - static_cast<int>(std::ceil(days_back));
  day = ((day % 365) + 365) % 365;
  int month = 12;
  while (ordinal({month, 1}) > day) --month;
  return {month, day - ordinal({month, 1}) + 1};
}

int month_after(int month) { return month % 12 + 1; }
int months_of(const planned_fill& f) { return detail::months_between(f.from_month, f.to_month); }

double season_days(const planned_fill& f) {
  double days = 0.0;
  for (int step = 0, month = f.from_month; step < months_of(f); ++step, month = month_after(month))
    days += days_in_month(2001, month);
  return days;
}

/// One route with all that its plan hangs on.
class planner {
 public:
  planner(const fleet& f, std::span<const grease> stock, detail::route_job& work, bool by_cost)
      : fleet_(f), stock_(stock), work_(work), by_cost_(by_cost) {}

  /// The choices of a route's year.
  year_of_choices choices(const route_pick& r) const {
    year_of_choices year{.most_fills = fleet_.policy.seasons};
    year.change = {by_cost_ ? fleet_.policy.costs.changeover : 1.0, by_cost_ ? 1.0 : 0.0};
    for (int month = 1; month <= 12; ++month) {
      const auto m = static_cast<std::size_t>(month - 1);
      for (std::size_t g = 0; g < stock_.size(); ++g) {
        year.chance[m].push_back(chance_of_month(r, month, g).value_or(-1.0));
        const double penetration = detail::route_job::softness(stock_[g]) / 12.0;
        const double money = by_cost_ ? kg_a_day(r, g) * days_in_month(2001, month) * *stock_[g].known().price : 0.0;
        year.month[m].push_back({money, penetration});
      }
    }
    return year;
  }

  /// The best sequence from some greases, and what it costs with the risk of a starved winter.
  std::optional<sequence> best(const year_of_choices& year, std::span<const std::size_t> allowed) const {
    const double starved = by_cost_ ? fleet_.policy.costs.starved : 0.0;
    if (!(starved > 0.0)) return detail::best_sequence(year, allowed);
    // The chance of a sequence is its smallest. The cheapest of all has one; whatever beats it has a higher one, and so
    // on until no sequence is left.
    std::optional<sequence> best;
    double least = 0.0;
    while (auto found = detail::best_sequence(year, allowed, least)) {
      double chance = 1.0;
      for (std::size_t m = 0; m < 12; ++m) chance = std::min(chance, year.chance[m][found->grease[m]]);
      found->total.first += (1.0 - chance) * starved;
      if (!best || found->total < best->total) best = found;
      least = std::nextafter(chance, 2.0);
    }
    return best;
  }

  /// Every grease of the stock, the preferred of equals first.
  std::vector<std::size_t> by_preference() const {
    std::vector<std::size_t> order(stock_.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::sort(order, [&](std::size_t a, std::size_t b) { return work_.before(a, b); });
    return order;
  }

  route_plan plan(route_pick r, int vehicles, std::span<const leg_climate> legs) {
    route_plan p{.pick = std::move(r), .vehicles = vehicles};
    if (const auto found = best(choices(p.pick), by_preference())) {
      set_fills(p, *found);
      if (by_cost_) p.cost = found->total.first;
      for (planned_fill& f : p.fills) finish(p, f);
      set_dates(p, legs);
      set_winter_chance(p, legs);
      set_trip(p, legs);
      set_alternatives(p);
      set_sensitivities(p);
    }
    std::set<std::size_t> greases;
    for (const planned_fill& f : p.fills) greases.insert(f.grease);
    p.evidence =
        p.fills.empty() ? p.pick.evidence : work_.evidence_of(std::vector(greases.begin(), greases.end()), p.pick);
    return p;
  }

  double kg_a_day(const route_pick& r, std::size_t g) const {
    double kg = 0.0;
    for (const std::size_t i : r.installations) {
      if (const auto daily = daily_volume(work_.installations()[i])) kg += in_m3(*daily) * stock_[g].model().density15;
    }
    return kg;
  }

  /// Which routes a set of kinds leaves without a grease, and which it leaves with less margin than planned.
  void compare(std::span<const route_plan> routes, kinds_row& row) const {
    constexpr double told_apart = 0.05;  // [K], as margins are shown
    for (std::size_t r = 0; r < routes.size(); ++r) {
      const month_pick& coldest = coldest_month(routes[r].pick);
      const auto margin = [&](std::size_t g) {
        const auto& limit = coldest.greases[g].coldest;
        return limit ? in_kelvins(coldest.design - *limit) : 0.0;
      };
      const auto found = best(choices(routes[r].pick), row.greases);
      if (!found) {
        row.unserved.push_back(r);
      } else if (margin(found->grease[static_cast<std::size_t>(coldest.month - 1)]) <
                 margin(coldest_fill(routes[r]).grease) - told_apart) {
        row.lose_margin.push_back(r);
      }
    }
  }

 private:
  /// The smallest chance of a grease pumped in a month until the last of it is used up; nothing if it fails in between.
  std::optional<double> chance_of_month(const route_pick& r, int month, std::size_t g) const {
    double least = 1.0;
    const int judged = detail::route_job::months_judged(r, 1);
    for (int step = 0; step < judged; ++step) {
      const grease_month& gm = r.months[static_cast<std::size_t>((month - 1 + step) % 12)].greases[g];
      if (!detail::route_job::passes(gm)) return std::nullopt;
      least = std::min(least, *gm.chance);
    }
    return least;
  }

  void set_fills(route_plan& p, const sequence& s) const {
    std::size_t begin = 0;
    while (begin < 12 && s.grease[begin] == s.grease[(begin + 11) % 12]) ++begin;
    if (begin == 12) {
      p.fills = {{.from_month = 1, .to_month = 12, .grease = s.grease[0]}};
      return;
    }
    for (std::size_t m = 0; m < 12; ++m) {
      const std::size_t month = (begin + m) % 12;
      if (p.fills.empty() || p.fills.back().grease != s.grease[month])
        p.fills.push_back({.from_month = static_cast<int>(month) + 1, .grease = s.grease[month]});
      p.fills.back().to_month = static_cast<int>(month) + 1;
    }
    // The cold season, the softest grease, stands first.
    const auto softest = std::ranges::max_element(
        p.fills, {}, [&](const planned_fill& f) { return detail::route_job::softness(stock_[f.grease]); });
    std::rotate(p.fills.begin(), softest, p.fills.end());
  }

  void finish(const route_plan& p, planned_fill& f) const {
    const int judged = detail::route_job::months_judged(p.pick, months_of(f));
    f.chance = 1.0;
    bool first = true;
    for (int step = 0; step < judged; ++step) {
      const month_pick& m = p.pick.months[static_cast<std::size_t>((f.from_month - 1 + step) % 12)];
      const grease_month& g = m.greases[f.grease];
      f.chance = std::min(f.chance, g.chance.value_or(0.0));
      if (g.coldest) {
        const temperature_step margin = m.design - *g.coldest;
        if (first || margin < f.margin) f.margin = margin;
        first = false;
      }
      if (detail::route_job::is_soft(stock_[f.grease]) && m.hot > hot_caution()) f.hot_months.push_back(m.month);
    }
    std::ranges::sort(f.hot_months);
    const double kg = kg_a_day(p.pick, f.grease) * season_days(f);
    if (kg > 0.0) f.per_vehicle = kilogram(kg);
  }

  /// Dates of the changes: into the grease that stands more cold before the cold that the old one cannot stand, out of
  /// it after the last cold that the new one cannot.
  void set_dates(route_plan& p, std::span<const leg_climate> legs) const {
    if (p.fills.size() < 2) return;
    for (std::size_t k = 0; k < p.fills.size(); ++k) {
      planned_fill& now = p.fills[k];
      const planned_fill& before = p.fills[(k + p.fills.size() - 1) % p.fills.size()];
      const auto limit_of = [&](const planned_fill& f) { return work_.coldest_of(f.grease, p.pick); };
      const auto own = limit_of(now), old = limit_of(before);
      if (!own || !old) continue;
      const bool into_cold = *own < *old;
      now.limit = into_cold ? old : own;
      std::optional<day_of_year> date;
      bool every_leg = true;
      for (const leg_climate& l : legs) {
        const auto dates = dates_at(p, l, *now.limit);
        if (!dates || dates->seasons < fewest_seasons) {
          every_leg = false;  // the dates of the others would pass for the route's
          continue;
        }
        if (dates->seasons < few_seasons) {
          std::string rough = fmt::format("{}: the dates stand on {} seasons, fewer than {}: they are rough", l.station,
                                          dates->seasons, few_seasons);
          if (std::ranges::find(p.pick.notes, rough) == p.pick.notes.end()) p.pick.notes.push_back(std::move(rough));
        }
        const auto& d = into_cold ? dates->first : dates->last;
        if (!d) continue;
        // The leg where it is cold first, or last, decides; seasons begin in July, or in January in the south.
        const int origin = dates->starts == season_start::july ? 181 : 0;
        const auto order = [&](day_of_year x) { return (ordinal(x) - origin + 365) % 365; };
        if (!date || (into_cold ? order(*d) < order(*date) : order(*d) > order(*date))) date = d;
      }
      if (!date || !every_leg) continue;
      now.start = into_cold ? earlier(*date, in_days(p.pick.carry_over)) : *date;
      const month_pick& begins = p.pick.months[static_cast<std::size_t>(now.start->month - 1)];
      now.held_back = begins.greases[now.grease].excluded == exclusion::too_soft_for_heat;
      if (now.held_back) now.start = day_of_year{now.from_month, 1};
    }
  }

  season_options cut(const route_plan& p) const {
    return {.risk = fleet_.policy.risk, .starts = detail::start_of_year(p.pick)};
  }

  std::optional<season_dates> dates_at(const route_plan& p, const leg_climate& l, temperature limit) const {
    const temperature at_station = limit - l.shift;
    const season_options options = cut(p);
    return std::visit(
        [&](const auto& series) -> std::optional<season_dates> {
          if constexpr (requires { dates_of_cold(series, at_station, options); })
            return dates_of_cold(series, at_station, options);
          else
            return std::nullopt;
        },
        l.climate->series);
  }

  /// Each recorded winter's coldest 1 % hour, and the chance of the worst grease that may stand in the lines in winter.
  void set_winter_chance(route_plan& p, std::span<const leg_climate> legs) const {
    std::set<std::size_t> in_winter;
    for (const planned_fill& f : p.fills) {
      const int judged = detail::route_job::months_judged(p.pick, months_of(f));
      const int coldest = coldest_month(p.pick).month;
      for (const int month : {coldest + 11, coldest, coldest + 1}) {
        if ((month - f.from_month + 12) % 12 < judged) in_winter.insert(f.grease);
      }
    }
    double worst = 2.0;
    int winters = 0;
    for (const leg_climate& l : legs) {
      const std::vector<temperature> coldest = std::visit(
          [&](const auto& series) -> std::vector<temperature> {
            if constexpr (requires { season_quantiles(series, 0.01, cut(p)); })
              return season_quantiles(series, fleet_.policy.share, cut(p));
            else
              return {};
          },
          l.climate->series);
      if (coldest.empty()) return;
      double sum = 0.0;
      for (const temperature t : coldest) {
        double chance = 1.0;
        for (const std::size_t g : in_winter)
          chance = std::min(chance, work_.in_air(g, t + l.shift, p.pick).chance.value_or(0.0));
        sum += chance;
      }
      const double mean = sum / static_cast<double>(coldest.size());
      if (mean >= worst) continue;
      worst = mean;
      winters = static_cast<int>(coldest.size());
    }
    if (worst > 1.0) return;
    p.winter_chance = worst;
    p.winters = winters;
  }

  void set_trip(route_plan& p, std::span<const leg_climate> legs) const {
    if (legs.size() < 2 || std::ranges::any_of(legs, [](const leg_climate& l) { return !l.hours || !l.has_hours(); }))
      return;
    const planned_fill& f = coldest_fill(p);
    const auto limit = work_.coldest_of(f.grease, p.pick);
    if (!limit) return;
    trip_share trip;
    double hours = 0.0;
    for (const leg_climate& l : legs) {
      const std::vector<temperature> at_station(12, *limit - l.shift);
      const auto below = below_by_month(l.climate->series, std::span<const temperature, 12>(at_station));
      double colder = 0.0;
      for (int step = 0, month = f.from_month; step < months_of(f); ++step, month = month_after(month))
        colder += below[static_cast<std::size_t>(month - 1)].hours_a_year;
      const double share = colder / (24.0 * season_days(f));
      trip.of_time += *l.hours * share;
      trip.least = std::max(trip.least, share);
      trip.most += share;
      hours += *l.hours;
    }
    trip.of_time /= hours;
    trip.most = std::min(1.0, trip.most);
    p.trip = trip;
  }

  /// The fill that is pumped in the coldest month.
  const planned_fill& coldest_fill(const route_plan& p) const {
    const int month = coldest_month(p.pick).month;
    return *std::ranges::find_if(
        p.fills, [&](const planned_fill& f) { return (month - f.from_month + 12) % 12 < months_of(f); });
  }

  void set_alternatives(route_plan& p) const {
    const month_pick& m = coldest_month(p.pick);
    const std::size_t picked = coldest_fill(p).grease;
    for (const grease_month& g : m.greases) {
      if (g.grease == picked || g.excluded != exclusion::none || !g.coldest || !g.chance) continue;
      p.alternatives.push_back({g.grease, *g.chance, m.design - *g.coldest});
    }
    // Nearest: the least away from just passing.
    std::ranges::stable_sort(p.alternatives, {}, [](const alternative& a) { return std::abs(in_kelvins(a.margin)); });
    if (p.alternatives.size() > 2) p.alternatives.resize(2);
  }

  /// Every assumption moved by a step that people argue about, one at a time.
  void set_sensitivities(route_plan& p) const {
    const month_pick& m = coldest_month(p.pick);
    const std::size_t g = coldest_fill(p).grease;
    const auto coldest_with = [&](const grease& model, double confidence, auto&& change) -> std::optional<temperature> {
      std::optional<temperature> worst;
      for (const std::size_t i : p.pick.installations) {
        installation system = work_.installations()[i];
        for (line& l : system.lines) change(l);
        const auto t = coldest_passing(system, model, confidence);
        if (!t) return std::nullopt;
        worst = worst ? std::max(*worst, *t) : *t;
      }
      return worst;
    };
    const auto as_it_is = [](line&) {};
    const double confidence = fleet_.policy.confidence;
    const auto now = work_.coldest_of(g, p.pick);
    if (!now) return;
    const auto add = [&](std::string what, std::optional<temperature> then) {
      if (then) p.sensitivities.push_back({std::move(what), *now - *then});
    };
    const double higher = std::min(most_confidence, confidence + 0.1);
    add(fmt::format("confidence {:.2f} instead of {:.2f}", higher, confidence),
        coldest_with(stock_[g], higher, as_it_is));
    add(fmt::format("{} more at every point", both_units(bar(10))),
        coldest_with(stock_[g], confidence, [](line& l) { l.outlet = l.outlet.value_or(assumed_outlet()) + bar(10); }));
    const auto warm = outlet_found_warm{}.at;
    if (std::ranges::any_of(p.pick.installations, [&](std::size_t i) {
          return std::ranges::any_of(work_.installations()[i].lines, [](const line& l) { return !l.outlet_at; });
        }))
      add("pressures at the points found at " + both_scales(warm), coldest_with(stock_[g], confidence, [&](line& l) {
            if (!l.outlet_at) l.outlet_at = warm;
          }));
    add("every bore 5 % smaller", coldest_with(stock_[g], confidence, [](line& l) {
          for (segment& s : l.segments) s.bore *= 0.95;
        }));
    if (!stock_[g].was_measured()) {
      // The same grease, measured in the cold where it is used, and found to be just what was estimated.
      evidence known = stock_[g].known();
      const auto curve = stock_[g].at(m.design);
      if (curve) {
        known.points = {{m.design, per_second(3.0), stress(*curve, nominal_rate{per_second(3.0)})}};
        add("the grease measured in the cold, as estimated", coldest_with(estimate(known), confidence, as_it_is));
      }
    }
    if (m.return_minimum)
      p.sensitivities.push_back({fmt::format("{:g}-year minimum instead of the coldest {:g} %",
                                             fleet_.policy.return_years, 100.0 * fleet_.policy.share),
                                 *m.return_minimum - m.design});
    std::ranges::stable_sort(p.sensitivities, std::ranges::greater{},
                             [](const sensitivity& s) { return std::abs(in_kelvins(s.moves)); });
  }

  const fleet& fleet_;
  std::span<const grease> stock_;
  detail::route_job& work_;
  bool by_cost_;
};

std::vector<purchase_row> purchase_of(std::span<const grease> stock, const plan_answer& a) {
  std::vector<purchase_row> rows;
  for (const route_plan& r : a.routes) {
    const std::string& region = r.pick.region.empty() ? r.pick.route : r.pick.region;
    for (const planned_fill& fill : r.fills) {
      if (!fill.per_vehicle) continue;
      const mass needed = static_cast<double>(r.vehicles) * *fill.per_vehicle;
      const auto same = std::ranges::find_if(rows, [&](const purchase_row& row) {
        return row.grease == fill.grease && row.region == region && row.from_month == fill.from_month &&
               row.to_month == fill.to_month;
      });
      if (same != rows.end()) {
        same->needed += needed;
      } else {
        rows.push_back({fill.grease, region, fill.from_month, fill.to_month, needed});
      }
    }
  }
  for (purchase_row& row : rows) {
    const planned_fill season{.from_month = row.from_month, .to_month = row.to_month};
    for (int step = 0, month = row.from_month; step < months_of(season); ++step, month = month_after(month))
      row.by_month[static_cast<std::size_t>(month - 1)] =
          row.needed * (days_in_month(2001, month) / season_days(season));
    if (const auto& pack = stock[row.grease].known().pack)
      row.packs = std::ceil(in_kilogram(row.needed) / in_kilogram(*pack) - 1e-9);
  }
  std::ranges::stable_sort(rows, {}, [](const purchase_row& row) { return row.grease; });
  return rows;
}

/// For every set of greases (a bit each) the best that each route can do from within it: first the sets that a route
/// itself uses, then each set takes over what its subsets can.
std::vector<score> by_set(const planner& p, const route_pick& r, std::span<const std::size_t> candidates,
                          std::size_t fills) {
  const std::size_t n = candidates.size();
  const year_of_choices year = p.choices(r);
  std::vector<score> best(std::size_t{1} << n, detail::impossible);
  std::vector<std::size_t> allowed;
  for (std::uint32_t set = 1; set < best.size(); ++set) {
    if (static_cast<std::size_t>(std::popcount(set)) > fills) continue;
    allowed.clear();
    for (std::size_t c = 0; c < n; ++c) {
      if ((set >> c & 1U) != 0U) allowed.push_back(candidates[c]);
    }
    if (const auto found = p.best(year, allowed)) best[set] = found->total;
  }
  for (std::size_t c = 0; c < n; ++c) {
    for (std::uint32_t set = 1; set < best.size(); ++set) {
      if ((set >> c & 1U) != 0U) best[set] = std::min(best[set], best[set ^ (1U << c)]);
    }
  }
  return best;
}

std::vector<kinds_row> kinds_of(const fleet& f, const planner& p, detail::progress_steps& steps, plan_answer& a) {
  // Greases that serve no route in any month need not be looked at; those of the plans come first.
  std::vector<std::size_t> candidates;
  for (const std::size_t g : p.by_preference()) {
    const bool somewhere = std::ranges::any_of(a.routes, [&](const route_plan& r) {
      return std::ranges::any_of(r.pick.months,
                                 [&](const month_pick& m) { return detail::route_job::passes(m.greases[g]); });
    });
    if (somewhere) candidates.push_back(g);
  }
  if (candidates.size() > most_candidates) {
    std::stable_partition(candidates.begin(), candidates.end(), [&](std::size_t g) {
      return std::ranges::any_of(a.routes, [&](const route_plan& r) {
        return std::ranges::find(r.fills, g, &planned_fill::grease) != r.fills.end();
      });
    });
    a.notes.push_back(fmt::format("{} greases pass somewhere: the kinds are counted among {}, those of the plans first",
                                  candidates.size(), most_candidates));
    candidates.resize(most_candidates);
  }
  const std::size_t fills = static_cast<std::size_t>(std::max(1, f.policy.seasons));
  struct total {
    int unserved = 0;
    score cost{};
    auto operator<=>(const total&) const = default;
  };
  std::vector<total> totals(std::size_t{1} << candidates.size());
  for (const route_plan& r : a.routes) {
    const auto best = by_set(p, r.pick, candidates, fills);
    for (std::size_t set = 1; set < totals.size(); ++set) {
      if (best[set] == detail::impossible) {
        ++totals[set].unserved;
      } else {
        totals[set].cost = totals[set].cost + score{r.vehicles * best[set].first, r.vehicles * best[set].second};
      }
    }
    steps.next();
  }
  std::vector<kinds_row> rows;
  std::optional<total> last;
  for (int kinds = 1; kinds <= static_cast<int>(candidates.size()); ++kinds) {
    std::uint32_t best = 0;
    for (std::uint32_t set = 1; set < totals.size(); ++set) {
      if (std::popcount(set) == kinds && (best == 0 || totals[set] < totals[best])) best = set;
    }
    kinds_row row{.kinds = kinds, .served = static_cast<int>(a.routes.size()) - totals[best].unserved};
    for (std::size_t c = 0; c < candidates.size(); ++c) {
      if ((best >> c & 1U) != 0U) row.greases.push_back(candidates[c]);
    }
    if (a.by_cost && totals[best].unserved == 0) row.cost = totals[best].cost.first;
    if (row.served == 0) continue;
    // Further kinds that neither serve more nor cost less are no choice.
    if (last && totals[best] >= *last) continue;
    last = totals[best];
    p.compare(a.routes, row);
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace

plan_answer plan(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules,
                 const progress& listener) {
  return detail::plan_with(f, stock, rules, listener, [](const route_plan&, std::span<const leg_climate>) {});
}

plan_answer detail::plan_with(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules,
                              const progress& listener, const take_plan& take) {
  plan_answer a{.about = f.about, .confidence = f.policy.confidence, .risk = f.policy.risk};
  detail::route_job work(f.installations, stock, f.policy, rules);
  const bool priced = std::ranges::all_of(stock, [](const grease& g) { return g.known().price.has_value(); });
  std::string undosed;
  for (const installation& i : f.installations) {
    if (!daily_volume(i)) undosed += fmt::format("{}{}", undosed.empty() ? "" : ", ", i.name);
  }
  a.by_cost = priced && undosed.empty();
  if (!undosed.empty())
    a.notes.push_back(
        fmt::format("a dose or an interval is missing: no kilograms for {}, and no costs for any route; the "
                    "fewest fills, then the stiffest grease are taken",
                    undosed));
  if (!priced) a.notes.push_back("not every grease has a price: the fewest fills, then the stiffest grease are taken");
  planner p(f, stock, work, a.by_cost);
  a.routes.reserve(f.routes.size());
  detail::progress_steps steps(listener, 2 * f.routes.size());  // each route is planned, then weighed for the kinds
  detail::for_each_route(f, work, steps, [&](const route& r, route_pick&& picked, std::span<const leg_climate> legs) {
    a.routes.push_back(p.plan(std::move(picked), r.vehicles, legs));
    take(a.routes.back(), legs);
  });
  a.purchase = purchase_of(stock, a);
  a.kinds = kinds_of(f, p, steps, a);
  return a;
}

}  // namespace coldgrease::inline v0
