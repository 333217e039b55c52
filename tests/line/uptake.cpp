// What a line holds back. Derived values, none measured on grease: oil's bulk modulus from The Tribology Handbook table
// 2.5, moduli of polyamide from memory, thick-wall formula.
#include "coldgrease/line/uptake.hpp"

#include <doctest/doctest.h>

#include "coldgrease/line/tube_flow.hpp"
#include "near.hpp"

using namespace coldgrease;

TEST_CASE("published value: compression of grease with and without air (derived from 1.7 GPa, isothermal gas)") {
  // Pressures are absolute; volumes are over those at 1 bar.
  struct row {
    double bar, no_air, one_percent, five_percent;
  };
  for (const row& r : {row{10, 0.05, 0.95, 4.55}, row{100, 0.58, 1.56, 5.5}, row{200, 1.16, 2.15, 6.1}}) {
    const auto lost = [&](double air) { return 100.0 * (1.0 - detail::volume_under((r.bar - 1.0) * 1e5, air)); };
    CHECK(near(lost(0.0), r.no_air, 0.0, 0.011));
    CHECK(near(lost(0.01), r.one_percent, 0.0, 0.011));
    CHECK(near(lost(0.05), r.five_percent, 0.0, 0.06));
  }
}

TEST_CASE("published value: stiffness of tube walls (derived, thick-wall formula)") {
  const auto k = [](tube_material m, double t, double bore, double wall) {
    return detail::wall_modulus(m, t, bore * 1e-3, wall * 1e-3) / 1e6;  // [MPa]
  };
  CHECK(near(k(tube_material::polyamide, 23, 4, 1), 67, 0.01));
  CHECK(near(k(tube_material::polyamide, -30, 4, 1), 217, 0.01));
  CHECK(near(k(tube_material::polyamide, 23, 3, 1.5), 97, 0.01));
  CHECK(near(k(tube_material::steel, 20, 4, 1), 35e3, 0.02));
  CHECK(near(k(tube_material::copper, 20, 4, 1), 20e3, 0.025));
}

TEST_CASE("law: a long soft line takes up more, a stiff one next to nothing, a resting one nothing more") {
  const grease g = estimate({.nlgi = "1", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)});
  line l{.outlet = bar(15), .flow = cm3_per_min(1)};
  l.segments = {
      {.length = metre(6), .bore = millimetre(4), .wall = millimetre(1), .material = tube_material::polyamide}};
  const auto uptake = [&] { return in_cm3(*uptake_of(l, g, {.at = celsius(-10), .available = bar(250)})); };
  const double soft = uptake();
  l.segments[0].length = metre(12);
  CHECK(uptake() > 2.0 * soft);  // more tube, and more pressure in it
  l.segments[0].length = metre(6);
  l.segments[0].material = tube_material::steel;
  CHECK(uptake() < 0.2 * soft);
  l.segments[0].material = tube_material::polyamide;
  l.flow = cm3_per_min(1e-9);
  CHECK(uptake() < 1e-3 * soft);
  // By hand: the mean pressure of the tube rises by half of what flow adds to the yield's own loss.
  l.flow = cm3_per_min(1);
  const flow_curve f = *g.at(celsius(-10));
  const double lost = in_pascal(pressure_loss(f, metre(6), millimetre(4), *l.flow));
  const double held = 4 * 6 / 4e-3 * in_pascal(f.yield);
  const double volume = in_m3(volume_of(l));
  const double walls = volume * 0.5 * (lost - held) / detail::wall_modulus(tube_material::polyamide, -10, 4e-3, 1e-3);
  CHECK(soft * 1e-6 > walls);
  CHECK(soft * 1e-6 < 1.2 * walls);
  // A tube that nobody names swells most; one whose wall nobody knows has no figure.
  l.segments[0].material.reset();
  CHECK(uptake() == soft);
  l.segments[0].wall.reset();
  CHECK(!uptake_of(l, g, {.at = celsius(-10), .available = bar(250)}));
}

TEST_CASE("law: the time to vent grows with the square of the length and falls with warmth") {
  const grease g =
      estimate({.nlgi = "00", .kv40 = mm2_per_s(46), .vi = 50, .pour = celsius(-45), .oil = oil_type::naphthenic});
  line l{.outlet = bar(15), .flow = cm3_per_min(6)};
  l.segments = {{.length = metre(5), .bore = millimetre(9), .main = "m", .wall = millimetre(1.5)},
                {.length = metre(4), .bore = millimetre(4)}};
  const auto vent = [&](double t, double metres) {
    l.segments[0].length = metre(metres);
    return in_second(*vent_time(l, g, {.at = celsius(t), .available = bar(50), .system = system_type::single_line}));
  };
  CHECK(near(vent(-10, 10), 4.0 * vent(-10, 5), 1e-9));
  CHECK(vent(-20, 5) > vent(-10, 5));
  CHECK(vent(-10, 5) > vent(20, 5));
  l.segments[0].wall.reset();
  CHECK(!vent_time(l, g, {.at = celsius(-10), .available = bar(50), .system = system_type::single_line}));
}
