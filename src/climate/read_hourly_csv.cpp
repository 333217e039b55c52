// Hours in named columns: GHCN-hourly, and any table with a time and a temperature.
#include <cmath>
#include <cstdint>

#include "climate/duplicates.hpp"
#include "climate/plain_rows.hpp"
#include "climate/reader.hpp"
#include "coldgrease/base/one_line.hpp"
#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr std::int64_t minutes_an_hour = 60, minutes_a_day = 1440;
constexpr int longest_filled_gap = 3;  // [h] between two reports; an own choice: stations that report every third hour

struct hourly_columns {
  std::optional<std::size_t> date, year, month, day, hour, minute, temperature, quality;
  station_columns station{};
  place_watch place{};

  /// Whether all that is looked at are one moment and the temperature.
  bool hours_alone() const { return date && !quality && !station.any() && !place.any(); }
};

hourly_columns find_hourly_columns(csv_rows& rows) {
  hourly_columns c;
  std::vector<wanted_column> columns{
      {.names = {"date"}, .found = &c.date, .needed = true},
      {.names = {"year"}, .found = &c.year, .instead_of = "date"},
      {.names = {"month"}, .found = &c.month, .instead_of = "date"},
      {.names = {"day"}, .found = &c.day, .instead_of = "date"},
      {.names = {"hour"}, .found = &c.hour, .instead_of = "date"},
      {.names = {"minute"}, .found = &c.minute},
      {.names = {"temperature", "temp"}, .found = &c.temperature, .needed = true, .number = true},
      {.names = {"temperature_quality_code"}, .found = &c.quality},
  };
  c.station.add_to(columns);
  c.place.add_to(columns);
  rows.find(columns, other_columns::ignored, "date (2015-01-26T03:00:00), or year, month, day, hour; temperature");
  return c;
}

/// A moment in the clock of the file, in minutes since 1970; 24:00 is the next day's beginning.
constexpr std::int64_t moment_of(int day, int hour, int minute) {
  return std::int64_t{day} * minutes_a_day + hour * minutes_an_hour + minute;
}
constexpr bool is_time(int hour, int minute) {
  return (hour >= 0 && hour < 24 && minute >= 0 && minute < 60) || (hour == 24 && minute == 0);
}

/// The dates of a column in which a day stands for each of its hours.
class days_of_hours_column {
 public:
  days_of_hours_column(const csv_rows& rows, std::size_t column) : dates_(rows, column) {}
  /// @param day  receives its number  @return false for what is no date
  bool read(std::string_view text, int& day) {
    if (text != text_) {
      date found;
      is_date_ = dates_.read(text, found);
      day_ = is_date_ ? day_number(found) : 0;
      text_ = text;
    }
    day = day_;
    return is_date_;
  }
  const column_dates& dates() const { return dates_; }

 private:
  column_dates dates_;
  std::string text_{};  // the last one, and its day
  int day_ = 0;
  bool is_date_ = false;
};

/// "03:00:00", without seconds, or with a Z. @return false for what is no time of day
bool read_time(std::string_view time, int& hour, int& minute) {
  if (time.ends_with('Z')) time.remove_suffix(1);
  const bool with_seconds = time.size() == 8 && time[5] == ':';
  if (!(time.size() == 5 || with_seconds) || time[2] != ':') return false;
  // Below zero for what is no number of two digits, the first of them blank or not.
  const auto number = [&](std::size_t at) {
    const bool blank = time[at] == ' ';
    if (!(blank || is_digit(time[at])) || !is_digit(time[at + 1])) return -1;
    return 10 * (blank ? 0 : time[at] - '0') + (time[at + 1] - '0');
  };
  hour = number(0);
  minute = number(3);
  return is_time(hour, minute) && (!with_seconds || number(6) >= 0);
}

/// "2015-01-26T03:00:00", or with a blank for the T.
bool read_moment(std::string_view text, days_of_hours_column& days, std::int64_t& moment) {
  const auto cut = std::ranges::find_if(text, [](char c) { return c == 'T' || c == ' '; });
  if (cut == text.end()) return false;
  int day = 0, hour = 0, minute = 0;
  if (!days.read({text.begin(), cut}, day) || !read_time({cut + 1, text.end()}, hour, minute)) return false;
  moment = moment_of(day, hour, minute);
  return true;
}

/// @return false for what is no moment
bool moment_of_row(const hourly_columns& c, std::optional<days_of_hours_column>& days,
                   const std::vector<std::string_view>& fields, std::int64_t& moment) {
  if (c.date) return read_moment(fields[*c.date], *days, moment);
  const auto year = whole_number(fields[*c.year]), month = whole_number(fields[*c.month]),
             day = whole_number(fields[*c.day]), hour = whole_number(fields[*c.hour]);
  const auto minute = c.minute ? whole_number(fields[*c.minute]) : std::optional(0);
  if (!year || !month || !day || !hour || !minute || !is_time(*hour, *minute)) return false;
  const auto found = valid_date(*year, *month, *day);
  if (found) moment = moment_of(day_number(*found), *hour, *minute);
  return found.has_value();
}

std::string written_time(const hourly_columns& c, const std::vector<std::string_view>& fields) {
  if (c.date) return std::string(fields[*c.date]);
  std::string text = fmt::format("{}-{}-{} {}", fields[*c.year], fields[*c.month], fields[*c.day], fields[*c.hour]);
  if (c.minute) text += fmt::format(":{}", fields[*c.minute]);
  return text;
}

struct report {
  std::int64_t minute = 0;  // since 1970
  double celsius = 0.0;
};

/// "2015-01-26T03:10".
std::string minute_text(const report& r) {
  constexpr std::int64_t a_day = 24 * 60;
  const std::int64_t day = (r.minute - (r.minute % a_day + a_day) % a_day) / a_day, rest = r.minute - day * a_day;
  return fmt::format("{}T{:02}:{:02}", text_of(date_of(static_cast<int>(day))), rest / 60, rest % 60);
}

int floor_hour(std::int64_t minute) {
  const std::int64_t past = (minute % minutes_an_hour + minutes_an_hour) % minutes_an_hour;
  return static_cast<int>((minute - past) / minutes_an_hour);
}

/// The report nearest to each full hour, at most half an hour away; of two as near the earlier. Reports in order.
std::vector<hourly_value> at_full_hours(const std::vector<report>& reports) {
  std::vector<hourly_value> hours;
  if (reports.empty()) return hours;
  const std::int64_t most = (reports.back().minute - reports.front().minute) / minutes_an_hour + 2;
  hours.reserve(std::min(reports.size(), static_cast<std::size_t>(most)));
  std::int64_t distance = 0;
  for (const report& r : reports) {
    const int hour = floor_hour(r.minute + minutes_an_hour / 2);
    const std::int64_t away = std::abs(r.minute - hour * minutes_an_hour);
    if (hours.empty() || hours.back().hour != hour) {
      hours.push_back({hour, r.celsius});
    } else if (away >= distance) {
      continue;
    } else {
      hours.back().celsius = r.celsius;
    }
    distance = away;
  }
  return hours;
}

/// Fills short gaps along a straight line. Returns how many hours that makes.
int fill_gaps(std::vector<hourly_value>& hours) {
  const auto is_filled = [](const hourly_value& before, const hourly_value& v) {
    return v.hour - before.hour > 1 && v.hour - before.hour <= longest_filled_gap;
  };
  if (std::ranges::adjacent_find(hours, is_filled) == hours.end()) return 0;
  std::vector<hourly_value> whole;
  whole.reserve(hours.size());
  int filled = 0;
  for (const hourly_value& v : hours) {
    if (!whole.empty() && is_filled(whole.back(), v)) {
      const hourly_value before = whole.back();
      const int gap = v.hour - before.hour;
      for (int step = 1; step < gap; ++step, ++filled)
        whole.push_back({before.hour + step, before.celsius + (v.celsius - before.celsius) * step / gap});
    }
    whole.push_back(v);
  }
  hours = std::move(whole);
  return filled;
}

/// Minutes to add to the file's clock for local standard time.
std::int64_t minutes_to_local(bool ghcnh, const hourly_columns& c, std::string_view name,
                              const weather_options& options, std::vector<std::string>& notes) {
  if (options.utc_offset) {
    check_utc_offset(*options.utc_offset, "utc_offset");
    const double hours = in_second(*options.utc_offset) / 3600.0;
    notes.push_back(fmt::format("times are taken as UTC and moved by {:+g} h, as given", hours));
    return std::lround(hours * static_cast<double>(minutes_an_hour));
  }
  if (!ghcnh) {
    notes.push_back("times are taken as local standard time");
    return 0;
  }
  const auto longitude = c.place.longitude();
  if (!longitude || std::abs(*longitude) > 180.0)
    throw file_error(name, "has times in UTC and no longitude",
                     "an offset from UTC to local time (--utc-offset, utc_offset in a fleet)");
  const std::int64_t hours = std::lround(*longitude / 15.0);
  notes.push_back(fmt::format("times are UTC, moved by {:+} h, the local time at longitude {:g}", hours, *longitude));
  return hours * minutes_an_hour;
}

std::string fewer(std::size_t reports, std::size_t hours) {
  return fmt::format("{} reports make {} hours: the one nearest to the full hour counts", reports, hours);
}

}  // namespace

weather parse_hourly_csv(csv_rows rows, std::size_t size, bool ghcnh, std::string_view name,
                         const weather_options& options) {
  hourly_columns c = find_hourly_columns(rows);
  if (ghcnh) no_other_unit(name, "GHCN-hourly", "C", options);
  const std::string unit = ghcnh ? "C" : declared_unit(rows, *c.temperature, options);
  const scale to_celsius = scale_of(unit, rows.place());

  std::optional<days_of_hours_column> days;
  if (c.date) days.emplace(rows, *c.date);
  station_choice station(options.station, name);
  account out;
  std::vector<report> reports;
  reports.reserve(expected_rows(size));
  std::vector<std::string_view> fields;
  std::optional<plain_rows> plain;
  if (c.hours_alone()) plain = plain_rows(rows, *c.date, {*c.temperature});
  const auto next_plain = [&](std::int64_t& minute, double& value) {
    const auto length_of_moment = [&](std::string_view text) {
      const char delimiter = rows.delimiter();
      const auto end = std::ranges::find_if(text, [&](char at) { return at == delimiter || at == '\r' || at == '\n'; });
      const std::string_view cell(text.begin(), end);
      return !cell.empty() && is_digit(cell.front()) && read_moment(cell, *days, minute) ? cell.size() : std::size_t{0};
    };
    return plain->next(rows, length_of_moment, std::span(&value, 1));
  };
  // The next report that counts, in the unit of the file; false behind the last.
  const auto next = [&](std::int64_t& minute, double& value) {
    while (true) {
      if (plain && next_plain(minute, value)) return true;
      if (!rows.next(fields)) return false;
      if (!c.station.takes(station, fields, rows.line())) continue;
      if (!moment_of_row(c, days, fields, minute))
        throw file_error(c.date ? rows.place(*c.date) : rows.place(),
                         in_quotes(written_time(c, fields)) + " is no date and time",
                         "2015-01-26T03:00:00, or year, month, day, hour and minute");
      c.place.take(fields, c.date ? fields[*c.date] : fields[*c.year]);
      value = value_of(fields[*c.temperature], rows, *c.temperature);
      if (is_missing(value)) {
        out.drop("temperature missing");
        continue;
      }
      const std::string_view code = c.quality ? fields[*c.quality] : std::string_view();
      if (code.find_first_not_of(options.accepted_codes) == std::string_view::npos) return true;
      out.drop(fmt::format("quality code {}", on_one_line(code)));
    }
  };
  std::int64_t minute = 0;
  for (double value = 0.0; next(minute, value);) {
    const double t = to_celsius.celsius(value);
    if (possible(t)) {
      reports.push_back({minute, t});
    } else {
      out.impossible(t, rows.place(*c.temperature));
    }
  }
  station_names chosen = c.station.any() ? station.finish() : station_names{options.station, {}};
  auto dropped = out.finish(reports.size(), unit);
  std::vector<std::string> notes;
  const std::int64_t shift = reports.empty() ? 0 : minutes_to_local(ghcnh, c, name, options, notes);

  if (!std::ranges::is_sorted(reports, {}, &report::minute)) std::ranges::stable_sort(reports, {}, &report::minute);
  const left_out twice = read_at([&] { return place{.file = std::string(name)}; },
                                 [&] { return take_once(reports, &report::minute, options.duplicates, minute_text); });
  if (twice.count > 0) dropped.push_back({"time stands twice", twice.count});
  for (report& r : reports) r.minute += shift;
  std::vector<hourly_value> hours = at_full_hours(reports);
  if (hours.size() < reports.size()) notes.push_back(fewer(reports.size(), hours.size()));
  if (const int filled = fill_gaps(hours))
    notes.push_back(fmt::format("hours filled between reports at most {} h apart: {}", longest_filled_gap, filled));
  if (options.year_from || options.year_to)
    std::erase_if(hours, [&](const hourly_value& v) { return !wanted_year(date_of(floor_day(v.hour)).year, options); });

  hourly_series series = make_hourly_series(std::move(chosen.station), std::move(hours));
  series.id = std::move(chosen.id);
  series.unit = unit;
  series.dropped = std::move(dropped);
  settle_dates(series, options);
  if (series.hours.empty())
    refuse_empty(series.dropped, name, "hour with a temperature", "hours of temperature", options);
  series.latitude = c.place.latitude();
  series.notes.insert(series.notes.begin(), notes.begin(), notes.end());
  for (std::string& note : c.place.notes()) series.notes.push_back(std::move(note));
  add_notes(rows, days ? std::optional(days->dates()) : std::nullopt, series.notes);
  return series;
}

}  // namespace coldgrease::inline v0::detail
