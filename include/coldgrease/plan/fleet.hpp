// A fleet: greases at hand, grease systems, routes with their weather, and how careful the owner wants to be.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/climate/readers.hpp"
#include "coldgrease/climate/soak.hpp"
#include "coldgrease/grease/evidence.hpp"
#include "coldgrease/line/installation.hpp"

namespace coldgrease::inline v0 {

/// The owner's own limit for summer: nothing softer than a class in months whose hottest hours are above a temperature.
struct heat_limit {
  std::string nlgi{};
  temperature above = celsius(35.0);
};

/// What the buyer counts beside the grease, in the money of its prices; 0 where not entered.
struct plan_costs {
  double changeover = 0.0;  // of one vehicle
  double starved = 0.0;     // of a winter in which a point of one vehicle runs dry
};

/// How careful to be, and how a season is cut.
struct policy {
  double confidence = usual_confidence;         // check_confidence
  double share = 0.01;                          // of a month's hours that may be colder than its design temperature
  double return_years = 10.0;                   // of the minimum shown beside it
  int seasons = 2;                              // fills a year, 1 to 4 (pick shows two at most)
  duration carry_over = days(90);               // how long a fill lasts where it is not known
  std::optional<heat_limit> softest_in_heat{};  // none unless the owner enters one
  double risk = 0.1;                            // yearly, that cold comes before a change-over date
  plan_costs costs{};
};

/// A part of a route, with a weather station.
struct leg {
  std::string station{};  // shown, and looked for in the file
  std::string weather{};  // path of the file; empty where published design values stand for it
  std::string design{};   // station of tables/design_values.json, for a place without a weather file
  weather_options options{};
  coldgrease::soak soak{};            // what grease makes of the air there: nothing, unless entered
  std::optional<length> elevation{};  // of the station
  std::optional<length> highest{};    // point of the road
  std::optional<double> hours{};      // on this leg, a trip
};

struct route {
  std::string name{};
  std::string region{};
  std::vector<leg> legs{};
  std::vector<std::size_t> installations{};  // indices into the fleet's
  int vehicles = 1;
};

struct fleet {
  std::string about{};  // what the file says of itself, shown above the answer
  std::vector<evidence> greases{};
  std::vector<installation> installations{};
  std::vector<route> routes{};
  coldgrease::policy policy{};
  std::vector<std::string> files{};  // those it was read from, itself first; weather files stand with their legs
};

/// Reads a fleet file. File names inside it are relative to its folder. @throws file_error naming the JSON pointer
fleet read_fleet(const std::string& path);
/// The same from text; `name` stands for the file in errors and gives the folder.
fleet parse_fleet(std::string_view json, std::string_view name);

/// @throws input_error for a confidence, share, number of seasons or carry-over out of range
void validate(const policy& p);

}  // namespace coldgrease::inline v0
