#include "coldgrease/base/tables.hpp"

#include "coldgrease/climate/design_values.hpp"
#include "coldgrease/report/json.hpp"
#include "command.hpp"

namespace coldgrease::tools {

namespace {

std::string run_tables(const arguments& given) {
  if (given.positional) {
    if (*given.positional == "design_values") {
      const std::vector<design_values> rows = published_design_values();
      return given.json ? to_json(rows) + "\n" : to_text(rows);
    }
    if (*given.positional != "ranges")
      throw input_error("WHICH", in_quotes(*given.positional), "ranges, design_values, or nothing");
    return given.json ? to_json(measure_ranges) + "\n" : to_text(measure_ranges);
  }
  const auto tables = tables_in_force();
  return given.json ? to_json(tables) + "\n" : to_text(tables);
}

}  // namespace

command tables_command() {
  return {"tables",
          "which tables are in force, with their sources",
          "WHICH",
          "ranges of numbers that are read, or design_values",
          false,
          {},
          {{"coldgrease tables", "Where each table comes from"},
           {"coldgrease tables ranges", "What a number may be, and why"},
           {"coldgrease tables design_values", "Stations, with what is published of their cold"}},
          run_tables};
}

}  // namespace coldgrease::tools
