#include "coldgrease/line/installation.hpp"

#include <algorithm>
#include <array>

#include "coldgrease/base/error.hpp"

namespace coldgrease {

std::string_view name_of(system_type type) {
  static constexpr std::array<std::string_view, 3> names{"multi-outlet", "progressive", "single-line"};
  return names[static_cast<std::size_t>(type)];
}

pressure available_pressure(const installation& i) {
  std::optional<pressure> least = i.available;
  const auto limit = [&](pressure p) { least = least ? std::min(*least, p) : p; };
  if (i.relief) limit(*i.relief);
  if (!least) throw input_error(i.name, "no pressure is given", "available or relief");
  for (const pressure& rating : i.ratings) limit(rating);
  return *least;
}

namespace {

std::optional<double> cycles_a_day(const installation& i) {
  if (!i.interval) return std::nullopt;
  return i.hours_per_day / in_hour(*i.interval);
}

}  // namespace

std::optional<volume> daily_volume(const installation& i) {
  const auto cycles = cycles_a_day(i);
  if (!cycles) return std::nullopt;
  double sum = 0.0;
  for (const line& l : i.lines) {
    if (!l.dose) return std::nullopt;
    sum += in_m3(*l.dose) * *cycles;
  }
  return cubic_metre(sum);
}

std::optional<duration> reservoir_time(const installation& i) {
  const auto daily = daily_volume(i);
  if (!i.reservoir || !daily || !(in_m3(*daily) > 0.0)) return std::nullopt;
  return days(in_m3(*i.reservoir) / in_m3(*daily));
}

std::optional<duration> residence_time(const line& l, const installation& i) {
  return residence_of(l, i.interval, i.hours_per_day);
}

duration carry_over(const installation& i, duration unknown) {
  duration longest = reservoir_time(i).value_or(unknown);
  for (const line& l : i.lines) longest = std::max(longest, residence_time(l, i).value_or(unknown));
  return longest;
}

conditions conditions_of(const installation& i, temperature at, double confidence) {
  return {.at = at,
          .available = available_pressure(i),
          .confidence = confidence,
          .interval = i.interval,
          .hours_per_day = i.hours_per_day};
}

}  // namespace coldgrease
