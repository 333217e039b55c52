#include "grease/grease_json.hpp"

#include <cmath>
#include <set>

#include "base/csv.hpp"
#include "coldgrease/grease/designation.hpp"
#include "coldgrease/grease/grease.hpp"

namespace coldgrease::inline v0 {

namespace detail {

namespace {

struct penetration_range {
  static constexpr double least = 0.0, most = largest_penetration;
  static constexpr bool above = true;
  static constexpr std::string_view expected = "above 0 and at most 500 (0.1 mm, worked)";
};
struct any_index {
  static constexpr double least = -1e6, most = 1e6;
  static constexpr bool above = false;
  static constexpr std::string_view expected = "-1e6 to 1e6";
};
struct designation_text {
  static constexpr const char* name = "designation";
  static void check(std::string_view text) { parse_designation(text, {}); }
};

/// "700 SUS at 100 F"
struct viscosity_point_kind {
  using type = viscosity_point;
  static type read(const json_node& node) {
    const std::string text = node.text();
    return node.at([&] { return read(text); });
  }
  static type read(std::string_view cell) { return parse_viscosity_point(cell, {}); }
  static json write(const type& p) { return exact_text(p.kv) + " at " + exact_text(p.at); }
  static kind_words words() {
    return {"viscosity at a temperature", "mm2/s, cSt, m2/s, SUS", {{"type", "string"}, {"pattern", " at "}}};
  }
};

/// {"molybdenum disulfide": "3 %"}, or an empty list: none, stated.
struct solids_kind {
  using type = std::vector<solid>;
  static type read(const json_node& node) {
    type solids;
    if (node.is_array()) {
      if (!node.items().empty()) node.refuse("is a list", "{\"graphite\": \"3 %\"}, or [] for a grease without solids");
      return solids;
    }
    for (const auto& member : node.members())
      node.go_on_after([&] { solids.push_back({member.first, member.second.share()}); });
    return solids;
  }
  static json write(const type& solids) {
    if (solids.empty()) return json::array();
    json out = json::object();
    for (const solid& s : solids) out[s.kind] = share_text(s.share);
    return out;
  }
  static kind_words words() {
    const json shares = {{"type", "object"}, {"additionalProperties", share_kind::words().schema}};
    const json none = {{"type", "array"}, {"maxItems", 0}};
    json schema = json::object();
    schema["anyOf"] = json::array({shares, none});
    return {"object of shares, or [] for none", "%", schema};
  }
};

/// A pressure; "<= 1400 hPa" is a bound of the data sheet, no reading.
struct bounded_pressure {
  static void read(const json_node& node, flow_pressure_point& into) {
    std::string text = node.text();
    for (const std::string_view bound : {"<=", "<"}) {
      if (!text.starts_with(bound)) continue;
      into.at_most = true;
      text.erase(0, std::min(text.size(), text.find_first_not_of(' ', bound.size())));
      break;
    }
    into.needed = node.at([&] { return parse<pressure>(text, {}, measure::flow_pressure); });
  }
  static json write(const flow_pressure_point& p) { return (p.at_most ? "<= " : "") + exact_text(p.needed); }
  static kind_words words() {
    const std::string pattern = "^(<=?[ ]*)?" + pattern_of<pressure>(sign::positive).substr(1);
    return {
        "pressure, or a bound of it", quantity_words_of<pressure>().units, {{"type", "string"}, {"pattern", pattern}}};
  }
};

struct mobility_kind {
  using type = mobility_reading;
  static type read(const json_node& node) {
    const std::string text = node.text();
    return node.at([&] { return read(text); });
  }
  static type read(std::string_view cell) { return parse_mobility(cell, {}); }
  static json write(const type& m) { return text_of(m); }
  static kind_words words() { return {"mobility figure", "g/min", {{"type", "string"}, {"pattern", "g/min at "}}}; }
};

measured_point point_of(const json_node& node, const curve_point& given, rate_kind kind) {
  measured_point p{.at = given.at, .rate = given.rate, .stress = {}, .kind = kind};
  p.stress = given.stress ? *given.stress : pascal(in_pascal_second(*given.apparent) * in_per_second(p.rate));
  if (!std::isfinite(in_pascal(p.stress)) || !(in_pascal(p.stress) > 0.0))
    node.refuse("the stress leaves the range of numbers", "a viscosity and a rate that grease has");
  return p;
}

/// Points of a flow curve, one or a list, all with one kind of rate.
template <rate_kind Kind>
struct points_of_kind {
  static void read(const json_node& node, evidence& into) {
    const auto take = [&](const json_node& item) {
      curve_point given;
      if (read_record(item, curve_point_table(), given)) into.points.push_back(point_of(item, given, Kind));
    };
    if (node.is_object()) {
      take(node);
    } else {
      for (const json_node& item : node.items()) node.go_on_after([&] { take(item); });
    }
  }
  static json write(const evidence& e) {
    json list = json::array();
    for (const measured_point& p : e.points) {
      if (p.kind == Kind)
        list.push_back(
            write_record({.at = p.at, .rate = p.rate, .apparent = {}, .stress = p.stress}, curve_point_table()));
    }
    return list.empty() ? json() : list;
  }
  static kind_words words() {
    const json one = {{"$ref", "#/$defs/curve_point"}};
    return {"one or a list of: curve_point", {}, {{"anyOf", {one, {{"type", "array"}, {"items", one}}}}}};
  }
};

template <rate_kind Kind>
constexpr key<evidence> points_key(std::string_view name, std::string_view meaning) {
  using points = points_of_kind<Kind>;
  return {.name = name,
          .needed = false,
          .fallback = {},
          .meaning = meaning,
          .words = &points::words,
          .read = &points::read,
          .read_cell = nullptr,
          .write = &points::write};
}

}  // namespace

const record_table<curve_point>& curve_point_table() {
  using r = curve_point;
  static constexpr std::array keys{
      needed<r, &r::at, quantity_kind<temperature, measure::grease_temperature>>("temperature", "of the grease"),
      needed<r, &r::rate, quantity_kind<shear_rate, measure::wall_rate>>("rate",
                                                                         "nominal of a capillary, true of a rheometer"),
      field<r, &r::apparent, quantity_kind<dynamic_viscosity, measure::apparent_viscosity>>("apparent_viscosity",
                                                                                            "stress over that rate"),
      field<r, &r::stress, quantity_kind<pressure, measure::shear_stress>>(
          "stress", "at the wall of the capillary, or in the gap")};
  static constexpr std::array groups{key_group{group_rule::exactly_one, {"apparent_viscosity", "stress"}}};
  static constexpr record_table<r> table{"curve_point", "one measured point of a flow curve", keys, groups};
  return table;
}

const record_table<flow_pressure_point>& flow_pressure_table() {
  using r = flow_pressure_point;
  static constexpr std::array keys{
      needed<r, &r::at, quantity_kind<temperature, measure::grease_temperature>>("temperature", "of the test"),
      key<r>{.name = "pressure",
             .needed = true,
             .fallback = {},
             .meaning = "that presses a strand out of the nozzle (DIN 51805); \"<= 1400 hPa\" is a bound, not used",
             .words = &bounded_pressure::words,
             .read = &bounded_pressure::read,
             .read_cell = nullptr,
             .write = &bounded_pressure::write}};
  static constexpr record_table<r> table{"flow_pressure", "one flow pressure", keys};
  return table;
}

const record_table<evidence>& grease_table() {
  using r = evidence;
  using viscosity = quantity_kind<kinematic_viscosity, measure::oil_viscosity>;
  // Sources are noted in this order.
  static constexpr std::array keys{
      needed<r, &r::name, name_kind>("name", "by which the grease is called; distinct"),
      key<r>{.name = "source",
             .needed = false,
             .fallback = {},
             .meaning = "source of every datum of the record that names none itself",
             .words = &text_kind::words,
             .read = [](const json_node&, evidence&) {},
             .read_cell = nullptr,
             .write = nullptr},
      field<r, &r::nlgi, nlgi_kind>("nlgi", "class as printed on the pack: 2, 1/2, 000/00"),
      field<r, &r::penetration, number_kind<penetration_range>>(
          "penetration", "worked penetration at 25 C (ASTM D217); goes before the label"),
      field<r, &r::designation, checked_text<designation_text>>("designation", "by DIN 51502 or ISO 6743-9: KP2K-30"),
      points_key<rate_kind::nominal>("capillary", "points by ASTM D1092: nominal rates"),
      points_key<rate_kind::true_rate>("rheometer", "points of a rotational rheometer: true rates"),
      key<r>{.name = "flow_pressure",
             .needed = false,
             .fallback = {},
             .meaning = "flow pressures (DIN 51805); two of them tell how the grease stiffens",
             .words = &list_kind<record_kind<flow_pressure_point, &flow_pressure_table>, list_rule::one_alone>::words,
             .read =
                 [](const json_node& node, evidence& into) {
                   into.flow_pressures =
                       list_kind<record_kind<flow_pressure_point, &flow_pressure_table>, list_rule::one_alone>::read(
                           node);
                 },
             .read_cell = nullptr,
             .write =
                 [](const evidence& e) {
                   using list = list_kind<record_kind<flow_pressure_point, &flow_pressure_table>>;
                   return e.flow_pressures.empty() ? json() : list::write(e.flow_pressures);
                 }},
      field<r, &r::mobility, mobility_kind>("mobility",
                                            "mass through a capillary of 40 bores: 12 g/min at -18 C, 3.8 mm, 150 psi"),
      field<r, &r::thickener, text_kind>("thickener", "such as lithium complex"),
      field<r, &r::kv40, viscosity>("kv40", "viscosity of the base oil at 40 C",
                                    "and without another viscosity, 150 mm2/s is assumed"),
      field<r, &r::kv100, viscosity>("kv100", "viscosity of the base oil at 100 C"),
      field<r, &r::kv, viscosity_point_kind>("kv", "viscosity at another temperature: 700 SUS at 100 F"),
      field<r, &r::vi, number_kind<any_index>>("vi", "viscosity index", "one usual of the type of oil"),
      field<r, &r::pour, quantity_kind<temperature, measure::pour_point>>(
          "pour", "pour point of the base oil", "the cold bound is where the oil reaches 100 Pa s"),
      field<r, &r::oil, word_kind<oil_type>>("oil_type", "of the base oil", "mineral"),
      field<r, &r::density, quantity_kind<coldgrease::density, measure::grease_density>>(
          "density", "of the grease at 15 C", "900 kg/m3"),
      field<r, &r::solids, solids_kind>("solids", "all solid lubricants and their shares",
                                        "not stated: no limit or ban on solids is shown to be kept"),
      field<r, &r::dropping_point, quantity_kind<temperature, measure::dropping_point>>("dropping_point",
                                                                                        "kept, not used"),
      field<r, &r::oil_separation, share_kind>("oil_separation", "kept, not used"),
      field<r, &r::price, price_kind>("price", "by mass, with its currency"),
      field<r, &r::pack, quantity_kind<mass, measure::pack>>("pack", "what one pack holds: only whole ones are bought"),
      field<r, &r::pack_price, money_kind>("pack_price", "of one pack, in the place of \"price\""),
      field<r, &r::in_store, quantity_kind<mass, measure::stock>>("stock", "in store already", "0 kg"),
      field<r, &r::delivery, quantity_kind<duration, measure::delivery>>("delivery", "from order to arrival",
                                                                         "not stated: no day to order by"),
      field<r, &r::claim, text_kind>("claim", "such as \"pumpable to -40 C\"; kept, never used as proof")};
  static constexpr std::array groups{
      key_group{group_rule::at_least_one, {"nlgi", "penetration", "designation", "capillary", "rheometer"}},
      key_group{group_rule::at_most_one, {"price", "pack_price"}}};
  static constexpr record_table<r> table{"grease", "what is known of a grease", keys, groups};
  return table;
}

json grease_schema() {
  json schema = schema_of_record(grease_table());
  for (auto& [name, own] : schema["properties"].items()) {
    if (name == "name" || name == "source") continue;
    json& choices = own["anyOf"];
    choices.push_back({{"type", "object"},
                       {"additionalProperties", false},
                       {"required", {"value"}},
                       {"properties", {{"value", choices[0]}, {"source", {{"type", {"string", "null"}}}}}}});
  }
  return schema;
}

evidence read_grease(const json_node& record) {
  evidence e;
  std::string common;
  if (!record.is_object()) record.refuse("is no object", "{...}");
  record.go_on_after([&] {
    if (const auto source = record.find("source")) common = source->text();
  });
  const auto datum = [&](std::string_view key, json_node value) {
    if (key == "name" || key == "source") return value;
    std::string source = common;
    if (value.is_object() && value.find("value")) {
      value.only({"value", "source"});
      if (const auto own = value.find("source")) source = own->text();
      value = value.need("value");
    }
    if (!source.empty()) e.sources.push_back({std::string(key), source});
    return value;
  };
  if (!read_record(record, grease_table(), e, datum)) return e;
  if (e.pack_price && !e.pack)
    record.go_on_after([&] { record.need("pack_price").refuse("is of a pack of unknown size", "\"pack\" beside it"); });
  // Contradictions between data, such as a KV100 above KV40, show when the model is made: say so here, with the place.
  record.go_on_after([&] {
    record.at([&] {
      e = with_designation(e).known;
      estimate(e);
    });
  });
  return e;
}

json write_grease(const evidence& e) {
  return write_record(e, grease_table(), [&](std::string_view key, json value) {
    const auto source = std::ranges::find(e.sources, key, &datum_source::datum);
    if (source == e.sources.end()) return value;
    return json{{"value", std::move(value)}, {"source", source->source}};
  });
}

std::vector<evidence> read_grease_list(const json_node& list) {
  std::vector<evidence> greases;
  std::set<std::string> names;
  for (const json_node& record : list.items()) {
    list.go_on_after([&] {
      greases.push_back(read_grease(record));
      const std::string& name = greases.back().name;
      if (!name.empty() && !names.insert(name).second)
        record.need("name").refuse("two greases are called " + in_quotes(name), "distinct names");
    });
  }
  return greases;
}

table_shape grease_shape() { return {.columns = cell_columns(grease_table())}; }

std::vector<evidence> read_grease_table(const json_node& root) {
  if (root.is_array()) return read_grease_list(root);
  root.only({"schema", "about", "source", "rows"});
  root.need("schema").whole_number(1, 1);
  return read_grease_list(root.need("rows"));
}

}  // namespace detail

std::vector<evidence> read_greases(const source& file) {
  const detail::json_document document(file, detail::grease_shape());
  detail::refuse_left_out(document.left_out());
  return detail::read_grease_table(document.root());
}

}  // namespace coldgrease::inline v0
