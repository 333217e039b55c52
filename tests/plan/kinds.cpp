// How few kinds of grease would do: against enumeration, and against plans with a set alone.
#include "coldgrease/plan/plan.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <bit>

#include "demo_plan.hpp"
#include "near.hpp"
#include "random_fleet.hpp"

using namespace coldgrease;

namespace {

const fill* on_coldest(const route_pick& r) {
  const month_pick& m = coldest_month(r);
  const auto made = std::ranges::find(r.decided.fills, m.greases[m.shown].grease, &fill::grease);
  return made == r.decided.fills.end() ? nullptr : &*made;
}

}  // namespace

TEST_CASE("law: the best set of so many kinds is what enumeration of all sets finds") {
  fleet f = demo_fleet();
  f.routes.erase(f.routes.begin());
  f.policy.prefer = preference::cheapest;
  f.policy.at_change = change_practice::emptied;
  const planned all = plan_of(f);
  for (const kinds_row& row : all.answer.kinds) {
    int best_served = -1;
    double best_cost = INFINITY;
    for (std::uint32_t set = 1; set < 1U << all.stock.size(); ++set) {
      if (std::popcount(set) != row.kinds) continue;
      fleet part = f;
      part.greases.clear();
      for (std::size_t g = 0; g < all.stock.size(); ++g) {
        if ((set >> g & 1U) != 0U) part.greases.push_back(f.greases[g]);
      }
      const plan_answer a = plan(part, stock_of(part));
      int served = 0;
      double cost = 0.0;
      for (const route_plan& r : a.routes) {
        served += r.pick.decided.served();
        cost += r.pick.decided.money ? r.pick.decided.money->sum() : 0.0;
      }
      if (served > best_served || (served == best_served && cost < best_cost)) {
        best_served = served;
        best_cost = cost;
      }
    }
    CHECK(row.served == best_served);
    if (row.money) CHECK(near(*row.money, best_cost, 1e-9));
  }
  CHECK(all.answer.kinds.size() >= 2);
}

TEST_CASE("law: what a set of kinds loses is what a plan with that set alone has less") {
  // One coast is cheaply served by a soft grease with much margin; the other's points ask for NLGI 2, which passes on
  // both; the plain needs a third.
  fleet f = demo_fleet();
  f.policy.at_change = change_practice::emptied;
  f.policy.prefer = preference::cheapest;
  f.installations.push_back(f.installations[0]);
  f.installations.back().name = "asks for 2";
  for (line& l : f.installations.back().lines) l.rules.classes = {{.nlgi = {"2"}}};
  f.routes = {f.routes[0], f.routes[0], f.routes[1]};
  f.routes[1].name = "coast of 2";
  f.routes[1].installations = {f.installations.size() - 1};
  f.greases[2].price = mass_price{0.5, "EUR"};
  int losers = 0, unserved = 0;
  const planned all = plan_of(f);
  const auto margin = [](const route_plan& r) {
    const month_pick& m = coldest_month(r.pick);
    return in_kelvins(m.design - *m.greases[on_coldest(r.pick)->grease].coldest);
  };
  const auto names = [](const std::vector<std::size_t>& routes, std::size_t r) {
    return std::ranges::find(routes, r) != routes.end();
  };
  for (const kinds_row& row : all.answer.kinds) {
    CHECK(static_cast<std::size_t>(row.served) + row.unserved.size() == all.answer.routes.size());
    fleet part = f;
    part.greases.clear();
    for (const std::size_t g : row.greases) part.greases.push_back(f.greases[g]);
    const planned few = plan_of(part);
    for (std::size_t r = 0; r < few.answer.routes.size(); ++r) {
      const bool served = few.answer.routes[r].pick.decided.served();
      CHECK(names(row.unserved, r) == !served);
      if (served)
        CHECK(names(row.lose_margin, r) == (margin(few.answer.routes[r]) < margin(all.answer.routes[r]) - 0.05));
      losers += names(row.lose_margin, r);
      unserved += !served;
    }
  }
  CHECK(all.answer.kinds.back().lose_margin.empty());
  CHECK(losers > 0);
  CHECK(unserved > 0);
}

TEST_CASE("case: two kinds that help only together are found, although neither helps alone") {
  fleet f = demo_fleet();
  f.routes = {f.routes[0], f.routes[1]};
  f.installations.push_back(f.installations[0]);  // the coast's own: its points ask for what the plain's ban
  for (line& l : f.installations[3].lines) l.rules.required_solids = {"MoS2"};
  for (const std::size_t i : f.routes[1].installations) {
    for (line& l : f.installations[i].lines) l.rules.banned_solids = {"MoS2"};
  }
  f.routes[0].installations = {3};
  std::vector<evidence> greases;
  for (const char* name : {"Mineral 0", "Synthetic 1", "Naphthenic 000"})
    greases.push_back(*std::ranges::find(f.greases, name, &evidence::name));
  greases[0].solids = std::vector<solid>{{"MoS2", 0.03}};
  f.greases = greases;
  const planned p = plan_of(f);
  REQUIRE(p.answer.kinds.size() == 2);
  CHECK(p.answer.kinds[0].kinds == 1);
  CHECK(p.answer.kinds[0].served == 1);
  CHECK(p.answer.kinds[1].kinds == 3);
  CHECK(p.answer.kinds[1].served == 2);
}
