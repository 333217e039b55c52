// Data tables: where they are found, and which are in force.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/source.hpp"

namespace coldgrease::inline v0 {

/// A table as it was found.
struct table_file {
  std::string name{};      // "published_rules.json"
  std::string found_in{};  // a path, or "built in"
  source file{};
};

/// The table of a name: from the folder in the environment variable COLDGREASE_TABLES, else from the folder the library
/// was installed with, else the copy built into the library. The one place that reads the environment.
/// @throws file_error if COLDGREASE_TABLES is set and holds no such file; input_error for a name that is no table
table_file find_table(std::string_view name);

/// The folder of the demo fleet, beside the tables of the environment or of the installation; nothing if there is none.
std::optional<std::string> demo_folder();

/// What a table says of itself.
struct table_answer {
  std::string name{};
  std::string found_in{};
  int schema = 0;
  int rows = 0;
  std::string about{};
  std::string source{};
};

/// All tables in force, by name. @throws file_error for a table that cannot be read
std::vector<table_answer> tables_in_force();

}  // namespace coldgrease::inline v0
