#include "coldgrease/plan/first_fleet.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <string_view>

#include "base/csv.hpp"
#include "coldgrease/base/date.hpp"
#include "coldgrease/grease/grease.hpp"
#include "coldgrease/plan/fleet.hpp"
#include "line/schedule.hpp"

namespace coldgrease::inline v0 {

namespace {

/// A cell in the units of both systems; one where the second is empty.
struct cell_text {
  std::string_view si;
  std::string_view us{};
};
/// The cells of a row by their columns. All of it is INVENTED.
using row_cells = std::map<std::string_view, cell_text>;

const row_cells grease_row{
    {"name", {"invented grease"}}, {"source", {"INVENTED"}}, {"nlgi", {"NLGI 0"}},
    {"thickener", {"lithium"}},    {"kv40", {"100"}},        {"kv100", {"13"}},
    {"pour", {"-45", "-49"}},      {"oil_type", {"pao"}},    {"price", {"6.50 EUR/kg", "3.20 USD/lb"}},
    {"pack", {"18", "40"}},        {"delivery", {"14"}}};
const row_cells installation_row{{"name", {"invented trailer"}},
                                 {"type", {"multi-outlet"}},
                                 {"available", {"200", "2900"}},
                                 {"rest", {"12"}},
                                 {"reservoir", {"1.2 L", "0.32 gal"}},
                                 {"interval", {"1"}},
                                 {"hours_per_day", {"10"}},
                                 {"days_per_week", {"5"}},
                                 {"lines_file", {"lines.csv"}}};
const row_cells line_row{{"installation", {"invented trailer"}},
                         {"point", {"brake cam left"}},
                         {"outlet", {"15", "220"}},
                         {"dose", {"0.15", "0.01"}},
                         {"in", {"10"}},
                         {"length", {"4.5", "15"}},
                         {"tube", {"6 mm x 1 mm", "1/4 in x 0.04 in"}}};
const row_cells route_row{
    {"name", {"invented route"}}, {"region", {"invented region"}},   {"installations", {"invented trailer"}},
    {"vehicles", {"5"}},          {"station", {"invented weather"}}, {"weather", {"weather.csv"}}};

/// A column of a table: a key of a record.
struct table_column {
  key_words key;
  std::string unit;   // in its head
  std::string given;  // whether it must be
};

/// The unit that people have at hand where the usual one of a quantity is another.
std::string unit_of(const key_words& k, unit_system units) {
  static const std::map<std::string_view, std::string_view> own{
      {"length", "m"}, {"elevation", "m"},  {"highest", "m"},    {"rest", "h"},       {"interval", "h"},
      {"lag", "h"},    {"utc_offset", "h"}, {"service", "days"}, {"delivery", "days"}};
  static const std::map<std::string_view, std::string_view> in_us{{"C", "F"},   {"m", "ft"},    {"mm", "in"},
                                                                  {"kg", "lb"}, {"bar", "psi"}, {"cm3", "in3"}};
  const auto at = own.find(k.key);
  const std::string usual = at == own.end() ? k.head_unit : std::string(at->second);
  const auto us = in_us.find(usual);
  return units == unit_system::si || us == in_us.end() ? usual : std::string(us->second);
}

std::vector<table_column> columns_of(std::initializer_list<std::string_view> records, unit_system units) {
  static const std::vector<record_words> all = fleet_records();
  std::vector<table_column> columns;
  for (const std::string_view name : records) {
    const record_words& record = *std::ranges::find(all, name, &record_words::name);
    for (const key_words& k : record.keys) {
      if (!k.in_a_cell) continue;
      std::string given = k.needed ? "yes" : "no";
      for (const group_words& g : record.groups) {
        if (std::ranges::find(g.keys, k.key) != g.keys.end())
          given = fmt::format("{} {}", g.rule, fmt::join(g.keys, ", "));
      }
      columns.push_back({k, unit_of(k, units), std::move(given)});
    }
  }
  return columns;
}

std::string row_of(const std::vector<std::string>& fields) {
  std::string out;
  for (const std::string& f : fields) out += (&f == fields.data() ? "" : ",") + detail::csv_field(f);
  return out + "\n";
}

std::string row_of(const std::vector<table_column>& columns, const row_cells& cells, unit_system units) {
  std::vector<std::string> row;
  for (const table_column& c : columns) {
    const auto cell = cells.find(c.key.key);
    const bool us = units == unit_system::us && cell != cells.end() && !cell->second.us.empty();
    row.emplace_back(cell == cells.end() ? "" : us ? cell->second.us : cell->second.si);
  }
  return row_of(row);
}

std::string head_of(const std::vector<table_column>& columns) {
  std::vector<std::string> heads;
  for (const table_column& c : columns)
    heads.push_back(std::string(c.key.key) + (c.unit.empty() ? "" : " [" + c.unit + "]"));
  return row_of(heads);
}

void explain(std::string_view table, const std::vector<table_column>& columns, std::string& into) {
  for (const table_column& c : columns)
    into += row_of({std::string(table), std::string(c.key.key), c.unit, c.given, c.key.kind, std::string(c.key.meaning),
                    std::string(c.key.fallback)});
}

/// Half a cosine a year, its coldest day in mid January, and a wave of some days.
std::string invented_weather(unit_system units) {
  const bool us = units == unit_system::us;
  const auto shown = [&](double c) { return us ? celsius(c).in_fahrenheit() : c; };
  std::string out = fmt::format(
      "# INVENTED days: put a weather file of your own in its place\ndate,tmin [{0}],tmax [{0}]\n", us ? "F" : "C");
  constexpr int year = 2024;
  const int first = day_number({year, 1, 1}), last = day_number({year, 12, 31});
  for (int day = first; day <= last; ++day) {
    const double of_year = (day - first - 15) / 366.0, wave = 4.0 * std::sin((day - first) * 0.8);
    const double mean = 4.0 - 16.0 * std::cos(2.0 * std::numbers::pi * of_year) + wave;
    out += fmt::format("{},{:.1f},{:.1f}\n", text_of(date_of(day)), shown(mean - 4.0), shown(mean + 4.0));
  }
  return out;
}

std::string fleet_text(bool invented_greases, bool invented_lines, std::string_view greases_name) {
  const std::string_view what = invented_greases && invented_lines ? "INVENTED first fleet"
                                : invented_greases                 ? "Own lines, all else INVENTED"
                                : invented_lines                   ? "Own greases, all else INVENTED"
                                                                   : "Own greases and lines, all else INVENTED";
  return fmt::format(R"({{
  "about": "{}: put your own rows into its tables.",
  "greases": "{}",
  "installations": "installations.csv",
  "routes": "routes.csv",
  "policy": {{ "confidence": 0.8, "fills": 2 }}
}}
)",
                     what, greases_name);
}

/// The installations that a schedule names; the invented one where it names none, or none is given.
std::vector<std::string> systems_of(const std::optional<source>& lines) {
  std::vector<std::string> names = lines ? detail::installations_in(*lines) : std::vector<std::string>();
  if (names.empty()) names.emplace_back(installation_row.at("name").si);
  return names;
}

}  // namespace

std::vector<fleet_part> first_fleet(const first_fleet_parts& parts) {
  const unit_system units = parts.units;
  const auto greases = columns_of({"grease"}, units), installations = columns_of({"installation"}, units),
             routes = columns_of({"route", "leg"}, units);
  std::vector<table_column> lines = columns_of({"line", "segment"}, units);
  lines.insert(lines.begin(), {{.key = "installation",
                                .kind = "name",
                                .in_a_cell = true,
                                .fallback = "all lines are of each installation that names the file",
                                .meaning = "that the line belongs to"},
                               {},
                               "no"});
  std::string columns = row_of({"table", "column", "unit", "must be given", "holds", "meaning", "if empty"});
  explain("greases.csv", greases, columns);
  explain("installations.csv", installations, columns);
  explain("lines.csv", lines, columns);
  explain("routes.csv", routes, columns);

  std::vector<fleet_part> out(2);
  std::string greases_name = "greases.csv";
  out[1].text = head_of(greases) + row_of(greases, grease_row, units);
  if (parts.greases) {
    read_greases(*parts.greases);
    out[1].text = parts.greases->read(file_kind::json).bytes;
    if (out[1].text.find_first_not_of(" \t\r\n") == out[1].text.find_first_of("[{")) greases_name = "greases.json";
  }
  out[0] = {"fleet.json", fleet_text(!parts.greases, !parts.lines, greases_name)};
  out[1].name = greases_name;

  const std::vector<std::string> systems = systems_of(parts.lines);
  std::string rows = head_of(installations);
  for (const std::string& name : systems) {
    row_cells own = installation_row;
    own["name"] = {name};
    rows += row_of(installations, own, units);
  }
  row_cells own_route = route_row;
  const std::string all_systems = fmt::format("{}", fmt::join(systems, " & "));
  own_route["installations"] = {all_systems};
  out.push_back({"installations.csv", std::move(rows)});
  out.push_back({"lines.csv", parts.lines ? parts.lines->read(file_kind::schedule).bytes
                                          : head_of(lines) + row_of(lines, line_row, units)});
  out.push_back({"routes.csv", head_of(routes) + row_of(routes, own_route, units)});
  out.push_back({"weather.csv", invented_weather(units)});
  out.push_back({"columns.csv", std::move(columns)});
  return out;
}

}  // namespace coldgrease::inline v0
