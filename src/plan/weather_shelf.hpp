// The weather of a fleet's routes: each file read once, each leg at its road's height.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "base/parallel.hpp"
#include "coldgrease/base/temperature.hpp"
#include "coldgrease/climate/year_climate.hpp"
#include "coldgrease/plan/fleet.hpp"

namespace coldgrease::inline v0::detail {

/// A leg with its weather and what the road's height adds.
struct leg_climate {
  std::string station{};
  std::shared_ptr<const year_climate> climate{};
  std::shared_ptr<const year_climate> recent{};  // its last 30 years alone, where it has more
  temperature_step shift{};                      // of the road's height, 0 or below
  std::optional<double> hours{};                 // a trip spends on it
};

struct route_weather {
  std::vector<leg_climate> legs{};
  std::vector<std::string> notes{};    // what readers left out or assumed, and what the weather cannot tell
  std::vector<std::string> missing{};  // what nobody stated and the answer hangs on
};

/// What tells the weather of a leg from that of others: two of one key are the same.
std::string key_of(const leg& l);
/// The weather of a leg, with what grease makes of it (soak). @throws file_error, input_error
weather weather_of(const leg& l);
/// "plain depot (northern_plain.csv)"; the file alone where nobody names the station.
std::string station_and_file(const std::string& station, const source& file);

/// Reads the weather of routes, for any number of threads: each file once, and it is kept while a leg of another route
/// still needs it.
class weather_shelf {
 public:
  explicit weather_shelf(const fleet& f);
  /// A text that is equal for two routes of the same weather, notes and all.
  const std::string& key(std::size_t route) const { return keys_[route]; }
  /// Says before any take() that a route's weather will be taken.
  void announce(std::size_t route);
  /// Once a route that was announced.
  route_weather take(std::size_t route);

 private:
  struct judged {
    std::shared_ptr<const year_climate> climate{}, recent{};
  };
  judged take(const leg& l);

  const fleet& fleet_;
  std::vector<std::string> keys_;            // of each route
  std::vector<std::vector<char>> is_first_;  // [route][leg] to name its weather: what was left out is told there
  made_once<std::string, judged> read_;
};

/// The weather of one station that a program has at hand.
route_weather weather_at(const year_climate& year);

}  // namespace coldgrease::inline v0::detail
