// Common practice, no source: which greases a fleet keeps in a 6 m line of 4 mm bore at which temperature.
//
// 1 cm3/min, 15 bar at the point, 250 bar available, parked overnight, confidence 0.80: everything at its default.
#include <doctest/doctest.h>

#include "coldgrease/line/limits.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

line_answer common_line(const evidence& known, double t_f) {
  const line l{.point = "last point",
               .segments = {{.length = metre(6), .bore = millimetre(4)}},
               .outlet = bar(15),
               .flow = cm3_per_min(1)};
  return check(l, estimate(known), {.at = fahrenheit(t_f), .available = bar(250)});
}
bool passes(const evidence& known, double t_f) { return common_line(known, t_f).verdict == verdict::flows; }

/// The oil of the published rows, index 97. On one of index 95 the tightest of these facts, NLGI 0 at -10 F, is at
/// 0.798.
evidence on_vg150(std::string_view label) {
  return {.nlgi = std::string(label), .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)};
}

}  // namespace

TEST_CASE("trade cases: NLGI 2 on VG 150 serves at the frost and not at 5 F (common practice, no source)") {
  CHECK(passes(on_vg150("2"), 32.0));
  CHECK_FALSE(passes(on_vg150("2"), 5.0));
}

TEST_CASE("trade cases: a class softer for the winter, two for a hard one (common practice, no source)") {
  CHECK(passes(on_vg150("1"), 5.0));
  CHECK(passes(on_vg150("0"), -10.0));
  CHECK_FALSE(passes(on_vg150("1"), -10.0));
}

TEST_CASE("trade cases: semi-fluid on a light naphthenic oil for the far north (common practice, no source)") {
  CHECK(passes({.nlgi = "000", .kv40 = mm2_per_s(46), .pour = celsius(-45), .oil = oil_type::naphthenic}, -30.0));
}

TEST_CASE("trade cases: NLGI 2 stays on a synthetic oil, and goes on a heavy one (common practice, no source)") {
  CHECK(passes({.nlgi = "2", .kv40 = mm2_per_s(48), .kv100 = mm2_per_s(8), .oil = oil_type::pao}, 5.0));
  CHECK_FALSE(passes({.nlgi = "2", .kv40 = mm2_per_s(460), .vi = 95.0}, 14.0));
}
