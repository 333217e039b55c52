#include "coldgrease/line/readings.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

#include "base/local_dates.hpp"
#include "coldgrease/grease/belief.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

namespace {

using detail::csv_rows;

constexpr std::string_view columns_of_readings =
    "date, vehicle, batch, installation, point, grease, temperature [C], gauge [bar], reached, rest [h]";
constexpr std::size_t most_readings = 3'000;  // a joint solution of them takes seconds
// Nobody reads a gauge at a truck outside of these.
constexpr temperature coldest_read = celsius(-65.0), warmest_read = celsius(55.0);

struct columns {
  std::optional<std::size_t> day, vehicle, batch, installation, point, grease, at, gauge, reached, rest;
};

columns find_columns(csv_rows& rows) {
  columns c;
  rows.find({{.names = {"date"}, .found = &c.day, .needed = true},
             {.names = {"vehicle"}, .found = &c.vehicle, .needed = true},
             {.names = {"batch"}, .found = &c.batch},
             {.names = {"installation"}, .found = &c.installation, .needed = true},
             {.names = {"point"}, .found = &c.point},
             {.names = {"grease"}, .found = &c.grease, .needed = true},
             {.names = {"temperature"}, .found = &c.at, .needed = true, .with_unit = true},
             {.names = {"gauge"}, .found = &c.gauge, .needed = true, .with_unit = true},
             {.names = {"reached"}, .found = &c.reached, .instead_of = "gauge"},
             {.names = {"rest"}, .found = &c.rest, .with_unit = true}},
            detail::other_columns::refused, columns_of_readings);
  return c;
}

class readings_reader {
 public:
  readings_reader(std::string_view text, std::string_view name, std::span<const installation> installations,
                  std::span<const std::string> greases)
      : rows_(text, name),
        c_(find_columns(rows_)),
        dates_(rows_, *c_.day),
        installations_(installations),
        greases_(greases) {}

  bool next(reading& into) {
    if (!rows_.next(fields_)) return false;
    into = {.row = rows_.line()};
    const std::string_view day = text(c_.day);
    if (!dates_.read(day, into.day)) refuse(c_.day, in_quotes(day) + " is no date", "2015-01-26 or 20150126");
    into.vehicle = text(c_.vehicle);
    if (into.vehicle.empty()) refuse(c_.vehicle, "is empty", "the number or name of the vehicle");
    into.batch = text(c_.batch);
    const installation& system =
        installations_[place_of(c_.installation, installations_, &installation::name, "installation of the fleet")];
    into.installation = system.name;
    if (!text(c_.point).empty())
      into.point = system.lines[place_of(c_.point, system.lines, &line::point, "point of " + system.name)].point;
    into.grease = greases_[place_of(c_.grease, greases_, std::identity{}, "grease of the fleet")];
    into.at = detail::quantity_of<temperature>(rows_, *c_.at, text(c_.at), measure::grease_temperature);
    if (into.at < coldest_read || into.at > warmest_read)
      refuse(c_.at, in_quotes(text(c_.at)) + " " + rows_.unit_of(*c_.at) + " is no air that a vehicle is read in",
             fmt::format("{:.0f} to {:.0f} C; is the column in another scale?", coldest_read.in_celsius(),
                         warmest_read.in_celsius()));
    if (!text(c_.gauge).empty())
      into.gauge = detail::quantity_of<pressure>(rows_, *c_.gauge, text(c_.gauge), measure::gauge_pressure);
    if (into.gauge && !(in_pascal(*into.gauge) > 0.0))
      refuse(c_.gauge, in_quotes(text(c_.gauge)) + " is no pressure", "above 0, read while the pump delivers");
    if (const std::string_view word = text(c_.reached); !word.empty()) {
      if (word != "yes" && word != "no") refuse(c_.reached, in_quotes(word), "yes, no, or nothing");
      into.reached = word == "yes";
    }
    if (!text(c_.rest).empty()) {
      const auto rest = detail::quantity_of<duration>(rows_, *c_.rest, text(c_.rest), measure::rest);
      if (in_second(rest) > 0.0) into.rest = rest;
    }
    if (!into.gauge && !into.reached)
      throw file_error(rows_.place(), "neither gauge nor reached says anything", "one of them");
    check_gauge(into, system);
    return true;
  }

  std::vector<std::string> left_out() const { return detail::lines_of(rows_.remarks()); }
  file_error twice(std::size_t before) const {
    return {rows_.place(), fmt::format("says what line {} says", before), "each reading once"};
  }

 private:
  std::string_view text(const std::optional<std::size_t>& column) const {
    return column ? fields_[*column] : std::string_view();
  }
  [[noreturn]] void refuse(const std::optional<std::size_t>& column, const std::string& problem,
                           std::string_view wanted) const {
    throw file_error(rows_.place(*column), problem, wanted);
  }
  template <class Range, class Name>
  std::size_t place_of(const std::optional<std::size_t>& column, const Range& range, Name name,
                       const std::string& what) const {
    const auto found = std::ranges::find(range, text(column), name);
    if (found != std::ranges::end(range)) return static_cast<std::size_t>(found - std::ranges::begin(range));
    std::string names;
    for (const auto& item : range) names += (names.empty() ? "" : ", ") + in_quotes(std::invoke(name, item));
    refuse(column, fmt::format("there is no {} {}", what, in_quotes(text(column))), "one of " + names);
  }

  /// A gauge shows at least what the point asks for, and not far more than the pump has.
  void check_gauge(const reading& r, const installation& system) const {
    if (!r.gauge) return;
    const double shown = in_pascal(*r.gauge);
    const auto deviations_below = [&](const line& l) {
      const reading_errors errors;
      const double outlet = in_pascal(l.outlet ? errors.stated_outlet : errors.assumed_outlet);
      const double deviation = std::hypot(in_pascal(errors.gauge), outlet) / detail::z90;
      return (in_pascal(l.outlet.value_or(assumed_outlet())) - shown) / deviation;
    };
    constexpr double most_deviations = 3.0, most_times = 1.25;
    double least = INFINITY;
    for (std::size_t i = 0; i < system.lines.size(); ++i) {
      if (r.point.empty() || r.point == system.lines[i].point)
        least = std::fmin(least, deviations_below(system.lines[i]));
    }
    if (least > most_deviations)
      refuse(c_.gauge, fmt::format("{} is below what the point asks for", in_quotes(text(c_.gauge))),
             "the gauge at the pump while it delivers, in the unit of the column");
    const pressure has = conditions_of(system, r.at, usual_confidence).available;
    if (shown > most_times * in_pascal(has))
      refuse(c_.gauge,
             fmt::format("{} {} is more than the pump has, {}", in_quotes(text(c_.gauge)), rows_.unit_of(*c_.gauge),
                         both_units(has)),
             "the gauge at the pump, in the unit of the column");
  }

  csv_rows rows_;
  columns c_;
  detail::column_dates dates_;
  std::span<const installation> installations_;
  std::span<const std::string> greases_;
  std::vector<std::string_view> fields_;
};

/// Equal for readings that say the same.
std::string key_of(const reading& r) {
  const auto said = [](const auto& value, auto read) {
    return value ? fmt::format("{}", read(*value)) : std::string();
  };
  return fmt::format("{}\n{}\n{}\n{}\n{}\n{}\n{}\n{}\n{}\n{}", text_of(r.day), r.vehicle, r.batch, r.installation,
                     r.point, r.grease, r.at.in_celsius(), said(r.gauge, in_pascal),
                     said(r.reached, [](bool b) { return b; }), said(r.rest, [](duration d) { return in_second(d); }));
}

}  // namespace

readings_file read_readings(const source& file, std::span<const installation> installations,
                            std::span<const std::string> greases) {
  const source::text read = file.read(file_kind::schedule);
  readings_reader reader(read.bytes, file.name(), installations, greases);
  std::vector<reading> all;
  std::map<std::string, std::size_t> seen;
  for (reading r; reader.next(r);) {
    if (all.size() == most_readings)
      throw file_error(file.name(), fmt::format("holds more than {} readings", most_readings), "fewer");
    const auto [same, is_new] = seen.try_emplace(key_of(r), r.row);
    if (!is_new) throw reader.twice(same->second);
    all.push_back(std::move(r));
  }
  if (all.empty()) throw file_error(file.name(), "holds no readings", "rows below the header");
  return {std::move(all), {file.name(), read.checksum}, reader.left_out()};
}

}  // namespace coldgrease::inline v0
