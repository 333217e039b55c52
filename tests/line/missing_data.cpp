// What nobody said is never favourable: an oil, one of its viscosities, a feed, a rest, a material, an outlet, a pour
// point.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>

#include "coldgrease/line/installation_check.hpp"
#include "line/random_lines.hpp"
#include "line/unstated_oils.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

constexpr int installations = 200;

/// Every answer of an installation that a default could change.
void same_answer(const installation_answer& a, const installation_answer& b) {
  CHECK(a.outcome.chance == b.outcome.chance);
  CHECK(a.outcome.verdict == b.outcome.verdict);
  CHECK(a.outcome.line == b.outcome.line);
  CHECK(a.needed == b.needed);
  CHECK(a.coldest == b.coldest);
  CHECK(a.feed.chance == b.feed.chance);
  REQUIRE(a.points.size() == b.points.size());
  for (std::size_t p = 0; p < a.points.size(); ++p) {
    CHECK(a.points[p].line == b.points[p].line);
    CHECK(a.points[p].check.chance == b.points[p].check.chance);
    CHECK(a.points[p].check.start_loss == b.points[p].check.start_loss);
    CHECK(a.points[p].check.uptake == b.points[p].check.uptake);
    CHECK(a.points[p].check.outlet == b.points[p].check.outlet);
  }
}
bool says(const std::vector<std::string>& notes, std::string_view words) {
  return std::ranges::any_of(notes, [&](const std::string& n) { return n.find(words) != std::string::npos; });
}
bool anywhere_says(const installation_answer& a, std::string_view words) {
  return says(a.notes, words) ||
         std::ranges::any_of(a.points, [&](const point_answer& p) { return says(p.check.notes, words); });
}
/// True if a datum that the two do not share moves the pump, a pressure or a volume.
bool differs(const installation_answer& a, const installation_answer& b) {
  if (a.feed.chance != b.feed.chance) return true;
  return std::ranges::any_of(a.points, [&](const point_answer& p) {
    const line_answer& other = std::ranges::find(b.points, p.line, &point_answer::line)->check;
    return p.check.needed != other.needed || p.check.uptake != other.uptake;
  });
}

installation stated() {
  installation i{.name = "stated",
                 .available = bar(200),
                 .feed = inlet{.kind = feed_kind::stirred},
                 .rest = hour(12),
                 .interval = hour(1)};
  i.lines = {{.point = "a",
              .segments = {{.length = metre(5),
                            .bore = millimetre(4),
                            .bore_from_tube = true,
                            .wall = millimetre(1),
                            .material = tube_material::polyamide}},
              .outlet = bar(15),
              .dose = cm3(0.2),
              .in = second(12)}};
  return i;
}
const evidence class_1{.nlgi = "1", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)};

}  // namespace

TEST_CASE("law: what nobody says of an oil is never better than the median of what it may be" *
          doctest::test_suite("long")) {
  // Its viscosity, or one of the two, at equal shares of the band it may lie in; chances above one half.
  for (const unstated_oil& u : unstated_oils()) {
    CAPTURE(u.name);
    const held_against_band held = hold_against_band(u, 7, installations);
    CHECK(held.above_half > installations / 4);
    CHECK(held.most_over_median <= 0.005);
  }
}

TEST_CASE("law: an assumed oil never turns a stall, or any verdict, into a better one" * doctest::test_suite("long")) {
  line_sampler s(10);
  int stalls = 0;
  for (int n = 0; n < 10 * installations; ++n) {
    const installation i = s.an_installation();
    const temperature at = celsius(s.between(-30, 10));
    const double confidence = s.between(0.55, 0.95);
    const installation_outcome without = outcome_of(i, estimate({.nlgi = "1"}), at, confidence);
    const installation_outcome middle =
        outcome_of(i, estimate({.nlgi = "1", .kv40 = mm2_per_s(150), .vi = 95.0}), at, confidence);
    stalls += middle.verdict == verdict::stalls;
    CHECK(*without.chance <= *middle.chance);
    CHECK(without.verdict >= middle.verdict);
  }
  CHECK(stalls > installations / 2);
}

TEST_CASE("law: an unknown oil is bound by its stiffer end, and says so") {
  const grease unknown = estimate({.nlgi = "1"});
  CHECK(unknown.oil() == oil_knowledge::unknown);
  CHECK(unknown.stands_on().find("oil not known") != std::string::npos);
  CHECK(unknown.stands_on().find("KV40") == std::string::npos);
  CHECK(near(unknown.oil_bound()->in_celsius(),
             estimate({.nlgi = "1", .kv40 = mm2_per_s(460), .vi = 95.0}).oil_bound()->in_celsius(), 1e-12));
  CHECK(near(unknown.oil_bound()->in_celsius(), -15.0, 0.0, 0.5));  // derived: KV40 460 of index 95 at 100 Pa s
  CHECK(estimate({.nlgi = "1", .kv40 = mm2_per_s(150)}).oil() == oil_knowledge::index_unknown);
  CHECK(estimate(class_1).oil() == oil_knowledge::known);
  CHECK(estimate({.nlgi = "1", .kv40 = mm2_per_s(150), .vi = 95.0}).oil() == oil_knowledge::known);
  CHECK(estimate(class_1).stiffer_oil() == nullptr);
  // The widening is the logarithm of the two stresses over 1.645.
  const auto stress_at = [](const evidence& e) {
    return in_pascal(stress(*estimate(e).at(celsius(-10)), nominal_rate{per_second(detail::usual_rate)}));
  };
  const double doubt = std::log(stress_at({.nlgi = "1", .kv40 = mm2_per_s(460), .vi = 95.0}) /
                                stress_at({.nlgi = "1", .kv40 = mm2_per_s(150), .vi = 95.0})) /
                       1.645;
  const double known = estimate({.nlgi = "1", .kv40 = mm2_per_s(150), .vi = 95.0}).sigma(celsius(-10));
  CHECK(near(unknown.sigma(celsius(-10)), std::hypot(known, doubt), 1e-12));
}

TEST_CASE("case: a pag or silicone oil of one viscosity is not shown") {
  for (const oil_type type : {oil_type::pag, oil_type::silicone}) {
    const evidence one{.nlgi = "1", .kv40 = mm2_per_s(150), .oil = type};
    CHECK_FALSE(outcome_of(stated(), estimate(one), celsius(10), 0.80).chance.has_value());
    CHECK(says(estimate(one).notes(), "may be anything"));
    evidence two = one;
    two.kv100 = mm2_per_s(22);
    CHECK(outcome_of(stated(), estimate(two), celsius(10), 0.80).chance.has_value());
  }
}

TEST_CASE("law: neither a type nor a pour point makes an oil of unknown viscosity good below its stiffer end") {
  const temperature bound = *estimate({.nlgi = "0"}).oil_bound();
  for (const oil_type type :
       {oil_type::mineral, oil_type::naphthenic, oil_type::pao, oil_type::ester, oil_type::vegetable}) {
    CAPTURE(name_of(type));
    CHECK(*estimate({.nlgi = "0", .oil = type}).oil_bound() >= bound);
    CHECK(*estimate({.nlgi = "0", .pour = celsius(-60), .oil = type}).oil_bound() >= bound);
    CHECK(outcome_of(stated(), estimate({.nlgi = "0", .oil = type}), celsius(-25), 0.80).verdict != verdict::flows);
  }
  // Saying less never gives more: an index without a viscosity is no oil of which anything is known.
  CHECK_FALSE(estimate({.nlgi = "0", .vi = 150.0, .oil = oil_type::pag}).has_model());
}

TEST_CASE("case: a line alone says that its inlet is not judged and its rest assumed") {
  const line l = stated().lines[0];
  const line_answer a = check(l, estimate(class_1), {.at = celsius(0), .available = bar(200)});
  CHECK_FALSE(a.inlet_judged);
  CHECK(says(a.notes, "parked overnight is assumed"));
  CHECK_FALSE(says(check(l, estimate(class_1), {.at = celsius(0), .available = bar(200), .rest = hour(12)}).notes,
                   "parked overnight"));
  CHECK(check(stated(), estimate(class_1), celsius(0)).points.front().check.inlet_judged);
}

TEST_CASE("law: what is left out of an installation gives the answer of its stated default, and a note names it" *
          doctest::test_suite("long")) {
  line_sampler s(12);
  std::map<std::string, int> matters;  // installations in which another value gives another answer
  for (int n = 0; n < installations; ++n) {
    CAPTURE(n);
    const installation drawn = s.an_installation();
    const grease g = s.an_estimate();
    const temperature at = celsius(s.between(-30, 15));
    const std::size_t at_line = s.one_of(drawn.lines.size());
    const installation_answer other = check(drawn, g, at);
    const auto left_out = [&](auto datum, auto by_default, const std::string& note) {
      CAPTURE(note);
      installation stated = drawn, less = drawn;
      datum(stated) = by_default;
      datum(less).reset();
      const installation_answer a = check(stated, g, at), b = check(less, g, at);
      same_answer(a, b);
      CHECK(anywhere_says(b, note));
      CHECK_FALSE(anywhere_says(a, note));
      matters[note] += differs(a, other);
    };
    const bool single = drawn.type == system_type::single_line;
    left_out(
        [](installation & i) -> auto& { return i.feed; },
        inlet{.kind = single ? feed_kind::gravity : feed_kind::stirred},
        single ? "gravity is assumed" : "stirred is assumed");
    left_out(
        [](installation & i) -> auto& { return i.rest; }, hour(12), "parked overnight is assumed");
    left_out(
        [&](installation & i) -> auto& { return i.lines[at_line].segments.back().material; }, tube_material::polyamide,
        "polyamide is assumed");
    left_out(
        [&](installation & i) -> auto& { return i.lines[at_line].outlet; }, bar(15), "15 bar (218 psi) is assumed");
  }
  CHECK(matters.size() == 5);
  for (const auto& datum : matters) {
    CAPTURE(datum.first);
    CHECK(datum.second > installations / 20);
  }
}

TEST_CASE("law: without a pour point the answer is that of an oil which pours where it is glass, and a note says so") {
  const grease without = estimate(class_1);
  evidence glass = class_1;
  glass.pour = *without.oil_bound();
  for (const double t : {5.0, -12.0, -26.0}) {
    const installation_answer a = check(stated(), without, celsius(t)),
                              b = check(stated(), estimate(glass), celsius(t));
    same_answer(a, b);
    CHECK(says(a.notes, "no pour point is given"));
    CHECK_FALSE(says(b.notes, "no pour point is given"));
    // Colder than -9 C mineral oils may pour: said, not widened.
    CHECK(says(a.points.front().check.notes, "mineral oils pour") + says(a.notes, "mineral oils pour") == (t < -9.0));
  }
}

TEST_CASE("case: the inlet is judged where nobody says how the pump is fed, and each way is shown") {
  // NLGI 1 at -12 C: ty = 300 (eta(-12)/eta(25))^0.36 Pa is above the 441 Pa that 0.2 m of grease press by gravity.
  installation i = stated();
  i.feed.reset();
  const grease g = estimate(class_1);
  const installation_answer a = check(i, g, celsius(-12));
  CHECK(a.feed_by.kind == feed_kind::stirred);
  REQUIRE(a.feed_choices.size() == 3);
  for (const feed_choice& c : a.feed_choices) {
    installation said = i;
    said.feed = inlet{.kind = c.kind};
    const installation_answer b = check(said, g, celsius(-12));
    CHECK(b.feed.chance == c.chance);
    CHECK(b.feed_choices.empty());
    if (c.kind == feed_kind::gravity) {
      CHECK(*c.chance < 0.1);
      CHECK(b.outcome.verdict != verdict::flows);
      CHECK_FALSE(b.outcome.line.has_value());
    }
  }
  i.type = system_type::single_line;
  CHECK(feed_of(i).kind == feed_kind::gravity);
}
