#include "coldgrease/plan/compare.hpp"

#include "coldgrease/report/json.hpp"
#include "coldgrease/report/sheet.hpp"
#include "fleet_answer.hpp"

namespace coldgrease::tools {

namespace {

std::string run_compare(const arguments& given) {
  const bool csv = given.csv();
  const fleet f = fleet_of(given);
  std::vector<std::size_t> own;
  for (const std::string& name : given.all("--grease"))
    own.push_back(static_cast<std::size_t>(&named(f.greases, name, "--grease") - f.greases.data()));
  std::vector<evidence> offers;
  if (const auto file = given.find("--offers")) offers = read_greases(given.file(*file));
  if (own.empty() && offers.empty())
    throw input_error("compare", "no offer is named", "--grease NAME or --offers FILE");
  const int jobs = jobs_of(given);
  const compare_answer a = answer_of_file(given, [&](const progress& listener) {
    return compare(f, stock_of(f), own, offers, published_rules(), compatibility_charts(), listener, jobs);
  });
  if (csv) return to_csv(sheet_of(a, f.installations, given.units));
  return given.json ? to_json(a, f.installations) + "\n" : to_text(a, f.installations, given.units);
}

}  // namespace

command compare_command() {
  return {"compare",
          "offers side by side, and what to ask their suppliers",
          "fleet",
          "fleet file (JSON)",
          true,
          {{"--grease", "an offer that stands in the fleet's stock", true},
           {"--offers", "file of other offers, a table of greases (JSON)"},
           {"--confidence", "0.55 to 0.99 instead of the fleet's"},
           csv_option,
           jobs_option,
           ignore_readings,
           root_option},
          {{R"(coldgrease compare tables/demo/fleet.json \
    --grease "Synthetic 1" --grease "Synthetic 00")",
            "Two greases of the stock"},
           {R"(coldgrease compare tables/demo/fleet.json \
    --grease "Synthetic 1" --offers tables/greases.json)",
            "One of them beside the offers of a file"}},
          run_compare};
}

}  // namespace coldgrease::tools
