#include <filesystem>

#include "coldgrease/plan/first_fleet.hpp"
#include "command.hpp"
#include "output_file.hpp"

namespace coldgrease::tools {

namespace {

namespace fs = std::filesystem;

/// A path as a shell takes it.
std::string in_shell(const std::string& path) {
  return path.find_first_of(" '\"\\$`&;()<>|*?[]#~!") == std::string::npos ? path : in_quotes(path);
}

/// Writes all files or none: each fresh, so that no file is ever written over.
std::vector<std::string> write_fresh(const std::string& folder, const std::vector<fleet_part>& parts) {
  std::vector<std::string> written;
  try {
    for (const fleet_part& p : parts) {
      const std::string path = (fs::path(folder) / p.name).string();
      write_fresh_file(path, p.text);
      written.push_back(path);
    }
  } catch (const file_error&) {
    std::error_code ignored;
    for (const std::string& path : written) fs::remove(path, ignored);
    throw;
  }
  return written;
}

std::string run_new(const arguments& given) {
  const std::string& folder = *given.positional;
  std::error_code failed;
  if (!fs::is_directory(folder, failed) && !fs::create_directories(folder, failed))
    throw file_error(folder, "cannot be made a folder", "a name that is free, in a folder that may be written to");
  std::string out = "Written, all of it INVENTED: put your own rows in its place.\n";
  for (const std::string& path : write_fresh(folder, first_fleet())) out += "  " + path + "\n";
  return out + "columns.csv explains every column. Next:\n    coldgrease check " +
         in_shell((fs::path(folder) / "fleet.json").string()) + "\n";
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
              "have every column, with its unit in the head. A list\nin a cell has ' & ' between its parts. Write a "
              "class as NLGI 00: a spreadsheet\nmakes 0 of 00.",
          .in_numbers = false};
}

}  // namespace coldgrease::tools
