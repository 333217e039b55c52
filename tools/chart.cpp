#include <utility>

#include "coldgrease/plan/dossier.hpp"
#include "coldgrease/report/html.hpp"
#include "command.hpp"
#include "fleet_answer.hpp"
#include "named.hpp"
#include "output_file.hpp"

namespace coldgrease::tools {

namespace {

/// Where a record of the fleet stands that an option names; nothing without the option.
template <class Record>
std::optional<std::size_t> chosen(const arguments& given, std::string_view option, const std::vector<Record>& records) {
  const auto name = given.find(option);
  if (!name) return std::nullopt;
  return static_cast<std::size_t>(&named(records, *name, option) - records.data());
}

void check_choice(const arguments& given) {
  constexpr std::string_view expected = "--route, or --installation with --grease, or --grease alone";
  const bool route = given.find("--route").has_value();
  for (const std::string_view option : {"--installation", "--grease"}) {
    if (route && given.find(option)) throw input_error(option, "stands beside --route", expected);
  }
  if (!route && !given.find("--installation") && !given.find("--grease"))
    throw input_error("chart", "no picture is chosen", expected);
}

/// The sheet of an installation with a grease that the plan pumps through it.
const line_sheet& sheet_of(const dossier& d, const fleet& f, std::size_t installation,
                           std::optional<std::size_t> grease) {
  std::string pumped;
  for (const line_sheet& s : d.lines) {
    if (s.installation != installation) continue;
    if (s.grease == grease) return s;
    pumped += (pumped.empty() ? "" : ", ") + in_quotes(f.greases[s.grease].name);
  }
  if (pumped.empty())
    throw input_error("--installation", "nothing is pumped through " + in_quotes(f.installations[installation].name),
                      "one on a route");
  throw input_error("--grease", grease ? in_quotes(f.greases[*grease].name) + " is not pumped there" : "is missing",
                    "one that the plan pumps there: " + pumped);
}

std::string run_chart(const arguments& given) {
  check_choice(given);
  if (const auto path = given.find("-o")) check_promise(*path, {".svg"});
  const fleet f = fleet_of(given);
  // A name that is none is said before the plan is made.
  const auto route = chosen(given, "--route", f.routes);
  const auto installation = chosen(given, "--installation", f.installations);
  const auto grease = chosen(given, "--grease", f.greases);
  const auto [stock, d] = answer_of_file(given, [&](const progress& listener) {
    std::vector<coldgrease::grease> known = stock_of(f);
    dossier all = dossier_of(f, known, published_rules(), compatibility_charts(), listener, jobs_of(given));
    return std::pair(std::move(known), std::move(all));
  });
  std::string svg;
  if (route) {
    svg = season_svg(d.seasons[*route], d.plan.routes[*route], stock);
  } else if (installation) {
    const line_sheet& s = sheet_of(d, f, *installation, grease);
    svg = limit_svg(s, f.installations[s.installation], stock[s.grease]);
  } else {
    svg = flow_svg(*std::ranges::find(d.greases, *grease, &grease_sheet::grease), stock[*grease]);
    if (svg.empty())
      throw input_error("--grease", "nothing is known of the flow of " + in_quotes(f.greases[*grease].name), "another");
  }
  return written(given, svg, d.inputs);
}

}  // namespace

command chart_command() {
  return {.name = "chart",
          .does = "one picture of the report: year, limits or flow (SVG)",
          .positional = "fleet",
          .positional_help = "fleet file (JSON)",
          .positional_needed = true,
          .options = {{"--route", "its year: the cold and what its greases stand"},
                      {"--installation", "its limits with a grease that is pumped there"},
                      {"--grease", "that grease; alone: its flow curves"},
                      {"-o", "file to write; standard output without it"},
                      {"--confidence", "0.55 to 0.99 instead of the fleet's"},
                      ignore_readings,
                      root_option},
          .examples = {{R"(coldgrease chart tables/demo/fleet.json \
    --route "Northern plain" -o year.svg)",
                        "The year of a route"},
                       {R"(coldgrease chart tables/demo/fleet.json \
    --installation "trailer, 100 bar" --grease "Synthetic 00" \
    -o limits.svg)",
                        "How long a line may be in the cold"},
                       {R"(coldgrease chart tables/demo/fleet.json \
    --grease "Synthetic 1" -o flow.svg)",
                        "The flow of a grease"}},
          .run = run_chart,
          .notes = "The numbers behind the pictures are those of report --json.",
          .in_numbers = false};
}

}  // namespace coldgrease::tools
