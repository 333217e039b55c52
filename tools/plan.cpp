#include "coldgrease/plan/plan.hpp"

#include "coldgrease/report/calendar.hpp"
#include "coldgrease/report/json.hpp"
#include "coldgrease/report/sheet.hpp"
#include "fleet_answer.hpp"
#include "fleet_workbook.hpp"
#include "output_file.hpp"

namespace coldgrease::tools {

namespace {

std::string run_plan(const arguments& given) {
  constexpr std::string_view calendar = ".ics", workbook = ".xlsx";
  const bool csv = given.csv();
  const auto path = given.find("-o");
  const bool as_text = !given.json && !csv;
  if (path && given.json) check_promise(*path, {".json"});
  if (path && csv) check_promise(*path, {".csv"});
  if (path && as_text) check_promise(*path, {".txt", calendar, workbook});
  const auto named = [&](std::string_view ending) { return path && as_text && ending_of(*path) == ending; };
  const int jobs = jobs_of(given);
  std::vector<input_file> inputs;
  const std::string text =
      with_fleet(given, [&](const fleet& f, const std::vector<grease>& stock, const progress& listener) {
        inputs = inputs_of(f);
        if (named(workbook)) return workbook_of_fleet(given, f, stock, listener);
        const plan_answer answer = plan(f, stock, published_rules(), listener, jobs);
        if (named(calendar)) return to_calendar(answer, f.installations, stock, today());
        if (csv) return to_csv(sheet_of(answer, f.installations, stock, given.units, today()));
        return given.json ? to_json(answer, f.installations, stock) + "\n"
                          : to_text(answer, f.installations, stock, given.units);
      });
  return written(given, text, inputs);
}

}  // namespace

command plan_command() {
  return {.name = "plan",
          .does = "the buyer's sheet: dates, kilograms, fewest kinds",
          .positional = "fleet",
          .positional_help = "fleet file (JSON)",
          .positional_needed = true,
          .options = {{"-o", "file to write; .xlsx a workbook, .ics a calendar"},
                      {"--confidence", "0.55 to 0.99 instead of the fleet's"},
                      csv_option,
                      jobs_option,
                      ignore_readings,
                      root_option},
          .examples = {{"coldgrease plan tables/demo/fleet.json", "Dates, kilograms, money and the purchase of a year"},
                       {"coldgrease plan tables/demo/fleet.json -o plan.xlsx", "The same as a workbook"},
                       {"coldgrease plan tables/demo/fleet.json -o plan.ics",
                        "Its changes, orders and refills for a calendar"}},
          .run = run_plan,
          .notes =
              "The calendar has the changes, orders and refills of the next twelve months as\nwhole-day events "
              "(iCalendar, RFC 5545)."};
}

}  // namespace coldgrease::tools
