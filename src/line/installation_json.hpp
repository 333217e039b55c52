// Installation records as a part of any JSON file, and schedules of lines.
#pragma once

#include "base/record.hpp"
#include "coldgrease/line/installation.hpp"

namespace coldgrease::inline v0::detail {

/// An installation as its record has it.
struct installation_draft : installation {
  std::vector<input_file> schedule{};  // the file its lines were read from, if one was
};

const record_table<installation_draft>& installation_table();
const record_table<line>& line_table();
const record_table<segment>& segment_table();
const record_table<point_rules>& rules_table();
const record_table<class_window>& class_window_table();
const record_table<inlet>& feed_table();

/// A record; what a program cannot use otherwise is checked here as well: distinct points, a dose for each, its mains.
installation_draft read_installation(const json_node& node);
json write_installation(const installation& i);

}  // namespace coldgrease::inline v0::detail
