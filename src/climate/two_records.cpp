#include "coldgrease/climate/two_records.hpp"

#include <algorithm>
#include <cmath>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/climate/year_climate.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr int all_months = 12;

double missing_share(const weather& w) {
  const auto of = [](int first, int last, std::size_t count) {
    return 1.0 - static_cast<double>(count) / (last - first + 1);
  };
  if (const auto* days = std::get_if<daily_series>(&w))
    return of(days->days.front().day, days->days.back().day, days->days.size());
  if (const auto* hours = std::get_if<hourly_series>(&w))
    return of(hours->hours.front().hour, hours->hours.back().hour, hours->hours.size());
  const auto& year = std::get<typical_year>(w);
  return of(1, 24 * year.days, year.hours.size());
}

record_side side_of(const weather& w, std::optional<temperature> limit, const season_options& options, double share) {
  record_side side;
  side.climate = describe(w, limit, options);
  if (const auto& file = origin_of(w).file) side.file = file->path;
  side.missing = missing_share(w);
  if (side.climate.months.size() == all_months) {
    const year_climate year = year_of(w, share);
    side.coldest = std::ranges::min_element(year.pentads, {}, &judged_pentad::cold)->cold;
    side.hottest = std::ranges::max_element(year.pentads, {}, &judged_pentad::hot)->hot;
  }
  return side;
}

void name_sides(record_side& first, record_side& second) {
  const auto without_folder = [](const std::string& path) { return path.substr(path.find_last_of('/') + 1); };
  const auto differ = [](const std::string& a, const std::string& b) { return !a.empty() && !b.empty() && a != b; };
  if (differ(first.climate.station, second.climate.station)) {
    first.called = first.climate.station;
    second.called = second.climate.station;
  } else if (differ(without_folder(first.file), without_folder(second.file))) {
    first.called = without_folder(first.file);
    second.called = without_folder(second.file);
  } else {
    first.called = "first";
    second.called = "second";
  }
}

std::optional<daily_series> days_of_real_years(const weather& w) {
  if (const auto* days = std::get_if<daily_series>(&w)) return *days;
  if (const auto* hours = std::get_if<hourly_series>(&w)) return daily(*hours);
  return std::nullopt;
}

std::optional<common_days> common_of(const weather& a, const weather& b) {
  constexpr std::size_t fewest = 30;
  const auto first = days_of_real_years(a), second = days_of_real_years(b);
  if (!first || !second) return std::nullopt;
  struct pair {
    double middle = 0.0, step = 0.0;
  };
  std::vector<pair> pairs;
  auto other = second->days.begin();
  for (const daily_extremes& d : first->days) {
    while (other != second->days.end() && other->day < d.day) ++other;
    if (other == second->days.end()) break;
    if (other->day == d.day) pairs.push_back({0.5 * (d.low + other->low), other->low - d.low});
  }
  if (pairs.size() < fewest) return std::nullopt;
  const auto mean_of = [&](std::size_t count) {
    double sum = 0.0;
    for (std::size_t i = 0; i < count; ++i) sum += pairs[i].step;
    return kelvins(sum / static_cast<double>(count));
  };
  std::ranges::sort(pairs, {}, &pair::middle);
  return common_days{static_cast<int>(pairs.size()), mean_of(pairs.size()), mean_of(pairs.size() / 10)};
}

std::vector<month_pair> months_of_both(const climate_answer& a, const climate_answer& b) {
  std::vector<month_pair> months;
  for (const month_climate& m : a.months) {
    const auto other = std::ranges::find(b.months, m.month, &month_climate::month);
    if (other != b.months.end()) months.push_back({m.month, m.cold, other->cold, other->cold - m.cold});
  }
  return months;
}

safer_record safer_of(const record_comparison& c) {
  if (c.first.coldest.has_value() != c.second.coldest.has_value())
    return c.first.coldest ? safer_record::first : safer_record::second;
  if (!c.step || std::abs(in_kelvins(*c.step)) < alike_within) return safer_record::alike;
  return in_kelvins(*c.step) < 0.0 ? safer_record::second : safer_record::first;
}

/// What speaks for the one that is not the safer.
void add_notes_of_other(record_comparison& c, const record_side& safer, const record_side& other, double sign) {
  std::vector<std::string_view> colder;
  for (const month_pair& m : c.months) {
    if (sign * in_kelvins(m.step) > alike_within) colder.push_back(name_of_month(m.month));
  }
  if (!colder.empty()) c.notes.push_back(fmt::format("{} is the colder in {}", other.called, fmt::join(colder, ", ")));
  if (safer.climate.for_dates < other.climate.for_dates)
    c.notes.push_back(fmt::format("{} is the better for dates: {}, the other {}", other.called,
                                  name_of(other.climate.for_dates), name_of(safer.climate.for_dates)));
  if (safer.climate.kind == series_kind::typical_year && other.climate.kind != series_kind::typical_year)
    c.notes.push_back(
        fmt::format("{} is a typical year, which leaves out the extremes of real ones: it is colder all "
                    "the same, or of a colder place",
                    safer.called));
}

void add_notes_of_both(record_comparison& c) {
  for (const record_side* side : {&c.first, &c.second}) {
    const climate_answer& a = side->climate;
    if (a.kind != series_kind::typical_year && a.annual_minima.size() < 10)
      c.notes.push_back(fmt::format("{}: {} whole years, fewer than 10: it may have missed the cold ones", side->called,
                                    a.annual_minima.size()));
  }
  const climate_answer &a = c.first.climate, &b = c.second.climate;
  if (a.first && b.first && (a.first->year != b.first->year || a.last->year != b.last->year))
    c.notes.push_back(
        fmt::format("not of the same years, {} to {} and {} to {}: a part of the difference may be of the "
                    "years, not of the places (--year-from, --year-to)",
                    a.first->year, a.last->year, b.first->year, b.last->year));
  if (c.first.hottest && c.second.hottest) {
    const double step = in_kelvins(*c.second.hottest - *c.first.hottest);
    if (std::abs(step) >= alike_within)
      c.notes.push_back(fmt::format("in the heat {} is the safer: its hottest days are judged {:.1f} K higher",
                                    (step > 0.0 ? c.second : c.first).called, std::abs(step)));
  }
  if (c.first.coldest && c.second.coldest)
    c.notes.emplace_back("a route may have both as legs: each of its days is then judged at the colder of them");
}

}  // namespace

record_comparison compare_records(const weather& first, const weather& second, std::optional<temperature> limit,
                                  const season_options& options, double share) {
  record_comparison c;
  c.first = side_of(first, limit, options, share);
  c.second = side_of(second, limit, options, share);
  name_sides(c.first, c.second);
  if (c.first.coldest && c.second.coldest) c.step = *c.second.coldest - *c.first.coldest;
  c.months = months_of_both(c.first.climate, c.second.climate);
  c.common = common_of(first, second);
  c.safer = safer_of(c);
  if (c.safer == safer_record::first) add_notes_of_other(c, c.first, c.second, -1.0);
  if (c.safer == safer_record::second) add_notes_of_other(c, c.second, c.first, 1.0);
  add_notes_of_both(c);
  return c;
}

}  // namespace coldgrease::inline v0
