// The verdict on a line: rules of the answer (law), figures of the trade (published value), situations (case from
// users).
#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "coldgrease/base/error.hpp"
#include "coldgrease/line/limits.hpp"
#include "near.hpp"
#include "refusal.hpp"

using namespace coldgrease;

namespace {

line one_line(double metres = 6.0, double bore_mm = 4.0) {
  return {.point = "rear slack adjuster",
          .segments = {{.length = metre(metres), .bore = millimetre(bore_mm)}},
          .outlet = bar(15),
          .flow = cm3_per_min(1)};
}
conditions at(double t_c, double available_bar = 250.0) {
  return {.at = celsius(t_c), .available = bar(available_bar)};
}
grease on_vg150(std::string_view label) {
  return estimate({.nlgi = std::string(label), .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)});
}
bool says(const std::vector<std::string>& texts, std::string_view words) {
  for (const std::string& t : texts)
    if (t.find(words) != std::string::npos) return true;
  return false;
}
}  // namespace

TEST_CASE("check: start factor by rest, on the yield stress alone (law)") {
  CHECK(start_factor(hour(0)) == 1.0);
  CHECK(start_factor(minute(1)) == 1.1);
  CHECK(start_factor(minute(59)) == 1.1);
  CHECK(start_factor(hour(1)) == 1.25);
  CHECK(start_factor(hour(24)) == 1.25);
  CHECK(start_factor(hour(24.01)) == 1.5);
  CHECK(start_factor(days(30)) == 1.5);
  CHECK(start_factor(overnight()) == 1.25);

  // A curve without yield stress starts as it runs; a mere yield stress starts at the factor.
  conditions c = at(0);
  c.rest = days(3);
  const line l = one_line();
  const line_answer thin = check(l, measured({pascal(0), 40.0, 0.5, pascal_second(1)}, celsius(0)), c);
  CHECK(in_pascal(*thin.start_loss) == in_pascal(*thin.flow_loss));
  const line_answer stiff = check(l, measured({pascal(500), 1e-9, 0.5, pascal_second(0)}, celsius(0)), c);
  CHECK(near(in_pascal(*stiff.start_loss), 1.5 * in_pascal(*stiff.flow_loss), 1e-6));
  CHECK(near(in_pascal(*stiff.needed), in_pascal(*stiff.start_loss) + 15e5, 1e-15));
  c.rest = second(0);
  const line_answer running = check(l, measured({pascal(500), 50.0, 0.5, pascal_second(0)}, celsius(0)), c);
  CHECK(in_pascal(*running.start_loss) == in_pascal(*running.flow_loss));
}

TEST_CASE("check: the default rest is a night parked") {
  const line l = one_line();
  conditions night = at(-5);
  night.rest = hour(12);
  CHECK(in_pascal(*check(l, on_vg150("1"), at(-5)).needed) == in_pascal(*check(l, on_vg150("1"), night).needed));
}

TEST_CASE("check: a rating below the pump is the first warning and the limit (law)") {
  line l = one_line();
  l.segments[0].rating = bar(100);
  const line_answer a = check(l, on_vg150("1"), at(-15));
  REQUIRE_FALSE(a.warnings.empty());
  CHECK(a.warnings.front().find("rated 100 bar") != std::string::npos);
  CHECK(near(in_bar(a.available), 100.0, 1e-14));
  const line_answer same = check(one_line(), on_vg150("1"), at(-15, 100.0));
  CHECK(near(*a.chance, *same.chance, 1e-13));
  CHECK(near(in_metre(*a.longest), in_metre(*same.longest), 1e-13));

  // The least of several counts; a rating above the pump changes nothing.
  l.segments.push_back({.length = metre(1), .bore = millimetre(3), .rating = bar(60)});
  CHECK(near(in_bar(check(l, on_vg150("1"), at(-15)).available), 60.0, 1e-14));
  line strong = one_line();
  strong.segments[0].rating = bar(400);
  const line_answer unchanged = check(strong, on_vg150("1"), at(-15));
  CHECK(near(in_bar(unchanged.available), 250.0, 1e-14));
  CHECK_FALSE(says(unchanged.warnings, "rated"));
}

TEST_CASE("check: a bore that is a common outside diameter is answered and warned of (case from users)") {
  for (const double mm : {4.0, 6.0, 8.0, 10.0, 12.0, 25.4 / 8, 25.4 * 3 / 16, 25.4 / 4}) {
    CAPTURE(mm);
    CHECK(is_common_outside_diameter(millimetre(mm)));
    const line_answer a = check(one_line(6.0, mm), on_vg150("1"), at(0));
    CHECK(a.chance.has_value());
    CHECK(says(a.warnings, "outside diameter"));
  }
  for (const double mm : {2.5, 3.35, 4.5, 5.0, 6.1, 7.1, 10.3}) {
    CHECK_FALSE(is_common_outside_diameter(millimetre(mm)));
    CHECK_FALSE(says(check(one_line(6.0, mm), on_vg150("1"), at(0)).warnings, "outside diameter"));
  }
  // The other reading is shown, with what the line would need then: 4 mm outside leaves a bore of 2.5 mm.
  const line_answer narrow = check(one_line(6.0, 2.5), on_vg150("1"), at(0));
  const auto bars = std::to_string(std::lround(in_bar(*narrow.needed))) + " bar";
  CHECK(says(check(one_line(), on_vg150("1"), at(0)).warnings, "2.5 mm"));
  CHECK(says(check(one_line(), on_vg150("1"), at(0)).warnings, bars));
  line from_tube = one_line();
  set_tube(from_tube.segments[0], "6 mm x 1 mm", "tube");
  CHECK_FALSE(says(check(from_tube, on_vg150("1"), at(0)).warnings, "outside diameter"));
}

TEST_CASE("check: tube by outside diameter and wall") {
  const auto bore_of = [](std::string_view text) {
    segment s;
    set_tube(s, text, "tube");
    return s.bore;
  };
  CHECK(near(in_millimetre(bore_of("6 mm x 1 mm")), 4.0, 1e-14));
  CHECK(near(in_millimetre(bore_of("4mm x 0.75mm")), 2.5, 1e-14));
  CHECK(near(in_inch(bore_of("1/4 in x 0.035 in")), 0.18, 1e-14));
  CHECK(near(in_millimetre(bore_of("1/4 in x 1 mm")), 4.35, 1e-14));
  for (const char* bad : {"6 mm", "6 mm x", "x 1 mm", "6 x 1", "6 mm x 3 mm", "6 mm x 4 mm", "6 mm x 0 mm",
                          "6 mm x -1 mm", "6 mm * 1 mm", "", "6 mm x 1 mm x 1 mm"}) {
    CAPTURE(bad);
    const std::string message = refusal([&] {
      segment s;
      set_tube(s, bad, "--tube");
    });
    CHECK(message.find("--tube") == 0);
    CHECK(message.find("expected") != std::string::npos);
  }
}

TEST_CASE("check: line volume and residence (published value: users' arithmetic on a 6 m and a 3 m line)") {
  // 0.2 ml a cycle, 3.33 cycles a day of 10 hours: 75.4 ml take 113 days, 14.7 ml take 22.
  conditions c = at(0);
  c.hours_per_day = 10.0;
  c.days_per_week = 7.0;
  c.interval = hour(10.0 / 3.33);
  line l = one_line();
  l.flow.reset();
  l.dose = cm3(0.2);
  l.in = second(10);
  const line_answer six = check(l, on_vg150("1"), c);
  CHECK(near(in_cm3(six.line_volume), 75.4, 0.0, 0.05));
  CHECK(near(in_days(*six.residence), 113.0, 0.0, 0.5));
  CHECK(near(in_per_second(six.nominal_rate), 3.18, 0.0, 0.005));
  l.segments = {{.length = metre(3), .bore = millimetre(2.5)}};
  const line_answer three = check(l, on_vg150("1"), c);
  CHECK(near(in_cm3(three.line_volume), 14.7, 0.0, 0.05));
  CHECK(near(in_days(*three.residence), 22.0, 0.0, 0.5));
  CHECK(near(in_per_second(three.nominal_rate), 13.04, 0.0, 0.005));

  l.segments = {{.length = metre(6), .bore = millimetre(4)}, {.length = metre(3), .bore = millimetre(2.5)}};
  CHECK(near(in_m3(check(l, on_vg150("1"), c).line_volume), in_m3(six.line_volume) + in_m3(three.line_volume), 1e-14));

  c.interval.reset();
  CHECK_FALSE(check(l, on_vg150("1"), c).residence.has_value());
  c.interval = hour(3);
  c.hours_per_day.reset();
  CHECK_FALSE(check(l, on_vg150("1"), c).residence.has_value());
  c.hours_per_day = 10.0;
  CHECK_FALSE(check(one_line(), on_vg150("1"), c).residence.has_value());
}

TEST_CASE("check: dose over time is a flow") {
  line l = one_line();
  l.flow.reset();
  l.dose = cm3(0.2);
  l.in = second(12);
  CHECK(near(in_cm3_per_min(flow_of(l)), 1.0, 1e-14));
  CHECK(near(in_pascal(*check(l, on_vg150("1"), at(-5)).needed),
             in_pascal(*check(one_line(), on_vg150("1"), at(-5)).needed), 1e-13));
}

TEST_CASE("check: a straddling label pumps like its stiffer class") {
  const line l = one_line();
  const grease between = on_vg150("1/2");
  CHECK(between.stiff_penetration() == 280.0);
  CHECK(between.soft_penetration() == 325.0);
  CHECK(between.nlgi() == "1/2");
  CHECK(*check(l, between, at(-5)).chance == *check(l, on_vg150("2"), at(-5)).chance);
  CHECK(says(between.notes(), "straddles"));
}

TEST_CASE("check: nothing is shown where nothing is known") {
  const line l = one_line();
  const auto nothing = [&](const line_answer& a) {
    CHECK(a.verdict == verdict::not_shown);
    CHECK(name_of(a.verdict) == "not shown");
    CHECK_FALSE(a.chance.has_value());
    CHECK_FALSE(a.needed.has_value());
    CHECK_FALSE(a.flow_loss.has_value());
    CHECK_FALSE(a.start_loss.has_value());
    CHECK_FALSE(a.wall_stress.has_value());
    CHECK_FALSE(a.longest.has_value());
    CHECK_FALSE(a.smallest_bore.has_value());
    CHECK_FALSE(a.largest_flow.has_value());
    CHECK_FALSE(a.ask_supplier.has_value());
    CHECK(says(a.notes, "not shown"));
  };

  SUBCASE("colder than 5 K below the pour point") {
    const grease g = estimate({.nlgi = "0", .kv40 = mm2_per_s(100), .vi = 95.0, .pour = celsius(-15)});
    CHECK(check(l, g, at(-20)).verdict != verdict::not_shown);
    const line_answer a = check(l, g, at(-20.001));
    nothing(a);
    CHECK(near(a.oil_bound->in_celsius(), -12.0, 1e-14));
    CHECK_FALSE(outcome_of(l, g, at(-20.001)).chance.has_value());
    // A colder stretch of tube counts, not the air alone.
    line cold = l;
    cold.segments.push_back({.length = metre(0.1), .bore = millimetre(4), .offset = kelvins(-2)});
    nothing(check(cold, g, at(-19)));
  }
  SUBCASE("classes 4 to 6") {
    for (const char* label : {"4", "5", "6", "3/4", "4/5"}) {
      const line_answer a = check(l, on_vg150(label), at(20));
      nothing(a);
      CHECK_FALSE(a.coldest.has_value());
      CHECK_FALSE(a.oil_bound.has_value());
    }
    nothing(check(l, estimate({.penetration = 219.9}), at(20)));
    CHECK(check(l, estimate({.penetration = 220.0}), at(20)).verdict != verdict::not_shown);
    CHECK(check(l, estimate({.penetration = 475.0}), at(20)).verdict != verdict::not_shown);
    nothing(check(l, estimate({.penetration = 475.1}), at(20)));
  }
  SUBCASE("measured without oil data, at another temperature") {
    const grease g = measured({pascal(500), 50.0, 0.5, pascal_second(2)}, fahrenheit(14));
    const line_answer there = check(l, g, {.at = fahrenheit(14), .available = bar(250)});
    CHECK(there.verdict != verdict::not_shown);
    CHECK_FALSE(there.coldest.has_value());
    CHECK_FALSE(there.coldest_likely.has_value());
    CHECK_FALSE(there.oil_bound.has_value());
    CHECK(there.longest.has_value());
    nothing(check(l, g, at(-9.9)));
  }
}

TEST_CASE("check: colder than the oil's bound is at best doubtful") {
  const grease g = estimate({.nlgi = "000", .kv40 = mm2_per_s(46), .vi = 95.0, .pour = celsius(-9)});
  conditions c = at(-8, 400.0);
  const line l = one_line(0.5, 8.0);
  const line_answer a = check(l, g, c);
  CHECK(*a.chance > 0.999);
  CHECK(a.verdict == verdict::doubtful);
  CHECK(says(a.warnings, "colder than the oil's bound"));
  CHECK(near(a.coldest->in_celsius(), -6.0, 1e-14));
  c.at = celsius(-5.9);
  CHECK(check(l, g, c).verdict == verdict::flows);
}

TEST_CASE("check: an outlet at or above what is there is an answer") {
  for (const double outlet : {250.0, 300.0}) {
    line l = one_line();
    l.outlet = bar(outlet);
    const line_answer a = check(l, on_vg150("00"), at(20));
    CHECK(a.verdict == verdict::stalls);
    CHECK(*a.chance == 0.0);
    CHECK_FALSE(a.longest.has_value());
    CHECK_FALSE(a.smallest_bore.has_value());
    CHECK_FALSE(a.largest_flow.has_value());
    CHECK_FALSE(a.coldest.has_value());
    CHECK_FALSE(a.ask_supplier.has_value());
    CHECK(a.needed.has_value());
    CHECK(says(a.warnings, "nothing is left for the line"));
  }
  // A rating may be what takes it away.
  line l = one_line();
  l.segments[0].rating = bar(10);
  CHECK(check(l, on_vg150("00"), at(20)).verdict == verdict::stalls);
}

TEST_CASE("check: an outlet that nobody knows is 15 bar, and the answer says so") {
  line l = one_line();
  l.outlet.reset();
  const line_answer a = check(l, on_vg150("1"), at(0));
  CHECK(near(in_bar(a.outlet), 15.0, 1e-14));
  CHECK(says(a.notes, "15 bar (218 psi) is assumed"));
  CHECK_FALSE(says(check(one_line(), on_vg150("1"), at(0)).notes, "15 bar"));
}

TEST_CASE("check: verdicts follow the chance and the confidence (law)") {
  const line l = one_line();
  const grease g = on_vg150("2");
  for (double t = 40.0; t > -25.0; t -= 1.0) {
    for (const double confidence : {0.55, 0.8, 0.95}) {
      conditions c = at(t);
      c.confidence = confidence;
      const line_answer a = check(l, g, c);
      const bool below = celsius(t) < *a.oil_bound;
      if (*a.chance >= confidence) {
        CHECK(a.verdict == (below ? verdict::doubtful : verdict::flows));
      } else if (*a.chance < 1.0 - confidence - 1e-12) {
        CHECK(a.verdict == verdict::stalls);
      } else if (*a.chance > 1.0 - confidence + 1e-12) {
        CHECK(a.verdict == verdict::doubtful);
      }
      const outcome core = outcome_of(l, g, c);
      CHECK(*core.chance == *a.chance);
      CHECK(core.verdict == a.verdict);
      CHECK(in_pascal(*needed_pressure(l, g, c)) == in_pascal(*a.needed));
      CHECK(core.below_oil_bound == below);
    }
  }
}

TEST_CASE("check: with several segments the supplier is asked about the one that governs (law)") {
  line l = one_line();
  l.segments = {{.length = metre(5), .bore = millimetre(6.1)},
                {.length = metre(1), .bore = millimetre(2.5), .offset = kelvins(3)}};
  conditions c = at(-10);
  c.rest = second(0);
  const flow_curve f{pascal(400), 40.0, 0.5, pascal_second(0)};  // no linear term: pressure thickens nothing
  const grease g = measured(f, celsius(-10), {.kv40 = mm2_per_s(100), .kv100 = mm2_per_s(11.2)});
  const line_answer a = check(l, g, c);
  const flow_curve warm = *g.at(celsius(-7));
  CHECK(near(in_per_second(a.nominal_rate), in_per_second(nominal_rate_of(cm3_per_min(1), millimetre(2.5)).value),
             1e-14));
  CHECK(near(in_pascal(*a.wall_stress), in_pascal(stress(warm, nominal_rate_of(cm3_per_min(1), millimetre(2.5)))),
             1e-13));
  const double tight = in_pascal(pressure_loss(warm, metre(1), millimetre(2.5), cm3_per_min(1)));
  const double wide = in_pascal(pressure_loss(f, metre(5), millimetre(6.1), cm3_per_min(1)));
  CHECK(near(in_pascal(*a.flow_loss), tight + wide, 1e-13));
  CHECK(near(a.ask_supplier->temperature.in_celsius(), -7.0, 1e-14));
  // No class is known: the measured value alone says the level; slope and tilt keep their own variances. By hand: the
  // means after one datum, the losses of both segments with them, and their weights.
  const auto of = [](double factor) { return std::pow(std::log(factor) / 1.645, 2); };
  const std::array prior{50.0, std::pow(std::log(2.0) * (1.0 / 12 - 1.0 / 18) / 1.645, 2), std::pow(0.15 / 1.645, 2)};
  const auto rate = [](double bore) { return in_per_second(nominal_rate_of(cm3_per_min(1), millimetre(bore)).value); };
  const std::array seen{1.0, 32.0, std::log(rate(2.5) / 2.65)}, cold{1.0, 35.0, 0.0};
  const auto together = [&](const std::array<double, 3>& x, const std::array<double, 3>& y) {
    return prior[0] * x[0] * y[0] + prior[1] * x[1] * y[1] + prior[2] * x[2] * y[2];
  };
  const double whole = together(seen, seen) + of(1.5) + of(1.2) + of(1.08);
  const double asked = in_pascal_second(a.ask_supplier->apparent_max) * in_per_second(a.nominal_rate);
  const double over = std::log(asked / in_pascal(*a.wall_stress));
  const double tight_now = tight * std::exp(together(seen, seen) / whole * over),
               wide_now = wide * std::exp(together(seen, cold) / whole * over);
  std::array<double, 3> mean{};
  for (std::size_t i = 0; i < 3; ++i) mean[i] = (tight_now * seen[i] + wide_now * cold[i]) / (tight_now + wide_now);
  const double variance = together(mean, mean) - std::pow(together(mean, seen), 2) / whole + of(1.5);
  CHECK(near((tight_now + wide_now) * std::exp(normal_quantile(0.8) * std::sqrt(variance)), 235e5, 1e-7));
}

TEST_CASE("check: wrong numbers are refused by name") {
  const grease g = on_vg150("1");
  const auto line_refused = [&](auto change, std::string_view field) {
    line l = one_line();
    change(l);
    const std::string message = refusal([&] { check(l, g, at(0)); });
    CAPTURE(message);
    CHECK(message.find(field) != std::string::npos);
    CHECK(message.find("rear slack adjuster") == 0);
    CHECK(message.find('\n') == std::string::npos);
  };
  constexpr double nan = std::numeric_limits<double>::quiet_NaN(), infinite = std::numeric_limits<double>::infinity();
  for (const double bad : {0.0, -1.0, nan, infinite}) {
    CAPTURE(bad);
    line_refused([&](line& l) { l.segments[0].length = metre(bad); }, "length");
    line_refused([&](line& l) { l.segments[0].bore = metre(bad); }, "bore");
    line_refused([&](line& l) { l.segments[0].rating = bar(bad); }, "rating");
    line_refused([&](line& l) { l.flow = m3_per_s(bad); }, "flow");
    line_refused([&](line& l) { l.flow.reset(), l.dose = cm3(bad), l.in = second(10); }, "dose");
    line_refused([&](line& l) { l.flow.reset(), l.dose = cm3(1), l.in = second(bad); }, "in");
  }
  line_refused([&](line& l) { l.segments.clear(); }, "segments");
  line_refused([&](line& l) { l.segments[0].offset = kelvins(nan); }, "offset");
  line_refused([&](line& l) { l.outlet = bar(-1); }, "outlet");
  line_refused([&](line& l) { l.outlet = bar(nan); }, "outlet");
  line_refused([&](line& l) { l.outlet = bar(infinite); }, "outlet");
  line_refused([&](line& l) { l.flow.reset(); }, "flow");
  line_refused([&](line& l) { l.flow.reset(), l.dose = cm3(1); }, "flow");

  const auto conditions_refused = [&](auto change, std::string_view field) {
    conditions c = at(0);
    change(c);
    const std::string message = refusal([&] { check(one_line(), g, c); });
    CAPTURE(message);
    CHECK(message.find(field) == 0);
  };
  conditions_refused([](conditions& c) { c.at.reset(); }, "at");
  conditions_refused([](conditions& c) { c.at = celsius(-274); }, "at");
  conditions_refused([](conditions& c) { c.at = celsius(nan); }, "at");
  conditions_refused([](conditions& c) { c.at = celsius(infinite); }, "at");
  for (const double bad : {0.0, -1.0, nan, infinite}) {
    conditions_refused([&](conditions& c) { c.available = bar(bad); }, "available");
    conditions_refused([&](conditions& c) { c.interval = hour(bad); }, "interval");
  }
  conditions_refused([](conditions& c) { c.interval = second(1e-300); }, "interval");
  conditions_refused([](conditions& c) { c.interval = days(367); }, "interval");
  for (const double bad : {0.5499, 0.9901, 0.0, nan})
    conditions_refused([&](conditions& c) { c.confidence = bad; }, "confidence");
  for (const double bad : {-1.0, nan}) conditions_refused([&](conditions& c) { c.rest = hour(bad); }, "rest");
  for (const double bad : {0.0, -1.0, 24.01, nan}) {
    conditions_refused([&](conditions& c) { c.hours_per_day = bad; }, "hours per day");
    conditions_refused([&](conditions& c) { c.days_per_week = bad; }, "days per week");
  }
  CHECK_NOTHROW(check(one_line(), g, {.at = celsius(0), .available = bar(250), .confidence = 0.55}));
  CHECK_NOTHROW(check(one_line(), g, {.at = celsius(0), .available = bar(250), .confidence = 0.99}));
}

TEST_CASE("check: case: a confidence out of range is shown as a number, or as it was written") {
  for (const double good : {0.55, usual_confidence, 0.99}) CHECK_NOTHROW(check_confidence(good, "confidence"));
  CHECK(refusal([] { check_confidence(0.5, "confidence"); }) == "confidence: 0.5; expected 0.55 to 0.99");
  CHECK(refusal([] { check_confidence(1.0, "--confidence", "\"1.00\""); }) ==
        "--confidence: \"1.00\"; expected 0.55 to 0.99");
  CHECK(refusal([] { check_confidence(std::numeric_limits<double>::quiet_NaN(), {}); }) ==
        "nan; expected 0.55 to 0.99");
}
