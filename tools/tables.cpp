#include "coldgrease/base/tables.hpp"

#include "coldgrease/report/json.hpp"
#include "command.hpp"

namespace coldgrease::tools {

namespace {

std::string run_tables(const arguments& given) {
  if (given.positional) {
    if (*given.positional != "ranges") throw input_error("WHICH", in_quotes(*given.positional), "ranges, or nothing");
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
          "ranges: what a number that is read may be, and why",
          false,
          {},
          {{"coldgrease tables", "Where each table comes from"},
           {"coldgrease tables ranges", "What a number may be, and why"}},
          run_tables};
}

}  // namespace coldgrease::tools
