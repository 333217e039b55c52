#include "coldgrease/plan/changeover.hpp"
#include "coldgrease/line/installation_check.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "coldgrease/line/installation_check.hpp"
#include "examples.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

bool says(const std::vector<std::string>& sentences, std::string_view words) {
  return std::ranges::any_of(sentences, [&](const std::string& s) { return s.find(words) != std::string::npos; });
}

const evidence lithium{.name = "old", .nlgi = "2", .thickener = "lithium complex"};
const evidence polyurea{.name = "new", .nlgi = "1", .thickener = "polyurea"};

changeover_answer of(const installation& i, const evidence& from = lithium, const evidence& to = polyurea) {
  return changeover(i, estimate(from), estimate(to), compatibility_charts());
}

/// Doses of 0.2 cm3, 3.33 a day: 0.67 ml a day at each point.
installation two_lines() {
  return {.name = "i",
          .available = bar(100),
          .interval = hour(10.0 / 3.33),
          .days_per_week = 7.0,
          .lines = {examples::tube("near", 3.0, 2.5), examples::tube("far", 6.0, 4.0)}};
}

}  // namespace

TEST_CASE("case: 6 m of 4 mm bore hold 75.4 ml and take 113 days at 0.67 ml a day, 3 m of 2.5 mm 14.7 ml, 22 days") {
  // Derived from volume and daily dose.
  const changeover_answer a = of(two_lines());
  REQUIRE(a.lines.size() == 2);
  CHECK(a.lines[0].line == 1);
  CHECK(a.last == 1U);
  CHECK(near(in_cm3(a.lines[0].purge), 75.4, 0.0005));
  CHECK(near(in_days(*a.lines[0].arrives), 113.0, 0.005));
  CHECK(*a.lines[0].shots == 377.0);  // 75.398 cm3 in doses of 0.2 cm3: 376.99
  CHECK(near(in_cm3(a.lines[1].purge), 14.7, 0.005));
  CHECK(near(in_days(*a.lines[1].arrives), 22.0, 0.01));
  CHECK(near(in_kilogram(a.lines[0].purge_mass), 0.06786, 0.0005));  // at 900 kg/m3
  CHECK(a.density_assumed);
  CHECK(says(a.notes, "900 kg/m3 is assumed"));
  CHECK(!a.reservoir);
}

TEST_CASE("law: total is the sum of the lines, and mass is volume times density of the old grease") {
  installation i = two_lines();
  i.lines.push_back(examples::tube("between", 4.0, 3.0));
  evidence dense = lithium;
  dense.density = kg_per_m3(950);
  const changeover_answer a = of(i, dense);
  double volume_sum = 0.0, mass_sum = 0.0;
  for (const changeover_line& l : a.lines) {
    volume_sum += in_m3(l.purge);
    mass_sum += in_kilogram(l.purge_mass);
    CHECK(near(in_kilogram(l.purge_mass), 950.0 * in_m3(l.purge), 1e-12));
    CHECK(in_m3(l.purge) == in_m3(volume_of(i.lines[l.line])));
  }
  CHECK(near(in_m3(a.total), volume_sum, 1e-12));
  CHECK(near(in_kilogram(a.total_mass), mass_sum, 1e-12));
  CHECK(!a.density_assumed);
}

TEST_CASE("law: days and volume grow with length, days halve with twice the dose or half the interval") {
  installation i = two_lines();
  const changeover_answer a = of(i);
  installation longer = i, richer = i, oftener = i;
  for (line& l : longer.lines) l.segments[0].length *= 2.0;
  for (line& l : richer.lines) *l.dose *= 2.0;
  *oftener.interval *= 0.5;
  for (std::size_t n = 0; n < a.lines.size(); ++n) {
    const double days = in_days(*a.lines[n].arrives);
    CHECK(near(in_days(*of(longer).lines[n].arrives), 2.0 * days, 1e-12));
    CHECK(near(in_cm3(of(longer).lines[n].purge), 2.0 * in_cm3(a.lines[n].purge), 1e-12));
    CHECK(near(in_days(*of(richer).lines[n].arrives), 0.5 * days, 1e-12));
    CHECK(near(in_days(*of(oftener).lines[n].arrives), 0.5 * days, 1e-12));
    CHECK(*of(oftener).lines[n].shots == *a.lines[n].shots);
  }
}

TEST_CASE("law: shots are whole, hold the volume, and one less would not") {
  const installation i = examples::system();
  for (const changeover_line& l : of(i).lines) {
    CHECK(*l.shots == std::floor(*l.shots));
    CHECK(*l.shots * 0.2 >= in_cm3(l.purge) * (1.0 - 1e-9));
    CHECK((*l.shots - 1.0) * 0.2 < in_cm3(l.purge));
  }
  // A volume of exactly 20 doses asks for no 21st.
  installation exact = two_lines();
  exact.lines = {examples::tube("p", 1.0, 4.0)};
  exact.lines[0].dose = volume_of(exact.lines[0]) / 20.0;
  CHECK(*of(exact).lines[0].shots == 20.0);
}

TEST_CASE("law: the last point is that of most shots, not of most grease, equal ones keep the order of the file") {
  installation i = two_lines();
  i.lines[1].dose = cm3(2.0);  // the long line gets ten times as much
  const changeover_answer a = of(i);
  CHECK(a.last == 0U);
  CHECK(a.lines[0].line == 0);
  for (std::size_t n = 1; n < a.lines.size(); ++n) CHECK(*a.lines[n - 1].arrives >= *a.lines[n].arrives);
  i.lines = {examples::tube("a", 2), examples::tube("b", 2), examples::tube("c", 2)};
  const changeover_answer even = of(i);
  for (std::size_t n = 0; n < 3; ++n) CHECK(even.lines[n].line == n);
}

TEST_CASE("case: what is not known is left open") {
  installation i = two_lines();
  i.interval.reset();
  const changeover_answer no_interval = of(i);
  CHECK(!no_interval.lines[0].arrives);
  CHECK(no_interval.last == 1U);  // shots still say which point waits longest
  CHECK(says(no_interval.notes, "days are not"));

  i = two_lines();
  i.lines[1].dose.reset();
  i.lines[1].in.reset();
  const changeover_answer no_dose = of(i);
  CHECK(!no_dose.last);
  CHECK(no_dose.lines[0].line == 0);
  CHECK(no_dose.lines[1].line == 1);
  CHECK(!no_dose.lines[1].shots);
  CHECK(!no_dose.lines[1].arrives);
  CHECK(near(in_cm3(no_dose.total), 75.4 + 14.7, 0.001));

  i.lines[1].segments[0].bore = millimetre(0);
  CHECK_THROWS_AS(of(i), input_error);
  i.lines.clear();
  CHECK(!of(i).last);
}

TEST_CASE("case: a full reservoir of old grease goes first, and its days are those of the installation") {
  const installation i = examples::system(250, 60);
  CHECK(near(in_days(*of(i).reservoir), in_days(*reservoir_time(i)), 1e-12));
  CHECK(says(of(i).notes, "reservoir goes first"));
}

TEST_CASE("case: the wrong grease in the reservoir (C32): drain, purge every line, watch the points, test") {
  const changeover_answer a = of(two_lines());
  CHECK(a.thickeners.agreement == chart_agreement::disagree);
  CHECK(says(a.cautions, "stored pressure"));
  CHECK(says(a.cautions, "drain and clean the reservoir"));
  CHECK(says(a.cautions, "line AND point"));
  CHECK(says(a.cautions, "watch the points"));
  CHECK(says(a.cautions, "documents of the makers"));
  CHECK(says(a.thickeners.notes, "D6185"));
  const evidence simple{.name = "s", .nlgi = "2", .thickener = "lithium"};
  CHECK_FALSE(says(of(two_lines(), lithium, simple).cautions, "drain"));
  const evidence nameless{.name = "s", .nlgi = "2"};
  CHECK(of(two_lines(), lithium, nameless).thickeners.agreement == chart_agreement::unknown);
  CHECK(says(of(two_lines(), lithium, nameless).cautions, "drain"));
}

TEST_CASE("case: a designation that contradicts its record shows on the sheet") {
  evidence odd = polyurea;
  odd.designation = "KP2K-30";
  CHECK(says(of(two_lines(), lithium, odd).notes, "new: the designation KP2K-30 says NLGI 2, the label says 1"));
}

TEST_CASE("case: a heavier oil of the same class is named, and the coldest air moves as the line checks say") {
  evidence light{.name = "light", .nlgi = "1", .kv40 = mm2_per_s(100), .kv100 = mm2_per_s(11)};
  evidence heavy{.name = "heavy", .nlgi = "1", .kv40 = mm2_per_s(220), .kv100 = mm2_per_s(19)};
  const installation i = examples::system(400);
  const changeover_answer a = changeover(i, estimate(light), estimate(heavy), compatibility_charts(), 0.9);
  CHECK(a.oils.step == oil_step::heavier);
  CHECK(near(*a.oils.warm.ratio, 2.2, 1e-12));
  CHECK(*a.oils.cold.ratio > 2.2);  // two mineral oils part in the cold
  CHECK(near(in_mm2_per_s(*a.oils.cold.from),
             in_mm2_per_s(line_through({.kv40 = light.kv40, .kv100 = light.kv100})->at(celsius(-20))), 1e-12));
  REQUIRE(a.coldest_before);
  REQUIRE(a.coldest_after);
  CHECK(*a.coldest_after > *a.coldest_before);
  const auto of_check = [&](const evidence& known) {
    return check(i, estimate(known), celsius(0), 0.9).coldest->in_celsius();
  };
  CHECK(near(of_check(light), a.coldest_before->in_celsius(), 0.0, 1e-9));
  CHECK(near(of_check(heavy), a.coldest_after->in_celsius(), 0.0, 1e-9));
}

TEST_CASE("case: what is not known of an oil is not compared, and no line is judged by an assumed oil") {
  const evidence full{.name = "f", .nlgi = "1", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7), .pour = celsius(-18)};
  const evidence one{.name = "o", .nlgi = "1", .kv40 = mm2_per_s(150)};
  const evidence no_oil{.name = "n", .nlgi = "1"};
  const changeover_answer a =
      changeover(examples::system(400), estimate(full), estimate(no_oil), compatibility_charts());
  CHECK(a.oils.step == oil_step::unknown);
  CHECK(!a.oils.warm.ratio);
  CHECK(a.oils.warm.from);
  CHECK(a.coldest_before);
  CHECK(!a.coldest_after);
  const oil_change single = compare_oils(full, one);
  CHECK(single.step == oil_step::alike);
  CHECK(!single.cold.to);
  CHECK(!single.cold.ratio);
  CHECK(!single.cold.from);  // -20 C is colder than its pour point
  CHECK(single.cold.from_below_pour);
  CHECK(!single.cold.to_below_pour);
  CHECK(compare_oils(full, one, celsius(-18)).cold.from);
}

TEST_CASE("law: a step is named from a factor of 1.5 on, alike in either direction") {
  const auto step = [](double from, double to) {
    return compare_oils({.kv40 = mm2_per_s(from)}, {.kv40 = mm2_per_s(to)}).step;
  };
  CHECK(step(100, 150) == oil_step::heavier);
  CHECK(step(150, 100) == oil_step::lighter);
  CHECK(step(100, 149) == oil_step::alike);
  CHECK(step(149, 100) == oil_step::alike);
  for (const double v : {2.0, 46.0, 460.0}) CHECK(step(v, v) == oil_step::alike);
}

TEST_CASE("law: a shared main is purged once for all its lines, and by all their doses") {
  installation i{
      .name = "s", .type = system_type::progressive, .available = bar(100), .interval = hour(1), .days_per_week = 7.0};
  for (const double dose : {0.1, 0.3})
    i.lines.push_back({.point = std::to_string(dose),
                       .segments = {{.length = metre(5), .bore = millimetre(8), .main = "main"},
                                    {.length = metre(2), .bore = millimetre(4)}},
                       .outlet = bar(10),
                       .dose = cm3(dose),
                       .in = second(dose * 100.0)});
  const double pi = std::numbers::pi, main = pi / 4 * 64 * 5, branch = pi / 4 * 16 * 2;  // [cm3]
  const auto a =
      changeover(i, estimate({.name = "a", .nlgi = "1"}), estimate({.name = "b", .nlgi = "0"}), compatibility_charts());
  CHECK(near(in_cm3(a.total), main + 2 * branch, 1e-12));
  CHECK(near(in_days(*a.lines.front().arrives), (main / 0.4 + branch / 0.1) / 10.0, 1e-12));
  CHECK(*a.lines.front().shots == std::ceil(main / 0.4 + branch / 0.1));
}
