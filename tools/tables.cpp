#include "coldgrease/base/tables.hpp"

#include "coldgrease/report/json.hpp"
#include "command.hpp"

namespace coldgrease::tools {

namespace {

std::string run(const arguments& given) {
  const auto tables = tables_in_force();
  return given.json ? to_json(tables) + "\n" : to_text(tables);
}

}  // namespace

command tables_command() { return {"tables", "which tables are in force, with their sources", "", "", false, {}, run}; }

}  // namespace coldgrease::tools
