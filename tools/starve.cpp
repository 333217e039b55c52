#include "coldgrease/line/faults.hpp"
#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/report/json.hpp"
#include "command.hpp"
#include "named.hpp"

namespace coldgrease::tools {

namespace {

/// One of two words as yes or no.
std::optional<bool> either(const arguments& given, std::string_view option, std::string_view yes, std::string_view no) {
  const auto text = given.find(option);
  if (!text) return std::nullopt;
  if (*text == yes) return true;
  if (*text == no) return false;
  throw input_error(option, in_quotes(*text), std::string(yes) + " or " + std::string(no));
}

symptoms symptoms_of(const arguments& given) {
  symptoms seen;
  if (const auto level = given.find("--level")) seen.level = parse_word<level_sign>(*level, "--level");
  seen.pump_turns = either(given, "--pump", "turns", "still");
  seen.hot_end = either(given, "--hot", "yes", "no");
  seen.relief_weeps = either(given, "--relief", "weeps", "tight");
  seen.gauge = given.quantity<pressure>("--gauge", measure::gauge_pressure);
  seen.at = given.quantity<temperature>("--at", measure::air_temperature);
  seen.coldest = given.quantity<temperature>("--coldest", measure::air_temperature);
  if (const auto dry = given.find("--dry")) seen.dry = parse_word<dry_points>(*dry, "--dry");
  if (!seen.level && !seen.pump_turns && !seen.hot_end && !seen.relief_weeps && !seen.gauge && !seen.dry)
    throw input_error("--dry", "nothing that was seen is given",
                      "one or more of --dry, --level, --pump, --hot, --relief, --gauge");
  return seen;
}

std::size_t point_of(const installation& i, std::string_view name) {
  const auto found = std::ranges::find(i.lines, name, &line::point);
  if (found != i.lines.end()) return static_cast<std::size_t>(found - i.lines.begin());
  std::string names;
  for (const line& l : i.lines) names += (names.empty() ? "" : ", ") + in_quotes(l.point);
  throw input_error("--point", "there is no " + in_quotes(name), "one of " + names);
}

std::string run_starve(const arguments& given) {
  symptoms seen = symptoms_of(given);
  if (!given.positional) {
    for (const std::string_view option :
         {std::string_view("--installation"), std::string_view("--grease"), std::string_view("--point"),
          std::string_view("--at"), std::string_view("--coldest"), ignore_readings.name, root_option.name}) {
      if (given.find(option)) throw input_error(option, "names no file", "a fleet file before it");
    }
    const fault_answer answer = find_fault(seen);
    return given.json ? to_json(answer, nullptr, nullptr) + "\n" : to_text(answer);
  }
  if (!seen.at) throw input_error("--at", "is missing", "the temperature when it was seen");
  if (seen.coldest && *seen.coldest > *seen.at)
    throw input_error("--coldest", in_quotes(*given.find("--coldest")) + " is warmer than --at",
                      "the coldest since the point was last well");
  const fleet f = fleet_file(given);
  const installation& i = named(f.installations, given.need("--installation"), "--installation");
  const auto stock = stock_of(f);
  const grease& g = named_grease(f, stock, given.need("--grease"), "--grease");
  if (const auto point = given.find("--point")) seen.point = point_of(i, *point);
  const fault_answer answer = find_fault(seen, i, g, f.policy.confidence);
  return given.json ? to_json(answer, &i, &g) + "\n" : to_text(answer, seen, i, g, given.units);
}

}  // namespace

command starve_command() {
  return {"starve",
          "find why a point runs dry: causes in the order to look",
          "fleet",
          "fleet file, for the pressures of its lines",
          false,
          {{"--installation", "of the fleet file, by name"},
           {"--grease", "that is in it, by name"},
           {"--point", "the dry one, by name"},
           {"--dry", "one, several or all points"},
           {"--level", "of the reservoir: falls (as it should), stands, low"},
           {"--pump", "turns or still"},
           {"--hot", "yes: the line's end at the point lies in heat; no"},
           {"--relief", "valve: weeps or tight"},
           {"--gauge", "pressure while the pump delivers: 60 bar"},
           {"--at", "temperature when it was seen"},
           {"--coldest", "coldest since the point was last well"},
           ignore_readings,
           root_option},
          {{"coldgrease starve --dry one --level falls --pump turns", "Causes by what was seen"},
           {R"(coldgrease starve tables/demo/fleet.json \
    --installation "tractor, 250 bar" --grease "Mineral 1" \
    --point "slack adjuster rear right" --dry one --level falls \
    --gauge "60 bar" --at "-18 C")",
            "The same held against the pressures that the lines should show"}},
          run_starve};
}

}  // namespace coldgrease::tools
