// The buyer's plan: dates, quantities, purchase and kinds against laws and plain enumeration.
#include "coldgrease/plan/season_plan.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <filesystem>
#include <fstream>

#include "coldgrease/base/error.hpp"
#include "coldgrease/line/dosing.hpp"
#include "examples.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

const std::string demo = COLDGREASE_TABLES_SOURCE "/demo/";

struct planned {
  fleet f;
  std::vector<grease> stock;
  plan_answer answer;
};

planned plan_of(fleet f) {
  planned p{.f = std::move(f), .stock = {}, .answer = {}};
  p.stock = stock_of(p.f);
  p.answer = plan(p.f, p.stock);
  return p;
}

fleet demo_fleet() { return read_fleet(demo + "fleet.json"); }

bool one_of(int month, const planned_fill& f) {
  return (month - f.from_month + 12) % 12 <= (f.to_month - f.from_month + 12) % 12;
}

}  // namespace

TEST_CASE("law: the fills of a plan tile the year and pass until they are used up") {
  const planned p = plan_of(demo_fleet());
  CHECK(p.answer.by_cost);
  for (const route_plan& r : p.answer.routes) {
    REQUIRE(!r.fills.empty());
    for (int month = 1; month <= 12; ++month)
      CHECK(std::ranges::count_if(r.fills, [&](const planned_fill& f) { return one_of(month, f); }) == 1);
    for (const planned_fill& f : r.fills) {
      CHECK(f.chance >= p.answer.confidence);
      CHECK(in_kelvins(f.margin) >= 0.0);
      for (int month = 1; month <= 12; ++month) {
        if (!one_of(month, f)) continue;
        const grease_month& g = r.pick.months[static_cast<std::size_t>(month - 1)].greases[f.grease];
        CHECK(g.verdict == verdict::flows);
        CHECK(g.excluded == exclusion::none);
      }
    }
    if (r.winter_chance) {
      CHECK(*r.winter_chance >= 0.5);
      CHECK(*r.winter_chance <= 1.0);
      CHECK(r.winters > 0);
    }
  }
}

TEST_CASE("law: kilograms are the daily doses over the season, the purchase their sum over the vehicles") {
  const planned p = plan_of(demo_fleet());
  double all = 0.0;
  for (const route_plan& r : p.answer.routes) {
    double daily = 0.0, days = 0.0;
    for (const std::size_t i : r.pick.installations) daily += in_m3(*daily_volume(p.f.installations[i]));
    for (const planned_fill& f : r.fills) {
      double season = 0.0;
      for (int month = 1; month <= 12; ++month) season += one_of(month, f) ? days_in_month(2001, month) : 0;
      CHECK(near(in_kilogram(*f.per_vehicle), daily * season * p.stock[f.grease].model().density15, 1e-12));
      all += r.vehicles * in_kilogram(*f.per_vehicle);
      days += season;
    }
    CHECK(days == 365);
  }
  double bought = 0.0;
  for (const purchase_row& row : p.answer.purchase) {
    bought += in_kilogram(row.needed);
    REQUIRE(row.packs);
    const double pack = in_kilogram(*p.stock[row.grease].known().pack);
    CHECK(*row.packs * pack >= in_kilogram(row.needed) - 1e-6);
    CHECK((*row.packs - 1) * pack < in_kilogram(row.needed));
  }
  CHECK(near(bought, all, 1e-12));
}

TEST_CASE("law: the best set of so many kinds is what enumeration of all sets finds") {
  fleet f = demo_fleet();
  f.routes.erase(f.routes.begin());
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
        served += !r.fills.empty();
        cost += r.cost ? r.vehicles * *r.cost : 0.0;
      }
      if (served > best_served || (served == best_served && cost < best_cost)) {
        best_served = served;
        best_cost = cost;
      }
    }
    CHECK(row.served == best_served);
    CHECK(near(*row.cost, best_cost, 1e-9));
  }
  CHECK(all.answer.kinds.size() >= 2);
}

TEST_CASE("law: what a set of kinds loses is what a plan with that set alone has less") {
  fleet f = demo_fleet();
  f.policy.costs = {.changeover = 0.0, .starved = 3000.0};  // so that the plan pays for margin
  const planned all = plan_of(f);
  const auto margin = [](const route_plan& r) {
    const month_pick& m = *std::ranges::min_element(r.pick.months, {}, &month_pick::design);
    const auto fill = std::ranges::find_if(r.fills, [&](const planned_fill& x) { return one_of(m.month, x); });
    return in_kelvins(m.design - *m.greases[fill->grease].coldest);
  };
  const auto names = [](const std::vector<std::size_t>& routes, std::size_t r) {
    return std::ranges::find(routes, r) != routes.end();
  };
  int losers = 0, unserved = 0;
  for (const kinds_row& row : all.answer.kinds) {
    CHECK(static_cast<std::size_t>(row.served) + row.unserved.size() == all.answer.routes.size());
    fleet part = f;
    part.greases.clear();
    for (const std::size_t g : row.greases) part.greases.push_back(f.greases[g]);
    const planned few = plan_of(part);
    for (std::size_t r = 0; r < few.answer.routes.size(); ++r) {
      const bool served = !few.answer.routes[r].fills.empty();
      CHECK(names(row.unserved, r) == !served);
      if (served)
        CHECK(names(row.lose_margin, r) == (margin(few.answer.routes[r]) < margin(all.answer.routes[r]) - 0.05));
      losers += names(row.lose_margin, r);
      unserved += !served;
    }
  }
  CHECK(losers > 0);
  CHECK(unserved > 0);
  CHECK(all.answer.kinds.back().lose_margin.empty());
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

TEST_CASE("law: a dearer change-over never makes more changes, a dearer starved winter never a smaller chance") {
  fleet f = demo_fleet();
  std::size_t last = 99;
  for (const double cost : {0.0, 20.0, 100.0, 1e4}) {
    f.policy.costs = {.changeover = cost, .starved = 0.0};
    std::size_t fills = 0;
    for (const route_plan& r : plan_of(f).answer.routes) fills += r.fills.size();
    CHECK(fills <= last);
    last = fills;
  }
  double least = 0.0;
  for (const double cost : {0.0, 100.0, 1000.0, 1e5}) {
    f.policy.costs = {.changeover = 45.0, .starved = cost};
    const route_plan r = plan_of(f).answer.routes.back();
    double chance = 1.0;
    for (const planned_fill& fill : r.fills) chance = std::min(chance, fill.chance);
    CHECK(chance >= least - 1e-12);
    least = chance;
  }
}

TEST_CASE("law: without prices the fewest fills, then the stiffest: what pick finds for the whole year") {
  fleet f = demo_fleet();
  for (evidence& e : f.greases) e.price.reset();
  const planned p = plan_of(f);
  CHECK(!p.answer.by_cost);
  const pick_answer picked = pick(p.f, p.stock);
  for (std::size_t r = 0; r < picked.routes.size(); ++r) {
    if (!picked.routes[r].year) {
      CHECK(p.answer.routes[r].fills.size() == 2);
      continue;
    }
    REQUIRE(p.answer.routes[r].fills.size() == 1);
    CHECK(p.stock[p.answer.routes[r].fills[0].grease].stiff_penetration() ==
          p.stock[picked.routes[r].year->grease].stiff_penetration());
  }
}

TEST_CASE("law: a change into the cold begins before the cold that the old grease cannot stand, by what a fill lasts") {
  const planned p = plan_of(demo_fleet());
  const auto day = [](const day_of_year& d) { return day_number({2001, d.month, d.day}) - day_number({2001, 1, 1}); };
  int dated = 0;
  for (std::size_t n = 0; n < p.answer.routes.size(); ++n) {
    const route_plan& r = p.answer.routes[n];
    if (r.fills.size() != 2 || !r.fills[0].start || p.f.routes[n].legs.size() != 1) continue;
    ++dated;
    const leg& l = p.f.routes[n].legs[0];
    const double shift = l.elevation ? 6.5e-3 * (in_metre(*l.highest) - in_metre(*l.elevation)) : 0.0;
    const auto series = std::get<daily_series>(read_weather(l.weather, l.options));
    const season_dates dates = dates_of_cold(series, *r.fills[0].limit + kelvins(shift), {.risk = p.answer.risk});
    REQUIRE(dates.first);
    const int before = ((day(*dates.first) - day(*r.fills[0].start)) % 365 + 365) % 365;
    CHECK(before == static_cast<int>(std::ceil(in_days(r.pick.carry_over))));
    CHECK(r.fills[1].start->month == dates.last->month);
    CHECK(r.fills[1].start->day == dates.last->day);
  }
  CHECK(dated > 0);
}

TEST_CASE("law: a trip's share of time lies between its legs', its chance between the largest and the sum") {
  fleet f = demo_fleet();
  f.policy.costs = {};
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

TEST_CASE("case: a pool that visits several regions needs what the coldest needs; tractor and trailer may differ") {
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
  CHECK(north.fills.empty());
  CHECK(!north.cost);
  CHECK((!north.pick.would_help.empty() || !north.pick.notes.empty()));
}

TEST_CASE("law: half a year later on the other half of the earth the plan is the same, half a year later") {
  fleet f = demo_fleet();
  f.routes = {f.routes[1]};
  f.greases = {f.greases[0], f.greases[1], f.greases[4], f.greases[7]};
  f.policy.softest_in_heat.reset();
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
  REQUIRE(north.fills.size() == south.fills.size());
  REQUIRE(north.winter_chance);
  CHECK(near(*south.winter_chance, *north.winter_chance, 0.0, 0.03));
  for (std::size_t k = 0; k < north.fills.size(); ++k) {
    CHECK(north.fills[k].grease == south.fills[k].grease);
    if (!north.fills[k].start || !south.fills[k].start) continue;
    const auto day = [](const day_of_year& d) { return day_number({2001, d.month, d.day}); };
    const int apart = ((day(*south.fills[k].start) - day(*north.fills[k].start)) % 365 + 365) % 365;
    CHECK(std::abs(apart - 181) <= 12);
  }
}

TEST_CASE("law: greases that serve nothing change nothing, however many stand before the others") {
  fleet f = demo_fleet();
  f.routes = {f.routes[1]};
  const planned few = plan_of(f);
  evidence useless{.name = "", .nlgi = "3", .kv40 = mm2_per_s(680), .kv100 = mm2_per_s(35), .price = 0.1};
  for (int n = 0; n < 40; ++n) {
    useless.name = fmt::format("useless {}", n);
    f.greases.insert(f.greases.begin(), useless);
  }
  const planned many = plan_of(f);
  const route_plan& a = few.answer.routes[0];
  const route_plan& b = many.answer.routes[0];
  REQUIRE(a.fills.size() == b.fills.size());
  for (std::size_t k = 0; k < a.fills.size(); ++k)
    CHECK(few.stock[a.fills[k].grease].name() == many.stock[b.fills[k].grease].name());
  REQUIRE(!many.answer.kinds.empty());
  CHECK(near(*many.answer.kinds.back().cost, *few.answer.kinds.back().cost, 1e-12));
}

TEST_CASE("case: dates of fewer than 25 seasons are said to be rough, those of fewer than ten are not given") {
  fleet f = demo_fleet();
  f.routes = {f.routes[1], f.routes[1], f.routes[1]};
  f.routes[1].legs[0].options.year_from = 2005;
  f.routes[2].legs[0].options.year_from = 2018;
  const planned p = plan_of(f);
  const auto rough = [&](std::size_t r) {
    return std::ranges::count_if(p.answer.routes[r].pick.notes, [](const std::string& n) {
      return n == "plain depot: the dates stand on 19 seasons, fewer than 25: they are rough";
    });
  };
  CHECK(rough(0) == 0);
  CHECK(rough(1) == 1);
  for (std::size_t r = 0; r < 3; ++r) {
    REQUIRE(p.answer.routes[r].fills.size() == 2);
    CHECK(p.answer.routes[r].fills[0].start.has_value() == (r < 2));
  }
}

TEST_CASE("case: a leg without years gives the whole route no date") {
  fleet f = demo_fleet();
  f.routes = {f.routes[1]};
  f.routes[0].legs.push_back({.station = "Denver", .design = "Denver"});
  const planned p = plan_of(f);
  for (const planned_fill& fill : p.answer.routes.front().fills) CHECK(!fill.start);
}
