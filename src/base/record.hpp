// Records of a file declared once: a table of keys from which the reader, the refusal of other keys, the writer, the
// JSON Schema, the columns of tables and the manual page are made.
#pragma once

#include "base/format.hpp"

#include <array>
#include <initializer_list>
#include <nlohmann/json.hpp>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "base/json_node.hpp"
#include "base/quantity_words.hpp"
#include "coldgrease/base/keys.hpp"
#include "coldgrease/base/money.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/base/ranges.hpp"
#include "coldgrease/base/words.hpp"

namespace coldgrease::inline v0::detail {

using json = nlohmann::ordered_json;

/// How a kind of value is called and what a schema says of it.
struct kind_words {
  std::string kind;
  std::string unit;
  json schema;
  std::string head_unit{};  // in brackets behind the name of a column, where the cells have none; empty: no brackets
};

// --- kinds of values: each reads from JSON and, if it fits a cell, from text; writes; and says what it is.

/// What check_one_line() takes, as a schema says it.
inline constexpr const char* one_line_pattern = "^[^\\u0000-\\u001f\\u007f-\\u009f\\u2028-\\u202e\\u2066-\\u2069]*$";

struct text_kind {
  using type = std::string;
  static type read(const json_node& node) { return node.text(); }
  static type read(std::string_view cell) { return std::string(cell); }
  static json write(const type& value) { return value; }
  static kind_words words() { return {"text", {}, {{"type", "string"}, {"pattern", one_line_pattern}}}; }
};

/// A text by which something is called: never empty.
struct name_kind {
  using type = std::string;
  static type read(const json_node& node) {
    const std::string name = node.text();
    return node.at([&] { return read(name); });
  }
  static type read(std::string_view cell) {
    if (cell.empty()) throw input_error("", "is empty", "a name");
    return std::string(cell);
  }
  static json write(const type& value) { return value; }
  static kind_words words() {
    return {"name", {}, {{"type", "string"}, {"minLength", 1}, {"pattern", one_line_pattern}}};
  }
};

/// A text that has a meaning: `Meaning` has its name and check(text), which refuses by an input_error.
template <class Meaning>
struct checked_text {
  using type = std::string;
  static type read(const json_node& node) {
    std::string text = node.text();
    node.at([&] { Meaning::check(text); });
    return text;
  }
  static type read(std::string_view cell) {
    Meaning::check(cell);
    return std::string(cell);
  }
  static json write(const type& value) { return value; }
  static kind_words words() {
    return {Meaning::name, {}, {{"type", "string"}, {"minLength", 1}, {"pattern", one_line_pattern}}};
  }
};

/// One of the words of an enumeration.
template <class Enum>
struct word_kind {
  using type = Enum;
  static type read(const json_node& node) {
    const std::string text = node.text();
    return node.at([&] { return read(text); });
  }
  static type read(std::string_view cell) { return parse_word<Enum>(cell, {}); }
  static json write(type value) { return name_of(value); }
  static kind_words words() {
    const auto& names = word_list<Enum>;
    json schema = json::object();
    // Words read whatever their case are more than a schema can list.
    if constexpr (requires { words_of<Enum>::also; }) {
      schema["type"] = "string";
      schema["examples"] = names;
    } else {
      schema["enum"] = names;
    }
    return {fmt::format("{}", fmt::join(names, ", ")), {}, schema};
  }
};

template <class Quantity, measure Measure>
struct quantity_kind {
  using type = Quantity;
  static type read(const json_node& node) { return node.quantity<Quantity>(Measure); }
  static type read(std::string_view cell) { return parse<Quantity>(cell, {}, Measure); }
  static json write(const type& value) { return exact_text(value); }
  static kind_words words() {
    const quantity_words q = quantity_words_of<Quantity>();
    return {fmt::format("{}, {}", q.name, range_text(Measure)),
            q.units,
            {{"type", "string"}, {"pattern", pattern_of<Quantity>(sign_of(Measure))}},
            std::string(q.usual)};
  }
};

/// "45 EUR".
struct money_kind {
  using type = money;
  static type read(const json_node& node) {
    return node.at([&] { return read(node.words()); });
  }
  static type read(std::string_view cell) { return parse_money(cell, {}); }
  static json write(const type& value) { return text_of(value); }
  static kind_words words() {
    return {"money", "EUR, USD, ...", {{"type", "string"}, {"pattern", "^\\s*\\+?[0-9.eE+-]+\\s*[A-Z]{3}\\s*$"}}};
  }
};

/// "4.63 EUR/kg".
struct price_kind {
  using type = mass_price;
  static type read(const json_node& node) {
    return node.at([&] { return read(node.words()); });
  }
  static type read(std::string_view cell) { return parse_mass_price(cell, {}); }
  static json write(const type& value) { return text_of(value); }
  static kind_words words() {
    return {"price",
            "EUR/kg, USD/lb, ...",
            {{"type", "string"}, {"pattern", "^\\s*\\+?[0-9.eE+-]+\\s*[A-Z]{3}\\s*/\\s*(kg|lb)\\s*$"}}};
  }
};

/// "3 %", kept as a share from 0 to 1.
struct share_kind {
  using type = double;
  static type read(const json_node& node) { return node.share(); }
  static type read(std::string_view cell) { return parse_share(cell); }
  static json write(type share) { return share_text(share); }
  static kind_words words() { return {"share", "%", {{"type", "string"}, {"pattern", "^\\s*\\+?[0-9.eE+-]+\\s*%$"}}}; }
};

/// A number without a unit. `Range` has least, most, above (the least itself is too little) and expected, in words.
template <class Range>
struct number_kind {
  using type = double;
  static type checked(double v) {
    if (!(v >= Range::least && v <= Range::most) || (Range::above && v == Range::least))
      throw input_error("", fmt::format("{}", v), Range::expected);
    return v;
  }
  static type read(const json_node& node) {
    const double v = node.number();
    return node.at([&] { return checked(v); });
  }
  static type read(std::string_view cell) { return checked(parse_number(cell, {})); }
  static json write(type value) { return value; }
  static kind_words words() {
    return {
        fmt::format("number, {}", Range::expected),
        {},
        {{"type", "number"}, {Range::above ? "exclusiveMinimum" : "minimum", Range::least}, {"maximum", Range::most}}};
  }
};

template <int Least, int Most>
struct whole_kind {
  using type = int;
  static type read(const json_node& node) { return node.whole_number(Least, Most); }
  static type read(std::string_view cell) {
    const auto v = to_number(cell);
    if (!v || *v < Least || *v > Most || *v != static_cast<int>(*v))
      throw input_error("", in_quotes(cell), fmt::format("a whole number, {} to {}", Least, Most));
    return static_cast<int>(*v);
  }
  static json write(type value) { return value; }
  static kind_words words() {
    return {fmt::format("whole number, {} to {}", Least, Most),
            {},
            {{"type", "number"}, {"multipleOf", 1}, {"minimum", Least}, {"maximum", Most}}};
  }
};

struct yes_or_no_kind {
  using type = bool;
  static type read(const json_node& node) { return node.yes_or_no(); }
  static json write(type value) { return value; }
  static kind_words words() { return {"true or false", {}, {{"type", "boolean"}}}; }
};

enum class list_rule { any, not_empty, one_alone };  // one_alone: a single value may stand without its brackets

template <class Kind, list_rule Rule = list_rule::any>
struct list_kind {
  using type = std::vector<typename Kind::type>;
  static type read(const json_node& node) {
    type values;
    // A refused element keeps its place, so that the others keep theirs.
    const auto take = [&](const json_node& item) {
      values.emplace_back();
      node.go_on_after([&] { values.back() = Kind::read(item); });
    };
    if (Rule == list_rule::one_alone && !node.is_array()) {
      take(node);
    } else {
      for (const json_node& item : node.items()) take(item);
    }
    if (Rule == list_rule::not_empty && values.empty()) node.refuse("is empty", "one or more");
    return values;
  }
  static json write(const type& values) {
    json list = json::array();
    for (const auto& v : values) list.push_back(Kind::write(v));
    return list;
  }
  static kind_words words() {
    const kind_words one = Kind::words();
    json schema = {{"type", "array"}, {"items", one.schema}};
    if (Rule == list_rule::not_empty) schema["minItems"] = 1;
    if (Rule == list_rule::one_alone) {
      json alternatives = {one.schema, std::move(schema)};
      schema = json::object();  // clang 14 leaks what a nested list of initializers holds
      schema["anyOf"] = std::move(alternatives);
    }
    return {(Rule == list_rule::one_alone ? "one or a list of: " : "list of: ") + one.kind, one.unit, schema};
  }
};

// --- keys and records

template <class Record>
struct key {
  std::string_view name;
  bool needed;
  std::string_view fallback;
  std::string_view meaning;
  kind_words (*words)();
  void (*read)(const json_node& value, Record& into);
  void (*read_cell)(std::string_view cell, Record& into);  // null for what does not fit a cell
  json (*write)(const Record& from);                       // null for nothing to write
};

enum class group_rule { exactly_one, at_least_one, at_most_one, all_or_none };
struct key_group {
  group_rule rule;
  std::array<std::string_view, 6> names;  // empty ones fill it up

  std::vector<std::string_view> keys() const {
    std::vector<std::string_view> out;
    for (const std::string_view n : names) {
      if (!n.empty()) out.push_back(n);
    }
    return out;
  }
};

template <class Record>
struct record_table {
  std::string_view name;  // "segment", as the schema calls it
  std::string_view about;
  std::span<const key<Record>> keys;
  std::span<const key_group> groups{};
};

template <class T>
inline constexpr bool is_optional = false;
template <class T>
inline constexpr bool is_optional<std::optional<T>> = true;

/// What a field holds as JSON; nothing where it holds no more than a record has by itself.
template <auto Member, class Kind, class Record>
json written_field(const Record& from) {
  const auto& field = from.*Member;
  if constexpr (is_optional<std::decay_t<decltype(field)>>) {
    return field ? Kind::write(*field) : json();
  } else {
    return field == Record{}.*Member ? json() : Kind::write(field);
  }
}

/// A key that is one field, a value or an optional one.
template <class Record, auto Member, class Kind>
constexpr key<Record> field(std::string_view name, std::string_view meaning, std::string_view fallback = {},
                            bool needed = false) {
  void (*read_cell)(std::string_view, Record&) = nullptr;
  if constexpr (requires(std::string_view cell) { Kind::read(cell); })
    read_cell = [](std::string_view cell, Record& into) { into.*Member = Kind::read(cell); };
  return {.name = name,
          .needed = needed,
          .fallback = fallback,
          .meaning = meaning,
          .words = &Kind::words,
          .read = [](const json_node& value, Record& into) { into.*Member = Kind::read(value); },
          .read_cell = read_cell,
          .write = [](const Record& from) { return written_field<Member, Kind>(from); }};
}
/// The same, refused where it is missing, and always written.
template <class Record, auto Member, class Kind>
constexpr key<Record> needed(std::string_view name, std::string_view meaning) {
  key<Record> k = field<Record, Member, Kind>(name, meaning, {}, true);
  if constexpr (!is_optional<std::decay_t<decltype(std::declval<Record>().*Member)>>)
    k.write = [](const Record& from) { return Kind::write(from.*Member); };
  return k;
}

/// Refuses a group whose rule does not hold. `given(key)` tells what is there, `refuse(problem, expected)` refuses.
template <class Given, class Refuse>
void check_group(const key_group& group, Given given, Refuse refuse) {
  const std::vector<std::string_view> keys = group.keys();
  std::vector<std::string> there, all;
  for (const std::string_view k : keys) {
    all.push_back(in_quotes(k));
    if (given(k)) there.push_back(in_quotes(k));
  }
  const bool one_at_most = group.rule == group_rule::exactly_one || group.rule == group_rule::at_most_one;
  const bool one_at_least = group.rule == group_rule::exactly_one || group.rule == group_rule::at_least_one;
  if (one_at_most && there.size() > 1)
    refuse(fmt::format("{} are both given", fmt::join(there, " and ")), "one of them");
  if (one_at_least && there.empty()) refuse(fmt::format("neither {} is given", fmt::join(all, " nor ")), "one of them");
  if (group.rule == group_rule::all_or_none && !there.empty() && there.size() < keys.size())
    refuse(fmt::format("{} go together", fmt::join(all, " and ")), "both or neither");
}

/// Reads a record; `datum` makes a member's value of what stands at the key. Every key is tried, also after a refusal.
/// @return false if something was refused, and noted
template <class Record, class Datum>
bool read_record(const json_node& record, const record_table<Record>& table, Record& into, Datum datum) {
  std::vector<std::string_view> names;
  for (const key<Record>& k : table.keys) names.push_back(k.name);
  bool clean = record.go_on_after([&] { record.only(names); });
  if (!record.is_object()) return false;
  for (const key<Record>& k : table.keys) {
    const bool read = record.go_on_after([&] {
      const auto value = k.needed ? record.need(k.name) : record.find(k.name);
      if (value) k.read(datum(k.name, *value), into);
    });
    clean = clean && read;
  }
  for (const key_group& g : table.groups) {
    const bool holds = record.go_on_after([&] {
      check_group(
          g, [&](std::string_view k) { return record.find(k).has_value(); },
          [&](const std::string& problem, std::string_view expected) { record.refuse(problem, expected); });
    });
    clean = clean && holds;
  }
  return clean;
}
template <class Record>
bool read_record(const json_node& record, const record_table<Record>& table, Record& into) {
  return read_record(record, table, into, [](std::string_view, const json_node& value) { return value; });
}

/// The record as JSON, in the order of its keys. `datum` makes what stands at a key of its value.
template <class Record, class Datum>
json write_record(const Record& from, const record_table<Record>& table, Datum datum) {
  json out = json::object();
  for (const key<Record>& k : table.keys) {
    if (!k.write) continue;
    if (json value = k.write(from); !value.is_null()) out[std::string(k.name)] = datum(k.name, std::move(value));
  }
  return out;
}
template <class Record>
json write_record(const Record& from, const record_table<Record>& table) {
  return write_record(from, table, [](std::string_view, json value) { return value; });
}

/// A record inside another. `Table` is a function that gives its table.
template <class Record, const record_table<Record>& (*Table)()>
struct record_kind {
  using type = Record;
  static type read(const json_node& node) {
    Record r;
    read_record(node, Table(), r);
    return r;
  }
  static json write(const type& r) { return write_record(r, Table()); }
  static kind_words words() {
    const std::string name(Table().name);
    return {name, {}, {{"$ref", "#/$defs/" + name}}};
  }
};

/// What a cell of a key's kind becomes, told from its schema: nothing for what only JSON can hold.
std::optional<cell_kind> cell_kind_of(const json& schema, bool has_unit);

/// The columns by which a table can give a record.
template <class Record>
std::vector<cell_column> cell_columns(const record_table<Record>& table) {
  std::vector<cell_column> columns;
  for (const key<Record>& k : table.keys) {
    const kind_words w = k.words();
    if (const auto kind = cell_kind_of(w.schema, !w.head_unit.empty()))
      columns.push_back({k.name, *kind, w.head_unit, k.needed});
  }
  return columns;
}

/// What people are told of a record.
template <class Record>
record_words words_of_record(const record_table<Record>& table) {
  constexpr std::array<std::string_view, 4> rules{"exactly one of", "at least one of", "at most one of",
                                                  "all or none of"};
  record_words out{.name = table.name, .about = table.about};
  for (const key<Record>& k : table.keys) {
    kind_words w = k.words();
    const bool in_a_cell = cell_kind_of(w.schema, !w.head_unit.empty()).has_value();
    out.keys.push_back({k.name, std::move(w.kind), std::move(w.unit), k.needed, in_a_cell, std::move(w.head_unit),
                        k.fallback, k.meaning});
  }
  for (const key_group& g : table.groups) out.groups.push_back({g.keys(), rules[static_cast<std::size_t>(g.rule)]});
  return out;
}

/// The schema of a record (JSON Schema, draft 2020-12).
template <class Record>
json schema_of_record(const record_table<Record>& table) {
  json properties = json::object(), needed = json::array(), all = json::array();
  for (const key<Record>& k : table.keys) {
    json schema = k.words().schema;
    if (!schema.contains("$ref")) schema["description"] = k.meaning;
    properties[std::string(k.name)] = {{"anyOf", {std::move(schema), {{"type", "null"}}}}};
    if (k.needed) needed.push_back(k.name);
  }
  for (const key_group& g : table.groups) {
    json each = json::array();
    // A key of null is as good as missing.
    for (const std::string_view k : g.keys())
      each.push_back({{"required", {k}}, {"properties", {{std::string(k), {{"not", {{"type", "null"}}}}}}}});
    switch (g.rule) {
      case group_rule::exactly_one: all.push_back({{"oneOf", each}}); break;
      case group_rule::at_least_one: all.push_back({{"anyOf", each}}); break;
      case group_rule::at_most_one: all.push_back({{"not", {{"allOf", each}}}}); break;
      case group_rule::all_or_none:
        all.push_back({{"anyOf", {{{"allOf", each}}, {{"not", {{"anyOf", each}}}}}}});
        break;
    }
  }
  json out = {
      {"description", table.about}, {"type", "object"}, {"additionalProperties", false}, {"properties", properties}};
  if (!needed.empty()) out["required"] = needed;
  if (!all.empty()) out["allOf"] = all;
  return out;
}

}  // namespace coldgrease::inline v0::detail
