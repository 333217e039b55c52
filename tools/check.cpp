#include "coldgrease/plan/proof.hpp"
#include "coldgrease/report/json.hpp"
#include "coldgrease/report/text.hpp"
#include "command.hpp"
#include "progress_line.hpp"
#include "today.hpp"

namespace coldgrease::tools {

namespace {

result run_check(const arguments& given) {
  progress_line line(!given.in_batch, "routes");
  const fleet_proof proof = proof_of(given.file(*given.positional), today(), line.listener());
  std::string text = given.json ? to_json(proof) + "\n" : to_text(proof, given.units);
  if (proof.problems.empty() || given.in_batch) return {0, std::move(text), {}};
  const bool one = proof.problems.size() == 1;
  return {1, std::move(text),
          proof.file + ": " + (one ? "1 place is" : std::to_string(proof.problems.size()) + " places are") + " wrong"};
}

}  // namespace

command check_command() {
  return {.name = "check",
          .does = "all that is wrong with or missing in a fleet file",
          .positional = "fleet",
          .positional_help = "fleet file (JSON)",
          .positional_needed = true,
          .options = {root_option},
          .examples = {{"coldgrease check tables/demo/fleet.json",
                        "What the demo fleet does not state, what is assumed instead, and what to measure first"}},
          .run = nullptr,
          .whole = run_check,
          .notes =
              "Where something is wrong it says all of it and ends with 1; else it says\nwhat is missing, what is "
              "assumed instead, and what to measure first."};
}

}  // namespace coldgrease::tools
