#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/designation.hpp"
#include "coldgrease/report/json.hpp"
#include "command.hpp"

namespace coldgrease::tools {

namespace {

std::string run_class(const arguments& given) {
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
            : classify(parse_number(*given.positional, "penetration"),
                       given.word("--method", penetration_method::worked), given.word("--scale", cone_scale::full));
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
          {{"coldgrease class 287", "The class of a worked penetration"},
           {"coldgrease class --label 1/2", "What a label between two classes leaves open"},
           {"coldgrease class --designation KP2K-30", "What a designation says, and what it does not"}},
          run_class};
}

}  // namespace coldgrease::tools
