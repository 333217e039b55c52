#include "coldgrease/grease/measurement.hpp"

#include "base/format.hpp"

#include <cmath>
#include <numbers>
#include <optional>

#include "base/csv.hpp"
#include "coldgrease/base/ranges.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr std::string_view expected = "temperature [C], rate [1/s], and apparent viscosity [Pa s] or stress [Pa]";

constexpr std::size_t most_points = 10'000;  // a fit of them takes seconds; a grease is measured at tens

struct columns {
  std::optional<std::size_t> temperature, rate, stress, apparent;
};

/// A unit in a column's name is tried on a number: each kind of quantity has a list of its own.
template <class Quantity>
void check_unit(const detail::csv_rows& rows, std::size_t column) {
  read_at([&] { return rows.place(column); }, [&] { return parse<Quantity>("1 " + rows.unit_of(column), {}); });
}

columns find_columns(detail::csv_rows& rows) {
  columns c;
  rows.find({{.names = {"temperature"}, .found = &c.temperature, .needed = true, .with_unit = true},
             {.names = {"rate"}, .found = &c.rate, .needed = true, .with_unit = true},
             {.names = {"apparent viscosity"}, .found = &c.apparent, .needed = true, .with_unit = true},
             {.names = {"stress"}, .found = &c.stress, .instead_of = "apparent viscosity", .with_unit = true}},
            detail::other_columns::refused, expected);
  if (c.stress && c.apparent)
    throw file_error(rows.place(), "apparent viscosity and stress are both given", "one of them");
  check_unit<temperature>(rows, *c.temperature);
  check_unit<shear_rate>(rows, *c.rate);
  if (c.stress) check_unit<pressure>(rows, *c.stress);
  if (c.apparent) check_unit<dynamic_viscosity>(rows, *c.apparent);
  return c;
}

}  // namespace

std::vector<measured_point> read_points(const source& file, rate_kind kind) {
  const source::text read = file.read(file_kind::points);
  const std::string& name = file.name();
  detail::csv_rows rows(read.bytes, name);
  const columns c = find_columns(rows);
  std::vector<std::string_view> fields;
  const auto quantity = [&]<class Quantity>(std::size_t column, measure m, Quantity*) {
    return detail::quantity_of<Quantity>(rows, column, fields[column], m);
  };
  std::vector<measured_point> points;
  while (rows.next(fields)) {
    measured_point p;
    p.at = quantity(*c.temperature, measure::grease_temperature, static_cast<temperature*>(nullptr));
    p.rate = quantity(*c.rate, measure::wall_rate, static_cast<shear_rate*>(nullptr));
    p.kind = kind;
    if (c.stress) {
      p.stress = quantity(*c.stress, measure::shear_stress, static_cast<pressure*>(nullptr));
    } else {
      const auto apparent =
          quantity(*c.apparent, measure::apparent_viscosity, static_cast<dynamic_viscosity*>(nullptr));
      p.stress = pascal(in_pascal_second(apparent) * in_per_second(p.rate));
    }
    if (points.size() == most_points)
      throw file_error(name, fmt::format("holds more than {} points", most_points), "the points of one grease");
    points.push_back(p);
  }
  detail::refuse_left_out(rows.remarks());
  if (points.empty()) throw file_error(name, "holds no points", "rows below the header");
  return points;
}

mobility_reading parse_mobility(std::string_view text, std::string_view where) {
  constexpr std::string_view wanted = R"(a mass a minute and its temperature such as "12 g/min at -18 C")";
  constexpr std::string_view unit = "g/min", at = " at ";
  const auto cut = text.find(at);
  if (cut == std::string_view::npos) throw input_error(where, in_quotes(text) + " names no temperature", wanted);
  std::string_view amount = text.substr(0, cut);
  if (!amount.ends_with(unit)) throw input_error(where, in_quotes(amount) + " is no mass a minute", wanted);
  amount.remove_suffix(unit.size());
  while (amount.ends_with(' ')) amount.remove_suffix(1);
  mobility_reading m{.grams_per_minute = parse_number(amount, where)};
  if (!(m.grams_per_minute > 0.0)) throw input_error(where, in_quotes(text) + " moves no grease", "above 0 g/min");
  std::string_view rest = text.substr(cut + at.size());
  const auto next = [&] {
    const auto comma = rest.find(',');
    const std::string_view part = rest.substr(0, comma);
    rest = comma == std::string_view::npos ? std::string_view() : rest.substr(comma + 1);
    return part;
  };
  m.at = parse<temperature>(next(), where, measure::grease_temperature);
  if (!rest.empty()) m.bore = parse<length>(next(), where, measure::bore);
  if (!rest.empty()) m.driving = parse<pressure>(next(), where, measure::pump_pressure);
  if (!rest.empty() || text.ends_with(','))
    throw input_error(where, in_quotes(text) + " goes on behind a comma",
                      "bore and pressure of the method, or nothing");
  constexpr double least_grams = 1e-3, most_grams = 1e4, least_bore = 0.5e-3, most_bore = 20e-3, least_driving = 1e4,
                   most_driving = 1e8;
  const auto within = [](double v, double least, double most) { return v >= least && v <= most; };
  if (!within(m.grams_per_minute, least_grams, most_grams) || !within(in_metre(m.bore), least_bore, most_bore) ||
      !within(in_pascal(m.driving), least_driving, most_driving))
    throw input_error(where, in_quotes(text) + " is no figure of such a test",
                      "0.001 to 10000 g/min, 0.5 to 20 mm, 0.1 to 1000 bar");
  return m;
}

std::string text_of(const mobility_reading& m) {
  std::string text = fmt::format("{} g/min at {}", m.grams_per_minute, text_of(m.at, "C"));
  const mobility_reading usual;
  if (m.bore == usual.bore && m.driving == usual.driving) return text;
  return text + fmt::format(", {}, {}", text_of(m.bore, "mm"), text_of(m.driving, "Pa"));
}

measured_point point_of(const mobility_reading& m, density of_grease) {
  constexpr double bores = 40.0;
  const double flow = m.grams_per_minute * 1e-3 / 60.0 / in_kg_per_m3(of_grease), bore = in_metre(m.bore);
  return {.at = m.at,
          .rate = per_second(32.0 * flow / (std::numbers::pi * bore * bore * bore)),
          .stress = pascal(in_pascal(m.driving) / (4.0 * bores)),
          .kind = rate_kind::nominal};
}

}  // namespace coldgrease::inline v0
