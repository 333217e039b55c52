#include "coldgrease/plan/changeover.hpp"
#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/report/json.hpp"
#include "command.hpp"
#include "named.hpp"

namespace coldgrease::tools {

namespace {

std::string thickener(const arguments& given, std::string_view option) {
  std::string text = given.need(option);
  if (text.find_first_not_of(" -") == std::string::npos)
    throw input_error(option, in_quotes(text), "a thickener, such as lithium or polyurea");
  return text;
}

temperature cold_of(const arguments& given) {
  return given.quantity<temperature>("--at", measure::grease_temperature).value_or(usual_cold());
}

/// What is known of one oil; `whose` is "--old" or "--new".
evidence oil_of(const arguments& given, const std::string& whose) {
  evidence e;
  e.kv40 = given.quantity<kinematic_viscosity>(whose + "-kv40", measure::oil_viscosity);
  e.kv100 = given.quantity<kinematic_viscosity>(whose + "-kv100", measure::oil_viscosity);
  e.vi = given.number(whose + "-vi");
  return e;
}

std::string sheet(const arguments& given) {
  const std::string place = given.need("--installation"), old_name = given.need("--from"),
                    new_name = given.need("--to");
  const fleet f = fleet_file(given);
  const auto stock = stock_of(f);
  const installation& i = named(f.installations, place, "--installation");
  const grease& from = named_grease(f, stock, old_name, "--from");
  const grease& to = named_grease(f, stock, new_name, "--to");
  if (&from == &to) throw input_error("--to", in_quotes(new_name) + " is what --from names", "another grease");
  const changeover_answer answer =
      changeover(i, from, to, compatibility_charts(), given.confidence().value_or(f.policy.confidence), cold_of(given));
  return given.json ? to_json(answer, i, from, to) + "\n" : to_text(answer, i, from, to, given.units);
}

std::string run_change(const arguments& given) {
  const bool by_fleet = given.positional.has_value();
  for (const std::string_view option :
       {"--old", "--new", "--old-kv40", "--old-kv100", "--old-vi", "--new-kv40", "--new-kv100", "--new-vi"}) {
    if (by_fleet && given.find(option)) throw input_error(option, "stands beside a fleet file", "--from and --to");
  }
  for (const std::string_view option :
       {std::string_view("--installation"), std::string_view("--from"), std::string_view("--to"),
        std::string_view("--confidence"), ignore_readings.name, root_option.name}) {
    if (!by_fleet && given.find(option)) throw input_error(option, "asks for a fleet file", "FLEET.json before it");
  }
  if (by_fleet) return sheet(given);
  if (!given.find("--old") && !given.find("--new"))
    throw input_error("fleet", "is missing", "a fleet file, or two thickeners by --old and --new");
  const compatibility_answer answer =
      compatibility(thickener(given, "--old"), thickener(given, "--new"), compatibility_charts());
  const oil_change oils = compare_oils(oil_of(given, "--old"), oil_of(given, "--new"), cold_of(given));
  return given.json ? to_json(answer, oils) + "\n" : to_text(answer, oils);
}

}  // namespace

command change_command() {
  return {"change",
          "a changeover: what to purge, how long, what may mix",
          "fleet",
          "fleet file (JSON)",
          false,
          {{"--installation", "the system that changes, by name"},
           {"--from", "grease in it, by name"},
           {"--to", "grease that follows, by name"},
           {"--old", "without a fleet file: the old thickener"},
           {"--new", "and the new one"},
           {"--old-kv40", "and its oil: viscosity at 40 C"},
           {"--old-kv100", "at 100 C"},
           {"--old-vi", "viscosity index"},
           {"--new-kv40", "the same of the new one's oil"},
           {"--new-kv100", "at 100 C"},
           {"--new-vi", "viscosity index"},
           {"--at", "cold at which the oils are compared (-20 C)"},
           {"--confidence", "0.55 to 0.99 instead of the fleet's"},
           ignore_readings,
           root_option},
          {{R"(coldgrease change tables/demo/fleet.json \
    --installation "tractor, 250 bar" \
    --from "Synthetic 00" --to "Synthetic 1")",
            "A changeover of one system"},
           {R"(coldgrease change --old "lithium complex" \
    --new "calcium sulfonate")",
            "What charts say of two thickeners"}},
          run_change};
}

}  // namespace coldgrease::tools
