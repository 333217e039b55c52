#include "coldgrease/climate/readers.hpp"
#include "coldgrease/report/json.hpp"
#include "command.hpp"

namespace coldgrease::tools {

namespace {

std::string run(const arguments& given) {
  weather_options options;
  options.format = given.find("--format").value_or("");
  check_weather_format(options.format, "--format");
  options.unit = given.find("--unit").value_or("");
  options.station = given.find("--station").value_or("");
  options.year_from = given.whole_number("--year-from");
  options.year_to = given.whole_number("--year-to");
  if (options.year_from && options.year_to && *options.year_from > *options.year_to)
    throw input_error("--year-from", in_quotes(*given.find("--year-from")) + " lies after --year-to",
                      "the earlier year of the two");
  const auto below = given.quantity<temperature>("--below");
  const climate_answer answer = describe(read_weather(*given.positional, options), below);
  return given.json ? to_json(answer) + "\n" : to_text(answer);
}

}  // namespace

command climate_command() {
  return {"climate",
          "statistics of a weather file",
          "file",
          "GHCN-Daily .dly, or CSV with date, tmin, tmax",
          true,
          {{"--format", "dly or csv; else told from the content"},
           {"--unit", "of a CSV: C, F, K or \"0.1 C\""},
           {"--station", "one of several in the file"},
           {"--year-from", "first year to use"},
           {"--year-to", "last year to use"},
           {"--below", "count hours and spells below a temperature"}},
          run};
}

}  // namespace coldgrease::tools
