// EPW: eight lines of head, then the hours of a typical year.
#include <array>
#include <cmath>

#include "climate/duplicates.hpp"
#include "climate/reader.hpp"
#include "coldgrease/base/one_line.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/climate/statistics.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr double missing_dry_bulb = 99.9;
constexpr std::size_t dry_bulb_field = 6;

/// The quote that ends a field, its doubled ones passed over; nothing where it does not begin with one or has no end.
std::size_t closing_quote(std::string_view line) {
  auto close = line.starts_with('"') ? line.find('"', 1) : std::string_view::npos;
  while (close != std::string_view::npos && line.substr(close + 1).starts_with('"')) close = line.find('"', close + 2);
  return close;
}

/// The first fields of a line without the quotes around them; a comma within quotes cuts nothing.
void cut(std::string_view line, std::vector<std::string_view>& fields, std::size_t most) {
  fields.clear();
  while (true) {
    while (line.starts_with(' ')) line.remove_prefix(1);
    const auto close = closing_quote(line);
    const auto end = line.find(',', close == std::string_view::npos ? 0 : close);
    std::string_view field = line.substr(0, end);
    while (field.ends_with(' ')) field.remove_suffix(1);
    if (close != std::string_view::npos && close + 1 == field.size()) field = field.substr(1, close - 1);
    fields.push_back(field);
    if (end == std::string_view::npos || fields.size() == most) return;
    line.remove_prefix(end + 1);
  }
}

/// Mean and deviation of annual minima and the n-year minima, if the n-year minima printed beside them follow from them
/// by the formula that made them: the number of columns before them differs between editions, so this is how the right
/// ones are known.
struct extremes {
  temperature mean = celsius(0);
  temperature_step deviation = kelvins(0);
  std::vector<return_row> minima{};
};
std::optional<extremes> extremes_of(const std::vector<double>& after) {
  constexpr std::array years{5, 10, 20, 50};
  constexpr std::size_t printed = 12;  // means, deviations and four pairs of n-year values
  for (const std::size_t before : {std::size_t{4}, std::size_t{3}}) {
    if (after.size() < before + printed) continue;
    const double mean = after[before], deviation = after[before + 2];
    bool follows = deviation > 0.0;
    std::vector<return_row> minima;
    for (std::size_t i = 0; i < years.size(); ++i) {
      // Mean, deviation and the value itself are each rounded to 0.1.
      const double rounding = 0.05 + 0.05 * (1.0 + std::abs(gumbel_factor(years[i]))) + 1e-9;
      const double expected = mean - gumbel_factor(years[i]) * deviation, value = after[before + 4 + 2 * i];
      follows = follows && std::abs(value - expected) <= rounding;
      minima.push_back({years[i], celsius(value)});
    }
    if (follows) return extremes{celsius(mean), kelvins(deviation), std::move(minima)};
  }
  return std::nullopt;
}

/// A quoted field with its doubled quotes as one.
std::string undoubled(std::string_view field) {
  std::string text(field);
  for (auto at = text.find("\"\""); at != std::string::npos; at = text.find("\"\"", at + 1)) text.erase(at, 1);
  return text;
}

/// What DESIGN CONDITIONS quotes; found by its words, since a field after the title may be absent.
std::optional<design_values> design_conditions(const std::vector<std::string_view>& fields, std::string_view station,
                                               std::vector<std::string>& notes) {
  const auto heating = std::ranges::find(fields, "Heating");
  if (heating == fields.end()) return std::nullopt;
  const auto number = [&](std::ptrdiff_t behind) {
    return heating + behind < fields.end() ? to_number(*(heating + behind)) : std::nullopt;
  };
  const auto at_99_6 = number(2), at_99 = number(3);
  if (!at_99_6 || !at_99 || !possible(*at_99_6) || !possible(*at_99)) return std::nullopt;
  design_values values{.station = std::string(station), .edition = "not stated", .source = "head of the file"};
  if (fields.size() > 2 && !fields[2].empty()) values.edition = fields[2];
  values.heating_99_6 = celsius(*at_99_6);
  values.heating_99 = celsius(*at_99);

  std::vector<double> after;
  for (auto f = std::ranges::find(fields, "Extremes"); f != fields.end() && ++f != fields.end();) {
    const auto v = to_number(*f);
    if (!v) break;
    after.push_back(*v);
  }
  if (after.size() < 15) {
    notes.emplace_back("the head of the file quotes no n-year minima");
  } else if (const auto e = extremes_of(after)) {
    values.mean_annual_minimum = e->mean;
    values.deviation = e->deviation;
    values.printed_minima = e->minima;
  } else {
    notes.emplace_back("the n-year minima in the head of the file do not follow from its mean and deviation: not used");
  }
  return values;
}

/// 24 times the day of a common or a leap year, plus the hour.
std::optional<int> hour_of_year(int month, int day, int hour) {
  constexpr int a_leap_year = 2000;
  const auto d = valid_date(a_leap_year, month, day);
  if (!d || hour < 1 || hour > 24) return std::nullopt;
  return 24 * (day_number(*d) - day_number({a_leap_year, 1, 1})) + hour - 1;  // hour 1 ends at 01:00
}

void note_years(typical_year& year, int first, int last) {
  year.notes.push_back(first == last
                           ? fmt::format("one year, {}, read as a typical one: it tells no n-year minima", first)
                           : fmt::format("a typical year of months from {} to {}", first, last));
}

}  // namespace

bool looks_like_epw(std::string_view text) { return text.starts_with("LOCATION,"); }

weather parse_epw(std::string_view text, std::string_view name, const weather_options& options) {
  no_other_unit(name, "an EPW file", "C", options);
  if (options.year_from || options.year_to)
    throw file_error(name, "holds a typical year, put together from several", "no choice of years");
  station_choice station(options.station, name);
  typical_year year;
  account out;
  std::vector<std::string_view> fields;
  bool head = true, leap = false;
  std::optional<int> first_year, last_year;
  text_lines lines(text);
  for (std::string_view line; lines.next(line);) {
    const auto here = [&](std::string_view column) {
      return place{.file = std::string(name), .line = lines.number(), .field = std::string(column)};
    };
    cut(line, fields, head ? std::string_view::npos : dry_bulb_field + 1);
    if (head) {
      if (fields[0] == "LOCATION") {
        if (fields.size() < 10) throw file_error(here("LOCATION"), "is cut short", "ten fields");
        const std::string town = undoubled(fields[1]);
        const std::string_view wmo = fields[5];
        station.takes(wmo.empty() ? std::string_view(town) : wmo, lines.number(),
                      wmo.empty() ? std::string_view() : std::string_view(town));
        auto [called, id] = station.finish();
        year.station = std::move(called);
        year.id = std::move(id);
        const auto latitude = to_number(fields[6]);
        if (latitude && std::abs(*latitude) <= 90.0) year.latitude = latitude;
      } else if (fields[0] == "DESIGN CONDITIONS") {
        year.published = design_conditions(fields, year.station, year.notes);
      } else if (fields[0].starts_with("COMMENTS")) {
        // A comment tells of future climates and other inventions; its commas are its own.
        const auto comment = line.substr(std::min(line.find(','), line.size() - 1) + 1);
        if (comment.find_first_not_of(" -\"") != std::string_view::npos)
          year.comments.push_back(on_one_line(fmt::format("{}: {}", fields[0], comment.substr(0, 160))));
      } else if (fields[0] == "DATA PERIODS") {
        if (fields.size() < 3 || fields[2] != "1")
          throw file_error(here("DATA PERIODS"), "has not one record an hour", "one record an hour");
        head = false;
      }
      continue;
    }
    if (fields.size() <= dry_bulb_field) throw file_error(here({}), fmt::format("has {} fields", fields.size()), "35");
    const auto y = whole_number(fields[0]), month = whole_number(fields[1]), day = whole_number(fields[2]),
               hour = whole_number(fields[3]);
    const auto at = y && month && day && hour ? hour_of_year(*month, *day, *hour) : std::nullopt;
    if (!at)
      throw file_error(
          here("date"),
          in_quotes(fmt::format("{},{},{},{}", fields[0], fields[1], fields[2], fields[3])) + " is no hour",
          "year, month, day, hour 1 to 24");
    first_year = std::min(first_year.value_or(*y), *y);
    last_year = std::max(last_year.value_or(*y), *y);
    leap = leap || (*month == 2 && *day == 29);
    const auto value = to_number(fields[dry_bulb_field]);
    if (!value)
      throw file_error(here("dry bulb"), in_quotes(fields[dry_bulb_field]) + " is no number",
                       "a finite number with a decimal point, 99.9 if missing");
    if (*value == missing_dry_bulb || *value == missing_code) {
      out.drop("temperature missing");
    } else if (!possible(*value)) {
      out.impossible(*value, here("dry bulb"));
    } else {
      year.hours.push_back({*at, *value});
    }
  }
  if (head) throw file_error(name, "has no line DATA PERIODS", "eight lines of head, then hours");
  year.unit = "C";
  year.dropped = out.finish(year.hours.size(), year.unit);
  if (year.hours.empty()) refuse_empty(year.dropped, name, "hour with a temperature", "hours of temperature", options);

  if (!leap) {
    year.days = 365;
    for (hourly_value& v : year.hours) v.hour -= v.hour >= 24 * 60 ? 24 : 0;  // no 29 February
  } else {
    year.days = 366;
  }
  std::ranges::stable_sort(year.hours, {}, &hourly_value::hour);
  const left_out twice =
      read_at([&] { return place{.file = std::string(name)}; },
              [&] {
                return take_once(year.hours, &hourly_value::hour, options.duplicates, [&](const auto& v) {
                  const date d = date_in(year, floor_day(v.hour));
                  return fmt::format("{}-{:02}T{:02}", name_of_month(d.month), d.day, hour_of_day(v.hour));
                });
              });
  if (twice.count > 0) year.dropped.push_back({"hour stands twice", twice.count});
  if (const auto missing = 24 * static_cast<std::size_t>(year.days) - year.hours.size())
    year.notes.push_back(fmt::format("hours missing in the year: {}", missing));
  note_years(year, *first_year, *last_year);
  return year;
}

}  // namespace coldgrease::inline v0::detail
