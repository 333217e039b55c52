// The fault finder: its weights are judgement; what is tested is that signs move the ranking as they must.
#include "coldgrease/line/faults.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "coldgrease/base/error.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

grease mineral_1() { return estimate({.nlgi = "1", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)}); }

installation system(system_type type = system_type::multi_outlet) {
  installation i{.name = "s", .type = type, .available = bar(250), .interval = hour(2)};
  if (type == system_type::progressive) i.divider_loss = bar(0);
  for (const double metres : {2.0, 6.0, 4.0})
    i.lines.push_back({.point = std::to_string(static_cast<int>(metres)) + " m",
                       .segments = {{.length = metre(metres), .bore = millimetre(4)}},
                       .outlet = bar(15),
                       .dose = cm3(0.2),
                       .in = second(12)});
  return i;
}

fault first(const fault_answer& a) { return a.causes.front().fault; }

double weight_of(const fault_answer& a, fault f) { return std::ranges::find(a.causes, f, &cause::fault)->weight; }

}  // namespace

TEST_CASE("law: weights are a share of all causes, the likeliest first, whatever was seen") {
  for (const auto level : {std::optional<level_sign>(), std::optional(level_sign::falls),
                           std::optional(level_sign::stands), std::optional(level_sign::low)}) {
    for (const auto dry :
         {std::optional<dry_points>(), std::optional(dry_points::one), std::optional(dry_points::all)}) {
      const fault_answer a = find_fault({.level = level, .dry = dry});
      double sum = 0.0;
      for (std::size_t c = 0; c < a.causes.size(); ++c) {
        sum += a.causes[c].weight;
        if (c > 0) CHECK(a.causes[c].weight <= a.causes[c - 1].weight);
      }
      CHECK(near(sum, 1.0, 1e-12));
    }
  }
}

TEST_CASE("case: what people describe leads to the cause they found") {
  CHECK(first(find_fault({.level = level_sign::stands, .dry = dry_points::all, .pump_turns = false})) ==
        fault::pump_still);
  // A hole over the inlet: the pump turns, nothing goes, no pressure.
  CHECK(
      first(find_fault(
          {.level = level_sign::stands, .dry = dry_points::all, .pump_turns = true, .gauge = bar(5), .at = celsius(10)},
          system(), mineral_1())) == fault::unfed_pump);
  // Cold: the level stands, the relief valve weeps, every line is past its limit.
  const fault_answer cold = find_fault({.level = level_sign::stands,
                                        .dry = dry_points::all,
                                        .pump_turns = true,
                                        .relief_weeps = true,
                                        .gauge = bar(250),
                                        .at = celsius(-22)},
                                       system(), mineral_1());
  CHECK(first(cold) == fault::cold_grease);
  // The same in mild air is no matter of cold: hardened grease in the point.
  const fault_answer warm = find_fault(
      {.dry = dry_points::one, .pump_turns = true, .gauge = bar(250), .at = celsius(15)}, system(), mineral_1());
  CHECK(first(warm) == fault::blocked_point);
  CHECK(std::ranges::any_of(
      warm.notes, [](const std::string& n) { return n.find("do not change the grease") != std::string::npos; }));
  // Little pressure, level falls, one dry point: an open line.
  CHECK(first(find_fault({.level = level_sign::falls, .dry = dry_points::one, .gauge = bar(20), .at = celsius(-15)},
                         system(), mineral_1())) == fault::open_line);
  // Everything as it should be and still dry: too little.
  CHECK(
      first(find_fault(
          {.level = level_sign::falls, .dry = dry_points::all, .pump_turns = true, .gauge = bar(70), .at = celsius(0)},
          system(), mineral_1())) == fault::too_little);
}

TEST_CASE("law: the gauge is held against the dry line's own pressure, and never above what the pump can give") {
  installation i = system();
  for (const double t : {-20.0, -10.0, 0.0, 20.0}) {
    symptoms seen{.gauge = bar(60), .at = celsius(t), .point = 1};
    const auto expected = *find_fault(seen, i, mineral_1()).gauge;
    const line_answer own = check(i.lines[1], mineral_1(), conditions_of(i, celsius(t), 0.80));
    CHECK(near(in_pascal(expected.middle), std::min(in_pascal(*own.needed), 250e5), 1e-12));
    CHECK(in_pascal(expected.low) < in_pascal(expected.middle));
    CHECK(in_pascal(expected.high) <= 250e5);
    seen.point = 0;
    CHECK(in_pascal(find_fault(seen, i, mineral_1()).gauge->middle) < in_pascal(expected.middle));
  }
}

TEST_CASE("law: in a progressive system one blocked outlet leaves all points dry") {
  const symptoms seen{
      .level = level_sign::stands, .dry = dry_points::all, .pump_turns = true, .gauge = bar(250), .at = celsius(15)};
  CHECK(weight_of(find_fault(seen, system(system_type::progressive), mineral_1()), fault::blocked_point) >
        2.0 * weight_of(find_fault(seen, system(), mineral_1()), fault::blocked_point));
}

TEST_CASE("law: the points to feel first are those worst off in the cold, the one named before all") {
  CHECK(find_fault({.dry = dry_points::one, .at = celsius(-10)}, system(), mineral_1()).feel_first ==
        std::vector<std::size_t>{1, 2, 0});
  CHECK(find_fault({.dry = dry_points::one, .at = celsius(-10), .point = 0}, system(), mineral_1()).feel_first ==
        std::vector<std::size_t>{0, 1, 2});
}

TEST_CASE("case: a reading without its temperature, or a cold that was warmer, is refused") {
  CHECK_THROWS_AS(find_fault({.gauge = bar(60)}, system(), mineral_1()), input_error);
  CHECK_THROWS_AS(find_fault({.at = celsius(-10), .coldest = celsius(0)}, system(), mineral_1()), input_error);
}

TEST_CASE("case: colder than anything is known of the grease counts as too cold") {
  auto known = mineral_1().known();
  known.nlgi = "2";
  known.pour = celsius(-18);
  const grease waxy = estimate(known);
  const fault_answer a = find_fault({.dry = dry_points::all, .gauge = bar(250), .at = celsius(-60)}, system(), waxy);
  CHECK(first(a) == fault::cold_grease);
  // Nothing is shown of any line there: the point to feel first is that which gives out first.
  CHECK(a.feel_first.front() == 1);
}

TEST_CASE("case: a gauge above the relief setting stops everything else") {
  const fault_answer a =
      find_fault({.dry = dry_points::one, .gauge = bar(400), .at = celsius(0)}, system(), mineral_1());
  CHECK(a.gauge->reading == gauge_reading::above_relief);
  REQUIRE(!a.warnings.empty());
  CHECK(a.warnings.front().find("stop the pump") != std::string::npos);
  CHECK(find_fault({.gauge = bar(250), .at = celsius(0)}, system(), mineral_1()).warnings.empty());
}

TEST_CASE("case: a hot end of the line separates the grease, and the plug comes before a broken line") {
  // A sign on its own, and beside those that a broken line shows as well: one point dry, a level that falls.
  for (const symptoms& seen : {symptoms{.hot_end = true}, symptoms{.dry = dry_points::one, .hot_end = true},
                               symptoms{.level = level_sign::falls, .dry = dry_points::one, .hot_end = true}}) {
    const fault_answer a = find_fault(seen);
    CHECK(weight_of(a, fault::bled_grease) > weight_of(a, fault::open_line));
  }
  const symptoms stuck{.level = level_sign::stands, .pump_turns = true, .hot_end = true};
  CHECK(first(find_fault(stuck)) == fault::bled_grease);
  symptoms cold = stuck;
  cold.at = celsius(-22);
  CHECK(first(find_fault(cold, system(), mineral_1())) == fault::bled_grease);
  // Without the heat it is no plug.
  CHECK(first(find_fault({.level = level_sign::stands, .pump_turns = true})) != fault::bled_grease);
  CHECK(first(find_fault({.level = level_sign::stands, .pump_turns = true, .hot_end = false})) != fault::bled_grease);
}

TEST_CASE("case: a reservoir that was low has let air in, unless the pump is still") {
  for (const auto dry : {std::optional<dry_points>(), std::optional(dry_points::one), std::optional(dry_points::all)})
    CHECK(first(find_fault({.level = level_sign::low, .dry = dry, .pump_turns = true})) == fault::air);
  CHECK(first(find_fault({.level = level_sign::low})) == fault::air);
  CHECK(first(find_fault({.level = level_sign::low, .dry = dry_points::all, .pump_turns = false})) ==
        fault::pump_still);
}

TEST_CASE("case: where the line would need more than 1000 bar the gauge stands at the relief setting") {
  // 60 m of 2 mm bore with an NLGI 3 grease: known, and far beyond what any pump gives.
  installation i = system();
  for (line& l : i.lines) l.segments = {{.length = metre(60), .bore = millimetre(2)}};
  const grease stiff = estimate({.nlgi = "3", .kv40 = mm2_per_s(460), .kv100 = mm2_per_s(30)});
  const symptoms seen{.dry = dry_points::all, .gauge = bar(250), .at = celsius(-10)};
  const line_answer own = check(i.lines[0], stiff, conditions_of(i, celsius(-10), 0.80));
  REQUIRE_FALSE(own.needed);
  REQUIRE(own.missing == missing_datum::none);
  const fault_answer a = find_fault(seen, i, stiff);
  REQUIRE(a.gauge);
  CHECK(near(in_bar(a.gauge->middle), 250.0, 1e-12));
  CHECK(near(in_bar(a.gauge->high), 250.0, 1e-12));
  CHECK(a.gauge->reading == gauge_reading::right);
  CHECK(first(a) == fault::cold_grease);
  const auto noted = [&](const char* words) {
    return std::ranges::any_of(a.notes, [&](const std::string& n) { return n.find(words) != std::string::npos; });
  };
  CHECK(noted("more than 1000 bar (14500 psi)"));
  CHECK_FALSE(noted("nothing is known of this grease"));
}

TEST_CASE("law: with the answer for the coldest at hand the causes are the same, and another answer is refused") {
  const symptoms seen{.dry = dry_points::one, .gauge = bar(90), .at = celsius(-5), .coldest = celsius(-20)};
  const installation i = system();
  const fault_answer whole = find_fault(seen, i, mineral_1());
  const fault_answer with = find_fault(seen, check(i, mineral_1(), celsius(-20)), i, mineral_1());
  REQUIRE(with.causes.size() == whole.causes.size());
  for (std::size_t k = 0; k < whole.causes.size(); ++k) {
    CHECK(with.causes[k].fault == whole.causes[k].fault);
    CHECK(with.causes[k].weight == whole.causes[k].weight);
  }
  CHECK(with.feel_first == whole.feel_first);
  CHECK(with.gauge->middle == whole.gauge->middle);
  CHECK_THROWS_AS(find_fault(seen, check(i, mineral_1(), celsius(-10)), i, mineral_1()), input_error);
  symptoms of_none = seen;
  of_none.point = i.lines.size();
  CHECK_THROWS_AS(find_fault(of_none, i, mineral_1()), input_error);
}
