// A year drawn from left to right, and the stretches of it in which one fill is pumped.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

#include "coldgrease/climate/calendar.hpp"
#include "coldgrease/plan/dossier.hpp"

namespace coldgrease::inline v0::detail {

/// A year that begins where a season does.
struct year_line {
  season_start starts;
  /// Days from the left.
  int place(const day_of_year& d) const {
    const int origin = starts == season_start::july ? ordinal({7, 1}) : 0;
    return (ordinal(d) - origin + days_a_year) % days_a_year;
  }
};

/// A stretch of the year in which one fill is pumped; a fill that runs over the year's end has two.
struct stretch {
  int from = 0;  // days from the left
  int to = days_a_year;
  const season_sheet::step* step = nullptr;
};

inline std::vector<stretch> stretches_of(const season_sheet& s, const year_line& year) {
  std::vector<stretch> all;
  for (const season_sheet::step& step : s.steps) all.push_back({year.place(step.from), days_a_year, &step});
  std::ranges::sort(all, {}, &stretch::from);
  for (std::size_t i = 0; i + 1 < all.size(); ++i) all[i].to = all[i + 1].from;
  if (all.size() == 1) {
    all.front().from = 0;
  } else if (!all.empty() && all.front().from > 0) {
    all.insert(all.begin(), {0, all.front().from, all.back().step});
  }
  return all;
}

/// The longest stretch of a step: there it is named.
inline const stretch* longest_of(const std::vector<stretch>& all, const season_sheet::step& step) {
  const stretch* longest = nullptr;
  for (const stretch& t : all) {
    if (t.step == &step && (!longest || t.to - t.from > longest->to - longest->from)) longest = &t;
  }
  return longest;
}

}  // namespace coldgrease::inline v0::detail
