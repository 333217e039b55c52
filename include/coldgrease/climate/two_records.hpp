// Two weather files side by side: what differs, and which is the safer to plan with.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "coldgrease/base/words.hpp"
#include "coldgrease/climate/describe.hpp"

namespace coldgrease::inline v0 {

/// One of the two.
struct record_side {
  std::string called{};      // its station; its file where one or both have no other name; else "first", "second"
  std::string file{};        // empty for a series at hand
  climate_answer climate{};  // all that is said of it alone
  double missing = 0.0;      // share of the days, or hours, between its ends
  std::optional<temperature> coldest{};  // what a plan judges its coldest days at (year_of); nothing where a month
  std::optional<temperature> hottest{};  // is missing, for then no plan can be made
};

/// The colder side of winter, by what a plan judges the coldest days at.
enum class safer_record { first, second, alike };
template <>
struct words_of<safer_record> {
  using enum safer_record;
  static constexpr std::string_view what = "";
  static constexpr word_for<safer_record> table[]{{first, "first"}, {second, "second"}, {alike, "alike"}};
};

/// A month that both have.
struct month_pair {
  int month = 1;
  temperature first = celsius(0), second = celsius(0);  // the coldest 1 % of hours lies below
  temperature_step step{};                              // second less first
};

/// Daily minima of days that both have, second less first.
struct common_days {
  int days = 0;
  temperature_step mean{};
  temperature_step coldest_tenth{};  // the mean over the coldest tenth of these days, by the mean of both
};

struct record_comparison {
  record_side first{}, second{};
  safer_record safer = safer_record::alike;
  std::optional<temperature_step> step{};  // of what the coldest days are judged at, second less first
  std::vector<month_pair> months{};
  std::optional<common_days> common{};  // of real years, from 30 days on
  std::vector<std::string> notes{};     // what else speaks for one of them, or against the comparison
};

/// A difference below this is of the rounding, not of the place.
inline constexpr double alike_within = 0.05;  // [K]

/// @param share  of hours, as in year_of  @throws input_error as describe()
/// Test: tests/climate/two_records.cpp
record_comparison compare_records(const weather& first, const weather& second,
                                  std::optional<temperature> limit = std::nullopt, const season_options& options = {},
                                  double share = 0.01);

}  // namespace coldgrease::inline v0
