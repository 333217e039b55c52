#include "coldgrease/report/json.hpp"
#include "grease_options.hpp"

namespace coldgrease::tools {

namespace {

std::string run_curve(const arguments& given) {
  const auto at = parse<temperature>(given.need("--at"), "--at", measure::grease_temperature);
  const rate_kind kind = given.word("--kind", rate_kind::nominal);
  std::vector<shear_rate> rates;
  for (const std::string& text : given.all("--rate"))
    rates.push_back(parse<shear_rate>(text, "--rate", measure::wall_rate));
  if (rates.empty()) rates = {per_second(0.1), per_second(1), per_second(10), per_second(100), per_second(1000)};
  const grease g = grease_from(given, at);
  const curve_answer answer = describe(g, at, rates, kind);
  return given.json ? to_json(answer) + "\n" : to_text(answer, g);
}

}  // namespace

command curve_command() {
  return {"curve",
          "flow curve and apparent viscosity of a grease",
          "",
          "",
          false,
          joined({grease_options(),
                  {{"--at", "temperature (needed)"},
                   {"--rate", "shear rate to show: 10 1/s", true},
                   {"--kind", "rates are nominal (default) or true"}}}),
          {{R"(coldgrease curve --nlgi 1 --kv40 150mm2/s --kv100 14.7mm2/s \
    --at "-15 C" --rate "2.65 1/s")",
            "The flow curve that a class and an oil stand for, and its spread"},
           {R"(coldgrease curve --capillary tables/demo/synthetic_1_points.csv \
    --kv40 48mm2/s --kv100 8mm2/s --at "-30 C")",
            "The same from measured points"}},
          run_curve};
}

}  // namespace coldgrease::tools
