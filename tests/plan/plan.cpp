// The buyer's plan: dates, preferences and what is said of them, against laws.
#include "coldgrease/plan/plan.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/seasons.hpp"
#include "coldgrease/climate/statistics.hpp"
#include "coldgrease/line/dosing.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "demo_plan.hpp"
#include "near.hpp"
#include "random_fleet.hpp"
#include "refusal.hpp"

using namespace coldgrease;

TEST_CASE("law: by the cheapest a dearer change-over never makes more changes, and no other plan costs less") {
  fleet f = demo_fleet();
  f.policy.prefer = preference::cheapest;
  std::size_t last = 99;
  for (const double cost : {0.0, 20.0, 100.0, 1e4}) {
    f.policy.costs.changeover = money{cost, "EUR"};
    std::size_t fills = 0;
    for (const route_plan& r : plan_of(f).answer.routes) fills += r.pick.decided.fills.size();
    CHECK(fills <= last);
    last = fills;
  }
  f.policy.costs.changeover = money{45.0, "EUR"};
  const planned cheapest = plan_of(f);
  f.policy.prefer = preference::stiffest;
  const planned stiffest = plan_of(f);
  for (std::size_t r = 0; r < f.routes.size(); ++r) {
    const route_pick &a = cheapest.answer.routes[r].pick, &b = stiffest.answer.routes[r].pick;
    CHECK(a.decided.money->sum() <= b.decided.money->sum() + 1e-9);
    CHECK(b.decided.hot_days <= a.decided.hot_days);
    // Each stands beside the other.
    REQUIRE(a.otherwise);
    REQUIRE(b.otherwise);
    CHECK(near(a.otherwise->money->sum(), b.decided.money->sum(), 1e-12));
    CHECK(near(b.otherwise->money->sum(), a.decided.money->sum(), 1e-12));
  }
}

TEST_CASE("law: a change into the cold begins before the cold that the old grease cannot stand, by what a fill lasts") {
  const planned p = plan_of(demo_fleet());
  int dated = 0;
  for (std::size_t n = 0; n < p.answer.routes.size(); ++n) {
    const choice& c = p.answer.routes[n].pick.decided;
    if (c.fills.size() != 2 || p.f.routes[n].legs.size() != 1) continue;
    ++dated;
    const fill &cold = c.fills[0], &warm = c.fills[1];
    const leg& l = p.f.routes[n].legs[0];
    const temperature_step shift =
        kelvins(l.elevation ? 6.5e-3 * (in_metre(*l.highest) - in_metre(*l.elevation)) : 0.0);
    const weather air = read_weather(l.weather, l.options);
    const year_climate year = year_of(air);
    const auto from_july = [](int day) { return around_year(day - ordinal({7, 1})); };
    int first = 365, last = 0;
    for (int day = 0; day < 365; ++day) {
      const temperature t = year.pentads[pentad_of(day_at(day + ordinal({7, 1})))].cold - shift;
      if (t < *cold.limit) first = std::min(first, day);
      if (t < *warm.limit) last = std::max(last, day + 1);
    }
    const season_dates out = dates_of_cold(std::get<daily_series>(air), *cold.limit + shift, {.risk = p.answer.risk});
    const season_dates in = dates_of_cold(std::get<daily_series>(air), *warm.limit + shift, {.risk = p.answer.risk});
    if (out.first) first = std::min(first, from_july(ordinal(*out.first)));
    if (in.last) last = std::max(last, from_july(ordinal(*in.last)) + 1);
    CHECK(from_july(cold.days.first) == first - static_cast<int>(std::lround(in_days(c.carry_over))));
    CHECK(from_july(warm.days.first) == last);
  }
  CHECK(dated > 0);
}

TEST_CASE("law: the less of the old grease is left, the later the change into the cold") {
  fleet f = demo_fleet();
  f.routes = {f.routes[2]};
  f.greases = {f.greases[6], f.greases[7]};  // Synthetic 1 and 00
  std::erase_if(f.taken, [&](const reading& r) {
    return std::ranges::find(f.greases, r.grease, &evidence::name) == f.greases.end();
  });
  std::optional<int> later;
  for (const auto practice : {change_practice::run_down, change_practice::emptied, change_practice::purged}) {
    f.policy.at_change = practice;
    const planned p = plan_of(f);
    const auto& fills = p.answer.routes[0].pick.decided.fills;
    if (fills.size() < 2) continue;
    const int from_july = around_year(fills[0].days.first - ordinal({7, 1}));
    if (later) CHECK(from_july >= *later);
    later = from_july;
  }
  CHECK(later);
}

TEST_CASE(
    "case from users: where only a purge gives an answer, it is the plan, asked to empty alone, it stands beside") {
  // A grease stays in the lines for 120 days: what is pumped in August stands there in December.
  fleet f;
  for (const grease& g : {examples::synthetic("1", "1"), examples::synthetic("00", "00")})
    f.greases.push_back(g.known());
  f.installations = {examples::system(250, 120)};
  f.policy.softest_in_heat = heat_limit{"0", celsius(18)};
  f.routes = {{.name = "r", .legs = {{.station = "s", .series = examples::weather(-6, 24)}}, .installations = {0}}};
  const planned p = plan_of(f);
  const choice& c = p.answer.routes[0].pick.decided;
  REQUIRE(c.fills.size() == 2);
  CHECK(c.practice == change_practice::purged);
  CHECK(in_days(c.carry_over) == 0.0);
  f.policy.at_change = change_practice::emptied;
  const route_pick alone = plan_of(f).answer.routes[0].pick;
  CHECK(!alone.decided.served());
  REQUIRE(alone.if_purged);
  CHECK(alone.if_purged->fills[0].days == c.fills[0].days);
  CHECK(std::ranges::any_of(alone.unserved,
                            [](const std::string& n) { return n.find("purge the lines") != std::string::npos; }));
}

TEST_CASE("case from users: no grease is bought for fewer days than it needs to its last point") {
  examples::fleets draw(3);
  int fills = 0;
  for (int n = 0; n < 40; ++n) {
    fleet f = draw.draw();
    f.policy.fills = 3;
    const pick_answer a = pick(f, stock_of(f));
    for (const route_pick& r : a.routes) {
      for (const fill& made : r.decided.fills) {
        if (r.decided.fills.size() < 2) continue;
        ++fills;
        for (const std::size_t i : r.installations)
          CHECK(made.days.days >= in_days(*way_through(f.installations[i])) - 1e-9);
      }
    }
  }
  CHECK(fills > 10);
}

TEST_CASE("case from users: a route by design values has one grease for the year, and says so first") {
  // Chicago by the annual 99 % value is -16.6 C, its January's coldest 1 % of hours in its typical year -21.1 C: the
  // mean annual minimum, -23.7 C, is what it is judged at (tables/design_values.json).
  fleet f = demo_fleet();
  f.routes = {f.routes[0]};
  f.routes[0].legs = {{.design = "Chicago O'Hare"}};
  const planned p = plan_of(f);
  const route_pick& r = p.answer.routes[0].pick;
  CHECK(r.by_design_values);
  CHECK(r.decided.fills.size() == 1);
  for (const month_pick& m : r.months) CHECK(m.design == celsius(-23.7));
  REQUIRE(!r.missing.empty());
  CHECK(r.missing[0].find("no weather file: every day is judged at the published mean annual minimum") !=
        std::string::npos);
  CHECK(!p.answer.routes[0].winter_chance);
}

TEST_CASE("case from users: the record of 88 years is told apart from its last 30") {
  fleet f = demo_fleet();
  f.routes = {f.routes[1]};
  auto days = std::get<daily_series>(read_weather(f.routes[0].legs[0].weather, f.routes[0].legs[0].options)).days;
  const std::vector<daily_extremes> recent = days;
  const int years = 40 * 365 + 10;
  for (const daily_extremes& d : recent) days.push_back({d.day - years, d.low - 6.0, d.high - 6.0});
  f.routes[0].legs[0] = {.station = "long", .series = make_daily_series("long", std::move(days))};
  const planned p = plan_of(f);
  const route_pick& r = p.answer.routes[0].pick;
  CHECK(std::ranges::any_of(r.notes, [](const std::string& n) {
    return n.find("by the last 30 alone the coldest days are judged at") != std::string::npos;
  }));
  REQUIRE(r.decided.fills.size() == 2);
  REQUIRE(r.decided.fills[0].recent);
  CHECK(around_year(ordinal(*r.decided.fills[0].recent) - r.decided.fills[0].days.first) < 60);
  CHECK(around_year(ordinal(*r.decided.fills[0].recent) - r.decided.fills[0].days.first) > 0);
}

TEST_CASE("law: a trip's share of time lies between its legs', its chance between the largest and the sum") {
  fleet f = demo_fleet();
  f.greases = {f.greases[6]};  // Synthetic 1, the year round: the far north is too cold for it at times
  f.policy.confidence = 0.55;
  f.routes = {f.routes.back()};
  f.policy.share = 0.1;
  const route_plan r = plan_of(f).answer.routes.front();
  REQUIRE(r.trip);
  CHECK(r.trip->least > 0.0);
  CHECK(r.trip->of_time <= r.trip->least);
  CHECK(r.trip->most >= r.trip->least);
  // By hand, hour by hour.
  double of_time = 0.0, sum = 0.0;
  const double coldest = r.pick.months[0].greases[0].coldest->in_celsius();
  for (const leg& l : f.routes.front().legs) {
    const auto hours = hours_of(std::get<daily_series>(read_weather(l.weather, l.options)));
    const double colder = static_cast<double>(std::ranges::count_if(hours, [&](double t) { return t < coldest; }));
    const double share = colder / static_cast<double>(hours.size());
    of_time += *l.hours / 14.0 * share;
    sum += share;
  }
  CHECK(near(r.trip->of_time, of_time, 0.01));
  CHECK(near(r.trip->most, sum, 0.01));
}

TEST_CASE("case: a pool that visits several regions needs what the coldest needs, tractor and trailer may differ") {
  std::ifstream in(demo + "fleet.json");
  std::string text((std::istreambuf_iterator<char>(in)), {});
  const auto policy_at = text.find("\"policy\"");
  text.insert(policy_at, R"("pools": [{ "name": "roamers", "visits": ["Mild coast", "Far-north haul"],
                              "installations": ["tractor, 250 bar"], "vehicles": 3 }], )");
  const auto plain_at = text.find("\"vehicles\": 25");
  text.insert(plain_at, "\"separate_fills\": true, ");
  const fleet f = read_fleet(source::memory(demo + "fleet.json", text));
  REQUIRE(f.routes.size() == 5);
  CHECK(f.routes[1].name == "Northern plain: tractor, 250 bar");
  CHECK(f.routes[2].name == "Northern plain: trailer, 100 bar");
  CHECK(f.routes[4].legs.size() == 3);
  const planned p = plan_of(f);
  const month_pick& roaming = p.answer.routes[4].pick.months[0];
  const month_pick& north = p.answer.routes[3].pick.months[0];
  CHECK(roaming.design == north.design);
  CHECK(roaming.governing_station == north.governing_station);
  CHECK(p.answer.routes[1].pick.installations.size() == 1);
}

TEST_CASE("case: no grease serves the year: no fills, no purchase, and what would help") {
  fleet f = demo_fleet();
  f.greases.resize(1);  // Mineral 2
  const planned p = plan_of(f);
  const route_plan& north = p.answer.routes.back();
  CHECK(north.pick.decided.fills.empty());
  CHECK(!north.pick.decided.money);
  CHECK((!north.pick.would_help.empty() || !north.pick.notes.empty()));
}

TEST_CASE("law: half a year later on the other half of the earth the plan is the same, half a year later") {
  fleet f = demo_fleet();
  f.routes = {f.routes[1]};
  f.greases = {f.greases[0], f.greases[1], f.greases[4], f.greases[7]};
  f.policy.softest_in_heat.reset();
  f.policy.at_change = change_practice::purged;
  const auto north_series =
      std::get<daily_series>(read_weather(f.routes[0].legs[0].weather, f.routes[0].legs[0].options));
  const auto planned_with = [&](int shift_days) {
    const auto file = std::filesystem::temp_directory_path() / fmt::format("coldgrease_shift_{}.csv", shift_days);
    {
      std::ofstream out(file);
      out << "date,tmin [C],tmax [C]\n";
      for (const daily_extremes& d : north_series.days)
        out << text_of(date_of(d.day + shift_days)) << ',' << fmt::format("{:.2f},{:.2f}", d.low, d.high) << '\n';
    }
    fleet shifted = f;
    shifted.routes[0].legs[0] = {.station = "s", .weather = file.string()};
    const planned p = plan_of(shifted);
    std::filesystem::remove(file);
    return p;
  };
  const route_plan north = planned_with(0).answer.routes.front(), south = planned_with(181).answer.routes.front();
  REQUIRE(north.pick.decided.fills.size() == south.pick.decided.fills.size());
  REQUIRE(north.pick.decided.fills.size() == 2);
  REQUIRE(north.winter_chance);
  CHECK(near(*south.winter_chance, *north.winter_chance, 0.0, 0.03));
  for (std::size_t k = 0; k < north.pick.decided.fills.size(); ++k) {
    CHECK(north.pick.decided.fills[k].grease == south.pick.decided.fills[k].grease);
    const int apart =
        ((south.pick.decided.fills[k].days.first - north.pick.decided.fills[k].days.first) % 365 + 365) % 365;
    CHECK(std::abs(apart - 181) <= 12);
  }
}

TEST_CASE("law: greases that serve nothing change nothing, however many stand before the others") {
  fleet f = demo_fleet();
  f.routes = {f.routes[1]};
  const planned few = plan_of(f);
  evidence useless{
      .name = "", .nlgi = "3", .kv40 = mm2_per_s(680), .kv100 = mm2_per_s(35), .price = mass_price{0.1, "EUR"}};
  for (int n = 0; n < 40; ++n) {
    useless.name = fmt::format("useless {}", n);
    f.greases.insert(f.greases.begin(), useless);
  }
  const planned many = plan_of(f);
  const route_plan& a = few.answer.routes[0];
  const route_plan& b = many.answer.routes[0];
  const auto &x = a.pick.decided.fills, &y = b.pick.decided.fills;
  REQUIRE(x.size() == y.size());
  for (std::size_t k = 0; k < x.size(); ++k) CHECK(few.stock[x[k].grease].name() == many.stock[y[k].grease].name());
  REQUIRE(!many.answer.kinds.empty());
  CHECK(near(*many.answer.kinds.back().money, *few.answer.kinds.back().money, 1e-12));
}

TEST_CASE("case: dates of fewer than 25 seasons are rough, those of fewer than ten stand on what was") {
  fleet f = demo_fleet();
  f.routes = {f.routes[1], f.routes[1], f.routes[1]};
  f.routes[1].legs[0].options.year_from = 2005;
  f.routes[2].legs[0].options.year_from = 2018;
  const planned p = plan_of(f);
  const auto says = [&](std::size_t r, std::string_view what) {
    return std::ranges::any_of(p.answer.routes[r].pick.notes,
                               [&](const std::string& n) { return n.find(what) != std::string::npos; });
  };
  CHECK(!says(0, "they are rough"));
  CHECK(says(1, "plain depot: the dates stand on 19 seasons, fewer than 25: they are rough"));
  CHECK(says(2, "winters, fewer than 10: its part of the dates stands on the earliest and the latest cold there was"));
  for (std::size_t r = 0; r < 3; ++r) REQUIRE(p.answer.routes[r].pick.decided.fills.size() == 2);
}

TEST_CASE("case: cheapest is refused without every price and the labour of a change, two currencies always") {
  fleet f = demo_fleet();
  f.policy.prefer = preference::cheapest;
  CHECK_NOTHROW(need_prices(f.greases, f.policy));
  fleet bare = f;
  bare.greases[3].price.reset();
  CHECK(refusal([&] { need_prices(bare.greases, bare.policy); }).find("Naphthenic 00 has no price") !=
        std::string::npos);
  bare = f;
  bare.policy.costs.changeover.reset();
  CHECK(refusal([&] { need_prices(bare.greases, bare.policy); }).find("no change-over has a cost") !=
        std::string::npos);
  CHECK(currency_of(f.greases, f.policy) == "EUR");
  f.greases[3].price->currency = "USD";
  CHECK(refusal([&] { currency_of(f.greases, f.policy); }).find("the price of Naphthenic 00: is in USD") == 0);
}

TEST_CASE("case from users: a grease of unknown class counts as the softest on hot days") {
  fleet f = demo_fleet();
  f.policy.softest_in_heat.reset();
  f.taken.clear();
  const planned known = plan_of(f);
  // The same grease by its own points, its class left out.
  std::size_t soft = 0;
  while (f.greases[soft].name != "Synthetic 00") ++soft;
  const grease model = known.stock[soft];
  evidence& e = f.greases[soft];
  for (const double t : {-40.0, -30.0, -20.0, -10.0, 0.0, 20.0}) {
    for (const double rate : {0.5, 5.0, 50.0, 500.0}) {
      e.points.push_back({celsius(t), per_second(rate), stress(*model.at(celsius(t)), nominal_rate{per_second(rate)}),
                          rate_kind::nominal});
    }
  }
  const planned stated = plan_of(f);
  e.nlgi.clear();
  e.penetration.reset();
  const planned unstated = plan_of(f);
  for (std::size_t r = 0; r < f.routes.size(); ++r) {
    const choice &a = stated.answer.routes[r].pick.decided, &b = unstated.answer.routes[r].pick.decided;
    REQUIRE(a.served());
    REQUIRE(b.served());
    // A datum that is taken away makes no year cooler.
    CHECK(b.hot_days >= a.hot_days);
  }
  CHECK(std::ranges::any_of(unstated.answer.missing,
                            [](const std::string& m) { return m.find("no class of Synthetic 00: ") == 0; }));
}

TEST_CASE("case from users: a route by design values is named in the first lines") {
  fleet f = demo_fleet();
  f.routes[1].legs = {{.design = "Thompson MB"}};
  const planned p = plan_of(f);
  CHECK(std::ranges::any_of(p.answer.missing,
                            [&](const std::string& m) { return m.find("no weather of " + f.routes[1].name) == 0; }));
}

TEST_CASE("case: a dose so small that a line is never filled gives no better answer") {
  fleet f = demo_fleet();
  f.installations = {examples::system(120, 20)};
  f.routes = {f.routes[1]};
  f.routes[0].installations = {0};
  const std::size_t usual = plan_of(f).answer.routes[0].pick.decided.fills.size();
  CHECK(usual == 2);
  for (const double cubic_metres : {1e-15, 1e-21, 1e-27}) {
    for (line& l : f.installations[0].lines) l.dose = cubic_metre(cubic_metres);
    CHECK(plan_of(f).answer.routes[0].pick.decided.fills.size() <= 1);
  }
}
