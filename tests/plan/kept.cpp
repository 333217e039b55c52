// What if the grease that is in the lines stays.
#include "coldgrease/plan/plan.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "demo_plan.hpp"
#include "near.hpp"

using namespace coldgrease;

TEST_CASE("case from users: what is in the lines already: how long it starves, and when to change") {
  fleet f = demo_fleet();
  f.routes = {f.routes[2]};
  for (std::size_t i = 0; i < f.installations.size(); ++i) f.keep.push_back({i, 1});  // Mineral 1
  const planned p = plan_of(f);
  const route_plan& r = p.answer.routes[0];
  REQUIRE(r.keep);
  CHECK(!r.keep->passes);
  REQUIRE(r.keep->hours);
  CHECK(*r.keep->hours > 100.0);
  double sum = 0.0;
  for (const auto& h : r.keep->starved) sum += h.value_or(0.0);
  CHECK(sum >= *r.keep->hours - 1e-9);
  REQUIRE(r.keep->too_cold.size() == 1);
  REQUIRE(r.keep->change_by);
  // So much before the first failing day as the last of it takes.
  CHECK(around_year(r.keep->too_cold[0].first - ordinal(*r.keep->change_by)) >=
        static_cast<int>(std::lround(in_days(r.pick.decided.carry_over))));
  f.keep = {{0, r.pick.decided.fills[0].grease}};
  f.policy.softest_in_heat.reset();
  const planned soft = plan_of(f);
  REQUIRE(soft.answer.routes[0].keep);
  CHECK(soft.answer.routes[0].keep->passes);
  CHECK(near(*soft.answer.routes[0].keep->hours, 0.0, 0.0, 1.0));
}

TEST_CASE("law: of two greases that stay in a route's systems the one that gives out first says when to change") {
  fleet f = demo_fleet();
  f.routes = {f.routes[1]};
  const auto change_by = [&](std::size_t tractor, std::size_t trailer) {
    f.keep = {{0, tractor}, {1, trailer}};
    const planned p = plan_of(f);
    REQUIRE(p.answer.routes[0].keep);
    return p.answer.routes[0].keep->change_by;
  };
  const auto from_july = [](const day_of_year& d) { return around_year(ordinal(d) - ordinal({7, 1})); };
  const auto stiff = change_by(2, 2), soft = change_by(6, 6), one = change_by(2, 6), other = change_by(6, 2);
  REQUIRE(soft);
  for (const auto& mixed : {one, other}) {
    CHECK(mixed.has_value() == stiff.has_value());
    if (mixed) CHECK(from_july(*mixed) <= from_july(*soft));
    if (mixed) CHECK(*mixed == *stiff);
  }
}

TEST_CASE("law: a kept grease is followed by what the plan pumps on that day, which nothing bars then") {
  fleet f = demo_fleet();
  int told = 0, at_once = 0;
  for (std::size_t g = 0; g < f.greases.size(); ++g) {
    f.keep.clear();
    for (std::size_t i = 0; i < f.installations.size(); ++i) f.keep.push_back({i, g});
    const planned p = plan_of(f);
    for (const route_plan& r : p.answer.routes) {
      REQUIRE(r.keep);
      const kept_plan& k = *r.keep;
      CHECK(k.passes == (k.too_cold.empty() && k.barred.empty()));
      CHECK(k.into.has_value() == !k.passes);
      if (k.passes) continue;
      CHECK(near(*k.labour, 45.0 * r.pick.vehicles, 1e-12));
      CHECK(in_kilogram(*k.at_change) > 0.0);
      at_once += !k.change_by;
      if (!k.change_by) continue;
      ++told;
      const int day = ordinal(*k.change_by);
      const auto on = std::ranges::find_if(r.pick.decided.fills, [&](const fill& x) { return x.days.contains(day); });
      REQUIRE(on != r.pick.decided.fills.end());
      CHECK(on->grease == *k.into);
      // Not begun with while the kept one fails already.
      for (const season& s : k.too_cold) CHECK(!s.contains(day));
      for (const season& s : k.barred) CHECK(!s.contains(day));
      const grease_month& then = r.pick.months[static_cast<std::size_t>(k.change_by->month - 1)].greases[*k.into];
      if (k.change_by->month != on->days.to().month && k.change_by->month != on->days.from().month)
        CHECK(then.excluded == exclusion::none);
    }
  }
  CHECK(told > 0);
  CHECK(at_once > 0);
}

TEST_CASE("case from users: a stiff grease is followed by the summer's, not by the soft one that summer bars") {
  fleet f = demo_fleet();
  f.routes = {f.routes[1]};
  std::size_t stiff = 0;
  while (f.greases[stiff].name != "Synthetic 2") ++stiff;
  for (std::size_t i = 0; i < f.installations.size(); ++i) f.keep.push_back({i, stiff});
  const planned p = plan_of(f);
  const kept_plan& k = *p.answer.routes[0].keep;
  REQUIRE(k.change_by);
  CHECK(p.stock[*k.into].name() == "Synthetic 1");
}

TEST_CASE("case from users: a soft grease that summer alone bars is barred in summer, not all year") {
  fleet f = demo_fleet();
  f.routes = {f.routes[0]};
  std::size_t soft = 0;
  while (f.greases[soft].name != "Synthetic 00") ++soft;
  for (std::size_t i = 0; i < f.installations.size(); ++i) f.keep.push_back({i, soft});
  const planned p = plan_of(f);
  const kept_plan& k = *p.answer.routes[0].keep;
  CHECK(!k.passes);
  CHECK(k.too_cold.empty());
  REQUIRE(!k.barred.empty());
  for (const season& s : k.barred) {
    CHECK(ordinal(s.from()) >= ordinal({5, 1}));
    CHECK(ordinal(s.to()) <= ordinal({9, 30}));
  }
  CHECK(*k.chance > 0.9);
}
