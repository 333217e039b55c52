#include "coldgrease/climate/design_values.hpp"

#include <algorithm>
#include <cctype>

#include "base/json_node.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/base/tables.hpp"
#include "coldgrease/climate/statistics.hpp"

namespace coldgrease::inline v0 {

namespace {

std::string lower(std::string_view text) {
  std::string result(text);
  for (char& c : result) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return result;
}

}  // namespace

std::vector<design_values> read_design_values(const source& file) {
  const detail::json_document document(file);
  std::vector<design_values> rows;
  for (const detail::json_node& row : detail::table_rows(document.root())) {
    row.only({"station", "edition", "source", "heating_99.6", "heating_99", "mean_annual_minimum", "deviation"});
    design_values v{
        row.need("station").text(), row.need("edition").text(), row.need("source").text(), {}, {}, {}, {}, {}};
    if (const auto node = row.find("heating_99.6"))
      v.heating_99_6 = node->quantity<temperature>(measure::air_temperature);
    if (const auto node = row.find("heating_99")) v.heating_99 = node->quantity<temperature>(measure::air_temperature);
    if (const auto node = row.find("mean_annual_minimum"))
      v.mean_annual_minimum = node->quantity<temperature>(measure::air_temperature);
    if (const auto node = row.find("deviation")) v.deviation = node->quantity<temperature_step>(measure::deviation);
    if (v.heating_99_6 && v.heating_99 && !(*v.heating_99_6 < *v.heating_99))
      row.refuse("the 99.6 % value is not below the 99 % value", "colder hours are rarer");
    const auto same = [&](const design_values& other) { return lower(other.station) == lower(v.station); };
    if (std::ranges::any_of(rows, same))
      row.need("station").refuse("the station " + in_quotes(v.station) + " stands twice", "each station once");
    rows.push_back(std::move(v));
  }
  return rows;
}

std::vector<design_values> published_design_values() {
  return read_design_values(find_table("design_values.json").file);
}

design_values find_design_values(std::string_view station) {
  const std::vector<design_values> rows = published_design_values();
  std::string names;
  for (const design_values& v : rows) {
    if (lower(v.station) == lower(station)) return v;
    names += (names.empty() ? "" : ", ") + v.station;
  }
  throw input_error("station", "no design values of " + in_quotes(station), "one of " + names);
}

design_cold_answer design_cold(const design_values& values) {
  const temperature_step below_99_6 = kelvins(5.0), below_99 = kelvins(9.0);
  if (values.mean_annual_minimum) return {*values.mean_annual_minimum, "mean annual minimum"};
  if (values.heating_99_6) return {*values.heating_99_6 - below_99_6, "99.6 % heating value less 5 K"};
  if (values.heating_99) return {*values.heating_99 - below_99, "99 % heating value less 9 K"};
  throw input_error(values.station, "has no design value of the cold",
                    "a mean annual minimum, a 99.6 % or a 99 % value");
}

std::optional<temperature> return_minimum(const design_values& values, double years) {
  for (const return_row& r : values.printed_minima) {
    if (r.years == years) return r.temperature;
  }
  if (!values.mean_annual_minimum || !values.deviation) return std::nullopt;
  return return_minimum(*values.mean_annual_minimum, *values.deviation, years);
}

}  // namespace coldgrease::inline v0
