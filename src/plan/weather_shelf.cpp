#include "plan/weather_shelf.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>

#include "climate/hours.hpp"
#include "climate/remarks.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/climate/soak.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr double lapse = 6.5e-3;  // [K/m], ISO 2533; upward only: a valley may be colder than its pass
constexpr int recent_years = 30;

/// The last 30 years of a series that has more.
template <class Record>
bool keep_recent(std::vector<Record>& records, int last_year, int (*year_of_record)(const Record&)) {
  const auto first =
      std::ranges::find_if(records, [&](const Record& r) { return year_of_record(r) > last_year - recent_years; });
  if (first == records.begin()) return false;
  records.erase(records.begin(), first);
  return true;
}

std::optional<weather> recent_part(const weather& w) {
  const auto year_of_day = [](const daily_extremes& d) { return date_of(d.day).year; };
  const auto year_of_hour = [](const hourly_value& v) { return date_of(floor_day(v.hour)).year; };
  if (const auto* days = std::get_if<daily_series>(&w)) {
    const int last = year_of_day(days->days.back());
    if (last - year_of_day(days->days.front()) < recent_years) return std::nullopt;
    daily_series part = *days;
    return keep_recent<daily_extremes>(part.days, last, year_of_day) ? std::optional<weather>(std::move(part))
                                                                     : std::nullopt;
  }
  if (const auto* hours = std::get_if<hourly_series>(&w)) {
    const int last = year_of_hour(hours->hours.back());
    if (last - year_of_hour(hours->hours.front()) < recent_years) return std::nullopt;
    hourly_series part = *hours;
    return keep_recent<hourly_value>(part.hours, last, year_of_hour) ? std::optional<weather>(std::move(part))
                                                                     : std::nullopt;
  }
  return std::nullopt;
}

temperature coldest_pentad(const year_climate& c) { return std::ranges::min(c.pentads, {}, &judged_pentad::cold).cold; }

/// What the weather of a leg cannot tell, or tells otherwise of late.
void add_notes(const leg_climate& l, double climb, route_weather& into) {
  const year_climate& climate = *l.climate;
  if (const auto* design = std::get_if<design_station>(&climate.series)) {
    const design_values& v = design->values;
    const design_cold_answer cold = design_cold(v);
    into.missing.push_back(
        fmt::format("{}: no weather file: every day is judged at the published {}, {}, edition {} ({}): one grease for "
                    "the year, no seasons, no dates, and nothing is known of summer",
                    l.station, cold.stands_on, both_scales(cold.at), v.edition, v.source));
  } else if (!climate.years) {
    into.notes.push_back(fmt::format(
        "{}: a typical year: it leaves out the extremes of real ones, and tells no n-year minimum", l.station));
  } else if (*climate.years < 10) {
    into.notes.push_back(
        fmt::format("{}: only {} whole years of weather: fewer than 10 say little", l.station, *climate.years));
  }
  if (l.recent)
    into.notes.push_back(
        fmt::format("{}: {} whole years on record; by the last {} alone the coldest days are judged "
                    "at {} instead of {}",
                    l.station, climate.years.value_or(0), recent_years,
                    both_scales(coldest_pentad(*l.recent) + l.shift), both_scales(coldest_pentad(climate) + l.shift)));
  if (climb > 0.0)
    into.notes.push_back(fmt::format("{}: the road climbs {:.0f} m above it and is judged {:.1f} K colder (6.5 K/km)",
                                     l.station, climb, -in_kelvins(l.shift)));
}

}  // namespace

std::string key_of(const leg& l) {
  const weather_options& o = l.options;
  return fmt::format("{} {}\n{}\n{}\n{}\n{}\n{}\n{} {} {} {} {} {}", l.design,
                     static_cast<const void*>(l.series ? &*l.series : nullptr), l.weather.identity(), o.station, o.unit,
                     o.format, o.accepted_codes, o.utc_offset ? in_second(*o.utc_offset) : NAN, o.year_from.value_or(0),
                     o.year_to.value_or(0), in_second(l.soak.lag), in_kelvins(l.soak.night_sky),
                     static_cast<int>(o.duplicates));
}

std::string station_and_file(const std::string& station, const source& file) {
  const std::string name = std::filesystem::path(file.name()).filename().string();
  return station.empty() ? name : fmt::format("{} ({})", station, name);
}

weather weather_of(const leg& l) {
  if (l.design.empty()) return soaked(l.series ? *l.series : read_weather(l.weather, l.options), l.soak);
  design_station s;
  s.values = find_design_values(l.design);
  s.station = s.values.station;
  return s;
}

weather_shelf::weather_shelf(const fleet& f) : fleet_(f) {
  std::set<std::string> named;
  for (const route& r : f.routes) {
    std::string& own = keys_.emplace_back();
    std::vector<char>& first = is_first_.emplace_back();
    for (const leg& l : r.legs) {
      const std::string key = key_of(l);
      first.push_back(named.insert(key).second);
      own += fmt::format("{}\n{}\n{} {} {}\n{}\n", key, l.station, in_metre(l.elevation.value_or(metre(NAN))),
                         in_metre(l.highest.value_or(metre(NAN))), l.hours.value_or(NAN),
                         first.back() ? std::to_string(keys_.size()) : std::string());
    }
  }
}

void weather_shelf::announce(std::size_t route) {
  for (const leg& l : fleet_.routes[route].legs) read_.announce(key_of(l));
}

weather_shelf::judged weather_shelf::take(const leg& l) {
  return read_.get(key_of(l), [&] {
    return read_at([&] { return place{.file = l.design.empty() ? l.weather.name() : l.design}; },
                   [&] {
                     const policy& p = fleet_.policy;
                     const auto judge = [&](weather w) {
                       return std::make_shared<const year_climate>(year_of(std::move(w), p.share, p.return_years));
                     };
                     judged own{.climate = judge(weather_of(l))};
                     if (auto recent = recent_part(own.climate->series)) own.recent = judge(std::move(*recent));
                     return own;
                   });
  });
}

route_weather weather_shelf::take(std::size_t route) {
  route_weather w;
  const auto& legs = fleet_.routes[route].legs;
  for (std::size_t k = 0; k < legs.size(); ++k) {
    const leg& l = legs[k];
    const judged read = take(l);
    const double climb = l.elevation ? std::max(0.0, in_metre(*l.highest) - in_metre(*l.elevation)) : 0.0;
    const leg_climate& own =
        w.legs.emplace_back(leg_climate{.station = l.station.empty() ? read.climate->station() : l.station,
                                        .climate = read.climate,
                                        .recent = read.recent,
                                        .shift = kelvins(-lapse * climb),
                                        .hours = l.hours});
    if (const std::string said = remarks_of(read.climate->series); is_first_[route][k] && !said.empty())
      w.notes.push_back(fmt::format("{}: {}", l.series ? own.station : station_and_file(own.station, l.weather), said));
    add_notes(own, climb, w);
  }
  return w;
}

route_weather weather_at(const year_climate& year) {
  route_weather w;
  // The caller's own, which outlives the answer.
  const leg_climate& own = w.legs.emplace_back(leg_climate{
      .station = year.station(), .climate = std::shared_ptr<const year_climate>(std::shared_ptr<void>(), &year)});
  add_notes(own, 0.0, w);
  return w;
}

}  // namespace coldgrease::inline v0::detail
