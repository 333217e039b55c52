// Grease records as a part of any JSON file.
#pragma once

#include "base/record.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/evidence.hpp"

namespace coldgrease::inline v0::detail {

/// The keys of a grease. Any datum may be {"value": ..., "source": ...}; "source" of the record holds for the others.
const record_table<evidence>& grease_table();
/// A point of a flow curve as a file has it.
struct curve_point {
  temperature at = celsius(25);
  shear_rate rate{};
  std::optional<dynamic_viscosity> apparent{};
  std::optional<pressure> stress{};
};
const record_table<curve_point>& curve_point_table();
const record_table<flow_pressure_point>& flow_pressure_table();
/// The schema of a grease: every datum with or without its source.
json grease_schema();

evidence read_grease(const json_node& record);
json write_grease(const evidence& e);
/// A list of records with distinct names.
std::vector<evidence> read_grease_list(const json_node& list);
/// Greases as rows of a table.
table_shape grease_shape();
/// A table: {"schema", "about", "source", "rows": [records]}, or a bare list.
std::vector<evidence> read_grease_table(const json_node& root);

/// A label of NLGI classes.
struct nlgi_text {
  static constexpr const char* name = "NLGI class";
  static void check(std::string_view text) { parse_nlgi(text, {}); }
};
/// "1/2"; a whole number may stand without its quotes, as it has one meaning alone.
struct nlgi_kind : checked_text<nlgi_text> {
  using checked_text::read;
  static type read(const json_node& node) {
    const std::string label = node.words();
    return node.at([&] { return checked_text::read(std::string_view(label)); });
  }
  static kind_words words() {
    kind_words w = checked_text::words();
    json choices = json::array();
    choices.push_back(std::move(w.schema));
    choices.push_back({{"type", "integer"}, {"minimum", 0}, {"maximum", 6}});
    w.schema = json::object();  // clang 14 leaks what a nested list of initializers holds
    w.schema["anyOf"] = std::move(choices);
    return w;
  }
};

}  // namespace coldgrease::inline v0::detail
