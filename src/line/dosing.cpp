#include "coldgrease/line/dosing.hpp"

#include <algorithm>

#include "coldgrease/line/storage.hpp"

namespace coldgrease::inline v0 {

std::optional<double> cycles_a_day(const installation& i) {
  if (!i.interval) return std::nullopt;
  return i.hours_per_day / in_hour(*i.interval);
}

std::optional<volume> daily_volume(const line& l, const installation& i) {
  const auto cycles = cycles_a_day(i);
  if (!cycles || !l.dose) return std::nullopt;
  return cubic_metre(in_m3(*l.dose) * *cycles);
}

std::optional<volume> daily_volume(const installation& i) {
  double sum = 0.0;
  for (const line& l : i.lines) {
    const auto own = daily_volume(l, i);
    if (!own) return std::nullopt;
    sum += in_m3(*own);
  }
  return cubic_metre(sum);
}

std::optional<level_signs> level_in_a_week(const installation& i, std::size_t line) {
  const auto all = daily_volume(i);
  if (!all) return std::nullopt;
  constexpr double week = 7.0;
  const double expected = week * in_m3(*all);
  const double others = expected - week * in_m3(*daily_volume(i.lines[line], i));
  level_signs signs;
  signs.as_expected = signs.one_broken = cubic_metre(expected);
  signs.one_blocked = cubic_metre(i.type == system_type::progressive ? 0.0 : others);
  signs.one_with_air = cubic_metre(others);
  if (i.reservoir && i.feed && i.feed->height)
    signs.height = metre(expected / in_m3(*i.reservoir) * in_metre(*i.feed->height));
  return signs;
}

std::optional<duration> shortest_pause(const installation& i, const grease& g, temperature at, double confidence) {
  double longest = 0.0, sum = 0.0, vent = 0.0;
  for (const line& l : i.lines) {
    if (!l.dose) return std::nullopt;
    const double delivery = in_m3(*l.dose) / in_m3_per_s(flow_of(l));
    longest = std::max(longest, delivery);
    sum += delivery;
    if (i.type != system_type::single_line) continue;
    const auto own = vent_time(l, g, conditions_of(i, at, confidence));
    if (!own || !recharges(l, g, conditions_of(i, at, confidence))) return std::nullopt;
    vent = std::max(vent, in_second(*own));
  }
  return second(i.type == system_type::progressive ? sum : longest + vent);
}

}  // namespace coldgrease::inline v0
