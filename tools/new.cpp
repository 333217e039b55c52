#include <filesystem>

#include "coldgrease/plan/first_fleet.hpp"
#include "command.hpp"
#include "output_file.hpp"

namespace coldgrease::tools {

namespace {

namespace fs = std::filesystem;

/// Makes the folder, or takes one that has no file of the fleet's names.
void prepare(const std::string& folder, const std::vector<fleet_part>& parts) {
  std::error_code failed;
  if (!fs::is_directory(folder, failed) && !fs::create_directories(folder, failed))
    throw file_error(folder, "cannot be made a folder", "a name that is free, in a folder that may be written to");
  for (const fleet_part& p : parts) {
    const std::string path = (fs::path(folder) / p.name).string();
    if (fs::symlink_status(path, failed).type() != fs::file_type::not_found)
      throw file_error(path, "is there already", "a folder without it: nothing is written over");
  }
}

std::string run_new(const arguments& given) {
  const std::string& folder = *given.positional;
  const std::vector<fleet_part> parts = first_fleet();
  prepare(folder, parts);
  std::string out = "Written, all of it INVENTED: put your own rows in its place.\n";
  for (const fleet_part& p : parts) {
    const std::string path = (fs::path(folder) / p.name).string();
    write_file(path, p.text);
    out += "  " + path + "\n";
  }
  return out + "columns.csv explains every column. Next:\n    coldgrease check " +
         (fs::path(folder) / "fleet.json").string() + "\n";
}

}  // namespace

command new_command() {
  return {.name = "new",
          .does = "a first fleet to change: tables for a spreadsheet",
          .positional = "folder",
          .positional_help = "to write it into; no file is written over",
          .positional_needed = true,
          .options = {},
          .run = run_new,
          .notes =
              "greases.csv, installations.csv, lines.csv (a row a segment of tube) and\nroutes.csv (a row a leg) "
              "have every column, with its unit in the head. A list\nin a cell has ' & ' between its parts.",
          .in_numbers = false};
}

}  // namespace coldgrease::tools
