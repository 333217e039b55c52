// One function answers for an installation: what decides, by name, and how cold it may get.
#include <doctest/doctest.h>

#include <algorithm>

#include "coldgrease/line/installation_check.hpp"
#include "line/random_lines.hpp"
#include "near.hpp"

using namespace coldgrease;

TEST_CASE("law: the outcome is the worst of the lines and the inlet, and passes just down to its coldest temperature") {
  line_sampler s(21);
  int inlets = 0, limits = 0;
  for (int n = 0; n < 200; ++n) {
    CAPTURE(n);
    installation i{.name = "random", .available = bar(s.between(60, 350)), .interval = hour(1)};
    for (std::size_t l = 0, all = 1 + s.one_of(4); l < all; ++l) i.lines.push_back(s.a_line());
    if (s.one_of(2)) i.feed = inlet{.kind = feed_kind::gravity};
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
    ++limits;
    CHECK(outcome_of(i, g, *a.coldest + kelvins(1e-6), 0.80).verdict == verdict::flows);
    CHECK(outcome_of(i, g, *a.coldest - kelvins(0.01), 0.80).verdict != verdict::flows);
  }
  CHECK(inlets > 5);
  CHECK(limits > 50);
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
