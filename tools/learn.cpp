#include "coldgrease/line/learn.hpp"

#include "coldgrease/report/json.hpp"
#include "fleet_answer.hpp"

namespace coldgrease::tools {

namespace {

std::string run_learn(const arguments& given) {
  const auto asked = given.confidence();
  fleet f = read_fleet(given.file(*given.positional));
  if (given.second) take_readings(f, given.file(*given.second));
  if (f.taken.empty())
    throw at({.file = *given.positional},
             input_error("readings", "is missing", "a file of readings there, or behind the fleet file"));
  if (asked) f.policy.confidence = *asked;
  const learn_answer answer =
      lessons_of(f, given.find("--without-outliers") ? outlier_rule::never : outlier_rule::wait);
  return given.json ? to_json(answer, f) + "\n" : to_text(answer, f, given.units);
}

}  // namespace

command learn_command() {
  return {"learn",
          "what readings of running systems say of the greases",
          "fleet",
          "fleet file (JSON)",
          true,
          {{"--confidence", "0.55 to 0.99 instead of the fleet's"},
           {"--without-outliers", "readings softer than all else never count", false, true},
           root_option},
          {{"coldgrease learn tables/demo/fleet.json", "What the readings of the demo say of its greases"}},
          run_learn,
          nullptr,
          "Columns: date, vehicle, installation, grease, temperature [C], and\ngauge [bar] or reached (yes, no); where "
          "known batch, point, rest [h].",
          true,
          "readings",
          "a CSV of readings, instead of those of the fleet file"};
}

}  // namespace coldgrease::tools
