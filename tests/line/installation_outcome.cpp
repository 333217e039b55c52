// One function answers for an installation: what decides, by name, and how cold it may get.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"
#include "line/random_lines.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

/// 4 L ty/D of the mains, or of all tubes where no main is named [Pa].
double left_after_relief(const line& l, const grease& g, temperature at) {
  const bool has_main = std::ranges::any_of(l.segments, [](const segment& s) { return !s.main.empty(); });
  double sum = 0.0;
  for (const segment& s : l.segments) {
    if (has_main && s.main.empty()) continue;
    sum += 4.0 * in_metre(s.length) / in_metre(s.bore) * in_pascal(g.at(at + s.offset)->yield);
  }
  return sum;
}

/// What keeps a line from being shown, by what stands in its installation and its grease.
missing_datum missing_of(const installation& i, const line& l, const grease& g, temperature at) {
  for (const segment& s : l.segments) {
    if (!g.knows(at + s.offset)) return missing_datum::grease;
  }
  if (i.type != system_type::single_line) return missing_datum::none;
  if (!i.reset) return missing_datum::reset;
  return in_pascal(g.at(at)->yield) > 0.0 ? missing_datum::none : missing_datum::yield;
}

}  // namespace

TEST_CASE("law: the outcome is the worst of the lines and the inlet, and passes just down to its coldest temperature") {
  line_sampler s(21);
  int inlets = 0;
  std::map<system_type, int> limits;
  for (int n = 0; n < 200; ++n) {
    CAPTURE(n);
    const installation i = s.an_installation();
    const grease g = s.an_estimate();
    const temperature at = celsius(s.between(-30, 20));
    const installation_answer a = check(i, g, at, 0.80);
    const installation_outcome& o = a.outcome;
    verdict worst = a.feed.verdict;
    std::optional<double> smallest = a.feed.chance;
    for (const point_answer& p : a.points) {
      worst = std::max(worst, p.check.verdict);
      smallest = smallest && p.check.chance ? std::optional(std::min(*smallest, *p.check.chance)) : std::nullopt;
    }
    CHECK(o.verdict == worst);
    CHECK(o.chance == smallest);
    if (o.line) {
      const auto& deciding = std::ranges::find(a.points, *o.line, &point_answer::line)->check;
      CHECK(deciding.verdict == worst);
      if (o.chance) CHECK(*o.line == a.points.front().line);
    } else {
      ++inlets;
      CHECK(a.feed.verdict == worst);
    }
    if (!a.coldest) continue;
    ++limits[i.type];
    CHECK(outcome_of(i, g, *a.coldest + kelvins(1e-6), 0.80).verdict == verdict::flows);
    CHECK(outcome_of(i, g, *a.coldest - kelvins(0.01), 0.80).verdict != verdict::flows);
  }
  CHECK(inlets > 5);
  for (const auto& word : words_of<system_type>::table) CHECK(limits[word.value] > 15);
}

TEST_CASE("law: of lines that differ in length alone the first of the worst decides, as if each were looked at" *
          doctest::test_suite("long")) {
  line_sampler s(23);
  int in_between = 0, limits = 0;
  std::map<system_type, int> decided;
  for (int n = 0; n < 60; ++n) {
    CAPTURE(n);
    installation i = s.an_installation();
    // Two kinds of them, in any order and some of one length, beside those that were there.
    std::array kinds{i.lines.front(), i.lines.back()};
    for (line& l : kinds) l.segments = {{.length = metre(1), .bore = millimetre(s.between(3, 6))}};
    for (int k = 0; k < 12; ++k) {
      line& l = i.lines.emplace_back(kinds[s.one_of(2)]);
      // Some are as long as another but for the rounding of their units.
      l.segments.front().length =
          s.one_of(2) ? metre(1.0 + 0.1 * double(s.one_of(40))) : millimetre(1000.0 + 100.0 * double(s.one_of(40)));
    }
    const grease g = n % 3 == 0 ? estimate(s.a_measured_description()) : s.an_estimate();
    for (double t = -60.0; t <= 50.0; t += 5.0) {
      CAPTURE(t);
      const temperature at = celsius(t);
      const conditions c = conditions_of(i, at, 0.80);
      std::optional<judged_part> worst;
      std::optional<double> least = 1.0;
      std::optional<std::size_t> line;
      outcome deciding;
      bool below = false;
      for (std::size_t l = 0; l < i.lines.size(); ++l) {
        const outcome own = outcome_of(i.lines[l], g, c);
        below = below || own.below_oil_bound;
        least = least && own.chance ? std::optional(std::min(*least, *own.chance)) : std::nullopt;
        if (!decides({own.verdict, own.chance}, worst)) continue;
        worst = {own.verdict, own.chance};
        line = l;
        deciding = own;
      }
      const inlet_answer fed = feeding(feed_of(i), g, at, 0.80);
      below = below || fed.below_oil_bound;
      least = least && fed.chance ? std::optional(std::min(*least, *fed.chance)) : std::nullopt;
      if (decides({fed.verdict, fed.chance}, worst)) {
        worst = {fed.verdict, fed.chance};
        line.reset();
      }
      const installation_outcome o = outcome_of(i, g, at, 0.80);
      CHECK(o.line == line);
      CHECK(o.verdict == worst->verdict);
      CHECK(o.chance == least);
      CHECK(o.below_oil_bound == below);
      if (!o.line) continue;
      ++decided[i.type];
      CHECK(o.available == deciding.available);
      CHECK(o.stays == deciding.stays);
      CHECK(o.missing == deciding.missing);
      in_between += o.chance && *o.chance > 0.01 && *o.chance < 0.99;
    }
    const inlet feed = feed_of(i);
    std::optional<temperature> warmest = coldest_air(feed, feeding(feed, g, celsius(0), 0.80));
    for (const line& l : i.lines) {
      const auto own = coldest_passing(l, g, conditions_of(i, celsius(0), 0.80));
      warmest = warmest && own ? std::optional(std::max(*warmest, *own)) : std::nullopt;
    }
    const auto coldest = coldest_passing(i, g, 0.80);
    REQUIRE(coldest.has_value() == warmest.has_value());
    if (!coldest) continue;
    ++limits;
    // Lengths that differ by rounding have limits that do so too.
    CHECK(near(in_kelvins(*coldest - *warmest), 0.0, 0.0, 1e-9));
  }
  CHECK(in_between > 50);
  CHECK(limits > 20);
  for (const auto& word : words_of<system_type>::table) CHECK(decided[word.value] > 50);
}

TEST_CASE("law: where meters must recharge, the outcome says what stays, where it is not shown, what is missing") {
  line_sampler s(22);
  int recharge_decides = 0, recharge_fails = 0;
  std::map<missing_datum, int> missing;
  for (int n = 0; n < 200; ++n) {
    CAPTURE(n);
    installation i = s.an_installation();
    if (s.one_of(5) == 0) i.reset.reset();
    const bool no_yield = s.one_of(6) == 0;
    const evidence e = s.a_description();
    const grease g = no_yield ? measured({pascal(0), 60.0, 0.5, pascal_second(5)}, celsius(-10), e) : estimate(e);
    const temperature at = celsius(s.between(-30, 20));
    const installation_outcome o = outcome_of(i, g, at, 0.80);
    if (!o.line) {
      CHECK_FALSE(o.stays.has_value());
      continue;
    }
    const line& deciding = i.lines[*o.line];
    CHECK(o.missing == missing_of(i, deciding, g, at));
    CHECK((o.verdict == verdict::not_shown) == (o.missing != missing_datum::none));
    CHECK(o.chance.has_value() == (o.missing == missing_datum::none));
    ++missing[o.missing];
    if (i.type != system_type::single_line || o.missing != missing_datum::none) {
      CHECK_FALSE(o.stays.has_value());
      continue;
    }
    // The same line with a pump element of its own is the flow alone; of an estimate all rates have one spread.
    conditions c = conditions_of(i, at, 0.80);
    const double chance = *outcome_of(deciding, g, c).chance;
    const double stays = left_after_relief(deciding, g, at);
    // Each main has its share of what stays, and hangs on the slope as cold as it is.
    const bool has_main = std::ranges::any_of(deciding.segments, [](const segment& x) { return !x.main.empty(); });
    double slope = 0.0, all = 0.0;
    for (const segment& x : deciding.segments) {
      if (has_main && x.main.empty()) continue;
      const double own = in_metre(x.length) / in_metre(x.bore) * in_pascal(g.at(at + x.offset)->yield);
      slope += own * std::max(0.0, 25.0 - (at + x.offset).in_celsius());
      all += own;
    }
    const detail::weights share{{1.0, slope / all, 0.0, 0.0, 0.0}};
    const double margin = std::log(in_pascal(*i.reset) / stays) / g.belief().sigma(share);
    const double vents = 0.5 * std::erfc(-margin / std::sqrt(2.0));
    CHECK(recharges(deciding, g, c) == (vents >= 0.80));
    c.system = system_type::multi_outlet;
    const double flows = *outcome_of(deciding, g, c).chance;
    CHECK(near(chance, std::min(flows, vents), 1e-9, 1e-15));
    CHECK(o.stays.has_value() == (vents < flows));
    if (!o.stays) continue;
    CHECK(near(in_pascal(*o.stays), stays, 1e-12));
    ++recharge_decides;
    recharge_fails += o.verdict == verdict::stalls;
  }
  CHECK(recharge_decides > 10);
  CHECK(recharge_fails > 3);
  for (const auto& word : words_of<missing_datum>::table) CHECK(missing[word.value] > 3);
}

TEST_CASE("case: a recharge of meters decides, and names what stays") {
  // NLGI 000 of KV40 46 at 25 C: ty = 10 Pa (the class's own), so 10 m by 4 mm keep 4 x 10/0.004 x 10 = 1 bar. Of the
  // reset of 1 bar that is all: an even chance, where the flow has nearly a sure one.
  installation i{.name = "one", .type = system_type::single_line, .available = bar(100), .reset = bar(1)};
  i.feed = inlet{.kind = feed_kind::stirred};
  i.lines = {{.point = "p",
              .segments = {{.length = metre(10), .bore = millimetre(4)}},
              .outlet = bar(10),
              .dose = cm3(0.2),
              .in = second(12)}};
  const grease g = estimate({.nlgi = "000", .kv40 = mm2_per_s(46), .vi = 95.0});
  const installation_outcome o = outcome_of(i, g, celsius(25), 0.80);
  CHECK(o.verdict == verdict::doubtful);
  CHECK(near(*o.chance, 0.5, 1e-9));
  CHECK(near(in_bar(*o.stays), 1.0, 1e-9));
  CHECK(o.missing == missing_datum::none);
  i.reset = bar(10);
  CHECK(outcome_of(i, g, celsius(25), 0.80).verdict == verdict::flows);
  i.reset.reset();
  const installation_outcome open = outcome_of(i, g, celsius(25), 0.80);
  CHECK(open.verdict == verdict::not_shown);
  CHECK(open.missing == missing_datum::reset);
  CHECK_FALSE(open.stays.has_value());
}

TEST_CASE("case: a warm line does not bear the blame of an inlet colder than the oil's bound") {
  installation i{.name = "warm line", .available = bar(300), .feed = inlet{.kind = feed_kind::stirred}};
  i.lines = {{.point = "p",
              .segments = {{.length = metre(1), .bore = millimetre(8), .offset = kelvins(20)}},
              .outlet = bar(10),
              .flow = cm3_per_min(1)}};
  const grease g = estimate({.nlgi = "000", .kv40 = mm2_per_s(46), .vi = 95.0, .pour = celsius(-9)});
  const installation_answer a = check(i, g, celsius(-8));
  CHECK(a.points.front().check.verdict == verdict::flows);
  CHECK(a.outcome.verdict == verdict::doubtful);
  CHECK_FALSE(a.outcome.line.has_value());
  CHECK(a.outcome.below_oil_bound);
  // -9 C + 3 K of wax: the inlet is as cold as the air, the line is not.
  CHECK(near(a.coldest->in_celsius(), -6.0, 1e-12));
}

TEST_CASE("case: the answers carry the confidence they were asked for") {
  installation i{.name = "one", .available = bar(300)};
  i.lines = {{.point = "p",
              .segments = {{.length = metre(1), .bore = millimetre(8)}},
              .outlet = bar(10),
              .flow = cm3_per_min(1)}};
  const grease g = estimate({.nlgi = "0", .kv40 = mm2_per_s(46), .vi = 95.0});
  CHECK(check(i, g, celsius(0), 0.9).confidence == 0.9);
  CHECK(check(i, g, celsius(0), 0.9).points.front().check.confidence == 0.9);
}
