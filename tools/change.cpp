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

std::string sheet(const arguments& given) {
  const std::string place = given.need("--installation"), old_name = given.need("--from"),
                    new_name = given.need("--to");
  const fleet f = read_fleet(*given.positional);
  const installation& i = named(f.installations, place, "--installation");
  const evidence& from = named(f.greases, old_name, "--from");
  const evidence& to = named(f.greases, new_name, "--to");
  if (&from == &to) throw input_error("--to", in_quotes(new_name) + " is what --from names", "another grease");
  const changeover_answer answer = changeover(i, from, to, compatibility_charts());
  return given.json ? to_json(answer, i, from, to) + "\n" : to_text(answer, i, from, to, given.units);
}

std::string run(const arguments& given) {
  const bool by_fleet = given.positional.has_value();
  for (const std::string_view option : {"--old", "--new"}) {
    if (by_fleet && given.find(option)) throw input_error(option, "stands beside a fleet file", "--from and --to");
  }
  for (const std::string_view option : {"--installation", "--from", "--to"}) {
    if (!by_fleet && given.find(option)) throw input_error(option, "asks for a fleet file", "FLEET.json before it");
  }
  if (by_fleet) return sheet(given);
  if (!given.find("--old") && !given.find("--new"))
    throw input_error("fleet", "is missing", "a fleet file, or two thickeners by --old and --new");
  const compatibility_answer answer =
      compatibility(thickener(given, "--old"), thickener(given, "--new"), compatibility_charts());
  return given.json ? to_json(answer) + "\n" : to_text(answer);
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
           {"--new", "and the new one"}},
          run};
}

}  // namespace coldgrease::tools
