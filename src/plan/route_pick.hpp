// One route decided: its fills, and the months as a view of its pentads; shared by every command.
#pragma once

#include <optional>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "base/parallel.hpp"
#include "plan/sequences.hpp"

namespace coldgrease::inline v0::detail {

/// What a decision is asked for.
struct asked_route {
  std::string name{};
  std::string region{};
  int vehicles = 1;
};

/// A route decided, with what stands behind it for whoever asks on.
struct decided_route {
  route_pick pick{};
  route_year year{};
  std::vector<sequence> sequences{};  // all that pass
};

/// A text that is equal for two routes that ask the same. @param weather  weather_shelf::key
std::string question_of(const route& r, const std::string& weather);

decided_route decide(const fleet_limits& f, const asked_route& asked, std::vector<std::size_t> installations,
                     route_weather weather);

/// Decides every route of a fleet and hands over what `make` makes of each decision: the same for any number of
/// threads. Routes that ask the same, of the same weather for the same systems and vehicles, are decided once, and
/// share all but their names.
/// @param put  is called once for each route, with its number and what was made, by several threads; puts it where it
///             stays and gives the route_pick in it  @param jobs  threads that decide and make; 0: one a core
template <class Make, class Put>
void for_each_route(const fleet& f, const fleet_limits& limits, const progress& listener, int jobs, Make make,
                    Put put) {
  weather_shelf shelf(f);
  std::vector<std::string> keys;
  std::set<std::string> asked;
  made_once<std::string, decltype(make(decided_route()))> made;
  for (std::size_t r = 0; r < f.routes.size(); ++r) {
    keys.push_back(question_of(f.routes[r], shelf.key(r)));
    made.announce(keys.back());
    if (asked.insert(keys.back()).second) shelf.announce(r);
  }
  for_each_index(
      f.routes.size(), jobs,
      [&](std::size_t i) {
        const route& r = f.routes[i];
        route_pick& own = put(i, made.get(keys[i], [&] {
          return make(decide(limits, {r.name, r.region, r.vehicles}, r.installations, shelf.take(i)));
        }));
        own.route = r.name;
        own.region = r.region;
      },
      [&](std::size_t done) {
        if (listener.tell) listener.tell(listener.listener, done, f.routes.size());
      });
}

/// Every grease of the stock.
std::vector<std::size_t> whole_stock(const fleet_limits& f);
/// The fill that is pumped on a day.
const fill* pumped_on(const choice& c, int day);
/// The days on which a fill is pumped, or what is left of it may stand in the lines.
season standing(const choice& c, const fill& made);

}  // namespace coldgrease::inline v0::detail
