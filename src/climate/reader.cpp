#include "climate/reader.hpp"

#include <charconv>
#include <cmath>
#include <iterator>

#include "coldgrease/base/one_line.hpp"
#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

scale scale_of(std::string_view unit, const place& where) {
  // U+00B0, the degree sign.
  if (unit == "C" || unit == "\xc2\xb0\x43") return {};
  if (unit == "F" || unit == "\xc2\xb0\x46") return {32.0, 1.8};
  if (unit == "K") return {celsius(0.0).in_kelvin(), 1.0};
  if (unit == "0.1 C") return {0.0, 10.0};
  if (unit == "Re") return {0.0, 0.8};  // Reaumur, in records before 1900
  throw file_error(where,
                   unit.empty() ? "no unit of temperature is declared" : in_quotes(unit) + " is no unit of temperature",
                   R"(the unit C, F, K or 0.1 C, in the column's name ("tmin [C]") or as an option)");
}

std::string declared_unit(const csv_rows& rows, std::size_t column, const weather_options& options) {
  const std::string unit = rows.unit_of(column);
  if (!unit.empty() && !options.unit.empty() && unit != options.unit)
    throw file_error(rows.place(),
                     fmt::format("the columns declare {}, the option {}", in_quotes(unit), in_quotes(options.unit)),
                     "one unit");
  return unit.empty() ? options.unit : unit;
}

void no_other_unit(std::string_view name, std::string_view format, std::string_view own,
                   const weather_options& options) {
  if (!options.unit.empty() && options.unit != own)
    throw file_error(name,
                     fmt::format("the unit of {} is {}", format, own == "C" ? "degrees C" : "tenths of a degree C"),
                     fmt::format("no unit, or {}", own));
}

void account::drop(std::string_view reason, int count) {
  // As many reasons as a person reads: a file of noise has one a row.
  constexpr std::size_t most_reasons = 100;
  if (rows_.size() >= most_reasons && std::ranges::find(rows_, reason, &dropped_rows::reason) == rows_.end())
    reason = "other reasons";
  const auto known = std::ranges::find(rows_, reason, &dropped_rows::reason);
  if (known != rows_.end()) {
    known->count += count;
  } else {
    rows_.push_back({std::string(reason), count});
  }
}

void account::impossible(double celsius, place where) {
  if (impossible_++ == 0) {
    first_ = std::move(where);
    first_value_ = celsius;
  }
}

std::vector<dropped_rows> account::finish(std::size_t values, std::string_view unit) {
  if (impossible_ > 0) {
    if (impossible_ * 1000 > values)
      throw file_error(
          first_,
          fmt::format("{:.4g} C if the unit is {}; values outside -90 to 60 C: {}", first_value_, unit, impossible_),
          "another unit (C, F, K or 0.1 C)");
    drop("outside -90 to 60 C", static_cast<int>(impossible_));
  }
  return std::move(rows_);
}

bool station_choice::takes(std::string_view key, std::size_t line, std::string_view name) {
  if (!wanted_.empty() && key != wanted_ && name != wanted_) {
    if (others_.size() < 5 && std::ranges::find(others_, key, &other::key) == others_.end())
      others_.push_back({std::string(key), std::string(name)});
    return false;
  }
  found_ = true;
  if (key_.empty()) {
    key_ = key;
    name_ = name;
  } else if (key != key_) {
    throw file_error(
        place{.file = std::string(file_), .line = line},
        fmt::format("holds several stations{}, {} and {}",
                    wanted_.empty() ? std::string() : " called " + in_quotes(wanted_), in_quotes(key_), in_quotes(key)),
        "one of them, by its id or name (--station, station in a fleet)");
  }
  return true;
}

station_names station_choice::finish() const {
  if (!wanted_.empty() && !found_) {
    std::string list;
    for (const other& o : others_)
      list += (list.empty() ? "" : ", ") + in_quotes(o.key) + (o.name.empty() ? "" : " or " + in_quotes(o.name));
    throw file_error(file_, "holds no station " + in_quotes(wanted_),
                     list.empty() ? "a file that names its station" : list);
  }
  if (name_.empty()) return {on_one_line(key_), {}};
  return {on_one_line(name_), on_one_line(key_)};
}

void station_columns::add_to(std::vector<wanted_column>& columns) {
  columns.push_back({.names = {"id", "station_id", "ghcn_id"}, .found = &id});
  columns.push_back({.names = {"station", "location"}, .found = &station});
  columns.push_back({.names = {"name", "station_name"}, .found = &name});
}

void place_watch::add_to(std::vector<wanted_column>& columns) {
  for (part& p : parts_) columns.push_back({.names = {std::string(p.name)}, .found = &p.column});
}

void place_watch::take_part(part& p, std::string_view text, std::string_view when) {
  p.text = text;
  const auto value = to_number(text);
  if (!value || *value <= -999.0) return;
  if (!p.value) {
    p.value = value;
  } else if (*value != p.latest && p.moves++ == 0) {
    p.first_move = fmt::format("from {:g} to {:g} at {}", p.latest, *value, on_one_line(when));
  }
  p.latest = *value;
}

std::vector<std::string> place_watch::notes() const {
  std::vector<std::string> notes;
  for (const part& p : parts_) {
    if (p.moves > 0)
      notes.push_back(fmt::format("the station moved: its {} changes {} time{}, first {}", p.name, p.moves,
                                  p.moves == 1 ? "" : "s", p.first_move));
  }
  return notes;
}

namespace {

/// `day_of` gives the day of an element of `values`, which are in order.
template <class Value, class DayOf>
void settle(std::vector<Value>& values, series_origin& origin, const weather_options& options, DayOf day_of) {
  if (!options.today) return;
  const int today = day_number(*options.today);
  // A day of grace: it may be tomorrow already where the station stands.
  const auto future = std::ranges::partition_point(values, [&](const Value& v) { return day_of(v) <= today + 1; });
  if (const auto count = values.end() - future; count > 0) {
    origin.dropped.push_back({"dated after today, so a forecast or an error", static_cast<int>(count)});
    values.erase(future, values.end());
  }
  if (!values.empty() && !options.year_to && day_of(values.back()) < today - 365)
    origin.notes.push_back(
        fmt::format("the last day is {}, more than a year ago: the record has ended, or an old copy of it is served",
                    text_of(date_of(day_of(values.back())))));
}

}  // namespace

void refuse_empty(const std::vector<dropped_rows>& dropped, std::string_view name, std::string_view what,
                  std::string_view expected, const weather_options& options) {
  std::string why;
  for (const dropped_rows& d : dropped)
    why += fmt::format("{}{}: {}", why.empty() ? "; left out: " : ", ", d.count, d.reason);
  throw file_error(
      name, fmt::format("holds no {}{}", what, why),
      fmt::format("{}{}", expected, options.year_from || options.year_to ? " in the years asked for" : ""));
}

void settle_dates(daily_series& series, const weather_options& options) {
  settle(series.days, series, options, [](const daily_extremes& d) { return d.day; });
}

void settle_dates(hourly_series& series, const weather_options& options) {
  settle(series.hours, series, options, [](const hourly_value& v) { return floor_day(v.hour); });
}

std::vector<daily_extremes> paired(std::vector<day_value> lows, std::vector<day_value> highs, account& out) {
  for (std::vector<day_value>* values : {&lows, &highs}) {
    // Most files are in the order of time, and a sort keeps a copy of half of them.
    if (!std::ranges::is_sorted(*values, {}, &day_value::day)) std::ranges::stable_sort(*values, {}, &day_value::day);
  }
  std::vector<daily_extremes> days;
  days.reserve(std::min(lows.size(), highs.size()));
  int unpaired = 0;
  auto h = highs.begin();
  for (const day_value& low : lows) {
    while (h != highs.end() && h->day < low.day) {
      ++h;
      ++unpaired;
    }
    if (h == highs.end() || h->day != low.day) {
      ++unpaired;
      continue;
    }
    add_day(days, out, low.day, low.tenths / 10.0, h->tenths / 10.0);
    ++h;
  }
  unpaired += static_cast<int>(highs.end() - h);
  if (unpaired > 0) out.drop("minimum without maximum, or the reverse", unpaired);
  return days;
}

daily_series finish_days(station_names station, std::vector<daily_extremes> days, account& out, std::string_view name,
                         std::string_view unit, const weather_options& options) {
  auto dropped = out.finish(days.size(), unit);
  const auto refuse = [&](const std::vector<dropped_rows>& why) {
    refuse_empty(why, name, "day with a minimum and a maximum", "daily minima and maxima", options);
  };
  if (days.empty()) refuse(dropped);
  daily_series series =
      read_at([&] { return place{.file = std::string(name)}; },
              [&] { return make_daily_series(std::move(station.station), std::move(days), options.duplicates); });
  series.id = std::move(station.id);
  series.unit = unit;
  series.dropped.insert(series.dropped.begin(), std::make_move_iterator(dropped.begin()),
                        std::make_move_iterator(dropped.end()));
  settle_dates(series, options);
  if (series.days.empty()) refuse(series.dropped);
  return series;
}

double any_value_of(std::string_view field, const csv_rows& rows, std::size_t column) {
  if (field.empty() || field == "NA") return missing_number;
  const auto value = to_number(field);
  if (!value)
    throw file_error(rows.place(column), in_quotes(field) + " is no number",
                     "a finite number with a decimal point, blank, NA or -9999");
  return *value == missing_code ? missing_number : *value;
}

std::optional<int> any_whole_number(std::string_view field) {
  while (field.starts_with(' ')) field.remove_prefix(1);
  int value = 0;
  const auto [end, error] = std::from_chars(field.data(), field.data() + field.size(), value);
  if (error != std::errc{} || end != field.data() + field.size()) return std::nullopt;
  return value;
}

}  // namespace coldgrease::inline v0::detail
