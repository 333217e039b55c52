// Fleets that nobody owns: a few greases, systems and routes, drawn.
#pragma once

#include <random>
#include <string>

#include "coldgrease/plan/plan.hpp"
#include "examples.hpp"

namespace examples {

using namespace coldgrease;

class fleets {
 public:
  explicit fleets(unsigned seed) : random_(seed) {}

  fleet draw() {
    fleet f;
    const int greases = whole(2, 5);
    for (int g = 0; g < greases; ++g) f.greases.push_back(a_grease(g));
    for (int i = 0; i < 2; ++i) f.installations.push_back(a_system(i));
    for (int r = 0; r < 2; ++r) {
      route& made = f.routes.emplace_back();
      made.name = "route " + std::to_string(r);
      made.region = whole(0, 1) == 0 ? "one" : made.name;
      made.vehicles = whole(1, 40);
      made.installations =
          whole(0, 1) == 0 ? std::vector<std::size_t>{static_cast<std::size_t>(r)} : std::vector<std::size_t>{0, 1};
      made.legs = {{.station = "s", .series = weather(between(-8, 10), between(16, 30))}};
    }
    policy& p = f.policy;
    p.confidence = between(0.6, 0.95);
    p.fills = whole(1, 3);
    p.line_volumes = whole(0, 3) == 0 ? 1.5 : 1.0;
    if (whole(0, 1) == 0) p.at_change = static_cast<change_practice>(whole(0, 2));
    if (whole(0, 2) != 0) p.softest_in_heat = heat_limit{"0", celsius(between(15, 30))};
    p.costs = {.changeover = money{between(5, 80), "EUR"}, .starved = money{600.0, "EUR"}};
    return f;
  }

  double between(double low, double high) { return std::uniform_real_distribution(low, high)(random_); }
  int whole(int low, int high) { return std::uniform_int_distribution(low, high)(random_); }

 private:
  evidence a_grease(int n) {
    evidence e{.name = "grease " + std::to_string(n), .penetration = between(240, 460)};
    const double kv40 = between(30, 200);
    e.kv40 = mm2_per_s(kv40);
    e.vi = between(80, 140);
    e.pour = celsius(between(-60, -15));
    e.oil = whole(0, 1) == 0 ? oil_type::pao : oil_type::mineral;
    e.solids = std::vector<solid>{};
    e.price = mass_price{between(2, 12), "EUR"};
    if (whole(0, 1) == 0) e.pack = kilogram(whole(0, 1) == 0 ? 18 : 180);
    if (whole(0, 3) == 0) e.in_store = kilogram(between(0, 100));
    return e;
  }
  installation a_system(int n) {
    installation i = system(between(80, 300), between(3, 40));
    i.name = "system " + std::to_string(n);
    i.lines[1].segments[0].length = metre(between(3, 9));
    return i;
  }

  std::mt19937 random_;
};

}  // namespace examples
