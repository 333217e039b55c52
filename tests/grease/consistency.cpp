// NLGI classes: the scale is partitioned (law), labels as people print them (case from users), refusals. The bands
// themselves are published values: tests/published/consistency.csv.
#include "coldgrease/grease/consistency.hpp"

#include <doctest/doctest.h>

#include <limits>

#include "coldgrease/base/error.hpp"
#include "coldgrease/grease/grease.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {
bool has(std::string_view text, std::string_view words) { return text.find(words) != std::string_view::npos; }
}  // namespace

TEST_CASE("consistency: every penetration has one class, two neighbours or neither (law)" *
          doctest::test_suite("long")) {
  for (int tenth = 1; tenth <= 5000; ++tenth) {
    const double p = tenth / 10.0;
    CAPTURE(p);
    const class_answer a = classify(p);
    CHECK(*a.penetration == p);
    int holding = 0;
    for (const nlgi_class& c : nlgi_classes) holding += p >= c.lower && p <= c.upper;
    REQUIRE(holding <= 1);
    CHECK(a.nlgi.has_value() == (holding == 1));
    CHECK_FALSE((a.nlgi && a.between));
    const bool on_the_scale = p >= 85.0 && p <= 475.0;
    CHECK((a.nlgi || a.between) == on_the_scale);
    CHECK(a.note.empty() == a.nlgi.has_value());  // what is missing is explained
  }
}

TEST_CASE("consistency: bands are 30 wide, 45 apart, and the table runs from soft to stiff (law)") {
  for (std::size_t i = 0; i < nlgi_classes.size(); ++i) {
    CHECK(nlgi_classes[i].upper - nlgi_classes[i].lower == 30);
    if (i > 0) CHECK(nlgi_classes[i - 1].lower - nlgi_classes[i].lower == 45);
  }
}

TEST_CASE("consistency: only a worked penetration gives a class (ASTM D217 5.2)") {
  for (const auto method : {penetration_method::unworked, penetration_method::prolonged, penetration_method::block}) {
    const class_answer a = classify(280, method);
    CHECK_FALSE(a.nlgi.has_value());
    CHECK_FALSE(a.between.has_value());
    CHECK(*a.penetration == 280.0);
    CHECK(has(a.note, "no class"));
  }
  CHECK(*classify(280, penetration_method::worked).nlgi == "2");
}

TEST_CASE("consistency: small cones are converted, and say that the equation is from memory") {
  const class_answer quarter = classify(68, penetration_method::worked, cone_scale::quarter);
  CHECK(*quarter.penetration == 279.0);
  CHECK(*quarter.nlgi == "2");
  CHECK(has(quarter.note, "from memory"));
  const class_answer half = classify(137, penetration_method::worked, cone_scale::half);
  CHECK(*half.penetration == 279.0);
  CHECK(*half.nlgi == "2");
  CHECK(has(half.note, "from memory"));
  // ISO 2137:2007: the small cones cover 175 to 385 on the full scale.
  CHECK(*classify(85, penetration_method::worked, cone_scale::half).nlgi == "4");
  CHECK_FALSE(classify(84, penetration_method::worked, cone_scale::half).nlgi.has_value());
  CHECK(*classify(190, penetration_method::worked, cone_scale::half).nlgi == "0");
  CHECK_FALSE(classify(191, penetration_method::worked, cone_scale::half).nlgi.has_value());
  const class_answer gap = classify(150, penetration_method::worked, cone_scale::half);
  CHECK(gap.between == std::pair<std::string, std::string>{"1", "2"});
  CHECK(has(gap.note, "from memory"));
}

TEST_CASE("consistency: what is no penetration is refused") {
  for (const double bad : {0.0, -1.0, 500.1, 501.0, 1e9, std::numeric_limits<double>::quiet_NaN(),
                           std::numeric_limits<double>::infinity()}) {
    CAPTURE(bad);
    CHECK_THROWS_AS(classify(bad), input_error);
    CHECK_THROWS_AS(estimate({.penetration = bad}), input_error);
  }
  CHECK_NOTHROW(classify(500.0));
  CHECK_NOTHROW(classify(0.1));
  CHECK_THROWS_AS(classify(248, penetration_method::worked, cone_scale::half), input_error);  // 501 on the full scale
  CHECK_THROWS_AS(classify(0, penetration_method::worked, cone_scale::half), input_error);
}

TEST_CASE("consistency: labels as people print them (case from users)") {
  struct label_case {
    const char* text;
    const char* soft;
    const char* stiff;
    bool half;
  };
  for (const label_case& c : {label_case{"2", "2", "2", false},
                              {"NLGI 2", "2", "2", false},
                              {"NLGI2", "2", "2", false},
                              {"000", "000", "000", false},
                              {"00", "00", "00", false},
                              {"0", "0", "0", false},
                              {"6", "6", "6", false},
                              {"1.5", "1", "2", true},
                              {"0.5", "0", "1", true},
                              {"1/2", "1", "2", false},
                              {"2/1", "1", "2", false},
                              {"1-2", "1", "2", false},
                              {"000/00", "000", "00", false},
                              {"00/0", "00", "0", false},
                              {"0-1", "0", "1", false},
                              {"NLGI 1-2", "1", "2", false}}) {
    CAPTURE(c.text);
    const nlgi_label label = parse_nlgi(c.text, "nlgi");
    CHECK(nlgi_classes[label.soft].label == c.soft);
    CHECK(nlgi_classes[label.stiff].label == c.stiff);
    CHECK(label.half_grade == c.half);
    const class_answer a = classify_label(c.text, "nlgi");
    if (label.soft == label.stiff) {
      CHECK(*a.nlgi == c.soft);
      CHECK_FALSE(a.between.has_value());
    } else {
      CHECK_FALSE(a.nlgi.has_value());
      CHECK(a.between == std::pair<std::string, std::string>{c.soft, c.stiff});
      CHECK(has(a.note, c.half ? "trade usage" : "straddles"));
    }
    CHECK_FALSE(a.note.empty());
  }
  for (const char* bad : {"",      " ",  "NLGI", "7",   "0000", "-1",  "2.0", "2.5.1",  "6.5",  "1/3",  "0/00/000",
                          "000-0", "1/", "/2",   "EP2", "two",  "1,5", "½",   "nlgi 2", "2 EP", "1 /2", "00.5"}) {
    CAPTURE(bad);
    CHECK_THROWS_AS(parse_nlgi(bad, "--label"), input_error);
    try {
      classify_label(bad, "--label");
    } catch (const input_error& e) {
      CHECK(has(e.what(), "--label: "));
      CHECK(has(e.what(), "expected an NLGI class"));
    }
  }
}
