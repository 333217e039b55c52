#include "coldgrease/plan/plan.hpp"

#include "fleet_answer.hpp"

namespace coldgrease::tools {

namespace {

std::string run_plan(const arguments& given) {
  return fleet_answer(given, [](const fleet& f, const auto& stock, const progress& listener) {
    return plan(f, stock, published_rules(), listener);
  });
}

}  // namespace

command plan_command() {
  return {"plan",  "the buyer's sheet: dates, kilograms, fewest kinds",
          "fleet", "fleet file (JSON)",
          true,    {{"--confidence", "0.55 to 0.99 instead of the fleet's"}, ignore_readings, root_option},
          run_plan};
}

}  // namespace coldgrease::tools
