// Runs a command line as somebody types it who has read a text of ours: in a shell, where the demo is.
#pragma once

#include "cli/run.hpp"

/// A folder of its own with the tables in it, as the sources and an installation have one.
class demo_folder : public scratch_folder {
 public:
  demo_folder() { std::filesystem::create_directory_symlink(COLDGREASE_TABLES_SOURCE, path() / "tables"); }
};

/// The command is found by its name, and the demo by it as if both were installed.
inline run_result in_shell(const std::string& line, const std::filesystem::path& folder) {
  const char* path = std::getenv("PATH");
  const std::string first = std::filesystem::path(COLDGREASE_TOOL).parent_path().string();
  run_options options;
  options.folder = folder;
  options.environment = {{"PATH", first + ":" + (path != nullptr ? path : "")},
                         {"COLDGREASE_TABLES", COLDGREASE_TABLES_SOURCE}};
  return run("/bin/sh", {"-c", line}, options);
}
