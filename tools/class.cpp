#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/designation.hpp"
#include "coldgrease/report/json.hpp"
#include "command.hpp"

namespace coldgrease::tools {

namespace {

penetration_method method_of(const arguments& given) {
  const std::string text = given.find("--method").value_or("worked");
  if (text == "worked") return penetration_method::worked;
  if (text == "unworked") return penetration_method::unworked;
  if (text == "prolonged") return penetration_method::prolonged;
  if (text == "block") return penetration_method::block;
  throw input_error("--method", in_quotes(text), "worked, unworked, prolonged or block");
}

cone_scale scale_of(const arguments& given) {
  const std::string text = given.find("--scale").value_or("full");
  if (text == "full") return cone_scale::full;
  if (text == "half") return cone_scale::half;
  if (text == "quarter") return cone_scale::quarter;
  throw input_error("--scale", in_quotes(text), "full, half or quarter");
}

std::string run(const arguments& given) {
  const auto label = given.find("--label");
  const auto code = given.find("--designation");
  constexpr std::string_view expected = "a penetration (0.1 mm), --label or --designation";
  if (label && code) throw input_error("--designation", "stands beside --label", expected);
  if ((label || code) && given.positional)
    throw input_error("penetration", label ? "stands beside --label" : "stands beside --designation", expected);
  if (!label && !code && !given.positional) throw input_error("penetration", "is missing", expected);
  if (code) {
    const designation answer = parse_designation(*code, "--designation");
    return given.json ? to_json(answer) + "\n" : to_text(answer);
  }
  const class_answer answer =
      label ? classify_label(*label, "--label")
            : classify(parse_number(*given.positional, "penetration"), method_of(given), scale_of(given));
  return given.json ? to_json(answer) + "\n" : to_text(answer);
}

}  // namespace

command class_command() {
  return {"class",
          "NLGI class of a penetration, a label or a designation",
          "penetration",
          "cone penetration at 25 C, 0.1 mm",
          false,
          {{"--label", "a label instead, such as 1/2"},
           {"--designation", "ISO 6743-9 or DIN 51502: KP2K-30"},
           {"--method", "worked, unworked, prolonged or block"},
           {"--scale", "cone: full, half or quarter"}},
          run};
}

}  // namespace coldgrease::tools
