#include "coldgrease/plan/pick.hpp"

#include <numeric>

#include "plan/route_pick.hpp"
#include "plan/route_remarks.hpp"

namespace coldgrease::inline v0 {

namespace {

pick_answer asked(const policy& p, std::span<const published_rule> rules) {
  return {.confidence = p.confidence,
          .share = p.share,
          .return_years = p.return_years,
          .risk = p.risk,
          .prefer = p.prefer,
          .at_change = p.at_change,
          .rules = std::vector(rules.begin(), rules.end())};
}

std::vector<evidence> records_of(std::span<const grease> stock) {
  std::vector<evidence> records;
  for (const grease& g : stock) records.push_back(g.known());
  return records;
}

}  // namespace

pick_answer pick(const year_climate& year, std::span<const installation> installations, std::span<const grease> stock,
                 const policy& p, std::span<const published_rule> rules, int vehicles) {
  const detail::fleet_limits limits = detail::limits_of(installations, stock, p, rules);
  pick_answer answer = asked(p, rules);
  answer.currency = currency_of(records_of(stock), p);
  if (p.prefer == preference::cheapest) need_prices(records_of(stock), p);
  answer.missing = detail::missing_of(limits, std::span<const route>());
  std::vector<std::size_t> all(installations.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  answer.routes.push_back(
      detail::decide(limits, {year.station(), {}, vehicles}, std::move(all), detail::weather_at(year)).pick);
  return answer;
}

pick_answer pick(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules,
                 const progress& listener, int jobs) {
  const detail::fleet_limits limits = detail::limits_of(f.installations, stock, f.policy, rules, jobs);
  pick_answer answer = asked(f.policy, rules);
  answer.about = f.about;
  answer.currency = currency_of(f.greases, f.policy);
  answer.missing = detail::missing_of(limits, f);
  answer.routes.resize(f.routes.size());
  detail::for_each_route(
      f, limits, listener, jobs, [](detail::decided_route&& d) { return std::move(d.pick); },
      [&](std::size_t i, route_pick&& own) -> route_pick& { return answer.routes[i] = std::move(own); });
  answer.tows = judge_tows(f, answer.routes);
  return answer;
}

learn_answer lessons_of(const fleet& f, outlier_rule outliers) {
  std::vector<grease> stock;
  stock.reserve(f.greases.size());
  for (const evidence& e : f.greases) stock.push_back(estimate(e));
  return learn(stock, f.installations, f.taken, {.confidence = f.policy.confidence, .outliers = outliers});
}

std::vector<grease> stock_of(const fleet& f) { return lessons_of(f).stock; }

}  // namespace coldgrease::inline v0
