// A fleet: greases at hand, grease systems, routes with their weather, and how careful the owner wants to be.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/keys.hpp"
#include "coldgrease/base/money.hpp"
#include "coldgrease/base/words.hpp"
#include "coldgrease/climate/readers.hpp"
#include "coldgrease/climate/soak.hpp"
#include "coldgrease/grease/evidence.hpp"
#include "coldgrease/line/installation.hpp"
#include "coldgrease/line/readings.hpp"

namespace coldgrease::inline v0 {

/// The owner's own limit for summer: nothing softer than a class is pumped on days whose hottest hours are above a
/// temperature.
struct heat_limit {
  std::string nlgi{};
  temperature above = celsius(35.0);
  friend bool operator==(const heat_limit&, const heat_limit&) = default;
};

/// What the buyer counts beside the grease; nothing where not entered.
struct plan_costs {
  std::optional<money> changeover{};  // labour of one vehicle's change
  std::optional<money> starved{};     // of a winter in which a point of one vehicle runs dry
  friend bool operator==(const plan_costs&, const plan_costs&) = default;
};

/// What is preferred of all that passes. `stiffest`: fewest days with a hot caution, a further fill weighing as 30 of
/// them (judgement), fewest fills, the stiffest grease, the cheapest, the first name. `cheapest`: the year's money,
/// then the same.
enum class preference { stiffest, cheapest };
template <>
struct words_of<preference> {
  using enum preference;
  static constexpr std::string_view what = "preference";
  static constexpr word_for<preference> table[]{{stiffest, "stiffest"}, {cheapest, "cheapest"}};
};

/// What is done with the old grease at a change: the reservoir is emptied and refilled; the lines are pumped through as
/// well; or nothing, and both are used up.
enum class change_practice { emptied, purged, run_down };
template <>
struct words_of<change_practice> {
  using enum change_practice;
  static constexpr std::string_view what = "practice at a change";
  static constexpr word_for<change_practice> table[]{{emptied, "emptied"}, {purged, "purged"}, {run_down, "run down"}};
};

/// How careful to be, and how a year is cut.
struct policy {
  double confidence = usual_confidence;  // check_confidence
  double share = 0.01;         // of the hours of the 31 days around a day that may be colder than what it is judged at
  double return_years = 10.0;  // of the minimum shown beside it
  int fills = 2;               // most a year, 1 to 4
  preference prefer = preference::stiffest;
  duration carry_over = days(90);               // how long old grease lasts where it is not known
  double line_volumes = 1.0;                    // that must pass before the old grease counts as used up
  std::optional<change_practice> at_change{};   // nothing: emptied, and purged where that gives no answer
  std::optional<heat_limit> softest_in_heat{};  // none unless the owner enters one
  double risk = 0.1;                            // yearly, that cold comes before a change-over date
  plan_costs costs{};
  friend bool operator==(const policy&, const policy&) = default;
};

/// A part of a route, with a weather station.
struct leg {
  std::string station{};  // shown, and looked for in the file by id or name
  source weather{};       // of a file; empty where one of the next two stands for it
  std::string design{};   // station of tables/design_values.json, for a place without a weather file
  std::optional<coldgrease::weather> series{};  // at hand, for a program that has no file of it
  weather_options options{};
  coldgrease::soak soak{};            // what grease makes of the air there: nothing, unless entered
  std::optional<length> elevation{};  // of the station
  std::optional<length> highest{};    // point of the road
  std::optional<double> hours{};      // on this leg, a trip
  friend bool operator==(const leg&, const leg&) = default;
};

struct route {
  std::string name{};
  std::string region{};
  std::vector<leg> legs{};
  std::vector<std::size_t> installations{};  // indices into the fleet's
  int vehicles = 1;
  friend bool operator==(const route&, const route&) = default;
};

/// Vehicles coupled on one road that hold fills of their own, each a route of the fleet.
struct tow {
  std::string name{};
  std::vector<std::size_t> routes{};  // indices into the fleet's
  friend bool operator==(const tow&, const tow&) = default;
};

/// What is in an installation already.
struct kept_grease {
  std::size_t installation = 0;
  std::size_t grease = 0;
  friend bool operator==(const kept_grease&, const kept_grease&) = default;
};

struct fleet {
  std::string about{};  // what the file says of itself, shown above the answer
  std::vector<evidence> greases{};
  std::vector<installation> installations{};
  std::vector<route> routes{};
  std::vector<tow> tows{};  // of separate fills, of pools coupled to the routes they visit, and those of the file
  coldgrease::policy policy{};
  std::vector<kept_grease> keep{};      // what if it stays in: judged beside the plan
  source readings{};                    // a file of readings on running systems; empty where there is none
  std::vector<reading> taken{};         // those it holds
  std::vector<input_file> files{};      // those it was read from, itself first; weather files stand with their legs
  std::vector<std::string> left_out{};  // rows of its tables and readings, with file and line
};

/// Reads a fleet file (coldgrease-fleet(5)). File names inside it are relative to its folder.
/// @throws file_error naming the JSON pointer: the first refusal in the order of reading
fleet read_fleet(const source& file);

/// The same with every refusal: of the fleet file and of the greases and schedules that it names. What several keys of
/// a record must agree on is checked where each of them is well. Weather is not read.
struct fleet_reading {
  std::optional<coldgrease::fleet> fleet{};  // nothing if something was refused
  std::vector<file_error> problems{};        // in the order of reading
};
fleet_reading proofread_fleet(const source& file);

/// Takes the readings of a file in the place of a fleet's own. @throws file_error as read_readings
void take_readings(fleet& f, const source& file);

/// A fleet as the text of a fleet file that reads back equal: greases and lines in place, pools and separate fills as
/// routes of their own, file names as they are here, so for a file in the folder that they start from.
/// @throws input_error for what has no key in a file: weather in memory, the flow of a line, years of a weather file
std::string write_fleet(const fleet& f);

/// What the keys of a fleet file mean, a record after the other, the fleet first.
std::vector<record_words> fleet_records();
/// The same as a JSON Schema (draft 2020-12): what it refuses read_fleet refuses; what two records must agree on, and
/// what a quantity may be, it cannot say.
std::string fleet_schema();

/// @throws input_error for a confidence, share, number of fills, carry-over or line volumes out of range
void validate(const policy& p);
/// What the money of a fleet is: that of its prices and costs. Empty where there is none.
/// @throws input_error for two currencies
std::string currency_of(std::span<const evidence> greases, const policy& p);
/// @throws input_error naming what `cheapest` lacks: a price of every grease, the labour of a change
void need_prices(std::span<const evidence> greases, const policy& p);

}  // namespace coldgrease::inline v0
