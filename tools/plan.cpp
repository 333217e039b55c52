#include "coldgrease/plan/season_plan.hpp"

#include "coldgrease/report/json.hpp"
#include "command.hpp"

namespace coldgrease::tools {

namespace {

std::string run(const arguments& given) {
  const auto confidence = given.number("--confidence");
  if (confidence && !(*confidence >= 0.55 && *confidence <= 0.99))
    throw input_error("--confidence", in_quotes(*given.find("--confidence")), "0.55 to 0.99");
  fleet f = read_fleet(*given.positional);
  if (confidence) f.policy.confidence = *confidence;
  try {
    const std::vector<grease> stock = stock_of(f);
    const plan_answer answer = plan(f, stock, published_rules());
    if (given.json) return to_json(answer, f.installations, stock) + "\n";
    return to_text(answer, f.installations, stock, given.units);
  } catch (const file_error&) {
    throw;
  } catch (const input_error& e) {
    throw file_error(*given.positional, e.what());
  }
}

}  // namespace

command plan_command() {
  return {"plan", "the buyer's sheet: dates, kilograms, fewest kinds",       "fleet", "fleet file (JSON)",
          true,   {{"--confidence", "0.55 to 0.99 instead of the fleet's"}}, run};
}

}  // namespace coldgrease::tools
