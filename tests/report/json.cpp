// The JSON of all answers: one object on one line, numbers or null, never NaN or infinity.
#include "coldgrease/report/json.hpp"

#include <doctest/doctest.h>

#include <array>
#include <nlohmann/json.hpp>

#include "examples.hpp"
#include "near.hpp"

using namespace coldgrease;
using nlohmann::json;

namespace {

/// One object on one line, or the test fails.
json object_of(const std::string& text) {
  CHECK(text.find('\n') == std::string::npos);
  const json j = json::parse(text, nullptr, false);  // the grammar has no NaN and no infinity
  REQUIRE(j.is_object());
  return j;
}

constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();
constexpr double infinite = std::numeric_limits<double>::infinity();

}  // namespace

TEST_CASE("law: what is not finite is written as null, whatever made it") {
  for (const double v : {not_a_number, infinite, -infinite}) {
    line_answer a;
    a.temperature = celsius(v);
    a.wall_stress = a.flow_loss = a.start_loss = a.needed = pascal(v);
    a.outlet = a.available = pascal(v);
    a.chance = v;
    a.coldest = celsius(v);
    a.longest = a.smallest_bore = metre(v);
    a.largest_flow = m3_per_s(v);
    a.line_volume = cubic_metre(v);
    a.residence = days(v);
    a.ask_supplier = supplier_question{celsius(v), per_second(v), pascal_second(v)};
    const json j = object_of(to_json(a));
    CHECK(j.at("chance").is_null());
    CHECK(j.at("needed_Pa").is_null());
    CHECK(j.at("ask_supplier").at("rate_1_s").is_null());

    class_answer c;
    c.penetration = v;
    CHECK(object_of(to_json(c)).at("penetration").is_null());

    curve_answer curve;
    curve.curve = flow_curve{pascal(v), v, v, pascal_second(v)};
    curve.points = {{per_second(v), pascal(v), pascal_second(v)}};
    CHECK(object_of(to_json(curve)).at("yield_Pa").is_null());

    fit_answer fit;
    fit.curves = {{.temperature = celsius(v), .curve = {pascal(v), v, v, pascal_second(v)}}};
    fit.curves[0].standard_errors = {pascal(v), v, v, pascal_second(v)};
    fit.points = {{{}, pascal(v), v}};
    fit.slopes = fit_slopes{v, v, v, v};
    CHECK(object_of(to_json(fit)).at("residuals_pct").at(0).is_null());

    climate_answer climate;
    climate.quantiles = {{0.01, celsius(v)}};
    climate.below = time_below{v, {celsius(v), 3, "a", "b"}};
    climate.published =
        design_values{.heating_99 = celsius(v), .mean_annual_minimum = celsius(v), .deviation = kelvins(v)};
    climate.seasons = season_dates{.risk = v};
    CHECK(object_of(to_json(climate)).at("quantiles").at(0).at("temperature_C").is_null());
    CHECK(object_of(to_json(climate)).at("published_design").at("heating_99_C").is_null());
  }
}

TEST_CASE("law: an answer of which nothing is known has all its keys, and nulls") {
  const line l = examples::one_line("p", 6, 3.9);
  const json j = object_of(to_json(check(l, examples::mineral("g", "4"), {.at = celsius(-10), .available = bar(250)})));
  for (const char* key : {"wall_stress_Pa", "flow_loss_Pa", "start_loss_Pa", "needed_Pa", "chance", "coldest_C",
                          "coldest_likely_C", "oil_bound_C", "longest_m", "smallest_bore_m", "largest_flow_m3_s",
                          "largest_outlet_Pa", "outlet_found_warm", "residence_days", "ask_supplier"}) {
    CAPTURE(key);
    REQUIRE(j.contains(key));
    CHECK(j.at(key).is_null());
  }
  CHECK(j.at("verdict") == "not shown");
  CHECK(j.at("missing") == "nothing is known of this grease here");
}

TEST_CASE("law: numbers come back to the last bit") {
  const line l = examples::one_line("p", 6, 3.9);
  const line_answer a = check(l, examples::mineral("g", "1"), {.at = celsius(-10.1), .available = bar(250)});
  const json j = object_of(to_json(a));
  CHECK(j.at("temperature_C").get<double>() == -10.1);
  CHECK(j.at("chance").get<double>() == *a.chance);
  CHECK(j.at("needed_Pa").get<double>() == in_pascal(*a.needed));
  CHECK(j.at("coldest_C").get<double>() == a.coldest->in_celsius());
  CHECK(j.at("longest_m").get<double>() == in_metre(*a.longest));
}

TEST_CASE("law: names pass through, and one that is no UTF-8 does not break the file") {
  for (std::string name : examples::awkward_names()) {
    daily_series s = examples::weather(name, 7, 18);
    s.dropped = {{name, 1}};
    const json j = object_of(to_json(describe(s, celsius(-20))));
    CHECK(j.at("station") == name);
    CHECK(j.at("dropped_by").at(0).at("reason") == name);
  }
  const json j =
      object_of(to_json(describe(examples::weather("Montr\xe9"
                                                   "al",
                                                   7, 18))));
  CHECK(j.at("station") ==
        "Montr\xef\xbf\xbd"
        "al");
}

TEST_CASE("law: picks") {
  const auto rules = published_rules();
  for (const std::string& name : examples::awkward_names()) {
    for (const auto& [mean, amplitude] : {std::pair{7.0, 18.0}, {-45.0, 35.0}, {35.0, 5.0}}) {
      const examples::named_pick p = examples::pick_named(name, mean, amplitude, rules);
      const json j = object_of(to_json(p.answer, p.installations, p.stock));
      CHECK(j.at("routes").at(0).at("route") == name);
      CHECK(j.at("routes").at(0).at("months").size() == 12);
      CHECK(j.at("routes").at(0).at("months").at(0).at("greases").at(0).at("grease") == name);
    }
  }
}

TEST_CASE("law: a changeover of which little is known has all its keys, and nulls") {
  installation i{.name = "\"i\"", .available = bar(100), .lines = {examples::one_line("p", 6, 3.9)}};
  i.lines[0].dose.reset();
  i.lines[0].flow = cm3_per_min(1);
  const evidence from{.name = "a", .nlgi = "2"}, to{.name = "b", .nlgi = "1", .thickener = "clay"};
  const json j = object_of(
      to_json(changeover(i, estimate(from), estimate(to), compatibility_charts()), i, estimate(from), estimate(to)));
  CHECK(j.at("installation") == "\"i\"");
  for (const char* key : {"last_point", "last_days", "reservoir_days"}) CHECK(j.at(key).is_null());
  CHECK(j.at("lines").at(0).at("shots").is_null());
  CHECK(j.at("lines").at(0).at("days").is_null());
  CHECK(j.at("compatibility").at("old").is_null());
  CHECK(j.at("compatibility").at("word").is_null());
}

TEST_CASE("law: oil, class and tables") {
  const std::array at{celsius(-20), celsius(1e300)};
  object_of(to_json(describe(oil_data{.kv40 = mm2_per_s(150), .vi = 95}, at)));
  const json gap = object_of(to_json(classify(300.0)));
  CHECK(gap.at("nlgi").is_null());
  CHECK(gap.at("between") == json::array({"1", "2"}));
  CHECK(object_of(to_json(tables_in_force())).at("tables").size() == 4);
}
