#include "fleet_answer.hpp"

namespace coldgrease::tools {

namespace {

std::string run_pick(const arguments& given) {
  return fleet_answer(given, [](const fleet& f, const auto& stock, const progress& listener) {
    return pick(f, stock, published_rules(), listener);
  });
}

}  // namespace

command pick_command() {
  return {"pick",  "the main job: grease per route and season, and why",
          "fleet", "fleet file (JSON)",
          true,    {{"--confidence", "0.55 to 0.99 instead of the fleet's"}, csv_option, ignore_readings, root_option},
          run_pick};
}

}  // namespace coldgrease::tools
