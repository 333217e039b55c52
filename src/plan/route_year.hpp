// One route's year: what each pentad is judged at, and on which of them each grease may be pumped and may stand.
#pragma once

#include <array>
#include <bitset>
#include <optional>
#include <vector>

#include "coldgrease/climate/seasons.hpp"
#include "coldgrease/plan/season.hpp"
#include "plan/fleet_limits.hpp"
#include "plan/weather_shelf.hpp"

namespace coldgrease::inline v0::detail {

using pentads = std::bitset<pentads_a_year>;

/// Those that hold a day of a season.
pentads pentads_in(const season& s);

/// The runs of days of some pentads, in their order from a day on; all of them are one whole year.
std::vector<season> spans_of(const pentads& where, int origin);

/// When the cold comes that a grease cannot stand, or when it is over: a day of the year.
struct cold_date {
  int day = 0;  // days since the year's warm end (route_year::origin)
  date_basis basis = date_basis::pentads;
};

/// A grease through the year of a route.
struct grease_year {
  std::optional<temperature> coldest{};   // air in which it passes everywhere on the route
  std::optional<temperature> settling{};  // the same until a second volume of it has passed
  pentads stands{};                       // warm enough for it
  pentads settles{};                      // warm enough while it settles
  pentads allowed{};                      // nothing bars it from being pumped
  pentads tail{};                         // nothing but the owner's limit of the heat bars what is left of it
  pentads hot{};                          // a caution: hot for so soft a grease
  std::optional<cold_date> cold_from{};   // the last of it must be gone by then
  std::optional<cold_date> warm_from{};   // it may be pumped from then on
  std::optional<int> recent_cold{};       // the same two by the last 30 years alone, where a record is longer
  std::optional<int> recent_warm{};
};

/// How long things take after a change, by what is done with the old grease; whole days, rounded up.
struct change_times {
  int carry = 0;   // until the last of the old grease is used up
  int settle = 0;  // until a second volume of the new one has passed
};

struct route_year {
  std::vector<std::size_t> installations{};
  route_weather weather{};
  judged_year pentads{};  // cold on the coldest leg at its road's height, hot on the hottest
  bool by_design_values = false;
  season_start starts = season_start::july;
  std::vector<grease_year> greases{};
  int way = 0;                           // from the pump to the last point [days]; no fill is shorter
  std::array<change_times, 3> change{};  // by change_practice

  int origin() const { return starts == season_start::july ? ordinal({7, 1}) : 0; }
  const change_times& at(change_practice p) const { return change[static_cast<std::size_t>(p)]; }
  std::size_t coldest_pentad() const;
};

/// Judges every grease on every pentad, through the limits of the installations.
route_year year_of_route(const fleet_limits& f, std::vector<std::size_t> installations, route_weather weather);

}  // namespace coldgrease::inline v0::detail
