// Answers as tables for a spreadsheet.
#include "coldgrease/report/sheet.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <string>

#include "coldgrease/grease/published_rules.hpp"
#include "coldgrease/plan/first_fleet.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

struct first_files : opener {
  std::map<std::string, std::string> files{};
  first_files() {
    for (const fleet_part& p : first_fleet()) files.emplace(p.name, p.text);
  }
  std::optional<std::string> open(const std::string& name) const override {
    const auto found = files.find(name);
    return found == files.end() ? std::nullopt : std::optional(found->second);
  }
};

constexpr date today{2026, 10, 1};

const sheet_cell& cell(const sheet& s, std::size_t row, std::string_view column) {
  const auto at = std::ranges::find(s.columns, column, &sheet_column::name);
  REQUIRE(at != s.columns.end());
  return s.rows.at(row)[static_cast<std::size_t>(at - s.columns.begin())];
}
double number(const sheet& s, std::size_t row, std::string_view column) {
  return std::get<double>(cell(s, row, column));
}

/// All sheets of the first fleet, in a system of units.
std::vector<sheet> all_sheets(unit_system units) {
  const first_files files;
  const fleet f = read_fleet(source::from(files, "fleet.json"));
  const auto stock = stock_of(f);
  const dossier d = dossier_of(f, stock, published_rules(), compatibility_charts());
  std::vector<sheet> all = sheets_of(d, f, stock, units, today);
  all.push_back(sheet_of(pick(f, stock, published_rules()), f.installations, stock, units));
  const line_sheet& l = d.lines.front();
  all.push_back(sheet_of(l.check.points.front().check, units));
  all.push_back(sheet_of(describe(read_weather(f.routes[0].legs[0].weather)), units));
  const std::vector<std::size_t> own{0};
  all.push_back(
      sheet_of(compare(f, stock, own, {}, published_rules(), compatibility_charts()), f.installations, units));
  installation offered = f.installations[0];
  offered.elements = {cm3(0.1), cm3(0.2)};
  offered.intervals = {hour(1.0), hour(2.0)};
  offered.lines[0].needs = point_need{.volume = cm3(1.0)};
  all.push_back(sheet_of(choose_doses(offered, stock[0], celsius(-5.0)), offered, stock[0], units));
  return all;
}

}  // namespace

TEST_CASE("case: a table as text: quotes where they must be, nothing that a spreadsheet would run") {
  const sheet s{"s",
                {{"name"}, {"mass", "kg"}, {"day"}},
                {{std::string("a, \"b\""), 1.0 / 3.0, date{2026, 1, 5}},
                 {std::string("=1+2"), 12345678901.0, std::monostate{}},
                 {std::string("-x"), -2.5, std::monostate{}}}};
  CHECK(to_csv(s) ==
        "name,mass [kg],day\n"
        "\"a, \"\"b\"\"\",0.3333333333,2026-01-05\n"
        "'=1+2,1.23456789e+10,\n"
        "'-x,-2.5,\n");
}

// One grease all year in a reservoir that holds more than it takes: nothing is to be done on any day.
TEST_CASE("law: every row of every sheet has a cell for each column, and all but the calendar have rows") {
  for (const unit_system units : {unit_system::si, unit_system::us}) {
    for (const sheet& s : all_sheets(units)) {
      CAPTURE(s.name);
      CHECK(s.rows.empty() == (s.name == "calendar"));
      for (const auto& row : s.rows) CHECK(row.size() == s.columns.size());
    }
  }
}

// 1 lb = 0.45359237 kg exactly (international pound, 1959); F = 1.8 C + 32.
TEST_CASE("law: the two systems of units differ by their factors alone, and say so in the heads") {
  const auto si = all_sheets(unit_system::si), us = all_sheets(unit_system::us);
  REQUIRE(si.size() == us.size());
  const auto named = [](const std::vector<sheet>& all, std::string_view name) {
    return *std::ranges::find(all, name, &sheet::name);
  };
  const sheet order_si = named(si, "order"), order_us = named(us, "order");
  CHECK(near(number(order_us, 0, "to buy") * 0.45359237, number(order_si, 0, "to buy"), 1e-12));
  CHECK(order_si.columns[4].head() == "to buy [kg]");
  CHECK(order_us.columns[4].head() == "to buy [lb]");
  const sheet lines_si = named(si, "lines"), lines_us = named(us, "lines");
  CHECK(near(number(lines_us, 0, "at"), 1.8 * number(lines_si, 0, "at") + 32.0, 1e-12));
  CHECK(near(number(lines_us, 0, "available") * 6894.757293168361, number(lines_si, 0, "available") * 1e5, 1e-12));
  CHECK(near(number(lines_us, 0, "longest") * 0.3048, number(lines_si, 0, "longest"), 1e-12));
  for (std::size_t s = 0; s < si.size(); ++s) {
    REQUIRE(si[s].rows.size() == us[s].rows.size());
    for (std::size_t c = 0; c < si[s].columns.size(); ++c) CHECK(si[s].columns[c].name == us[s].columns[c].name);
  }
}

// 29 February is no day of a plan: a fill over it ends on the day that every other answer names.
TEST_CASE("law: a fill ends on the day before the next one begins, in a leap year as in any other") {
  const std::vector<grease> stock{estimate({.name = "g", .nlgi = "0", .kv40 = mm2_per_s(100), .kv100 = mm2_per_s(13)})};
  const season winter{ordinal({9, 4}), 214}, summer{ordinal({4, 6}), 151};
  plan_answer plan;
  plan.routes.emplace_back().pick.decided.fills = {{.days = winter}, {.days = summer}};
  plan.routes.emplace_back().pick.decided.fills = {{.days = {}}};
  for (const int year : {2025, 2026, 2027, 2028}) {
    const sheet s = sheet_of(plan, {}, stock, unit_system::si, {year, 5, 1});
    CHECK(std::get<date>(cell(s, 0, "from")) == date{year, 9, 4});
    CHECK(std::get<date>(cell(s, 0, "to")) == date{year + 1, 4, 5});
    CHECK(std::get<date>(cell(s, 1, "from")) == date{year + 1, 4, 6});
    CHECK(std::get<date>(cell(s, 1, "to")) == date{year + 1, 9, 3});
    CHECK(std::holds_alternative<std::monostate>(cell(s, 2, "from")));
    CHECK(std::holds_alternative<std::monostate>(cell(s, 2, "to")));
  }
}
