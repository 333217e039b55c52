#include "coldgrease/base/version.hpp"
#include "coldgrease/plan/dossier.hpp"
#include "coldgrease/report/html.hpp"
#include "coldgrease/report/json.hpp"
#include "command.hpp"
#include "fleet_answer.hpp"
#include "fleet_workbook.hpp"
#include "output_file.hpp"

namespace coldgrease::tools {

namespace {

std::string run_report(const arguments& given) {
  constexpr std::string_view workbook = ".xlsx";
  const auto path = given.find("-o");
  const auto reader = given.find("--for");
  if (reader && given.json) throw input_error("--for", "stands beside --json, which has every part", "one of them");
  if (reader && path && ending_of(*path) == workbook)
    throw input_error("--for", "stands beside a workbook, which has every part", "one of them");
  const auto only = reader ? std::optional(parse_word<page_reader>(*reader, "--for")) : std::nullopt;
  if (path) given.json ? check_promise(*path, {".json"}) : check_promise(*path, {".html", ".htm", workbook});
  const int jobs = jobs_of(given);
  std::vector<input_file> inputs;
  const std::string text =
      with_fleet(given, [&](const fleet& f, const std::vector<grease>& stock, const progress& listener) {
        const dossier d = dossier_of(f, stock, published_rules(), compatibility_charts(), listener, jobs);
        inputs = d.inputs;
        if (path && !given.json && ending_of(*path) == workbook) return workbook_of(given, d, f, stock);
        return given.json
                   ? to_json(d, f, stock) + "\n"
                   : to_html(d, f, stock, "coldgrease " + std::string(library_version()), given.units, only, jobs);
      });
  return written(given, text, inputs);
}

}  // namespace

command report_command() {
  return {"report",
          "the whole year on one page to print (HTML)",
          "fleet",
          "fleet file (JSON)",
          true,
          {{"-o", "file to write; .xlsx a workbook"},
           {"--for", "that reader's part: buyer, engineer or workshop"},
           {"--confidence", "0.55 to 0.99 instead of the fleet's"},
           jobs_option,
           ignore_readings,
           root_option},
          {{"coldgrease report tables/demo/fleet.json -o report.html", "The page, for a browser or a printer"}},
          run_report};
}

}  // namespace coldgrease::tools
