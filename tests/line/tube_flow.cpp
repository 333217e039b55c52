// Published values: tube_flow.csv, exact flows at 50 digits, in both directions; and what holds for any tube (law).
#include "coldgrease/line/tube_flow.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "coldgrease/base/quantity_text.hpp"
#include "near.hpp"
#include "published/rows.hpp"

using namespace coldgrease;

namespace {

struct tube_case {
  std::string id;
  flow_curve curve;
  length bore;
  length run;
  double drop = 0.0;       // [Pa]
  double flow = 0.0;       // [m3/s]
  double condition = 0.0;  // d ln Q/d ln P
};

std::vector<tube_case> tube_cases() {
  const csv_table table = csv_file(COLDGREASE_TEST_DATA "/published/tube_flow.csv");
  REQUIRE(table.comments.find("derived") != std::string::npos);
  std::vector<tube_case> cases;
  for (const csv_row& row : table.rows) {
    const auto number = [&](std::string_view column) {
      const auto at = std::find(table.header.begin(), table.header.end(), column);
      REQUIRE(at != table.header.end());
      return parse_number(row.cells[static_cast<std::size_t>(at - table.header.begin())], column);
    };
    const double flow = number("Q_m3_s_binary64");
    cases.push_back({row.cells.front() + " " + row.cells[1],
                     {pascal(number("tau_y_Pa")), number("K_Pa_s_n"), number("n"), pascal_second(0.0)},
                     metre(number("D_m")),
                     metre(number("L_m")),
                     number("dP_Pa"),
                     flow,
                     flow > 0.0 ? number("dlnQ_dlndP") : 0.0});
    // With n = 1 the power term and the linear term are one law: both must give the table's value.
    if (cases.back().curve.index == 1.0) {
      tube_case linear = cases.back();
      linear.id += " (linear term)";
      linear.curve.linear = pascal_second(linear.curve.consistency);
      linear.curve.consistency = 0.0;
      linear.curve.index = 0.5;
      cases.push_back(linear);
    }
  }
  return cases;
}

}  // namespace

TEST_CASE("tube flow: pressure to 1e-12 and flow to its condition number (published value)") {
  const auto cases = tube_cases();
  CHECK(cases.size() >= 52);
  std::size_t still = 0;
  for (const tube_case& c : cases) {
    CAPTURE(c.id);
    const double flow = in_m3_per_s(flow_at(c.curve, c.run, c.bore, pascal(c.drop)));
    if (c.flow == 0.0) {
      ++still;
      CHECK(flow == 0.0);
      continue;
    }
    CHECK(near(in_pascal(pressure_loss(c.curve, c.run, c.bore, m3_per_s(c.flow))), c.drop, 1e-12));
    // tau_w = dP D/(4 L) takes two roundings, so nothing computed in doubles is better than 2.2e-16 times the
    // condition.
    CHECK(near(flow, c.flow, 4e-15 + 2e-15 * c.condition));
  }
  CHECK(still == 2);
}

TEST_CASE("tube flow: exactly nothing flows at and below the yield stress (law)" * doctest::test_suite("long")) {
  // Powers of two: 4 L ty/D is exact.
  const length bore = metre(0x1p-8), run = metre(4.0);
  std::mt19937_64 random(20);
  std::uniform_real_distribution<double> decade(-1.0, 4.0), index(0.1, 1.5);
  for (int i = 0; i < 1000; ++i) {
    const double ty = std::pow(10.0, decade(random));
    const flow_curve f{pascal(ty), std::pow(10.0, decade(random)), index(random), pascal_second(i % 2 ? 1.0 : 0.0)};
    const double at_yield = 4.0 * 4.0 / 0x1p-8 * ty;
    CHECK(in_m3_per_s(flow_at(f, run, bore, pascal(at_yield))) == 0.0);
    CHECK(in_m3_per_s(flow_at(f, run, bore, pascal(0.5 * at_yield))) == 0.0);
    CHECK(in_m3_per_s(flow_at(f, run, bore, pascal(0.0))) == 0.0);
    CHECK(in_m3_per_s(flow_at(f, run, bore, pascal(-at_yield))) == 0.0);
    CHECK(in_m3_per_s(flow_at(f, run, bore, pascal(1.01 * at_yield))) > 0.0);
    CHECK(in_pascal(pressure_loss(f, run, bore, m3_per_s(0.0))) == at_yield);
  }
}

TEST_CASE("tube flow: flow of the pressure of a flow is that flow (law)" * doctest::test_suite("long")) {
  std::mt19937_64 random(21);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  const auto decades = [&](double low, double high) { return std::pow(10.0, low + (high - low) * unit(random)); };
  for (int i = 0; i < 5000; ++i) {
    const flow_curve f{pascal(i % 3 == 0 ? 0.0 : decades(-1, 4)), i % 5 == 0 ? 0.0 : decades(-2, 3),
                       0.1 + 1.4 * unit(random), pascal_second(i % 5 == 0 || i % 2 ? decades(-3, 3) : 0.0)};
    const length run = metre(decades(-1, 2)), bore = metre(decades(-3, -1.5));
    const double flow = decades(-12, -4);
    const double drop = in_pascal(pressure_loss(f, run, bore, m3_per_s(flow)));
    const double again = in_m3_per_s(flow_at(f, run, bore, pascal(drop)));
    // Condition number from a neighbouring pressure: rounding of the pressure alone moves the flow by this much.
    const double moved = in_m3_per_s(flow_at(f, run, bore, pascal(drop * (1.0 + 1e-7))));
    const double condition = again > 0.0 ? std::log(moved / again) / 1e-7 : 0.0;
    CAPTURE(i);
    if (again == 0.0) {
      // The pressure is the yield's own to the last bits.
      CHECK(near(drop, in_pascal(pressure_loss(f, run, bore, m3_per_s(0.0))), 1e-15));
    } else if (condition < 1e5) {
      CHECK(near(again, flow, 1e-13 + 1e-14 * condition));
    }
    CHECK(near(in_pascal(pressure_loss(f, run, bore, m3_per_s(again))), drop, 1e-12));
  }
}

TEST_CASE("tube flow: halving the bore at a flow (law)") {
  const auto ratio = [](const flow_curve& f, double flow) {
    const auto lost = [&](double bore) {
      return in_pascal(pressure_loss(f, metre(6), millimetre(bore), cm3_per_min(flow)));
    };
    return lost(2.0) / lost(4.0);
  };
  CHECK(near(ratio({pascal(500), 50.0, 0.5, pascal_second(1)}, 0.0), 2.0, 1e-15));  // start
  CHECK(near(ratio({pascal(0), 0.0, 0.5, pascal_second(3)}, 1.0), 16.0, 1e-13));    // Newton
  for (const double n : {0.1, 0.3, 0.5, 0.8, 1.0, 1.3})
    CHECK(near(ratio({pascal(0), 40.0, n, pascal_second(0)}, 1.0), std::exp2(3.0 * n + 1.0), 1e-12));  // power law
  for (const double flow : {0.01, 0.1, 1.0, 10.0, 100.0}) {
    const double r = ratio({pascal(500), 50.0, 0.5, pascal_second(2)}, flow);
    CHECK(r > 2.0);
    CHECK(r < 16.0);
  }
}

TEST_CASE("tube flow: extreme rates leave nothing that is not a number (law)") {
  for (const flow_curve& f :
       {flow_curve{pascal(500), 50.0, 0.5, pascal_second(2)}, flow_curve{pascal(1e5), 1e-6, 0.1, pascal_second(0)},
        flow_curve{pascal(0), 1e-9, 1.5, pascal_second(1e3)},
        flow_curve{pascal(1e-9), 1e6, 0.1, pascal_second(1e-9)}}) {
    double last = -1.0;
    for (double flow = 1e-30; flow < 1e3; flow *= 10.0) {
      const double drop = in_pascal(pressure_loss(f, metre(6), millimetre(4), m3_per_s(flow)));
      CHECK(std::isfinite(drop));
      CHECK(drop >= last);
      last = drop;
    }
  }
}

TEST_CASE("tube flow: a bore whose cube is no number above zero still has a loss at rest and a rate (law)") {
  const length bore = metre(1e-120), run = metre(1e-118);
  const flow_curve f{pascal(500), 50.0, 0.5, pascal_second(2)};
  CHECK(near(in_pascal(pressure_loss(f, run, bore, m3_per_s(0))), 4.0 * 100.0 * 500.0, 1e-14));
  CHECK(near(in_per_second(nominal_rate_of(m3_per_s(std::numbers::pi / 32.0 * 1e-300), metre(1e-110)).value), 1e30,
             1e-13));
  CHECK(std::isinf(in_per_second(nominal_rate_of(m3_per_s(1.0), bore).value)));
}
