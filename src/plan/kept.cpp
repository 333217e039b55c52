#include "plan/kept.hpp"

#include <algorithm>
#include <array>
#include <numeric>

#include "coldgrease/climate/statistics.hpp"
#include "plan/route_pick.hpp"
#include "plan/sequences.hpp"
#include "plan/supply.hpp"

namespace coldgrease::inline v0::detail {

/// Hours a year on the days of a season that are colder than a limit at a station, by month.
std::optional<by_month<double>> hours_below(const year_climate& climate, temperature at_station, const season& days) {
  daily_limits limits;
  limits.fill(kelvin(0.0).in_celsius());
  days.for_each_day([&](int day) { limits[static_cast<std::size_t>(day)] = at_station.in_celsius(); });
  const auto below = below_by_month(climate.series, limits);
  if (!below) return std::nullopt;
  by_month<double> hours{};
  for (std::size_t m = 0; m < hours.size(); ++m) hours[m] = (*below)[m].hours_a_year;
  return hours;
}

double sum(const by_month<double>& all) { return std::accumulate(all.begin(), all.end(), 0.0); }

namespace {

/// On which pentads what is kept fails: of one installation, by its own grease.
struct failing {
  pentads cold{}, barred{};
};
failing failing_in(const fleet_limits& f, const route_year& y, const kept_grease& k) {
  const std::array only{k.installation};
  const auto coldest = coldest_of(f, only, k.grease);
  failing days;
  for (std::size_t p = 0; p < pentads_a_year; ++p) {
    const temperature cold = y.pentads[p].cold, hot = std::max(cold, y.pentads[p].hot);
    days.cold[p] = !coldest || cold < *coldest;
    days.barred[p] = barred(f, only, k.grease, cold, hot).by != exclusion::none ||
                     barred_by_heat(f.policy, f.stock[k.grease], hot) != exclusion::none;
  }
  return days;
}

/// The smallest chance on the coldest days; nothing where one is not known.
std::optional<double> chance_of(const fleet_limits& f, const route_year& y, std::span<const kept_grease> greases) {
  const judged_pentad& coldest = y.pentads[y.coldest_pentad()];
  std::optional<double> least = 1.0;
  for (const kept_grease& k : greases) {
    const auto own = judge(f, std::array{k.installation}, k.grease, coldest.cold, coldest.hot).chance;
    least = least && own ? std::optional(std::min(*least, *own)) : std::nullopt;
  }
  return least;
}

/// Hours a year that are colder than the warmest of the limits; nothing where one has none.
void count_hours(const fleet_limits& f, const route_year& y, kept_plan& kept) {
  std::optional<temperature> limit;
  for (const kept_grease& k : kept.greases) {
    const auto own = coldest_of(f, std::array{k.installation}, k.grease);
    if (!own) return;
    limit = limit ? std::max(*limit, *own) : *own;
  }
  for (const leg_climate& l : y.weather.legs) {
    const auto below = hours_below(*l.climate, *limit - l.shift, season{});
    if (!below) continue;
    for (std::size_t m = 0; m < below->size(); ++m)
      kept.starved[m] = std::max(kept.starved[m].value_or(0.0), (*below)[m]);
    kept.hours = std::max(kept.hours.value_or(0.0), sum(*below));
  }
}

/// The day since the warm end of the year on which what is kept gives out: its cold by risk, or a failing pentad.
std::optional<int> gives_out(const route_year& y, std::span<const kept_grease> greases, const pentads& fails) {
  std::optional<int> first;
  const auto take = [&](int day) { first = std::min(first.value_or(day), day); };
  for (int day = 0; day < days_a_year; ++day) {
    if (fails[static_cast<std::size_t>(around_year(day + y.origin()) / days_a_pentad)]) {
      take(day);
      break;
    }
  }
  for (const kept_grease& k : greases) {
    if (const auto& cold = y.greases[k.grease].cold_from) take(cold->day);
  }
  return first;
}

/// The last day to begin with what the plan pumps then, so that the last of the old is used up in time; nothing where
/// that was before the warm end of the year, or the plan's grease would not pass from that day to the end of its fill.
void time_change(const route_year& y, const route_pick& r, int out, kept_plan& kept) {
  const change_times& times = y.at(r.decided.practice);
  if (out < times.carry) return;
  const int day = around_year(out - times.carry + y.origin());
  const fill* then = pumped_on(r.decided, day);
  const season rest = then->days.whole_year() ? season{day} : season_between(day, then->days.first + then->days.days);
  if (!passes_on(y, then->grease, rest, times)) return;
  kept.into = then->grease;
  kept.change_by = day_at(day);
}

}  // namespace

std::optional<kept_plan> keep_of(const fleet& fleet, const fleet_limits& f, const route_year& y, const route_pick& r) {
  kept_plan kept;
  for (const kept_grease& k : fleet.keep) {
    if (std::ranges::find(y.installations, k.installation) != y.installations.end()) kept.greases.push_back(k);
  }
  if (kept.greases.empty()) return std::nullopt;
  failing all;
  for (const kept_grease& k : kept.greases) {
    const failing own = failing_in(f, y, k);
    all.cold |= own.cold;
    all.barred |= own.barred;
  }
  const pentads fails = all.cold | all.barred;
  kept.passes = fails.none();
  kept.too_cold = spans_of(all.cold, y.origin());
  // Heat is told from the cold end of the year on, so that no summer is cut in two.
  kept.barred = spans_of(all.barred, y.origin() + days_a_year / 2);
  kept.chance = chance_of(f, y, kept.greases);
  count_hours(f, y, kept);
  if (kept.passes || !r.decided.served()) return kept;
  kept.into = pumped_on(r.decided, y.origin())->grease;
  if (const auto out = gives_out(y, kept.greases, fails)) time_change(y, r, *out, kept);
  if (const auto filled = take_of(f, y.installations, *kept.into).at_change(r.decided.practice))
    kept.at_change = kilogram(*filled);
  if (const auto& cost = f.policy.costs.changeover) kept.labour = cost->amount * r.vehicles;
  return kept;
}

}  // namespace coldgrease::inline v0::detail
