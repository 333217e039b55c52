#include "coldgrease/line/doses.hpp"

#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/report/json.hpp"
#include "coldgrease/report/sheet.hpp"
#include "command.hpp"
#include "named.hpp"

namespace coldgrease::tools {

namespace {

/// The grease that is named, or the only one there is.
const grease& grease_of(const arguments& given, const fleet& f, const std::vector<grease>& stock) {
  if (const auto name = given.find("--grease")) return named_grease(f, stock, *name, "--grease");
  if (stock.size() == 1) return stock.front();
  std::string names;
  for (const evidence& g : f.greases) names += (names.empty() ? "" : ", ") + in_quotes(g.name);
  throw input_error("--grease", "is missing", "one of " + names);
}

std::string run_doses(const arguments& given) {
  const bool csv = given.csv();
  const std::string place = given.need("--installation");
  if (!given.find("--at"))
    throw input_error("--at", "is missing", "the coldest that is to be served, such as \"-20 C\"");
  const auto at = *given.quantity<temperature>("--at", measure::air_temperature);
  const auto asked = given.confidence();
  const fleet f = fleet_file(given);
  const installation& i = named(f.installations, place, "--installation");
  const auto stock = stock_of(f);
  const grease& g = grease_of(given, f, stock);
  const dose_answer answer = choose_doses(i, g, at, asked.value_or(f.policy.confidence));
  if (csv) return to_csv(sheet_of(answer, i, g, given.units));
  return given.json ? to_json(answer, i, g) + "\n" : to_text(answer, i, g, given.units);
}

}  // namespace

command doses_command() {
  return {
      "doses",
      "the element of each point, the setting of the timer",
      "fleet",
      "fleet file (JSON)",
      true,
      {{"--installation", "of the fleet file, by name (needed)"},
       {"--grease", "that is pumped, by name; needed if there are several"},
       {"--at", "the coldest that is to be served (needed)"},
       {"--confidence", "0.55 to 0.99 instead of the fleet's"},
       csv_option,
       ignore_readings,
       root_option},
      {{R"(coldgrease doses tables/demo/fleet.json \
    --installation "tractor, 250 bar" --grease "Synthetic 1" \
    --at "-15 C")",
        "Elements and timer for a cold morning"}},
      run_doses,
      nullptr,
      "Its installation names \"elements\" and \"intervals\"; a line says what\nits point asks for by \"bearing\" or "
      "\"needs\"; \"service\" is the time\nfrom one refill to the next. For each setting every point has the\nsmallest "
      "element that gives enough; what wastes least stands first, what does\nnot pass last."};
}

}  // namespace coldgrease::tools
