#include "coldgrease/climate/readers.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <iterator>
#include <limits>

#include "base/csv.hpp"
#include "base/file.hpp"
#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease {

namespace {

constexpr double missing_code = -9999.0;
constexpr double coldest_possible = -90.0;  // [C], just below the record of any station
constexpr double hottest_possible = 60.0;   // [C], just above it

/// How a number in the file becomes degrees C.
struct scale {
  double factor = 1.0;
  double zero = 0.0;
  double divisor = 1.0;
  double celsius(double v) const { return (v - zero) * factor / divisor; }
};

scale scale_of(std::string_view unit, std::string_view where) {
  if (unit == "C") return {};
  if (unit == "F") return {1.0, 32.0, 1.8};
  if (unit == "K") return {1.0, 273.15, 1.0};
  if (unit == "0.1 C") return {1.0, 0.0, 10.0};
  throw file_error(where,
                   unit.empty() ? "no unit of temperature is declared" : in_quotes(unit) + " is no unit of temperature",
                   R"(the unit C, F, K or 0.1 C, in the column's name ("tmin [C]") or as an option)");
}

/// What is left out, by reason, in the order of first appearance.
class account {
 public:
  void drop(std::string_view reason, int count = 1) {
    const auto known = std::ranges::find(rows_, reason, &dropped_rows::reason);
    if (known != rows_.end()) {
      known->count += count;
    } else {
      rows_.push_back({std::string(reason), count});
    }
  }
  /// A value outside what any station has seen; `place` of the first one is kept for the message.
  void impossible(double celsius, std::string place) {
    if (impossible_++ == 0) {
      first_ = std::move(place);
      first_value_ = celsius;
    }
  }
  std::vector<dropped_rows> finish(std::size_t days, std::string_view unit) {
    if (impossible_ > 0) {
      if (impossible_ * 1000 > days)
        throw file_error(
            first_,
            fmt::format("{:.4g} C if the unit is {}; values outside -90 to 60 C: {}", first_value_, unit, impossible_),
            "another unit (C, F, K or 0.1 C)");
      drop("outside -90 to 60 C", static_cast<int>(impossible_));
    }
    return std::move(rows_);
  }

 private:
  std::vector<dropped_rows> rows_;
  std::size_t impossible_ = 0;
  std::string first_;
  double first_value_ = 0.0;
};

bool possible(double celsius) { return celsius >= coldest_possible && celsius <= hottest_possible; }

bool wanted_year(int year, const weather_options& options) {
  return (!options.year_from || year >= *options.year_from) && (!options.year_to || year <= *options.year_to);
}

/// Adds the pair of a day, or counts why it cannot be used.
void add_day(std::vector<daily_extremes>& days, account& out, int day, double low, double high) {
  if (low > high) {
    out.drop("minimum above maximum");
  } else {
    days.push_back({day, low, high});
  }
}

daily_series finish(std::string station, std::vector<daily_extremes> days, account& out, std::string_view name,
                    std::string_view unit, const weather_options& options) {
  const std::size_t seen = days.size();
  auto dropped = out.finish(seen, unit);
  if (days.empty()) {
    std::string why;
    for (const dropped_rows& d : dropped)
      why += fmt::format("{}{}: {}", why.empty() ? "; left out: " : ", ", d.count, d.reason);
    throw file_error(name, "holds no day with a minimum and a maximum" + why,
                     options.year_from || options.year_to ? "daily minima and maxima in the years asked for"
                                                          : "daily minima and maxima");
  }
  daily_series series = make_daily_series(std::move(station), std::move(days));
  series.dropped.insert(series.dropped.begin(), std::make_move_iterator(dropped.begin()),
                        std::make_move_iterator(dropped.end()));
  return series;
}

/// One station per file, or the one asked for.
class station_choice {
 public:
  station_choice(std::string_view wanted, std::string_view name) : wanted_(wanted), name_(name) {}

  bool takes(std::string_view station, std::size_t line) {
    if (!wanted_.empty()) {
      found_ = found_ || station == wanted_;
      if (station != wanted_ && std::ranges::find(others_, station) == others_.end() && others_.size() < 5)
        others_.emplace_back(station);
      return station == wanted_;
    }
    if (first_.empty()) {
      first_ = station;
    } else if (station != first_) {
      throw file_error(fmt::format("{}:{}", name_, line),
                       fmt::format("holds several stations, {} and {}", in_quotes(first_), in_quotes(station)),
                       "the name of one of them (station)");
    }
    return true;
  }

  std::string finish() const {
    if (wanted_.empty()) return first_;
    if (!found_) {
      std::string list;
      for (const std::string& s : others_) list += (list.empty() ? "" : ", ") + in_quotes(s);
      throw file_error(name_, "holds no station " + in_quotes(wanted_),
                       list.empty() ? "a file that names its station" : list);
    }
    return std::string(wanted_);
  }

 private:
  std::string_view wanted_;
  std::string_view name_;
  std::string first_;
  std::vector<std::string> others_;
  bool found_ = false;
};

// ---- CSV ------------------------------------------------------------------------------------------------------------

struct csv_columns {
  std::optional<std::size_t> date, year, month, day, low, high, station, low_flags, high_flags;
};

csv_columns find_columns(const detail::csv_rows& rows) {
  csv_columns c;
  const auto set = [&](std::optional<std::size_t>& column, std::size_t i) {
    if (column)
      throw file_error(rows.place(), fmt::format("two columns could be {}", in_quotes(rows.header()[i])),
                       "one of them");
    column = i;
  };
  std::optional<std::size_t> name;
  for (std::size_t i = 0; i < rows.header().size(); ++i) {
    const std::string column = rows.name_of(i);
    if (column == "date") set(c.date, i);
    if (column == "year") set(c.year, i);
    if (column == "month") set(c.month, i);
    if (column == "day") set(c.day, i);
    if (column == "tmin" || column == "temp_min") set(c.low, i);
    if (column == "tmax" || column == "temp_max") set(c.high, i);
    if (column == "station" || column == "location" || column == "id") set(c.station, i);
    if (column == "name") set(name, i);
    if (column == "tmin_attributes") set(c.low_flags, i);
    if (column == "tmax_attributes") set(c.high_flags, i);
  }
  if (!c.station) c.station = name;
  const auto missing = [&](std::string_view what) {
    throw file_error(rows.place(), "no column " + std::string(what), "date (or year, month, day), tmin, tmax");
  };
  if (!c.date && !(c.year && c.month && c.day)) missing("date");
  if (!c.low) missing("tmin");
  if (!c.high) missing("tmax");
  return c;
}

/// Second of the comma-separated flags "measurement,quality,source": anything but blank means that the value failed.
bool fails_quality(std::string_view flags) {
  const auto comma = flags.find(',');
  if (comma == std::string_view::npos) return false;
  const auto end = flags.find(',', comma + 1);
  const std::string_view quality = flags.substr(comma + 1, end == std::string_view::npos ? end : end - comma - 1);
  return quality.find_first_not_of(' ') != std::string_view::npos;
}

/// A number, nothing for a missing one.
std::optional<double> value_of(std::string_view field, const detail::csv_rows& rows, std::size_t column) {
  if (field.empty() || field == "NA") return std::nullopt;
  const auto value = to_number(field);
  if (!value)
    throw file_error(rows.place(column), in_quotes(field) + " is no number",
                     "a finite number with a decimal point, blank, NA or -9999");
  if (*value == missing_code) return std::nullopt;
  return value;
}

std::optional<date> date_of_row(const csv_columns& c, const std::vector<std::string_view>& fields) {
  if (c.date) {
    // "2015-01-26T00:00:00" and "2015-01-26 00:00" name the day as well.
    const std::string_view text = fields[*c.date];
    const bool has_time = text.size() > 10 && (text[10] == 'T' || text[10] == ' ');
    return parse_date(has_time ? text.substr(0, 10) : text);
  }
  const auto part = [&](std::size_t column) { return to_number(fields[column]).value_or(0.0); };
  const double y = part(*c.year), m = part(*c.month), d = part(*c.day);
  if (y != std::floor(y) || m != std::floor(m) || d != std::floor(d) || std::abs(y) > 9999.0 || std::abs(m) > 99.0 ||
      std::abs(d) > 99.0)
    return std::nullopt;
  return valid_date(static_cast<int>(y), static_cast<int>(m), static_cast<int>(d));
}

daily_series parse_csv(std::string_view text, std::string_view name, const weather_options& options) {
  detail::csv_rows rows(text, name);
  const csv_columns c = find_columns(rows);
  std::string unit = rows.unit_of(*c.low);
  if (unit != rows.unit_of(*c.high))
    throw file_error(rows.place(), "tmin and tmax declare different units", "one unit");
  if (!unit.empty() && !options.unit.empty() && unit != options.unit)
    throw file_error(rows.place(),
                     fmt::format("the columns declare {}, the option {}", in_quotes(unit), in_quotes(options.unit)),
                     "one unit");
  if (unit.empty()) unit = options.unit;
  const scale to_celsius = scale_of(unit, rows.place());

  station_choice station(options.station, name);
  account out;
  std::vector<daily_extremes> days;
  days.reserve(text.size() / 20);
  std::vector<std::string_view> fields;
  while (rows.next(fields)) {
    if (c.station && !station.takes(fields[*c.station], rows.line())) continue;
    const auto day = date_of_row(c, fields);
    if (!day) {
      const std::string written = c.date ? std::string(fields[*c.date])
                                         : fmt::format("{}, {}, {}", fields[*c.year], fields[*c.month], fields[*c.day]);
      throw file_error(c.date ? rows.place(*c.date) : rows.place(), in_quotes(written) + " is no date",
                       "2015-01-26, 20150126, or year, month and day");
    }
    if (!wanted_year(day->year, options)) continue;
    const auto low = value_of(fields[*c.low], rows, *c.low);
    const auto high = value_of(fields[*c.high], rows, *c.high);
    if (!low || !high) {
      out.drop("minimum or maximum missing");
      continue;
    }
    if ((c.low_flags && fails_quality(fields[*c.low_flags])) ||
        (c.high_flags && fails_quality(fields[*c.high_flags]))) {
      out.drop("quality flag");
      continue;
    }
    const double low_c = to_celsius.celsius(*low), high_c = to_celsius.celsius(*high);
    if (!possible(low_c) || !possible(high_c)) {
      out.impossible(possible(low_c) ? high_c : low_c, rows.place(possible(low_c) ? *c.high : *c.low));
      continue;
    }
    add_day(days, out, day_number(*day), low_c, high_c);
  }
  // A file that names no station may be called by the name the user gives it.
  std::string chosen = c.station ? station.finish() : options.station;
  return finish(std::move(chosen), std::move(days), out, name, unit, options);
}

// ---- GHCN-Daily .dly ------------------------------------------------------------------------------------------------

constexpr std::size_t dly_first_value = 21;  // of columns cut by position: numbers touch flags and each other
constexpr std::size_t dly_value_width = 8;   // five digits, three flags

std::optional<int> whole_number(std::string_view field) {
  while (field.starts_with(' ')) field.remove_prefix(1);
  int value = 0;
  const auto [end, error] = std::from_chars(field.data(), field.data() + field.size(), value);
  if (error != std::errc{} || end != field.data() + field.size()) return std::nullopt;
  return value;
}

bool looks_like_dly(std::string_view text) {
  const std::string_view line = text.substr(0, text.find('\n'));
  if (line.size() < dly_first_value + 5 || line.substr(0, 11).find(',') != std::string_view::npos) return false;
  const auto is_capital = [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); };
  return whole_number(line.substr(11, 4)) && whole_number(line.substr(15, 2)) &&
         std::ranges::all_of(line.substr(17, 4), is_capital);
}

struct day_value {
  int day = 0;
  double celsius = 0.0;
};

daily_series parse_dly(std::string_view text, std::string_view name, const weather_options& options) {
  if (!options.unit.empty() && options.unit != "0.1 C")
    throw file_error(name, "the unit of a .dly file is tenths of a degree C", "no unit, or 0.1 C");
  station_choice station(options.station, name);
  account out;
  std::vector<day_value> lows, highs;
  int latest_low = std::numeric_limits<int>::min(), latest_high = latest_low;  // first day of the latest month of each
  int behind = 0;                                                              // lines that stand behind it
  std::size_t number = 0;
  std::string_view rest = text;
  while (!rest.empty()) {
    const auto end = rest.find('\n');
    std::string_view line = rest.substr(0, end);
    rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
    ++number;
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (line.find_first_not_of(' ') == std::string_view::npos) continue;
    const auto place = [&] { return fmt::format("{}:{}", name, number); };
    if (line.size() < dly_first_value)
      throw file_error(place(), fmt::format("has {} characters", line.size()), "269, the width of a .dly line");
    const std::string_view element = line.substr(17, 4);
    if (!station.takes(line.substr(0, 11), number)) continue;
    if (element != "TMIN" && element != "TMAX") continue;
    const auto year = whole_number(line.substr(11, 4));
    const auto month = whole_number(line.substr(15, 2));
    if (!year || !month || !valid_date(*year, *month, 1))
      throw file_error(place(), in_quotes(line.substr(11, 6)) + " is no year and month", "columns 12 to 17");
    if (!wanted_year(*year, options)) continue;
    const int last = days_in_month(*year, *month);
    // Blank flags at the end of a line are often trimmed; a value may not be.
    const std::size_t least = dly_first_value + dly_value_width * static_cast<std::size_t>(last - 1) + 5;
    if (line.size() < least)
      throw file_error(place(), fmt::format("is cut after {} characters", line.size()),
                       "269, the width of a .dly line");
    auto& values = element == "TMIN" ? lows : highs;
    const int first_day = day_number({*year, *month, 1});
    int& latest = element == "TMIN" ? latest_low : latest_high;
    behind += first_day < latest;
    latest = std::max(latest, first_day);
    for (int d = 0; d < last; ++d) {
      const std::string_view field =
          line.substr(dly_first_value + dly_value_width * static_cast<std::size_t>(d), dly_value_width);
      const auto value = whole_number(field.substr(0, 5));
      if (!value)
        throw file_error(place(), fmt::format("{} for day {} is no number", in_quotes(field.substr(0, 5)), d + 1),
                         "tenths of a degree C");
      if (*value == static_cast<int>(missing_code)) {
        out.drop("missing value");
      } else if (field.size() > 6 && field[6] != ' ') {
        out.drop("quality flag");
      } else if (const double t = *value / 10.0; !possible(t)) {
        out.impossible(t, place());
      } else {
        values.push_back({first_day + d, t});
      }
    }
  }
  const auto by_day = [](const day_value& a, const day_value& b) { return a.day < b.day; };
  std::ranges::stable_sort(lows, by_day);
  std::ranges::stable_sort(highs, by_day);
  std::vector<daily_extremes> days;
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
    add_day(days, out, low.day, low.celsius, h->celsius);
    ++h;
  }
  unpaired += static_cast<int>(highs.end() - h);
  if (unpaired > 0) out.drop("minimum without maximum, or the reverse", unpaired);
  daily_series series = finish(station.finish(), std::move(days), out, name, "0.1 C", options);
  if (behind > 0)
    series.notes.push_back(
        fmt::format("{} line{} not in the order of time: sorted", behind, behind == 1 ? " was" : "s were"));
  return series;
}

}  // namespace

void check_weather_format(std::string_view format, std::string_view where) {
  if (!format.empty() && format != "dly" && format != "csv")
    throw input_error(where, in_quotes(format) + " is no weather format", "dly or csv");
}

daily_series parse_weather(std::string_view text, std::string_view name, const weather_options& options) {
  if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) throw file_error(name, "is empty", "a weather file");
  check_weather_format(options.format, "format");
  const bool dly = options.format == "dly" || (options.format.empty() && looks_like_dly(text));
  return dly ? parse_dly(text, name, options) : parse_csv(text, name, options);
}

daily_series read_weather(const std::string& path, const weather_options& options) {
  return parse_weather(detail::read_file(path), path, options);
}

}  // namespace coldgrease
