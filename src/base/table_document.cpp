// Tables of records as JSON values: one reader for both, and each refusal with its line and column.
#include <algorithm>
#include <charconv>
#include <nlohmann/json.hpp>

#include "base/blanks.hpp"
#include "base/csv.hpp"
#include "base/format.hpp"
#include "base/record.hpp"
#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

std::optional<cell_kind> cell_kind_of(const json& schema, bool has_unit) {
  if (schema.contains("anyOf")) {
    for (const json& choice : schema["anyOf"]) {
      // One of the choices may be a word alone, which has no unit: "none" beside "12 h".
      if (const auto kind = cell_kind_of(choice, has_unit)) return kind;
    }
    return std::nullopt;
  }
  if (schema.contains("enum") || schema.contains("const")) return has_unit ? cell_kind::quantity : cell_kind::text;
  const std::string type = schema.value("type", "");
  if (type == "string") return has_unit ? cell_kind::quantity : cell_kind::text;
  if (type == "number") return cell_kind::number;
  if (type == "boolean") return cell_kind::yes_or_no;
  if (type == "array" && schema.contains("items") && cell_kind_of(schema["items"], false)) return cell_kind::list;
  return std::nullopt;
}

namespace {

/// A column that stands in a table.
struct found_column {
  const cell_column* of = nullptr;
  std::optional<std::size_t> at{};
};

/// Parts stand between ampersands with blanks around them: "R&D" is one.
json list_of(std::string_view cell) {
  constexpr std::string_view between = " & ";
  json list = json::array();
  while (true) {
    const auto end = cell.find(between);
    list.push_back(std::string(trimmed(cell.substr(0, end))));
    if (end == std::string_view::npos) return list;
    cell.remove_prefix(end + between.size());
  }
}

/// The value that a cell stands for, as the key's own reader takes it from JSON.
json value_of(const csv_rows& rows, const found_column& c, std::string_view cell) {
  const auto refuse = [&](std::string_view expected) {
    throw file_error(rows.place(*c.at), in_quotes(cell), expected);
  };
  switch (c.of->kind) {
    case cell_kind::text: break;
    case cell_kind::quantity:
      if (to_number(cell)) return std::string(cell) + " " + rows.unit_of(*c.at);
      // A word, such as none, has no unit; what has digits has one that is not the column's.
      if (cell.find_first_of("0123456789") != std::string_view::npos)
        refuse("a number in " + rows.unit_of(*c.at) + ", as the column");
      break;
    case cell_kind::number:
      if (const auto number = to_number(cell)) return *number;
      refuse("a number with a decimal point");
      break;
    case cell_kind::yes_or_no:
      // A spreadsheet writes TRUE and FALSE.
      if (const std::string word = in_lower_case(cell); word == "yes" || word == "true") return true;
      if (const std::string word = in_lower_case(cell); word == "no" || word == "false") return false;
      refuse("yes or no");
      break;
    case cell_kind::list: return list_of(cell);
  }
  return std::string(cell);
}

}  // namespace

void json_document::parse_table(std::string_view text, const table_shape& shape) {
  csv_rows rows(text, file_.name());
  std::vector<found_column> own, of_part;
  std::vector<wanted_column> wanted;
  std::string expected;
  const auto look_for = [&](const std::vector<cell_column>& columns, std::vector<found_column>& found) {
    found.reserve(columns.size());  // the table's columns are written into its elements
    for (const cell_column& c : columns) {
      found_column& at = found.emplace_back(found_column{&c, {}});
      const bool has_unit = c.kind == cell_kind::quantity;
      wanted.push_back({.names = {std::string(c.key)},
                        .found = &at.at,
                        .needed = c.needed,
                        .with_unit = has_unit,
                        .number = c.kind == cell_kind::number,
                        .keeps_row = &columns == &shape.part_columns});  // a part must not vanish with its name
      expected += fmt::format("{}{}{}", expected.empty() ? "" : ", ", c.key, has_unit ? " [" + c.unit + "]" : "");
    }
  };
  look_for(shape.columns, own);
  look_for(shape.part_columns, of_part);
  rows.find(wanted, other_columns::refused, expected);
  places_ = std::make_unique<table_places>(table_places{.parts = shape.parts});
  for (const auto* columns : {&own, &of_part}) {
    for (const found_column& c : *columns) {
      if (c.at) places_->heads.emplace(c.of->key, rows.header()[*c.at]);
    }
  }
  json records = json::array();
  std::vector<std::string_view> fields;
  const auto take = [&](const std::vector<found_column>& columns, const std::string& pointer, json& into) {
    for (const found_column& c : columns) {
      if (!c.at || fields[*c.at].empty()) continue;
      const std::string key(c.of->key);
      try {
        json value = value_of(rows, c, fields[*c.at]);
        const auto before = into.find(key);
        if (before != into.end() && *before != value)
          throw file_error(rows.place(*c.at), in_quotes(fields[*c.at]) + " differs from another row of this name",
                           "what belongs to all rows of a name in the first of them, or alike in each");
        into[key] = std::move(value);
      } catch (const file_error& refused) {
        into[key] = json(json::value_t::discarded);
        places_->refused.emplace(pointer + "/" + key, refused);
      }
    }
  };
  const auto name = std::ranges::find(own, std::string_view("name"), [](const found_column& c) { return c.of->key; });
  const auto goes_on = [&] {
    if (shape.parts.empty() || records.empty() || name == own.end() || !name->at) return false;
    const auto before = records.back().find("name");
    return before != records.back().end() && before->is_string() && *before == fields[*name->at];
  };
  bool some = false;
  for (bool more = true; more;) {
    noted_.go_on_after([&] {
      more = rows.next(fields);
      if (!more) return;
      some = true;
      if (!goes_on()) {
        records.push_back(json::object());
        places_->lines.emplace_back();
      }
      places_->lines.back().push_back(rows.line());
      const std::string pointer = fmt::format("/{}", records.size() - 1);
      take(own, pointer, records.back());
      if (shape.parts.empty()) return;
      json& parts = records.back()[std::string(shape.parts)];
      parts.push_back(json::object());
      take(of_part, fmt::format("{}/{}/{}", pointer, shape.parts, parts.size() - 1), parts.back());
    });
    some = some || more;  // a row of another width was one as well
  }
  left_out_ = rows.remarks();
  if (!some) throw file_error(file_.name(), "holds no rows", "rows below the header");
  value_ = std::make_unique<json>(std::move(records));
}

const file_error& json_document::refused_at(const std::string& pointer) const { return places_->refused.at(pointer); }

place json_document::place_of(const std::string& pointer) const {
  place where{.file = file_.name()};
  if (!places_) {
    where.pointer = pointer;
    return where;
  }
  // "/2/legs/0/station": the third record, its first part.
  std::vector<std::string_view> words;
  for (std::string_view rest = pointer; !rest.empty();) {
    rest.remove_prefix(1);
    words.push_back(rest.substr(0, rest.find('/')));
    rest.remove_prefix(words.back().size());
  }
  const auto index = [](std::string_view word) {
    std::size_t i = 0;
    std::from_chars(word.data(), word.data() + word.size(), i);
    return i;
  };
  if (words.empty()) return where;
  const std::vector<std::size_t>& lines = places_->lines[index(words[0])];
  const bool in_part = words.size() > 2 && words[1] == places_->parts;
  where.line = in_part ? lines[index(words[2])] : lines.front();
  const std::size_t key = in_part ? 3 : 1;
  if (key >= words.size()) return where;
  if (const auto head = places_->heads.find(words[key]); head != places_->heads.end()) where.field = head->second;
  return where;
}

}  // namespace coldgrease::inline v0::detail
