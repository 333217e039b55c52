// One route decided: its fills, and the months as a view of its pentads; shared by every command.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

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

decided_route decide(const fleet_limits& f, const asked_route& asked, std::vector<std::size_t> installations,
                     route_weather weather);

/// Decides every route of a fleet in order; each weather file is read once and kept only while a later leg names it.
using take_route = std::function<void(const route&, decided_route&&)>;
void for_each_route(const fleet& f, const fleet_limits& limits, const progress& listener, std::size_t steps,
                    const take_route& take);

/// Tells a listener, if there is one, of each step of a long answer.
class progress_steps {
 public:
  progress_steps(const progress& listener, std::size_t all, std::size_t done = 0)
      : listener_(listener), all_(all), done_(done) {}
  void next() {
    ++done_;
    if (listener_.tell) listener_.tell(listener_.listener, done_, all_);
  }

 private:
  progress listener_;
  std::size_t all_, done_;
};

/// Every grease of the stock.
std::vector<std::size_t> whole_stock(const fleet_limits& f);
/// The fill that is pumped on a day.
const fill* pumped_on(const choice& c, int day);
/// The days on which a fill is pumped, or what is left of it may stand in the lines.
season standing(const choice& c, const fill& made);

}  // namespace coldgrease::inline v0::detail
