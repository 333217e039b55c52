#include "coldgrease/plan/first_fleet.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <string_view>

#include "coldgrease/base/date.hpp"
#include "coldgrease/plan/fleet.hpp"

namespace coldgrease::inline v0 {

namespace {

/// The cells of a row by their columns. All of it is INVENTED.
using row_cells = std::map<std::string_view, std::string_view>;

const row_cells grease_row{{"name", "invented grease"},
                           {"source", "INVENTED"},
                           {"nlgi", "NLGI 0"},
                           {"thickener", "lithium"},
                           {"kv40", "100"},
                           {"kv100", "13"},
                           {"pour", "-45"},
                           {"oil_type", "pao"},
                           {"price", "6.50 EUR/kg"},
                           {"pack", "18"},
                           {"delivery", "14"}};
const row_cells installation_row{
    {"name", "invented trailer"}, {"type", "multi-outlet"}, {"available", "200"},    {"rest", "12"},
    {"reservoir", "1.2 L"},       {"interval", "1"},        {"hours_per_day", "10"}, {"days_per_week", "5"},
    {"lines_file", "lines.csv"}};
const row_cells line_row{{"installation", "invented trailer"},
                         {"point", "brake cam left"},
                         {"outlet", "15"},
                         {"dose", "0.15"},
                         {"in", "10"},
                         {"length", "4.5"},
                         {"tube", "6 mm x 1 mm"}};
const row_cells route_row{
    {"name", "invented route"}, {"region", "invented region"},   {"installations", "invented trailer"},
    {"vehicles", "5"},          {"station", "invented weather"}, {"weather", "weather.csv"}};

/// A column of a table: a key of a record.
struct table_column {
  key_words key;
  std::string unit;  // in its head
};

/// The unit that people have at hand where the usual one of a quantity is another.
std::string unit_of(const key_words& k) {
  static const std::map<std::string_view, std::string_view> own{
      {"length", "m"}, {"elevation", "m"},  {"highest", "m"},    {"rest", "h"},       {"interval", "h"},
      {"lag", "h"},    {"utc_offset", "h"}, {"service", "days"}, {"delivery", "days"}};
  const auto at = own.find(k.key);
  return at == own.end() ? k.head_unit : std::string(at->second);
}

std::vector<table_column> columns_of(std::initializer_list<std::string_view> records) {
  static const std::vector<record_words> all = fleet_records();
  std::vector<table_column> columns;
  for (const std::string_view name : records) {
    for (const key_words& k : std::ranges::find(all, name, &record_words::name)->keys) {
      if (k.in_a_cell) columns.push_back({k, unit_of(k)});
    }
  }
  return columns;
}

/// A field of a row (RFC 4180).
std::string csv_field(std::string_view text) {
  if (text.find_first_of(",;\"") == std::string_view::npos) return std::string(text);
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

std::string row_of(const std::vector<std::string>& fields) {
  std::string out;
  for (const std::string& f : fields) out += (&f == fields.data() ? "" : ",") + csv_field(f);
  return out + "\n";
}

std::string table_of(const std::vector<table_column>& columns, const row_cells& cells) {
  std::vector<std::string> heads, row;
  for (const table_column& c : columns) {
    heads.push_back(std::string(c.key.key) + (c.unit.empty() ? "" : " [" + c.unit + "]"));
    const auto cell = cells.find(c.key.key);
    row.emplace_back(cell == cells.end() ? "" : cell->second);
  }
  return row_of(heads) + row_of(row);
}

void explain(std::string_view table, const std::vector<table_column>& columns, std::string& into) {
  for (const table_column& c : columns)
    into += row_of({std::string(table), std::string(c.key.key), c.unit, c.key.needed ? "yes" : "no", c.key.kind,
                    std::string(c.key.meaning), std::string(c.key.fallback)});
}

/// Half a cosine a year, its coldest day in mid January, and a wave of some days.
std::string invented_weather() {
  std::string out = "# INVENTED days: put a weather file of your own in its place\ndate,tmin [C],tmax [C]\n";
  constexpr int year = 2024;
  const int first = day_number({year, 1, 1}), last = day_number({year, 12, 31});
  for (int day = first; day <= last; ++day) {
    const double of_year = (day - first - 15) / 366.0, wave = 4.0 * std::sin((day - first) * 0.8);
    const double mean = 4.0 - 16.0 * std::cos(2.0 * std::numbers::pi * of_year) + wave;
    out += fmt::format("{},{:.1f},{:.1f}\n", text_of(date_of(day)), mean - 4.0, mean + 4.0);
  }
  return out;
}

constexpr std::string_view fleet_text = R"({
  "about": "INVENTED first fleet: put your own rows into its tables.",
  "greases": "greases.csv",
  "installations": "installations.csv",
  "routes": "routes.csv",
  "policy": { "confidence": 0.8, "fills": 2 }
}
)";

}  // namespace

std::vector<fleet_part> first_fleet() {
  const auto greases = columns_of({"grease"}), installations = columns_of({"installation"}),
             routes = columns_of({"route", "leg"});
  std::vector<table_column> lines = columns_of({"line", "segment"});
  lines.insert(lines.begin(), {{.key = "installation",
                                .kind = "name",
                                .needed = true,
                                .in_a_cell = true,
                                .meaning = "that the line belongs to"},
                               {}});
  std::string columns = row_of({"table", "column", "unit", "must be given", "holds", "meaning", "if empty"});
  explain("greases.csv", greases, columns);
  explain("installations.csv", installations, columns);
  explain("lines.csv", lines, columns);
  explain("routes.csv", routes, columns);
  return {{"fleet.json", std::string(fleet_text)},
          {"greases.csv", table_of(greases, grease_row)},
          {"installations.csv", table_of(installations, installation_row)},
          {"lines.csv", table_of(lines, line_row)},
          {"routes.csv", table_of(routes, route_row)},
          {"weather.csv", invented_weather()},
          {"columns.csv", std::move(columns)}};
}

}  // namespace coldgrease::inline v0
