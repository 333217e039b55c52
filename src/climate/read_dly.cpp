// GHCN-Daily .dly: a line a month and element.
#include <limits>

#include "climate/reader.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr std::size_t dly_first_value = 21;  // of columns cut by position: numbers touch flags and each other
constexpr std::size_t dly_value_width = 8;   // five digits, three flags

}  // namespace

bool looks_like_dly(std::string_view text) {
  const std::string_view line = text.substr(0, text.find('\n'));
  if (line.size() < dly_first_value + 5 || line.substr(0, 11).find(',') != std::string_view::npos) return false;
  const auto is_capital = [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); };
  return whole_number(line.substr(11, 4)) && whole_number(line.substr(15, 2)) &&
         std::ranges::all_of(line.substr(17, 4), is_capital);
}

weather parse_dly(std::string_view text, std::string_view name, const weather_options& options) {
  no_other_unit(name, "a .dly file", "0.1 C", options);
  station_choice station(options.station, name);
  account out;
  std::vector<day_value> lows, highs;
  int latest_low = std::numeric_limits<int>::min(), latest_high = latest_low;  // first day of the latest month of each
  int behind = 0;                                                              // lines that stand behind it
  text_lines lines(text);
  for (std::string_view line; lines.next(line);) {
    const auto here = [&] { return place{.file = std::string(name), .line = lines.number()}; };
    if (line.size() < dly_first_value)
      throw file_error(here(), fmt::format("has {} characters", line.size()), "269, the width of a .dly line");
    const std::string_view element = line.substr(17, 4);
    if (!station.takes(line.substr(0, 11), lines.number())) continue;
    if (element != "TMIN" && element != "TMAX") continue;
    const auto year = whole_number(line.substr(11, 4));
    const auto month = whole_number(line.substr(15, 2));
    if (!year || !month || !valid_date(*year, *month, 1))
      throw file_error(here(), in_quotes(line.substr(11, 6)) + " is no year and month", "columns 12 to 17");
    if (!wanted_year(*year, options)) continue;
    const int last = days_in_month(*year, *month);
    // Blank flags at the end of a line are often trimmed; a value may not be.
    const std::size_t least = dly_first_value + dly_value_width * static_cast<std::size_t>(last - 1) + 5;
    if (line.size() < least)
      throw file_error(here(), fmt::format("is cut after {} characters", line.size()), "269, the width of a .dly line");
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
        throw file_error(here(), fmt::format("{} for day {} is no number", in_quotes(field.substr(0, 5)), d + 1),
                         "tenths of a degree C");
      if (*value == static_cast<int>(missing_code)) {
        out.drop("missing value");
      } else if (field.size() > 6 && field[6] != ' ') {
        out.drop("quality flag");
      } else if (const double t = *value / 10.0; !possible(t)) {
        out.impossible(t, here());
      } else {
        values.push_back({first_day + d, *value});
      }
    }
  }
  daily_series series =
      finish_days(station.finish(), paired(std::move(lows), std::move(highs), out), out, name, "0.1 C", options);
  if (behind > 0)
    series.notes.push_back(
        fmt::format("{} line{} not in the order of time: sorted", behind, behind == 1 ? " was" : "s were"));
  return series;
}

}  // namespace coldgrease::inline v0::detail
