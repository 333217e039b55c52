// One decision in every command: against plain enumeration, and the same wherever it is asked for.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <tuple>

#include "coldgrease/climate/seasons.hpp"
#include "coldgrease/line/dosing.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/plan/compare.hpp"
#include "coldgrease/plan/dossier.hpp"
#include "near.hpp"
#include "random_fleet.hpp"

using namespace coldgrease;

namespace {

/// One route of a fleet, its year and limits, made from nothing but what a reader of the documents has.
struct plain_route {
  const fleet& f;
  std::vector<grease> stock;
  std::size_t route;
  year_climate year;
  int way = 0, carry = 0;
  double reservoir_days = 0.0;

  plain_route(const fleet& whole, std::size_t r) : f(whole), stock(stock_of(whole)), route(r) {
    year = year_of(*f.routes[r].legs[0].series, f.policy.share, f.policy.return_years);
  }
  int whole_days(double d) const { return static_cast<int>(std::ceil(d - 1e-9)); }
  std::vector<installation> systems(bool narrow) const {
    std::vector<installation> out;
    for (const std::size_t i : f.routes[route].installations) {
      installation s = f.installations[i];
      for (line& l : s.lines)
        for (segment& g : l.segments) g.bore *= narrow ? 0.95 : 1.0;
      join_mains(s);
      out.push_back(s);
    }
    return out;
  }
  std::optional<temperature> limit(std::size_t g, bool settling) const {
    std::optional<temperature> worst;
    for (const installation& s : systems(settling)) {
      const auto own = coldest_passing(s, stock[g], f.policy.confidence);
      if (!own) return std::nullopt;
      worst = worst ? std::max(*worst, *own) : *own;
    }
    return worst;
  }
  double cold(int day) const { return year.pentads[static_cast<std::size_t>(around_year(day) / 5)].cold.in_celsius(); }
  temperature hot(int day) const { return year.pentads[static_cast<std::size_t>(around_year(day) / 5)].hot; }
};

struct plain_way {
  std::vector<std::size_t> greases;
  std::vector<int> from;
  int hot_days = 0;
  double penetration = 0.0;
  double money = 0.0;
};

/// Every sequence of one practice, by enumeration day after day.
std::vector<plain_way> enumerate(const plain_route& r, change_practice practice) {
  const policy& p = r.f.policy;
  double way = 0.0, reservoir = 0.0;
  for (const installation& s : r.systems(false)) {
    for (const line& l : s.lines) way = std::max(way, in_days(*residence_time(l, s)));
    reservoir = std::max(reservoir, in_days(*reservoir_time(s)));
  }
  const double old = practice == change_practice::purged
                         ? 0.0
                         : p.line_volumes * way + (practice == change_practice::run_down ? reservoir : 0.0);
  const int carry = r.whole_days(old), settle = r.whole_days(old + way), least = std::max(1, r.whole_days(way));
  const int coldest_day = 5 * static_cast<int>(std::ranges::min_element(r.year.pentads, {}, &judged_pentad::cold) -
                                               r.year.pentads.begin()) +
                          2;
  const int month = day_at(coldest_day).month;
  const bool south = month >= 4 && month <= 9;
  const int origin = south ? 0 : 181;
  const std::size_t n = r.stock.size();
  std::vector<std::optional<temperature>> limit, settling;
  for (std::size_t g = 0; g < n; ++g) {
    limit.push_back(r.limit(g, false));
    settling.push_back(r.limit(g, true));
  }
  const auto hot_barred = [&](std::size_t g, int day) {
    const auto& h = p.softest_in_heat;
    return h && r.hot(day) > h->above && r.stock[g].soft_penetration() > 385.0;  // the softest of NLGI 0
  };
  const auto& days = std::get<daily_series>(r.year.series);
  const auto in_season = [&](const day_of_year& d) { return around_year(ordinal(d) - origin); };
  // Days into the season: from when it is too cold, until when.
  const auto cold_from = [&](std::size_t g) -> std::optional<int> {
    std::optional<int> day;
    for (int d = 0; d < 365 && !day; ++d) {
      if (r.cold(d + origin) < limit[g]->in_celsius()) day = d;
    }
    const auto risk =
        dates_of_cold(days, *limit[g], {.risk = p.risk, .starts = south ? season_start::january : season_start::july});
    if (risk.first && (!day || in_season(*risk.first) < *day)) day = in_season(*risk.first);
    return day;
  };
  const auto warm_from = [&](std::size_t g) -> std::optional<int> {
    std::optional<int> day;
    for (int d = 0; d < 365; ++d) {
      if (r.cold(d + origin) < settling[g]->in_celsius()) day = d + 1;
    }
    const auto risk = dates_of_cold(days, *settling[g],
                                    {.risk = p.risk, .starts = south ? season_start::january : season_start::july});
    if (risk.last && (!day || in_season(*risk.last) + 1 > *day)) day = in_season(*risk.last) + 1;
    return day;
  };
  const auto change = [&](std::size_t from, std::size_t to) -> std::optional<int> {
    std::optional<int> day;
    if (!limit[from] || !limit[to] || !settling[from] || !settling[to]) return day;
    if (*limit[to] < *limit[from]) {
      if (const auto cold = cold_from(from)) {
        day = *cold - carry;
      } else {
        for (int d = 0; d < 182; ++d) {
          if (hot_barred(to, d + origin)) day = d + 1;
        }
      }
    } else if (const auto warm = warm_from(to)) {
      day = warm;
    } else {
      for (int d = 364; d >= 182; --d) {
        if (hot_barred(from, d + origin)) day = d;
      }
    }
    if (day && (*day < 0 || *day >= 365)) day.reset();
    return day ? std::optional(around_year(*day + origin)) : day;
  };
  const auto passes = [&](std::size_t g, int first, int length, bool changes) {
    if (!limit[g] || !settling[g] || (changes && length < least)) return false;
    for (int d = 0; d < std::min(365, length + (changes ? carry : 0)); ++d) {
      if (r.cold(first + d) < limit[g]->in_celsius()) return false;
      if (d < length && hot_barred(g, first + d)) return false;
      if (changes && d < std::min(settle, length) && r.cold(first + d) < settling[g]->in_celsius()) return false;
    }
    return true;
  };
  std::vector<plain_way> found;
  const auto add = [&](const std::vector<std::size_t>& greases, const std::vector<int>& from) {
    plain_way w{greases, from};
    std::vector<double> kg(n, 0.0);
    const bool changes = greases.size() > 1;
    for (std::size_t k = 0; k < greases.size(); ++k) {
      const int length = changes ? around_year(from[(k + 1) % from.size()] - from[k]) : 365;
      const grease& g = r.stock[greases[k]];
      const double soft = g.soft_penetration();
      for (int d = 0; d < std::min(365, length + (changes ? carry : 0)); ++d) {
        const double above = soft > 385.0 ? 28.0 : soft > 340.0 ? 35.0 : 1e9;
        w.hot_days += r.hot(from[k] + d).in_celsius() > above;
      }
      w.penetration += g.stiff_penetration() * length / 365.0;
      for (const installation& s : r.systems(false)) {
        kg[greases[k]] += in_m3(*daily_volume(s)) * g.model().density15 * length;
        if (changes && practice != change_practice::run_down)
          kg[greases[k]] += in_m3(*s.reservoir) * g.model().density15;
        if (changes && practice == change_practice::purged) kg[greases[k]] += in_m3(volume_of(s)) * g.model().density15;
      }
    }
    const int vehicles = r.f.routes[r.route].vehicles;
    w.money = changes ? static_cast<double>(greases.size()) * vehicles * p.costs.changeover->amount : 0.0;
    for (std::size_t g = 0; g < n; ++g) {
      const evidence& e = r.stock[g].known();
      double mass = vehicles * kg[g];
      if (e.pack) mass = std::ceil(mass / in_kilogram(*e.pack) - 1e-9) * in_kilogram(*e.pack);
      w.money += mass * e.price->per_kg;
    }
    found.push_back(w);
  };
  for (std::size_t g = 0; g < n; ++g) {
    if (passes(g, 0, 365, false)) add({g}, {0});
  }
  const std::function<void(std::vector<std::size_t>)> ring = [&](const std::vector<std::size_t>& greases) {
    if (greases.size() > 1) {
      std::vector<int> from;
      bool good = true;
      for (std::size_t k = 0; k < greases.size() && good; ++k) {
        const auto day = change(greases[(k + greases.size() - 1) % greases.size()], greases[k]);
        good = day.has_value();
        from.push_back(day.value_or(0));
      }
      int sum = 0;
      for (std::size_t k = 0; good && k < from.size(); ++k) {
        const int length = around_year(from[(k + 1) % from.size()] - from[k]);
        sum += length;
        good = length > 0 && passes(greases[k], from[k], length, true);
      }
      if (good && sum == 365) add(greases, from);
    }
    if (greases.size() == static_cast<std::size_t>(p.fills)) return;
    for (std::size_t g = 0; g < n; ++g) {
      if (!greases.empty() && (g == greases.back())) continue;
      std::vector<std::size_t> longer = greases;
      longer.push_back(g);
      ring(longer);
    }
  };
  ring({});
  std::erase_if(found,
                [](const plain_way& w) { return w.greases.size() > 1 && w.greases.front() == w.greases.back(); });
  return found;
}

auto rank(const plain_way& w, preference p) {
  const int weight = w.hot_days + 30 * (static_cast<int>(w.greases.size()) - 1);
  return std::tuple(p == preference::cheapest ? w.money : 0.0, weight, w.greases.size(), w.penetration, w.money);
}

bool same(const choice& a, const choice& b) {
  return std::ranges::equal(a.fills, b.fills, [](const fill& x, const fill& y) {
    return x.grease == y.grease && x.days == y.days && x.chance == y.chance;
  });
}

}  // namespace

TEST_CASE("law: no sequence that enumeration finds is preferred to the one that is decided, by either preference" *
          doctest::test_suite("long")) {
  examples::fleets draw(7);
  int several = 0, served = 0, purged = 0;
  for (int n = 0; n < 100; ++n) {
    fleet f = draw.draw();
    for (const preference p : {preference::stiffest, preference::cheapest}) {
      f.policy.prefer = p;
      const pick_answer a = pick(f, stock_of(f));
      for (std::size_t r = 0; r < f.routes.size(); ++r) {
        CAPTURE(n);
        CAPTURE(r);
        const plain_route plain(f, r);
        change_practice practice = f.policy.at_change.value_or(change_practice::emptied);
        std::vector<plain_way> all = enumerate(plain, practice);
        if (all.empty() && !f.policy.at_change) {
          practice = change_practice::purged;
          all = enumerate(plain, practice);
        }
        const choice& c = a.routes[r].decided;
        REQUIRE(c.served() == !all.empty());
        if (all.empty()) continue;
        ++served;
        several += c.fills.size() > 1;
        purged += c.fills.size() > 1 && c.practice == change_practice::purged;
        const plain_way& best = *std::ranges::min_element(all, {}, [&](const plain_way& w) { return rank(w, p); });
        REQUIRE(c.money);
        CHECK(near(c.money->sum(), best.money, 1e-9));
        CHECK(c.hot_days == best.hot_days);
        REQUIRE(c.fills.size() == best.greases.size());
        for (const fill& made : c.fills) {
          bool among = false;
          for (std::size_t k = 0; k < best.greases.size(); ++k)
            among = among ||
                    (best.greases[k] == made.grease && (best.greases.size() == 1 || best.from[k] == made.days.first));
          CHECK(among);
        }
      }
    }
  }
  CHECK(served > 100);
  CHECK(several > 20);
  CHECK(purged > 3);
}

TEST_CASE(
    "law: pick, plan, report and compare name the same fills and days, and a price more or less moves none of the "
    "stiffest" *
    doctest::test_suite("long")) {
  examples::fleets draw(11);
  for (int n = 0; n < 500; ++n) {
    CAPTURE(n);
    fleet f = draw.draw();
    if (n % 3 == 0) f.policy.prefer = preference::cheapest;
    const std::vector<grease> stock = stock_of(f);
    const pick_answer picked = pick(f, stock);
    const plan_answer planned = plan(f, stock);
    const dossier made = n % 10 == 0 ? dossier_of(f, stock, {}, compatibility_charts()) : dossier{};
    constexpr std::array<std::size_t, 1> offered{0};
    const compare_answer beside =
        n % 10 == 0 ? compare(f, stock, offered, {}, {}, compatibility_charts()) : compare_answer{};
    for (std::size_t r = 0; r < f.routes.size(); ++r) {
      CHECK(same(picked.routes[r].decided, planned.routes[r].pick.decided));
      if (n % 10 == 0) CHECK(same(picked.routes[r].decided, made.plan.routes[r].pick.decided));
      if (n % 10 == 0) CHECK(same(picked.routes[r].decided, beside.routes[r].pick.decided));
    }
    if (f.policy.prefer == preference::cheapest) continue;
    fleet dearer = f;
    dearer.greases[static_cast<std::size_t>(n) % f.greases.size()].price.reset();
    const pick_answer without = pick(dearer, stock_of(dearer));
    for (std::size_t r = 0; r < f.routes.size(); ++r) CHECK(same(picked.routes[r].decided, without.routes[r].decided));
  }
}

TEST_CASE("law: every pentad of a fill passes at the confidence until the last of it is used up" *
          doctest::test_suite("long")) {
  examples::fleets draw(13);
  for (int n = 0; n < 60; ++n) {
    const fleet f = draw.draw();
    const std::vector<grease> stock = stock_of(f);
    const pick_answer a = pick(f, stock);
    for (std::size_t r = 0; r < f.routes.size(); ++r) {
      const route_pick& picked = a.routes[r];
      const year_climate year = year_of(*f.routes[r].legs[0].series, f.policy.share, f.policy.return_years);
      int days = 0;
      for (const fill& made : picked.decided.fills) {
        days += made.days.days;
        const int carry =
            picked.decided.fills.size() > 1 ? static_cast<int>(std::lround(in_days(picked.decided.carry_over))) : 0;
        double least = 1.0;
        temperature coldest = celsius(99);
        made.days.longer_by(carry).for_each_pentad([&](std::size_t p) {
          coldest = std::min(coldest, year.pentads[p].cold);
          for (const std::size_t i : picked.installations) {
            installation system = f.installations[i];
            join_mains(system);
            const auto o = outcome_of(system, stock[made.grease], year.pentads[p].cold, f.policy.confidence);
            CHECK(o.chance.value_or(0.0) >= f.policy.confidence - 1e-9);
            least = std::min(least, o.chance.value_or(0.0));
          }
        });
        CHECK(made.coldest == coldest);
        CHECK(made.chance <= least + 1e-12);
        CHECK(made.chance >= f.policy.confidence - 1e-9);
        CHECK(in_kelvins(made.margin) >= -1e-9);
      }
      if (picked.decided.served()) CHECK(days == days_a_year);
    }
  }
}
