#include "coldgrease/line/dosing.hpp"

#include <algorithm>

#include "coldgrease/line/uptake.hpp"

namespace coldgrease::inline v0 {

std::optional<volume> asked_of(const line& l, const duty& d) {
  if (l.needs) {
    // Movements are counted, as a need is stated, on a day in service.
    if (l.needs->movements && !l.movements) return std::nullopt;
    const double times = l.needs->movements ? *l.movements / *l.needs->movements : 1.0;
    return cubic_metre(in_m3(l.needs->volume) * times * days_in_service(d));
  }
  return l.bearing ? std::optional(film_need(*l.bearing, hours_in_service(d))) : std::nullopt;
}

std::vector<dose_fault> dose_faults_of(const line_answer& a) {
  std::vector<dose_fault> faults;
  if (a.daily && a.asked) {
    if (!serves(*a.daily, *a.asked)) faults.push_back(dose_fault::too_little);
    if (in_m3(*a.daily) > most_times_asked * in_m3(*a.asked)) faults.push_back(dose_fault::too_much);
  }
  if (a.residence && *a.residence >= longest_stay()) faults.push_back(dose_fault::stays_long);
  if (a.uptake && a.dose && *a.uptake > *a.dose) faults.push_back(dose_fault::taken_up);
  return faults;
}

std::optional<double> cycles_a_day(const installation& i) {
  if (!i.interval) return std::nullopt;
  return cycles_a_day(*i.interval, duty_of(i));
}

std::optional<volume> daily_volume(const line& l, const installation& i) { return daily_volume(l, cycles_a_day(i)); }

std::optional<volume> daily_volume(const installation& i) {
  double sum = 0.0;
  for (const line& l : i.lines) {
    const auto own = daily_volume(l, i);
    if (!own) return std::nullopt;
    sum += in_m3(*own);
  }
  return cubic_metre(sum);
}

std::optional<level_signs> level_in_a_week(const installation& i, std::size_t line, density grease) {
  const auto all = daily_volume(i);
  if (!all) return std::nullopt;
  const double expected = days_a_week * in_m3(*all);
  const double others = expected - days_a_week * in_m3(*daily_volume(i.lines[line], i));
  level_signs signs;
  signs.as_expected = signs.one_broken = cubic_metre(expected);
  signs.one_blocked = cubic_metre(i.type == system_type::progressive ? 0.0 : others);
  signs.one_with_air = cubic_metre(others);
  const auto holds = reservoir_of(i, grease);
  if (holds && i.feed && i.feed->height) signs.height = metre(expected / in_m3(*holds) * in_metre(*i.feed->height));
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
