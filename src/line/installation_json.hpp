// Installation records as a part of any JSON file, and schedules of lines.
#pragma once

#include "base/record.hpp"
#include "coldgrease/line/installation.hpp"

namespace coldgrease::inline v0::detail {

/// An installation as its record has it.
struct installation_draft : installation {
  std::optional<input_file> schedule{};  // the file its lines were read from, if one was
  source schedule_source{};
  std::map<std::string, place, std::less<>> owners{};  // as scheduled_lines has them
};

/// "12 h", or "none" for what always runs.
struct rest_kind {
  using type = duration;
  static type read(const json_node& node) {
    const std::string text = node.text();
    return node.at([&] { return read(text); });
  }
  static type read(std::string_view text) { return parse_rest(text, {}); }
  static json write(type rest) { return in_second(rest) > 0.0 ? json(exact_text(rest)) : json("none"); }
  static kind_words words() {
    kind_words w = quantity_kind<duration, measure::rest>::words();
    w.kind += ", or none";
    w.schema = {{"anyOf", json::array({json({{"const", "none"}}), w.schema})}};
    return w;
  }
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
