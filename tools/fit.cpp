#include "coldgrease/grease/fit.hpp"

#include "coldgrease/report/json.hpp"
#include "command.hpp"

namespace coldgrease::tools {

namespace {

std::string run_fit(const arguments& given) {
  const std::string kind = given.need("--kind");
  if (kind != "capillary" && kind != "rheometer")
    throw input_error("--kind", in_quotes(kind), "capillary (nominal rates) or rheometer (true rates)");
  const auto line_rate = given.quantity<shear_rate>("--line-rate", measure::wall_rate);
  const auto points =
      read_points(given.file(*given.positional), kind == "capillary" ? rate_kind::nominal : rate_kind::true_rate);
  const fit_answer answer = [&] {
    try {
      return fit(points, {.line_rate = line_rate});
    } catch (const input_error& e) {
      throw at({.file = *given.positional}, e);  // the options are checked: it is the points
    }
  }();
  return given.json ? to_json(answer) + "\n" : to_text(answer);
}

}  // namespace

command fit_command() {
  return {
      "fit",
      "flow-curve parameters from measured points",
      "file",
      "CSV: temperature [C], rate [1/s], stress [Pa]",
      true,
      {{"--kind", "capillary (ASTM D1092) or rheometer (needed)"},
       {"--line-rate", "nominal rate of the line it is for: 2.65 1/s"}},
      {{R"(coldgrease fit tables/demo/synthetic_1_points.csv \
    --kind capillary --line-rate "2.65 1/s")",
        "Points of a capillary viscometer at two temperatures"}},
      run_fit,
      nullptr,
      "Columns in any order: temperature, rate, and stress or apparent viscosity,\neach with its unit in its name. K "
      "and n are fitted only where the rates span\nthree decades and begin near the line's."};
}

}  // namespace coldgrease::tools
