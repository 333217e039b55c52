#include "coldgrease/plan/pick.hpp"
#include "coldgrease/report/json.hpp"
#include "coldgrease/report/sheet.hpp"
#include "fleet_answer.hpp"

namespace coldgrease::tools {

namespace {

std::string run_pick(const arguments& given) {
  const int jobs = jobs_of(given);
  const bool csv = given.csv();
  return with_fleet(given, [&](const fleet& f, const std::vector<grease>& stock, const progress& listener) {
    const pick_answer answer = pick(f, stock, published_rules(), listener, jobs);
    if (csv) return to_csv(sheet_of(answer, f.installations, stock, given.units));
    return given.json ? to_json(answer, f.installations, stock, jobs) + "\n"
                      : to_text(answer, f.installations, stock, given.units, jobs);
  });
}

}  // namespace

command pick_command() {
  return {
      "pick",
      "the main job: grease per route and season, and why",
      "fleet",
      "fleet file (JSON)",
      true,
      {{"--confidence", "0.55 to 0.99 instead of the fleet's"}, csv_option, jobs_option, ignore_readings, root_option},
      {{"coldgrease pick tables/demo/fleet.json", "Which grease on which days, for each route, and why"},
       {"coldgrease pick tables/demo/fleet.json --confidence 0.95 --units us",
        "The same for an owner who wants to be surer, in F, psi and lb"}},
      run_pick};
}

}  // namespace coldgrease::tools
