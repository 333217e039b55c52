// A first fleet to change: small, invented, valid, and in tables that a spreadsheet opens.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "coldgrease/base/source.hpp"
#include "coldgrease/base/unit_system.hpp"

namespace coldgrease::inline v0 {

/// A file of a fleet, by its name in the fleet's folder.
struct fleet_part {
  std::string name{};
  std::string text{};
};

/// What a first fleet is made of, where it is not invented.
struct first_fleet_parts {
  unit_system units = unit_system::si;  // in the heads of its tables
  std::optional<source> greases{};      // a table of greases, CSV or JSON
  std::optional<source> lines{};        // a schedule of lines; its installations are those it names
};

/// fleet.json and the tables it names: greases.csv, installations.csv, lines.csv (a row a segment), routes.csv (a row a
/// leg), each with every column and one invented row, or the table that is given, as it is; a year of invented weather;
/// and columns.csv, which explains every column. read_fleet() reads it, and pick() answers.
/// @throws file_error for a table that cannot be read
std::vector<fleet_part> first_fleet(const first_fleet_parts& parts = {});

}  // namespace coldgrease::inline v0
