#include "coldgrease/plan/plan.hpp"

#include "coldgrease/report/calendar.hpp"
#include "fleet_answer.hpp"
#include "output_file.hpp"

namespace coldgrease::tools {

namespace {

std::string run_plan(const arguments& given) {
  constexpr std::string_view calendar = ".ics";
  const auto path = given.find("-o");
  if (path && given.json) check_promise(*path, {".json"});
  if (path && !given.json) check_promise(*path, {".txt", calendar});
  const bool dates = path && path->ends_with(calendar);
  std::vector<input_file> inputs;
  const std::string text =
      with_fleet(given, [&](const fleet& f, const std::vector<grease>& stock, const progress& listener) {
        inputs = inputs_of(f);
        const plan_answer answer = plan(f, stock, published_rules(), listener);
        if (dates) return to_calendar(answer, f.installations, stock, today());
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
          .options = {{"-o", "file to write; .ics for its dates as a calendar"},
                      {"--confidence", "0.55 to 0.99 instead of the fleet's"},
                      ignore_readings,
                      root_option},
          .run = run_plan,
          .notes =
              "The calendar has the changes, orders and refills of the next twelve months as\nwhole-day events "
              "(iCalendar, RFC 5545)."};
}

}  // namespace coldgrease::tools
