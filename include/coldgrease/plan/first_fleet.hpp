// A first fleet to change: small, invented, valid, and in tables that a spreadsheet opens.
#pragma once

#include <string>
#include <vector>

namespace coldgrease::inline v0 {

/// A file of a fleet, by its name in the fleet's folder.
struct fleet_part {
  std::string name{};
  std::string text{};
};

/// fleet.json and the tables it names: greases.csv, installations.csv, lines.csv (a row a segment), routes.csv (a row a
/// leg), each with every column and one invented row; a year of invented weather; and columns.csv, which explains every
/// column. read_fleet() reads it, and pick() answers.
std::vector<fleet_part> first_fleet();

}  // namespace coldgrease::inline v0
