// Offers side by side against the answers that each would give alone.
#include "coldgrease/plan/compare.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "coldgrease/base/error.hpp"
#include "near.hpp"
#include "random_fleet.hpp"
#include "refusal.hpp"

using namespace coldgrease;

namespace {

const std::string demo = COLDGREASE_TABLES_SOURCE "/demo/";

struct compared {
  fleet f = read_fleet(demo + "fleet.json");
  std::vector<grease> stock = stock_of(f);
  compare_answer of(std::vector<std::size_t> own, std::vector<evidence> offers = {}) const {
    return compare(f, stock, own, offers, published_rules(), compatibility_charts());
  }
};

}  // namespace

TEST_CASE("law: what is decided beside the offers is the plan, whatever is offered") {
  const compared c;
  const plan_answer planned = plan(c.f, c.stock, published_rules());
  std::size_t rules = 0;
  evidence cheap{.name = "cheap",
                 .nlgi = "2",
                 .kv40 = mm2_per_s(46),
                 .kv100 = mm2_per_s(8),
                 .pour = celsius(-60),
                 .oil = oil_type::pao,
                 .price = mass_price{0.1, "EUR"}};
  const compare_answer a = c.of({1, 7}, {cheap});
  REQUIRE(a.routes.size() == planned.routes.size());
  for (std::size_t r = 0; r < a.routes.size(); ++r) {
    const auto &x = a.routes[r].pick.decided.fills, &y = planned.routes[r].pick.decided.fills;
    REQUIRE(x.size() == y.size());
    for (std::size_t k = 0; k < x.size(); ++k) {
      CHECK(x[k].grease == y[k].grease);
      CHECK(x[k].days == y[k].days);
    }
    CHECK(a.routes[r].offers.size() == 3);
    const auto &own = a.routes[r].pick.months[0].published_rules,
               &same = planned.routes[r].pick.months[0].published_rules;
    REQUIRE(own.size() == same.size());
    for (std::size_t k = 0; k < own.size(); ++k, ++rules) {
      const published_rule &rule = a.rules.at(own[k].rule), &planned_rule = planned.rules.at(same[k].rule);
      CHECK(rule.name == planned_rule.name);
      CHECK(rule.steps.at(own[k].step).says == planned_rule.steps.at(same[k].step).says);
    }
  }
  CHECK(rules > 0);
  CHECK(a.stock.size() == c.stock.size() + 1);
}

TEST_CASE("law: an offer passes the year just where a fleet that has nothing else is served by one fill") {
  const compared c;
  const compare_answer a = c.of({0, 1, 2, 3, 4, 5, 6, 7});
  int passing = 0, failing = 0;
  for (std::size_t g = 0; g < c.f.greases.size(); ++g) {
    fleet only = c.f;
    only.greases = {c.f.greases[g]};
    std::erase_if(only.taken, [&](const reading& r) { return r.grease != c.f.greases[g].name; });
    const pick_answer alone = pick(only, stock_of(only));
    for (std::size_t r = 0; r < a.routes.size(); ++r) {
      const offer_on_route& o = a.routes[r].offers[g];
      CHECK(o.passes == alone.routes[r].decided.served());
      passing += o.passes;
      failing += !o.passes;
      if (!o.passes) continue;
      CHECK(o.too_cold.empty());
      CHECK(o.barred.empty());
      CHECK(near(in_kelvins(*o.margin), in_kelvins(alone.routes[r].decided.fills[0].margin), 0.0, 1e-9));
      CHECK(near(*o.coldest_days.chance, alone.routes[r].decided.fills[0].chance, 1e-12));
      CHECK(near(*o.money, alone.routes[r].decided.money->grease, 1e-12));
    }
  }
  CHECK(passing > 0);
  CHECK(failing > 0);
}

TEST_CASE("law: told equal holds both ways, and not of greases a class and an oil apart") {
  const compared c;
  const compare_answer a = c.of({0, 1, 2, 3, 4, 5, 6, 7});
  int equal = 0;
  for (const compared_route& r : a.routes) {
    for (const offer_on_route& o : r.offers) {
      for (const std::size_t other : o.told_equal) {
        ++equal;
        const auto& back = r.offers[other].told_equal;
        CHECK(std::ranges::find(back, o.grease) != back.end());
      }
    }
    // Mineral 2 against Synthetic 00.
    const auto& stiff = r.offers[0].told_equal;
    CHECK(std::ranges::find(stiff, std::size_t{7}) == stiff.end());
  }
  CHECK(equal > 0);
}

TEST_CASE("case from users: two sheets that say the same are told equal, and what each leaves out is asked for") {
  const compared c;
  evidence a = c.f.greases[1], b = c.f.greases[1];
  a.name = "house a";
  b.name = "house b";
  b.pour.reset();
  b.thickener.clear();
  const compare_answer out = c.of({}, {a, b});
  REQUIRE(out.questions.size() == 2);
  for (const compared_route& r : out.routes) {
    if (!r.offers[0].coldest || !r.offers[1].coldest) continue;
    CHECK(r.offers[0].told_equal == std::vector<std::size_t>{out.stock.size() - 1});
  }
  const auto asked = [&](std::size_t o, std::string_view what) {
    return std::ranges::any_of(out.questions[o].not_stated,
                               [&](const std::string& n) { return n.find(what) != std::string::npos; });
  };
  CHECK(!asked(0, "thickener"));
  CHECK(asked(1, "thickener"));
  CHECK(asked(1, "pour point"));
  CHECK(asked(0, "apparent viscosity (ASTM D1092)"));
  // How each mixes with what the plan pumps.
  CHECK(!out.routes[0].offers[0].mixing.empty());
  CHECK(!out.routes[0].offers[0].mixing[0].kept);
}

TEST_CASE("case: no offer, a name that stands twice and a second currency are refused") {
  const compared c;
  CHECK(refusal([&] { c.of({}); }).find("offers: none is given") == 0);
  evidence twice = c.f.greases[0];
  CHECK(refusal([&] { c.of({}, {twice}); }).find("a grease is called \"Mineral 2\" already") != std::string::npos);
  twice.name = "dollars";
  twice.price = mass_price{2.0, "USD"};
  CHECK(refusal([&] { c.of({}, {twice}); }).find("the price of dollars: is in USD") == 0);
}

TEST_CASE("case from users: an offer that cold fits and summer bars is told to be barred, one of design values never") {
  compared c;
  const auto place = [&](std::string_view name) {
    return static_cast<std::size_t>(std::ranges::find(c.f.greases, name, &evidence::name) - c.f.greases.begin());
  };
  const compare_answer a = c.of({place("Naphthenic 00")});
  for (const compared_route& r : a.routes) CHECK(!r.offers[0].barred.empty());
  CHECK(a.routes[0].offers[0].too_cold.empty());
  c.f.routes = {c.f.routes[0]};
  c.f.routes[0].legs = {{.design = "Thompson MB"}};
  const compare_answer cold = c.of({place("Mineral 2")});
  REQUIRE(cold.routes[0].offers[0].too_cold.size() == 1);
  CHECK(cold.routes[0].offers[0].too_cold[0].whole_year());
}

TEST_CASE("law: a supplier is asked of the routes with the least margin, the coldest that nothing is known of first") {
  const compared c;
  const compare_answer a = c.of({0, 1, 2, 3, 4, 5, 6, 7});
  for (std::size_t o = 0; o < a.questions.size(); ++o) {
    const auto& hardest = a.questions[o].hardest;
    REQUIRE(hardest.size() == a.routes.size());
    for (std::size_t k = 1; k < hardest.size(); ++k) {
      const auto &before = a.routes[hardest[k - 1]].offers[o].margin, &after = a.routes[hardest[k]].offers[o].margin;
      if (before && after) CHECK(in_kelvins(*before) <= in_kelvins(*after));
      if (!after) CHECK(!before);
    }
  }
}
