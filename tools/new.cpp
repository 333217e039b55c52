#include <algorithm>
#include <filesystem>

#include "coldgrease/base/tables.hpp"
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

/// The files of the demo fleet as they are.
std::vector<fleet_part> demo_files() {
  const auto folder = demo_folder();
  if (!folder) throw input_error("--from", "the demo fleet is not installed", "the folder named by COLDGREASE_TABLES");
  std::vector<fleet_part> files;
  for (const fs::directory_entry& e : fs::directory_iterator(*folder)) {
    const std::string name = e.path().filename().string();
    const bool is_fleet = e.path().extension() == ".json" || e.path().extension() == ".csv";  // no text, no pictures
    if (e.is_regular_file() && is_fleet)
      files.push_back({name, source(e.path().string()).read(file_kind::weather).bytes});
  }
  std::ranges::sort(files, {}, &fleet_part::name);
  return files;
}

std::vector<fleet_part> files_of(const arguments& given) {
  first_fleet_parts parts;
  if (const auto greases = given.find("--greases")) parts.greases = given.file(*greases);
  if (const auto lines = given.find("--lines")) parts.lines = given.file(*lines);
  const auto units = given.find(units_option.name);
  if (units) parts.units = parse_word<unit_system>(*units, units_option.name);
  const auto from = given.find("--from");
  if (!from) return first_fleet(parts);
  if (*from != "demo") throw input_error("--from", in_quotes(*from), "demo");
  if (parts.greases || parts.lines || units)
    throw input_error("--from", "stands beside --greases, --lines or --units", "it alone: the demo is copied as it is");
  return demo_files();
}

std::string run_new(const arguments& given) {
  const std::string& folder = *given.positional;
  const std::vector<fleet_part> files = files_of(given);
  std::error_code failed;
  if (!fs::is_directory(folder, failed) && !fs::create_directories(folder, failed))
    throw file_error(folder, "cannot be made a folder", "a name that is free, in a folder that may be written to");
  const bool demo = given.find("--from").has_value();
  std::string out = given.find("--greases") || given.find("--lines")
                        ? "Written, INVENTED but for your own: put your rows in the place of the others.\n"
                        : "Written, all of it INVENTED: put your own rows in its place.\n";
  for (const std::string& path : write_fresh(folder, files)) out += "  " + path + "\n";
  return out + (demo ? "Next:" : "columns.csv explains every column. Next:") + "\n    coldgrease check " +
         in_shell((fs::path(folder) / "fleet.json").string()) + "\n";
}

}  // namespace

command new_command() {
  return {.name = "new",
          .does = "a first fleet to change: tables for a spreadsheet",
          .positional = "folder",
          .positional_help = "to write it into; no file is written over",
          .positional_needed = true,
          .options = {{"--greases", "your own table of greases (CSV or JSON)"},
                      {"--lines", "your own lines (CSV); its installations are taken"},
                      {units_option.name, "si or us: units in the heads of the tables"},
                      {"--from", "demo: copies the demo fleet instead"}},
          .examples = {{"coldgrease new my_fleet", "A first fleet in a folder of its own, and what to type next"},
                       {"coldgrease new us_fleet --units us", "The same in feet, inches, psi and F"},
                       {"coldgrease new demo_fleet --from demo", "The demo fleet, to change what is there"}},
          .run = run_new,
          .notes =
              "greases.csv, installations.csv, lines.csv (a row a segment of tube) and\nroutes.csv (a row a leg) "
              "have every column, with its unit in the head. A list\nin a cell has ' & ' between its parts. Write a "
              "class as NLGI 00: a spreadsheet\nmakes 0 of 00.",
          .in_numbers = false};
}

}  // namespace coldgrease::tools
