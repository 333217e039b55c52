#include "coldgrease/plan/compare.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numeric>
#include <tuple>

#include "coldgrease/base/error.hpp"
#include "coldgrease/line/limits.hpp"
#include "plan/route_pick.hpp"
#include "plan/route_remarks.hpp"
#include "plan/supply.hpp"

namespace coldgrease::inline v0 {

namespace detail {

namespace {

/// The coldest air in which a grease passes on a route, as far as anybody knows it: normal.
struct known_limit {
  double middle = 0.0;     // [C]
  double deviation = 0.0;  // [K]
};

/// From the limits at two confidences, which lie on a straight line of the normal quantile but for the curvature of the
/// flow curve with temperature. The warmest system decides, as for the route.
std::optional<known_limit> limit_of(const fleet_limits& f, std::span<const std::size_t> installations, std::size_t g) {
  constexpr double even = 0.55, sure = 0.9;
  const auto coldest = [&](double confidence) -> std::optional<double> {
    std::optional<double> worst;
    for (const std::size_t i : installations) {
      const auto own = coldest_passing(f.systems[i], f.stock[g], confidence);
      if (!own) return std::nullopt;
      worst = std::max(worst.value_or(own->in_celsius()), own->in_celsius());
    }
    return worst;
  };
  const auto low = coldest(even), high = coldest(sure);
  if (!low || !high) return std::nullopt;
  const double z_low = normal_quantile(even), z_high = normal_quantile(sure);
  const double deviation = (*high - *low) / (z_high - z_low);
  return known_limit{*low - z_low * deviation, deviation};
}

/// True if nobody can say which of two passes in the colder air.
bool told_equal(const known_limit& a, const known_limit& b) {
  const double spread = std::hypot(a.deviation, b.deviation);
  if (!(spread > 0.0)) return a.middle == b.middle;
  const double chance = boost::math::cdf(boost::math::normal(), (b.middle - a.middle) / spread);
  return chance >= least_telling && chance <= 1.0 - least_telling;
}

/// Greases that an offer would meet in the lines: those that are in them now, else those of the plan.
std::vector<std::pair<std::size_t, bool>> met_by(const fleet& f, const route_pick& r) {
  std::vector<std::pair<std::size_t, bool>> met;
  const auto add = [&](std::size_t g, bool kept) {
    if (std::ranges::find(met, std::pair(g, kept)) == met.end()) met.emplace_back(g, kept);
  };
  for (const kept_grease& k : f.keep) {
    if (std::ranges::find(r.installations, k.installation) != r.installations.end()) add(k.grease, true);
  }
  if (!met.empty()) return met;
  for (const fill& made : r.decided.fills) add(made.grease, false);
  return met;
}

offer_on_route offer_on(const fleet& fleet, const fleet_limits& f, const route_year& y, const route_pick& r,
                        std::size_t g, const compatibility_table& charts) {
  const grease_year& own = y.greases[g];
  const judged_pentad& coldest = y.pentads[y.coldest_pentad()];
  offer_on_route o{.grease = g,
                   .passes = (own.stands & own.allowed).all(),
                   .too_cold = spans_of(~own.stands, y.origin()),
                   .barred = spans_of(~own.allowed, y.origin() + days_a_year / 2),
                   .coldest_days = judge(f, y.installations, g, coldest.cold, coldest.hot),
                   .coldest = own.coldest};
  if (own.coldest) o.margin = coldest.cold - *own.coldest;
  if (const take t = take_of(f, y.installations, g); t.daily) {
    const double kg = *t.daily * days_a_year * r.vehicles;
    o.needed = kilogram(kg);
    o.money = cost_of(f.stock[g].known(), kg);
  }
  for (const auto& [met, kept] : met_by(fleet, r)) {
    if (met != g)
      o.mixing.push_back(
          {met, kept, compatibility(f.stock[met].known().thickener, f.stock[g].known().thickener, charts)});
  }
  if (!o.coldest_days.unfed) {
    const point_index& p = o.coldest_days.worst;
    o.ask = check(f.systems[p.installation].lines[p.line], f.stock[g],
                  conditions_of(f.systems[p.installation], coldest.cold, f.policy.confidence))
                .ask_supplier;
  }
  return o;
}

/// Data that a data sheet has and a record leaves out.
std::vector<std::string> not_stated_of(const grease& g) {
  const evidence& e = g.known();
  std::vector<std::string> out;
  const auto need = [&](bool stated, const char* what) {
    if (!stated) out.emplace_back(what);
  };
  need(!e.nlgi.empty() || e.penetration.has_value() || !e.designation.empty(), "NLGI class or worked penetration");
  need(g.oil() == oil_knowledge::known, "viscosity of the base oil at 40 C and 100 C, and its type");
  need(e.pour.has_value(), "pour point of the base oil");
  need(!e.thickener.empty(), "thickener");
  need(e.solids.has_value(), "solid lubricants and their shares, or that there are none");
  need(g.was_measured(), "apparent viscosity (ASTM D1092) in the cold");
  need(e.price || e.pack_price, "price and pack");
  return out;
}

/// The routes on which an offer has the least margin, at the coldest of which nothing is known of it.
std::vector<std::size_t> hardest_for(std::span<const compared_route> routes, std::size_t offer) {
  constexpr std::size_t few = 3;
  std::vector<std::size_t> all(routes.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  const auto rank = [&](std::size_t r) {
    const auto& margin = routes[r].offers[offer].margin;
    return std::tuple(margin.has_value(), in_kelvins(margin ? *margin : routes[r].coldest - celsius(0)));
  };
  std::ranges::stable_sort(all, {}, rank);
  if (all.size() > few) all.resize(few);
  return all;
}

}  // namespace

}  // namespace detail

compare_answer compare(const fleet& f, std::span<const grease> stock, std::span<const std::size_t> own,
                       std::span<const evidence> offers, std::span<const published_rule> rules,
                       const compatibility_table& charts, const progress& listener, int jobs) {
  compare_answer a{.about = f.about,
                   .confidence = f.policy.confidence,
                   .rules = std::vector(rules.begin(), rules.end()),
                   .stock = std::vector(stock.begin(), stock.end())};
  std::vector<std::size_t> offered(own.begin(), own.end());
  for (const evidence& e : offers) {
    if (std::ranges::find(a.stock, e.name, &grease::name) != a.stock.end())
      throw input_error("offers", "a grease is called " + in_quotes(e.name) + " already", "names of their own");
    offered.push_back(a.stock.size());
    a.stock.push_back(estimate(e));
  }
  if (offered.empty()) throw input_error("offers", "none is given", "one or more");
  std::vector<evidence> records;
  for (const grease& g : a.stock) records.push_back(g.known());
  a.currency = currency_of(records, f.policy);
  const detail::fleet_limits fleet_own = detail::limits_of(f.installations, stock, f.policy, rules, jobs);
  const detail::fleet_limits all = detail::limits_of(f.installations, a.stock, f.policy, rules, jobs);
  a.missing = detail::missing_of(fleet_own, f);
  a.routes.resize(f.routes.size());
  detail::for_each_route(
      f, fleet_own, listener, jobs,
      [&](detail::decided_route&& d) {
        const detail::route_year y = detail::year_of_route(all, d.pick.installations, std::move(d.year.weather));
        compared_route r;
        r.pick = std::move(d.pick);
        const std::size_t coldest = y.coldest_pentad();
        r.coldest = y.pentads[coldest].cold;
        r.coldest_on = day_at(middle_of_pentad(coldest));
        std::vector<std::optional<detail::known_limit>> limits;
        for (const std::size_t g : offered) {
          r.offers.push_back(detail::offer_on(f, all, y, r.pick, g, charts));
          limits.push_back(detail::limit_of(all, y.installations, g));
        }
        for (std::size_t i = 0; i < offered.size(); ++i) {
          for (std::size_t j = 0; j < offered.size(); ++j) {
            if (i != j && limits[i] && limits[j] && detail::told_equal(*limits[i], *limits[j]))
              r.offers[i].told_equal.push_back(offered[j]);
          }
        }
        return r;
      },
      [&](std::size_t i, compared_route&& r) -> route_pick& { return (a.routes[i] = std::move(r)).pick; });
  for (std::size_t o = 0; o < offered.size(); ++o) {
    offer_question& q = a.questions.emplace_back();
    q.grease = offered[o];
    q.not_stated = detail::not_stated_of(a.stock[offered[o]]);
    q.hardest = detail::hardest_for(a.routes, o);
  }
  return a;
}

}  // namespace coldgrease::inline v0
