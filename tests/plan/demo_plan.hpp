// The demo fleet and what is planned for a fleet, for the tests of the plan.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "coldgrease/plan/plan.hpp"

const std::string demo = COLDGREASE_TABLES_SOURCE "/demo/";

struct planned {
  coldgrease::fleet f;
  std::vector<coldgrease::grease> stock;
  coldgrease::plan_answer answer;
};

inline planned plan_of(coldgrease::fleet f) {
  planned p{.f = std::move(f), .stock = {}, .answer = {}};
  p.stock = stock_of(p.f);
  p.answer = plan(p.f, p.stock);
  return p;
}

inline coldgrease::fleet demo_fleet() { return coldgrease::read_fleet(demo + "fleet.json"); }
