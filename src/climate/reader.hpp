// What the readers of weather files share, and their list.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/csv.hpp"
#include "base/decimal.hpp"
#include "base/format.hpp"
#include "base/local_dates.hpp"
#include "climate/hours.hpp"
#include "coldgrease/climate/normals.hpp"
#include "coldgrease/climate/readers.hpp"

namespace coldgrease::inline v0::detail {

constexpr double missing_code = -9999.0;
constexpr double coldest_possible = -90.0;  // [C], just below the record of any station
constexpr double hottest_possible = 60.0;   // [C], just above it

inline bool possible(double celsius) { return celsius >= coldest_possible && celsius <= hottest_possible; }

inline bool wanted_year(int year, const weather_options& options) {
  return (!options.year_from || year >= *options.year_from) && (!options.year_to || year <= *options.year_to);
}

/// The lines of a text that hold something, without line ends and byte-order mark.
class text_lines {
 public:
  explicit text_lines(std::string_view text) : rest_(text) {
    if (rest_.starts_with("\xef\xbb\xbf")) rest_.remove_prefix(3);
  }
  bool next(std::string_view& line) {
    while (!rest_.empty()) {
      const auto end = rest_.find('\n');
      line = rest_.substr(0, end);
      rest_.remove_prefix(end == std::string_view::npos ? rest_.size() : end + 1);
      ++number_;
      if (line.ends_with('\r')) line.remove_suffix(1);
      if (line.find_first_not_of(' ') != std::string_view::npos) return true;
    }
    return false;
  }
  /// Of the line last given, from 1.
  std::size_t number() const { return number_; }

 private:
  std::string_view rest_;
  std::size_t number_ = 0;
};

/// Room for the values of a table of so many bytes, so that they need not be copied as they grow.
constexpr std::size_t expected_rows(std::size_t bytes) {
  constexpr std::size_t least_a_row = 20, most = std::size_t{1} << 20U;
  return std::min(bytes / least_a_row, most);
}

/// How a number in the file becomes degrees C.
struct scale {
  double zero = 0.0;
  double divisor = 1.0;
  /// Most files are in degrees C: a division by one would take as long as any.
  double celsius(double v) const { return divisor == 1.0 ? v - zero : (v - zero) / divisor; }
};
/// @throws file_error for no unit, or one that is none
scale scale_of(std::string_view unit, const place& where);
/// The unit of columns that may declare one, and of the option. @throws file_error where they differ
std::string declared_unit(const csv_rows& rows, std::size_t column, const weather_options& options);
/// Refuses a unit for a format that has its own.
void no_other_unit(std::string_view name, std::string_view format, std::string_view own,
                   const weather_options& options);

/// What is left out, by reason, in the order of first appearance.
class account {
 public:
  void drop(std::string_view reason, int count = 1);
  /// A value outside what any station has seen; the first one's place is kept for the message.
  void impossible(double celsius, place where);
  /// @throws file_error if more than one in a thousand of `values` is impossible
  std::vector<dropped_rows> finish(std::size_t values, std::string_view unit);

 private:
  std::vector<dropped_rows> rows_;
  std::size_t impossible_ = 0;
  place first_;
  double first_value_ = 0.0;
};

/// What a station is called in a series (series_origin).
struct station_names {
  std::string station{};
  std::string id{};
};

/// One station per file, or the one asked for, by its key, which tells stations apart, or its name.
class station_choice {
 public:
  station_choice(std::string_view wanted, std::string_view file) : wanted_(wanted), file_(file) {}
  /// Whether a row counts. @param key  its id, or its name where the file has no id  @param name  beside an id
  bool takes(std::string_view key, std::size_t line, std::string_view name = {});
  /// @throws file_error where the one asked for is not there
  station_names finish() const;

 private:
  std::string_view wanted_;
  std::string_view file_;
  std::string key_, name_;
  struct other {
    std::string key, name;
  };
  std::vector<other> others_;
  bool found_ = false;
};

/// Columns for what a station is called.
struct station_columns {
  std::optional<std::size_t> id{}, station{}, name{};

  /// Adds these to the columns of a reader; find them before this is moved.
  void add_to(std::vector<wanted_column>& columns);
  /// Whether a row counts; every row of a file without such columns does.
  bool takes(station_choice& choice, const std::vector<std::string_view>& fields, std::size_t line) const {
    const auto& key = id ? id : station ? station : name;
    const auto& beside = name ? name : station;
    if (!key) return true;
    return choice.takes(fields[*key], line, beside && beside != key ? fields[*beside] : std::string_view());
  }
  bool any() const { return id || station || name; }
};

/// Columns for where a station stands: takes the first place, notes when the station moves.
class place_watch {
 public:
  /// Adds these to the columns of a reader; find them before this is moved.
  void add_to(std::vector<wanted_column>& columns);
  void take(const std::vector<std::string_view>& fields, std::string_view when) {
    for (part& p : parts_) {
      if (p.column && fields[*p.column] != p.text) take_part(p, fields[*p.column], when);
    }
  }
  bool any() const {
    return std::ranges::any_of(parts_, [](const part& p) { return p.column.has_value(); });
  }
  std::optional<double> latitude() const { return parts_[0].value; }
  std::optional<double> longitude() const { return parts_[1].value; }
  std::vector<std::string> notes() const;

 private:
  struct part {
    std::string_view name;
    std::optional<std::size_t> column{};
    std::string text{};
    std::optional<double> value{};  // the first
    double latest = 0.0;
    int moves = 0;
    std::string first_move{};
  };
  static void take_part(part& p, std::string_view text, std::string_view when);

  std::vector<part> parts_{{.name = "latitude"}, {.name = "longitude"}, {.name = "elevation"}};
};

/// Dates later than tomorrow are left out, a record that ended long ago is noted (options.today).
void settle_dates(daily_series& series, const weather_options& options);
void settle_dates(hourly_series& series, const weather_options& options);

/// A minimum or a maximum of one day, where a format lists them apart: all in tenths of a degree C, and a large file of
/// them is kept in half of the memory.
struct day_value {
  int day = 0;
  int tenths = 0;
};

/// Adds the pair of a day, or counts why it cannot be used.
inline void add_day(std::vector<daily_extremes>& days, account& out, int day, double low, double high) {
  if (low > high) {
    out.drop("minimum above maximum");
  } else {
    days.push_back({day, low, high});
  }
}
/// Days that have both; the others are counted. Lists in any order.
std::vector<daily_extremes> paired(std::vector<day_value> lows, std::vector<day_value> highs, account& out);
/// @throws file_error for no days
daily_series finish_days(station_names station, std::vector<daily_extremes> days, account& out, std::string_view name,
                         std::string_view unit, const weather_options& options);

/// Refuses a file of nothing, with what was left out.
[[noreturn]] void refuse_empty(const std::vector<dropped_rows>& dropped, std::string_view name, std::string_view what,
                               std::string_view expected, const weather_options& options);

/// What a table is told to have, or not to have, beside what it says.
inline void add_notes(const csv_rows& rows, const std::optional<column_dates>& dates, std::vector<std::string>& notes) {
  if (dates && !dates->note().empty()) notes.emplace_back(dates->note());
  for (std::string& remark : lines_of(rows.remarks())) notes.push_back(std::move(remark));
}
/// What stands for a missing number, as no file holds it: an optional would go through memory for every cell.
constexpr double missing_number = std::numeric_limits<double>::quiet_NaN();
inline bool is_missing(double value) { return std::isnan(value); }
/// A number, or missing_number. @throws file_error for text
double any_value_of(std::string_view field, const csv_rows& rows, std::size_t column);
/// The same, but a plain decimal is read on the spot.
inline double value_of(std::string_view field, const csv_rows& rows, std::size_t column) {
  double value = 0.0;
  if (!plain_decimal(field, value)) return any_value_of(field, rows, column);
  return value == missing_code ? missing_number : value;
}
/// As std::from_chars reads all of a text behind its blanks.
std::optional<int> any_whole_number(std::string_view field);
/// The same, but what is written plainly, as nearly all of it is, is read plainly. Test:
/// tests/climate/plain_reading.cpp
inline std::optional<int> whole_number(std::string_view field) {
  while (field.starts_with(' ')) field.remove_prefix(1);
  const bool minus = field.starts_with('-');
  const std::string_view digits = field.substr(minus ? 1 : 0);
  constexpr std::size_t most_digits = 9;  // that no int is too small for
  if (digits.empty() || digits.size() > most_digits) return any_whole_number(field);
  int value = 0;
  for (const char c : digits) {
    if (c < '0' || c > '9') return std::nullopt;
    value = 10 * value + (c - '0');
  }
  return minus ? -value : value;
}

bool looks_like_dly(std::string_view text);
bool looks_like_by_year(std::string_view text);
bool looks_like_epw(std::string_view text);
bool looks_like_normals(std::string_view text);

freeze_normals parse_normals(std::string_view text, std::string_view name, std::string_view wanted);
weather parse_dly(std::string_view text, std::string_view name, const weather_options& options);
weather parse_by_year(std::string_view text, std::string_view name, const weather_options& options);
weather parse_epw(std::string_view text, std::string_view name, const weather_options& options);
weather parse_daily_csv(csv_rows rows, std::size_t size, std::string_view name, const weather_options& options);
/// Hours in columns: GHCN-hourly (`ghcnh`: UTC, degrees C, quality codes), or hours in local time and a declared unit.
weather parse_hourly_csv(csv_rows rows, std::size_t size, bool ghcnh, std::string_view name,
                         const weather_options& options);

}  // namespace coldgrease::inline v0::detail
