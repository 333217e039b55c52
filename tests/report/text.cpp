// The texts of all answers: 80 columns whatever they hold, both temperature scales wherever a temperature stands.
#include "coldgrease/report/text.hpp"

#include <doctest/doctest.h>

#include <array>
#include <regex>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/climate/readers.hpp"
#include "coldgrease/report/guide.hpp"
#include "examples.hpp"
#include "near.hpp"

using namespace coldgrease;
using examples::widest;

namespace {

std::string on_one_line(const std::string& text) { return std::regex_replace(text, std::regex("\\s+"), " "); }

/// Temperatures in C and in F that stand alone or do not agree; empty if every one has its partner.
std::string lonely_temperature(const std::string& text) {
  // A difference, "+6.2 K (+11.1 F)", is no temperature.
  const std::string flat = std::regex_replace(on_one_line(text), std::regex(R"([+-][0-9.]+ K \([+-][0-9.]+ F\))"), "");
  const std::string number = R"((-?[0-9]+\.?[0-9]*(?:e\+[0-9]+)?))";
  const std::regex celsius_value(number + " C\\b"), pair(number + " C \\(" + number + " F\\)"),
      fahrenheit_value(number + " F\\b");
  const auto count = [&](const std::regex& what) {
    return std::distance(std::sregex_iterator(flat.begin(), flat.end(), what), std::sregex_iterator());
  };
  for (auto it = std::sregex_iterator(flat.begin(), flat.end(), pair); it != std::sregex_iterator(); ++it) {
    const double c = *to_number((*it)[1].str()), f = *to_number((*it)[2].str());
    if (!near(f, c * 1.8 + 32.0, 1e-3, 0.15)) return (*it)[0].str();
  }
  if (count(celsius_value) == count(pair) && count(fahrenheit_value) == count(pair)) return "";
  std::string alone = std::regex_replace(flat, pair, "#");
  std::smatch first;
  if (std::regex_search(alone, first, std::regex(".{0,40}[0-9] [CF]\\b.{0,20}"))) return first[0].str();
  return "?";
}

/// Rows that name data by the temperature of their test method (KV40, KV100) are no temperatures of an answer.
std::string without_row(const std::string& text, const std::string& label) {
  const auto at = text.find(label);
  if (at == std::string::npos) return text;
  auto end = text.find('\n', at);
  while (end + 1 < text.size() && text[end + 1] == ' ') end = text.find('\n', end + 1);
  return text.substr(0, at) + text.substr(end + 1);
}

bool has_no_number(const std::string& text) { return std::regex_search(text, std::regex("\\b(nan|inf)\\b")); }

void check_page(const std::string& text) {
  CHECK_MESSAGE(widest(text) <= 80, text);
  CHECK_FALSE_MESSAGE(has_no_number(text), text);
  CHECK(text.ends_with('\n'));
  CHECK(lonely_temperature(without_row(text, "stands on")) == "");
}

const std::array<unit_system, 2> both{unit_system::si, unit_system::us};

}  // namespace

TEST_CASE("law: the finder of lonely temperatures can find one") {
  CHECK(lonely_temperature("at -20.0 C (-4.0 F) and 0.0 C\n (32.0 F).") == "");
  CHECK(lonely_temperature("at -20.0 C.") != "");
  CHECK(lonely_temperature("at -4 F.") != "");
  CHECK(lonely_temperature("at -20.0 C (-5.0 F).") != "");
  CHECK(lonely_temperature("no temperature, but 500 cP and 3 Capes") == "");
}

TEST_CASE("law: class answers") {
  for (const double p : {1.0, 84.9, 287.0, 300.0, 430.5, 499.999999}) check_page(to_text(classify(p)));
  check_page(to_text(classify(70.0, penetration_method::worked, cone_scale::quarter)));
  check_page(to_text(classify(287.0, penetration_method::prolonged)));
  for (const char* label : {"2", "1/2", "000/00", "1.5", "6"}) check_page(to_text(classify_label(label, "label")));
}

TEST_CASE("law: oil answers, from a solvent to a tar") {
  const std::array at{celsius(-273.15), celsius(-60), celsius(-0.04), fahrenheit(0),
                      celsius(40),      celsius(1e6), celsius(1e300)};
  for (const double kv40 : {0.9, 2.2, 150.0, 3200.0, 1e9})
    check_page(to_text(describe({.kv40 = mm2_per_s(kv40), .kv100 = mm2_per_s(0.25 * std::sqrt(kv40))}, at)));
  check_page(to_text(describe({.kv40 = mm2_per_s(150), .vi = 95}, {})));
}

TEST_CASE("law: curve answers, with every name, kind and temperature") {
  const std::array rates{per_second(1e-200), per_second(0.1), per_second(1e6), per_second(1e200)};
  for (const std::string& name : examples::awkward_names()) {
    for (const double t : {-273.15, -60.0, -20.0, 0.0, 25.0, 60.0, 1e6}) {
      for (const char* nlgi : {"000", "1/2", "2", "4"}) {
        const grease g = examples::mineral(name, nlgi);
        for (const rate_kind kind : {rate_kind::nominal, rate_kind::true_rate})
          check_page(to_text(describe(g, celsius(t), rates, kind), g));
      }
    }
  }
  const grease bare = measured({pascal(1e-9), 1e12, 0.1, pascal_second(0)}, celsius(-40));
  check_page(to_text(describe(bare, celsius(-40), rates), bare));
  check_page(to_text(describe(bare, celsius(-41), rates), bare));
}

TEST_CASE("law: fit answers, with every error and none, of plain and wild points") {
  for (const double scale : {1e-30, 1e-3, 1.0, 1e6, 1e30}) {
    for (const rate_kind kind : {rate_kind::nominal, rate_kind::true_rate}) {
      std::vector<measured_point> points;
      for (const double t : {-60.0, -0.04, 1e6}) {
        for (const double rate : {0.1, 7.0, 1234.5})
          points.push_back({celsius(t), per_second(rate), pascal(scale * (500.0 + 2.0 * rate)), kind});
        check_page(to_text(fit(points)));
        check_page(to_text(fit(std::span(points).first(2), {.line_rate = per_second(1e-9)})));
      }
    }
  }
}

TEST_CASE("law: line answers, with every name, in both systems, from a hair to a tunnel") {
  for (const std::string& name : examples::awkward_names()) {
    const grease g = estimate({.name = name, .nlgi = "1/2", .kv40 = mm2_per_s(150), .vi = 95, .pour = celsius(-24)});
    for (const double bore_mm : {0.01, 4.0, 6.0, 1e5}) {
      for (const double metres : {1e-6, 6.0, 1e9}) {
        for (const double t : {-273.15, -50.0, -26.0, -10.0, 30.0, 1e6}) {
          line l = examples::one_line(name, metres, bore_mm);
          l.segments.push_back(
              {.length = metre(metres), .bore = millimetre(bore_mm), .offset = kelvins(3), .rating = bar(1e-3)});
          const line_answer a = check(
              l, g,
              {.at = celsius(t), .available = bar(250), .confidence = 0.8, .interval = hour(1), .hours_per_day = 10.0});
          for (const unit_system u : both) check_page(to_text(a, l, g, u));
        }
      }
    }
  }
}

TEST_CASE("law: a line whose outlet is unknown, or asks for all there is") {
  const grease g = examples::mineral("g", "1");
  line l = examples::one_line("p", 6, 3.9);
  l.outlet.reset();
  check_page(to_text(check(l, g, {.at = celsius(-10), .available = bar(250)}), l, g));
  l.outlet = bar(250);
  for (const unit_system u : both)
    check_page(to_text(check(l, g, {.at = celsius(-10), .available = bar(250)}), l, g, u));
}

TEST_CASE("law: climate answers") {
  for (const std::string& name : examples::awkward_names()) {
    for (const auto& [mean, amplitude] : {std::pair{7.0, 18.0}, {-40.0, 35.0}, {40.0, 1.0}}) {
      daily_series s = examples::weather(name, mean, amplitude);
      s.dropped = {{name, 12}, {"missing value", 123456789}};
      s.notes = {name};
      check_page(to_text(describe(s)));
      check_page(to_text(describe(s, celsius(-20))));
      check_page(to_text(describe(s, celsius(1e6))));
    }
  }
  check_page(to_text(describe(make_daily_series("one day", {{0, -90.0, 60.0}}), celsius(-12.2222))));
}

TEST_CASE("law: picks, with every name, in both systems, from the pole to the desert") {
  const auto rules = published_rules();
  for (const std::string& name : examples::awkward_names()) {
    for (const auto& [mean, amplitude] : {std::pair{7.0, 18.0}, {-45.0, 35.0}, {35.0, 5.0}, {-5.0, 1.0}}) {
      const examples::named_pick p = examples::pick_named(name, mean, amplitude, rules);
      for (const unit_system u : both) {
        const std::string text = to_text(p.answer, p.installations, p.stock, u);
        CHECK_MESSAGE(widest(text) <= 80, text);
        CHECK_FALSE(has_no_number(text));
        // The published rules quote their own scale; everything before them is ours.
        CHECK(lonely_temperature(text.substr(0, text.find("Published rules"))) == "");
        CHECK(text.find("Cautions") != std::string::npos);
      }
    }
  }
}

TEST_CASE("law: tables, found in a folder with a long name") {
  const std::array answers{
      table_answer{"greases.json", "/" + std::string(150, 'f') + "/greases.json", 1, 8, "what it is", "who says so"},
      table_answer{"published_rules.json", "built in", 1, 1000000, std::string(300, 'a'), "b"}};
  check_page(to_text(answers));
  check_page(to_text(tables_in_force()));
}

TEST_CASE("law: the same answer in US units has no SI pressure, length or volume, and the reverse") {
  const grease g = examples::mineral("g", "1");
  const line l = examples::one_line("p", 6, 3.9);
  const line_answer a = check(l, g, {.at = celsius(-10), .available = bar(250)});
  const std::string si = on_one_line(to_text(a, l, g, unit_system::si)),
                    us = on_one_line(to_text(a, l, g, unit_system::us));
  const std::regex si_unit("[0-9] (bar|m|mm|cm3|cm3/min)\\b"), us_unit("[0-9] (psi|ft|in|in3|in3/min)\\b");
  CHECK(std::regex_search(si, si_unit));
  CHECK_FALSE(std::regex_search(si, us_unit));
  CHECK(std::regex_search(us, us_unit));
  CHECK_FALSE(std::regex_search(us, si_unit));
}

TEST_CASE("case: the cautions name the dangers and stand in every line and pick report") {
  CHECK(on_one_line(cautions()).find("surgical emergency") != std::string::npos);
  CHECK(on_one_line(cautions()).find("Let stored pressure off") != std::string::npos);
  CHECK(widest(cautions()) <= 80);
  const grease g = examples::mineral("g", "1");
  const line l = examples::one_line("p", 6, 3.9);
  CHECK(to_text(check(l, g, {.at = celsius(-10), .available = bar(250)}), l, g).find(cautions()) != std::string::npos);
}

TEST_CASE("law: designations, 80 columns and both scales") {
  for (const char* code :
       {"KP2K-30", "KPFE1N-40", "KHC2U-25", "MP00/000M-60", "OGPF0S", "XCDEB3", "XEGIA00/000", "XABAA6"}) {
    CAPTURE(code);
    const std::string text = to_text(parse_designation(code, "code"));
    CHECK(widest(text) <= 80);
    CHECK(lonely_temperature(text) == "");
  }
}

TEST_CASE("law: changeovers, 80 columns and both scales, whatever the names and sizes") {
  const auto charts = compatibility_charts();
  for (const std::string& name : examples::awkward_names()) {
    for (const double metres : {1e-6, 6.0, 1e12}) {
      installation i{.name = name, .available = bar(100), .reservoir = cm3(1200), .interval = hour(1)};
      i.lines = {examples::one_line(name, metres, 3.9), examples::one_line("other", 2.0, 3.9)};
      evidence from{.name = name, .nlgi = "2", .designation = "KE1P-40", .thickener = name};
      const evidence to{.name = name, .nlgi = "1", .thickener = "clay"};
      for (const bool known : {true, false}) {
        if (known) from.density = kg_per_m3(930);
        for (line& l : i.lines) l.dose = known ? std::optional(cm3(1e-3)) : std::nullopt;
        const changeover_answer a = changeover(i, estimate(from), estimate(to), charts);
        for (const unit_system units : {unit_system::si, unit_system::us}) {
          const std::string text = to_text(a, i, estimate(from), estimate(to), units);
          CHECK(widest(text) <= 80);
          CHECK(lonely_temperature(text) == "");
        }
        CHECK(widest(to_text(compatibility(name, "lithium", charts))) <= 80);
      }
    }
  }
}

TEST_CASE("law: two weather files side by side, 80 columns and both scales, whatever their names") {
  for (const std::string& name : examples::awkward_names()) {
    const daily_series mild = examples::weather(name, 7, 18), cold = examples::weather("cold", -3.0, 30.0);
    for (const record_comparison& c :
         {compare_records(mild, cold, celsius(-5)), compare_records(cold, mild), compare_records(mild, mild)}) {
      const std::string text = to_text(c);
      CHECK(widest(text) <= 80);
      CHECK(lonely_temperature(text) == "");
      CHECK(!has_no_number(text));
      CHECK(text.starts_with("SAFER"));
    }
  }
}

TEST_CASE("law: every station of published values stands in their list with its values, and every source once") {
  const std::vector<design_values> rows = published_design_values();
  const std::string text = to_text(rows), flat = on_one_line(text);
  CHECK(widest(text) <= 80);
  for (const design_values& v : rows) {
    CAPTURE(v.station);
    const auto line = text.find("\n" + v.station + " ");
    REQUIRE(line != std::string::npos);
    const std::string cells = text.substr(line + 1, text.find('\n', line + 1) - line);
    for (const auto& t : {v.heating_99_6, v.heating_99, v.mean_annual_minimum}) {
      if (t) CHECK(cells.find(both_scales(*t)) != std::string::npos);
    }
    const std::string source = "Edition " + v.edition + ": " + v.source;
    REQUIRE(flat.find(source) != std::string::npos);
    CHECK(flat.find(source, flat.find(source) + 1) == std::string::npos);
  }
}

TEST_CASE("law: the weather guide has an entry of every format that is read, and its lines fit the page") {
  const std::vector<guide_section> guide = weather_guide();
  CHECK(widest(to_text(guide)) <= 80);
  for (const std::string_view format : weather_formats) {
    CAPTURE(format);
    CHECK(std::ranges::any_of(guide, [&](const guide_section& s) {
      return std::ranges::any_of(s.entries, [&](const guide_entry& e) { return e.term == format; });
    }));
  }
}

TEST_CASE(
    "case: whether a weather file is good enough for dates stands above its figures, and a typical year has no "
    "record") {
  const std::string real = to_text(describe(examples::weather("s", 7, 18)));
  CHECK(real.find("for dates") < real.find("share colder"));
  CHECK(real.find("  record\n") != std::string::npos);
  typical_year year;
  for (int h = 0; h < 8760; ++h) year.hours.push_back({h, -5.0});
  const std::string typical = to_text(describe(year));
  CHECK(typical.find("none: a typical year has no seasons") != std::string::npos);
  CHECK(typical.find("record") == std::string::npos);
  CHECK(typical.find("  lowest\n") != std::string::npos);
}
