// The base oil: ASTM D341 and D2270 there and back (law). Their figures are published values:
// viscosity_temperature.csv, viscosity_index.csv, iso_grades.csv and saybolt.csv in tests/published.
#include "coldgrease/grease/base_oil.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <limits>
#include <random>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/saybolt.hpp"
#include "coldgrease/grease/grease.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

viscosity_line oil(double kv40, double kv100) {
  return {{mm2_per_s(kv40), celsius(40)}, {mm2_per_s(kv100), celsius(100)}};
}
bool has(std::string_view text, std::string_view words) { return text.find(words) != std::string_view::npos; }

}  // namespace

TEST_CASE("D341: the inverse of Z is exact to rounding (law)" * doctest::test_suite("long")) {
  for (double v = 0.21; v < 1e8; v *= 1.03) {
    CAPTURE(v);
    // Z = v + 0.7 + ...: the digits that v loses in the sum cannot come back.
    CHECK(near(detail::walther::v_of(detail::walther::z_of(v)), v, 1e-14, 2e-15));
  }
}

TEST_CASE("D341: passes through its points, falls with temperature, returns (law)" * doctest::test_suite("long")) {
  std::mt19937_64 random(41);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  for (int i = 0; i < 2000; ++i) {
    const double kv100 = 1.0 * std::pow(100.0, unit(random));
    const double kv40 = kv100 * (1.5 + 20.0 * unit(random));
    const viscosity_line line = oil(kv40, kv100);
    CHECK(near(in_mm2_per_s(line.at(celsius(40))), kv40, 1e-11));
    CHECK(near(in_mm2_per_s(line.at(celsius(100))), kv100, 1e-11));
    double last = std::numeric_limits<double>::infinity();
    for (double t = -40.0; t <= 150.0; t += 10.0) {
      const kinematic_viscosity v = line.at(celsius(t));
      CHECK(in_mm2_per_s(v) < last);
      last = in_mm2_per_s(v);
      CHECK(near(line.where(v).in_celsius(), t, 0.0, 1e-8));
    }
    // The line is one line, whichever two of its points are given and in whichever order.
    const viscosity_line again({line.at(celsius(0)), celsius(0)}, {line.at(celsius(-20)), celsius(-20)});
    CHECK(near(in_mm2_per_s(again.at(celsius(100))), kv100, 1e-8));
  }
}

TEST_CASE("D341: deep cold stays a number (law)") {
  for (const auto& [kv40, kv100] : {std::pair{32.0, 5.4}, {150.0, 14.7}, {460.0, 30.4}, {3200.0, 90.0}}) {
    double last = 0.0;
    for (double t_k = 300.0; t_k > 0.0; t_k -= 1.0) {
      const double v = in_mm2_per_s(oil(kv40, kv100).at(kelvin(t_k)));
      CHECK(std::isfinite(v));
      CHECK(v >= last);
      last = v;
    }
  }
}

TEST_CASE("D341: two points that fix no line are refused") {
  const auto refused = [](viscosity_point a, viscosity_point b) {
    CHECK_THROWS_AS(viscosity_line(a, b), input_error);
    CHECK_THROWS_AS(viscosity_line(b, a), input_error);
  };
  const auto at = [](double v, double t) { return viscosity_point{mm2_per_s(v), celsius(t)}; };
  refused(at(100, 40), at(100, 100));
  refused(at(10, 40), at(100, 100));
  refused(at(100, 40), at(10, 40));
  refused(at(0.2, 40), at(0.1, 100));
  refused(at(100, 40), at(0.2, 100));
  refused(at(100, 40), at(0, 100));
  refused(at(100, 40), at(-1, 100));
  refused(at(std::nan(""), 40), at(10, 100));
  CHECK_NOTHROW(oil(0.3, 0.21));
  CHECK_NOTHROW(viscosity_line(at(10, 100), at(100, 40)));
}

TEST_CASE("D2270: the index both ways (law)" * doctest::test_suite("long")) {
  // Not within 0.2 % of a joint of the polynomials: there the table's two neighbours differ by as much.
  const auto on_a_joint = [](double y) {
    for (const detail::vi_row& row : detail::vi_rows)
      if (std::abs(y / row.from - 1.0) < 2e-3) return true;
    return false;
  };
  int tried = 0;
  for (double y = 2.01; y < 120.0; y *= 1.013) {
    if (on_a_joint(y)) continue;
    for (const double vi : {-60.0, 0.0, 30.0, 80.0, 95.0, 99.9, 100.1, 120.0, 150.0, 200.0, 300.0}) {
      CAPTURE(y);
      CAPTURE(vi);
      const kinematic_viscosity u = kv40_from_vi(mm2_per_s(y), vi);
      // L - 1.6 (L - H) and the power law above 100 both stay above y for oils that exist.
      if (in_mm2_per_s(u) <= y * 1.05) continue;
      ++tried;
      CHECK(near(*viscosity_index(u, mm2_per_s(y)), vi, 1e-10, 1e-9));
      CHECK(near(in_mm2_per_s(kv100_from_vi(u, *viscosity_index(u, mm2_per_s(y)))), y, 1e-9));
    }
  }
  CHECK(tried > 2000);
}

TEST_CASE("D2270: at a joint of the polynomials the inverse is within their mismatch (law)") {
  for (const detail::vi_row& row : detail::vi_rows) {
    if (row.from == 2.0) continue;
    const double u = in_mm2_per_s(kv40_from_vi(mm2_per_s(row.from), 95.0));
    CHECK(near(in_mm2_per_s(kv100_from_vi(mm2_per_s(u), 95.0)), row.from, 2e-3));
  }
}

TEST_CASE("D2270: off the scale") {
  CHECK_FALSE(viscosity_index(mm2_per_s(4), mm2_per_s(1.99)).has_value());
  CHECK(viscosity_index(mm2_per_s(7), mm2_per_s(2)).has_value());
  CHECK_THROWS_AS(kv40_from_vi(mm2_per_s(1.99), 95), input_error);
  CHECK_THROWS_AS(kv100_from_vi(mm2_per_s(2), 95), input_error);
  CHECK_THROWS_AS(kv100_from_vi(mm2_per_s(5), 95), input_error);     // KV100 would be 1.7
  CHECK_THROWS_AS(kv100_from_vi(mm2_per_s(150), 1e6), input_error);  // KV100 would be above KV40
  CHECK_THROWS_AS(kv100_from_vi(mm2_per_s(150), -1e9), input_error);
  CHECK_THROWS_AS(kv100_from_vi(mm2_per_s(150), std::nan("")), input_error);
  CHECK_THROWS_AS(kv100_from_vi(mm2_per_s(std::nan("")), 95), input_error);
}

TEST_CASE("oil: any two of KV40, KV100, a viscosity elsewhere and the index give the same line (law)") {
  for (const auto& [kv40, kv100] : {std::pair{32.0, 5.41}, {48.0, 8.05}, {100.0, 11.3}, {150.0, 14.6}, {460.0, 30.6}}) {
    const viscosity_line line = oil(kv40, kv100);
    const auto u = mm2_per_s(kv40), y = mm2_per_s(kv100);
    const double vi = *viscosity_index(u, y);
    for (const double t : {-20.0, 0.0, 25.0, 100.0 / 1.8, 80.0}) {
      const viscosity_point elsewhere{line.at(celsius(t)), celsius(t)};
      const std::array<oil_data, 6> pairs{{{.kv40 = u, .kv100 = y},
                                           {.kv40 = u, .kv = elsewhere},
                                           {.kv100 = y, .kv = elsewhere},
                                           {.kv40 = u, .vi = vi},
                                           {.kv100 = y, .vi = vi},
                                           {.kv = elsewhere, .vi = vi}}};
      for (const oil_data& pair : pairs) {
        CAPTURE(t);
        const auto found = line_through(pair);
        REQUIRE(found.has_value());
        CHECK(near(in_mm2_per_s(found->at(celsius(40))), kv40, 1e-6));
        CHECK(near(in_mm2_per_s(found->at(celsius(100))), kv100, 1e-6));
        CHECK(near(in_mm2_per_s(found->at(celsius(-30))), in_mm2_per_s(line.at(celsius(-30))), 1e-5));
      }
    }
    // Viscosities go before the index.
    CHECK(near(in_mm2_per_s(line_through({.kv40 = u, .kv100 = y, .vi = 0.0})->at(celsius(0))),
               in_mm2_per_s(line.at(celsius(0))), 1e-12));
  }
  CHECK_FALSE(line_through({}).has_value());
  CHECK_FALSE(line_through({.kv40 = mm2_per_s(100)}).has_value());
  CHECK_FALSE(line_through({.vi = 95.0}).has_value());
  CHECK_FALSE(line_through({.kv = viscosity_point{mm2_per_s(100), celsius(20)}}).has_value());
  CHECK_THROWS_AS(line_through({.kv40 = mm2_per_s(10), .kv100 = mm2_per_s(100)}), input_error);
  CHECK_THROWS_AS(line_through({.kv40 = mm2_per_s(100), .kv = viscosity_point{mm2_per_s(200), celsius(60)}}),
                  input_error);
  CHECK_THROWS_AS(line_through({.kv40 = mm2_per_s(100), .kv = viscosity_point{mm2_per_s(100), celsius(40)}}),
                  input_error);
  CHECK_THROWS_AS(line_through({.kv = viscosity_point{mm2_per_s(1e-9), celsius(0)}, .vi = 95.0}), input_error);
}

TEST_CASE("oil: SUS at 100 F is a viscosity at 37.78 C, not at 40 (case from users)") {
  const viscosity_point sheet = parse_viscosity_point("700 SUS at 100 F", "kv");
  CHECK(near(sheet.at.in_celsius(), 37.77777777777778, 1e-15));
  CHECK(near(in_mm2_per_s(sheet.kv), 151.08914751515542, 1e-13));  // published value: chemicals (ChEDL)
  const auto line = line_through({.kv = sheet, .vi = 95.0});
  CHECK(near(in_mm2_per_s(line->at(fahrenheit(100))), 151.08914751515542, 1e-10));
  CHECK(in_mm2_per_s(line->at(celsius(40))) < 137.0);
  CHECK(in_mm2_per_s(line->at(celsius(40))) > 130.0);
  CHECK(near(in_mm2_per_s(parse_viscosity_point("3126 mm2/s at 0 C", "kv").kv), 3126.0, 1e-15));
  for (const char* bad : {"", "700 SUS", "700 SUS at", "700 SUS at 100", "700 at 100 F", "31 SUS at 100 F",
                          "x SUS at 100 F", "-5 cSt at 40 C", "0 cSt at 40 C", "700 SUS at -500 F", "SUS at 100 F"}) {
    CAPTURE(bad);
    CHECK_THROWS_AS(parse_viscosity_point(bad, "--kv"), input_error);
  }
}

TEST_CASE("oil: grades hold their mid-points and never overlap (law)" * doctest::test_suite("long")) {
  for (double v = 1.5; v < 4000.0; v *= 1.001) {
    int holding = 0;
    for (const iso_grade& g : iso_grades) holding += v >= 0.9 * g.middle && v <= 1.1 * g.middle;
    CHECK(holding <= 1);
    CHECK(iso_vg(mm2_per_s(v)).has_value() == (holding == 1));
  }
}

TEST_CASE("oil: case: one density stands in for all that are not given") {
  CHECK(in_kg_per_m3(assumed_density()) == 900.0);
  CHECK(detail::grease_model{}.density15 == in_kg_per_m3(assumed_density()));
  const std::array at{celsius(15)};
  const auto shown = describe({.kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)}, at).at.front();
  CHECK(near(in_pascal_second(shown.dynamic), in_mm2_per_s(shown.kinematic) * 900e-6, 1e-15));
}

TEST_CASE("oil: types by name") {
  for (const auto type : {oil_type::mineral, oil_type::naphthenic, oil_type::pao, oil_type::ester, oil_type::pag,
                          oil_type::silicone, oil_type::vegetable})
    CHECK(parse_word<oil_type>(name_of(type), "oil") == type);
  try {
    parse_word<oil_type>("synthetic", "--oil-type");
    FAIL("read");
  } catch (const input_error& e) {
    CHECK(has(e.what(), "pao, ester, pag or silicone"));
  }
  for (const char* pao :
       {"PAO", "Polyalphaolefin", "poly-alpha-olefin", "synthetic hydrocarbon", "Synthetic Hydrocarbon"})
    CHECK(parse_word<oil_type>(pao, "oil") == oil_type::pao);
  CHECK(parse_word<oil_type>("Mineral Oil", "oil") == oil_type::mineral);
  CHECK(parse_word<oil_type>("polyalkylene glycol", "oil") == oil_type::pag);
  try {
    parse_word<oil_type>("train oil", "--oil-type");
    FAIL("read");
  } catch (const input_error& e) {
    CHECK(has(e.what(), "--oil-type"));
    CHECK(has(e.what(), "mineral, naphthenic, pao"));
  }
}
