// The one decision of every command: which fills a route's year is made of, from which day, and what that costs.
#pragma once

#include <optional>
#include <vector>

#include "coldgrease/base/money.hpp"
#include "coldgrease/base/words.hpp"
#include "coldgrease/grease/grease.hpp"
#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/plan/season.hpp"

namespace coldgrease::inline v0 {

/// What the day of a change stands on: the earlier (into the cold) or the later (out of it) of the first two.
enum class date_basis {
  whole_year,  // no change
  pentads,     // the coldest `share` of hours of the 31 days around each day
  risk,        // in one year of 1/risk the cold comes before it, or after it
  record,      // fewer than 10 winters: the earliest, or the latest, that was
  heat         // no cold asks for the change: days too hot for a grease end or begin
};
template <>
struct words_of<date_basis> {
  using enum date_basis;
  static constexpr std::string_view what = "basis of a date";
  static constexpr word_for<date_basis> table[]{
      {whole_year, "whole year"}, {pentads, "pentads"}, {risk, "risk"}, {record, "record"}, {heat, "heat"}};
};

/// A fill: pumped on its days, judged for cold until the last of it is used up. Every figure is of these days.
struct fill {
  season days{};
  std::size_t grease = 0;     // index into the stock
  double chance = 0.0;        // the smallest
  bool settling = false;      // that is of its first days, in bores 5 % smaller, while old grease is at the walls
  temperature_step margin{};  // the least: of what it is judged at over what it stands
  temperature margin_at = celsius(0);  // what it is judged at there
  temperature coldest = celsius(0);    // what it is judged at on the coldest of its days
  date_basis basis = date_basis::whole_year;
  std::optional<temperature> limit{};   // the cold that its first day is about
  std::optional<day_of_year> recent{};  // that day by the last 30 years alone, where the record is longer
  std::vector<int> hot_months{};        // with days that are hot for so soft a grease: a caution
  int hot_days = 0;                     // pumped or standing on so many of them
  std::optional<mass> pumped{};         // by one vehicle on its days; nothing where doses or intervals are not known
  std::optional<mass> at_change{};      // that fills reservoir and lines beside it; nothing where not known

  /// All of it that a vehicle takes.
  std::optional<mass> per_vehicle() const {
    return pumped && at_change ? std::optional(*pumped + *at_change) : std::nullopt;
  }
};

/// The money of a route's year, all its vehicles: rows that add up. Nothing where a price or a dose is missing.
struct year_money {
  double grease = 0.0;           // whole packs where the pack is known
  double labour = 0.0;           // of the changes
  std::optional<double> risk{};  // beside it, never in the sum: (1 - chance) times what a starved winter costs
  double sum() const { return grease + labour; }
};

/// A route's year.
struct choice {
  std::vector<fill> fills{};  // the softest first; empty: nothing passes
  change_practice practice = change_practice::emptied;
  duration carry_over{};  // how long the old grease lasts after a change, by that practice
  int hot_days = 0;
  std::optional<year_money> money{};

  bool served() const { return !fills.empty(); }
};

/// Above these the hottest share of hours makes a caution of a soft grease: judgement, no source. NLGI 00 and 000, and
/// NLGI 0; one of unknown class counts as the softest. @return nothing for a stiffer grease
std::optional<temperature> hot_caution(const grease& g);

}  // namespace coldgrease::inline v0
