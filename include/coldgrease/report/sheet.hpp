// Answers as tables for a spreadsheet: numbers as numbers, their units in the heads.
#pragma once

#include <span>
#include <string>
#include <variant>
#include <vector>

#include "coldgrease/base/date.hpp"
#include "coldgrease/base/ranges.hpp"
#include "coldgrease/climate/describe.hpp"
#include "coldgrease/line/doses.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/line.hpp"
#include "coldgrease/plan/compare.hpp"
#include "coldgrease/plan/dossier.hpp"
#include "coldgrease/plan/pick.hpp"
#include "coldgrease/plan/plan.hpp"
#include "coldgrease/report/text.hpp"

namespace coldgrease::inline v0 {

/// Nothing where no such value exists, a text, a number in the unit of its column, or a day.
using sheet_cell = std::variant<std::monostate, std::string, double, date>;

struct sheet_column {
  std::string name{};
  std::string unit{};   // empty: none
  bool summed = false;  // a sum of the column means something
  /// "to buy [kg]".
  std::string head() const { return unit.empty() ? name : name + " [" + unit + "]"; }
  friend bool operator==(const sheet_column&, const sheet_column&) = default;
};

/// A table; every row has as many cells as there are columns.
struct sheet {
  std::string name{};
  std::vector<sheet_column> columns{};
  std::vector<std::vector<sheet_cell>> rows{};
};

/// Comma-separated text (RFC 4180, but for its ends of lines: "\n"), a row of heads first; a number of ten digits with
/// a decimal point, a day as 2015-01-26. A text that a spreadsheet would run as a formula (= + - @ first) begins with
/// an apostrophe.
std::string to_csv(const sheet& s);

// What the answers' indices point into stands beside them, as for text and JSON. Names of greases and points as they
// are given; verdicts and reasons in the words of the text.

/// A row a route and month.
sheet sheet_of(const pick_answer& answer, std::span<const installation> installations, std::span<const grease> stock,
               unit_system units);
/// A row a fill of each route; of a route that no grease serves one without a grease.
/// @param today  its days are those of the twelve months from then on
sheet sheet_of(const plan_answer& answer, std::span<const installation> installations, std::span<const grease> stock,
               unit_system units, const date& today);
/// The purchase: a row a grease and region, with the kilograms of each month.
sheet order_sheet(const plan_answer& answer, std::span<const grease> stock, unit_system units, const date& today);
/// One line.
sheet sheet_of(const line_answer& answer, unit_system units);
/// A row a line, worst first.
sheet sheet_of(const installation_answer& answer, const installation& i, const grease& g, unit_system units);
/// A row a setting of the timer and point.
sheet sheet_of(const dose_answer& answer, const installation& i, const grease& g, unit_system units);
/// A row a route and offer.
sheet sheet_of(const compare_answer& answer, std::span<const installation> installations, unit_system units);
/// A row a month.
sheet sheet_of(const climate_answer& answer, unit_system units);

/// The sheets of a workbook: decision, order, calendar, lines, evidence, assumptions.
std::vector<sheet> sheets_of(const dossier& d, const fleet& f, std::span<const grease> stock, unit_system units,
                             const date& today);

}  // namespace coldgrease::inline v0
