// The weather of a fleet's routes: each file read once, each leg at its road's height.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

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

/// Reads every weather file once and keeps it while a later leg still names it.
class weather_shelf {
 public:
  explicit weather_shelf(const fleet& f);
  route_weather take(const route& r);

 private:
  struct taken {
    std::shared_ptr<const year_climate> climate{}, recent{};
    bool just_read = false;  // for this leg, the first that names it
  };
  taken take(const leg& l);
  policy policy_;
  std::map<std::string, int> wanted_;
  std::map<std::string, taken> kept_;
};

/// The weather of one station that a program has at hand.
route_weather weather_at(const year_climate& year);

}  // namespace coldgrease::inline v0::detail
