#include "coldgrease/grease/measurement.hpp"

#include "base/format.hpp"

#include <cmath>
#include <optional>

#include "base/csv.hpp"
#include "coldgrease/base/quantity_text.hpp"

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
  const auto quantity = [&]<class Quantity>(std::size_t column, sign allowed, Quantity*) {
    return detail::quantity_of<Quantity>(rows, column, fields[column], allowed);
  };
  std::vector<measured_point> points;
  while (rows.next(fields)) {
    measured_point p;
    p.at = quantity(*c.temperature, sign::any, static_cast<temperature*>(nullptr));
    p.rate = quantity(*c.rate, sign::positive, static_cast<shear_rate*>(nullptr));
    p.kind = kind;
    if (c.stress) {
      p.stress = quantity(*c.stress, sign::positive, static_cast<pressure*>(nullptr));
    } else {
      const auto apparent = quantity(*c.apparent, sign::positive, static_cast<dynamic_viscosity*>(nullptr));
      p.stress = pascal(in_pascal_second(apparent) * in_per_second(p.rate));
      if (!(in_pascal(p.stress) > 0.0) || !std::isfinite(in_pascal(p.stress)))
        throw file_error(rows.place(*c.apparent), in_quotes(fields[*c.apparent]) + " leaves the range of numbers",
                         "a viscosity that grease has");
    }
    if (points.size() == most_points)
      throw file_error(name, fmt::format("holds more than {} points", most_points), "the points of one grease");
    points.push_back(p);
  }
  if (points.empty()) throw file_error(name, "holds no points", "rows below the header");
  return points;
}

}  // namespace coldgrease::inline v0
