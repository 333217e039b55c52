#include "coldgrease/report/json.hpp"
#include "grease_options.hpp"

namespace coldgrease::tools {

namespace {

std::string run_oil(const arguments& given) {
  std::vector<temperature> at;
  for (const std::string& text : given.all("--at"))
    at.push_back(parse<temperature>(text, "--at", measure::grease_temperature));
  const oil_data data = oil_from(given);
  if (const auto type = given.find("--oil-type")) {
    const oil_answer answer = describe(data, parse_word<oil_type>(*type, "--oil-type"), at);
    return given.json ? to_json(answer) + "\n" : to_text(answer);
  }
  if (int(data.kv40.has_value()) + int(data.kv100.has_value()) + int(data.kv.has_value()) + int(data.vi.has_value()) <
      2)
    throw input_error("--kv40", "fewer than two data are given", "two of --kv40, --kv100, --kv, --vi");
  const oil_answer answer = describe(data, at);
  return given.json ? to_json(answer) + "\n" : to_text(answer);
}

}  // namespace

command oil_command() {
  return {"oil",
          "base oil: viscosity at temperatures, index, ISO grade",
          "",
          "",
          false,
          joined({oil_options(),
                  {{"--oil-type", "for its usual index, where one viscosity is all"},
                   {"--at", "a temperature to show", true}}}),
          {{R"(coldgrease oil --kv40 150mm2/s --kv100 14.7mm2/s --at "-20 C")",
            "A mineral oil in the cold, its index and its grade"},
           {R"(coldgrease oil --kv40 48mm2/s --oil-type pao --at "-40 F")",
            "The same where the sheet gives one viscosity alone"}},
          run_oil};
}

}  // namespace coldgrease::tools
