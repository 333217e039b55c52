// What a number that is read may be: what no vehicle, grease or climate can be is refused, what is odd is said.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0 {

/// What is measured: a quantity with its place in a system.
enum class measure {
  line_length,
  bore,
  outside_diameter,
  tube_wall,
  warmer_than_air,
  part_rating,
  pump_pressure,
  point_pressure,
  divider_loss,
  reset_pressure,
  gauge_pressure,
  dose,
  dose_time,
  interval,
  pump_flow,
  reservoir_volume,
  reservoir_mass,
  feed_height,
  bearing_size,
  point_need,
  service_time,
  rest,
  air_temperature,
  grease_temperature,
  pour_point,
  dropping_point,
  oil_viscosity,
  grease_density,
  apparent_viscosity,
  shear_stress,
  wall_rate,
  linear_viscosity,
  yield_stress,
  flow_pressure,
  pack,
  stock,
  delivery,
  height,
  carry_over,
  local_time,
  lag,
  night_sky,
  deviation
};

/// Bounds of a measure. Every one is judgement, common practice, no source but where the reason names one.
struct range {
  measure of;
  std::string_view name;
  std::string_view unit;
  double least, most;              // refused outside; nothing below 0 where the least is 0 or more
  double usual_least, usual_most;  // said to be odd outside
  std::string_view reason;
};

// In the order of the enumeration.
inline constexpr std::array measure_ranges{
    range{measure::line_length, "length of a line", "m", 0.03, 200, 0.2, 40,
          "a tube is longer than its two fittings, and no vehicle is longer; metres read as mm lie below"},
    range{measure::bore, "bore", "mm", 0.5, 60, 1.5, 25,
          "metering tubes have 2 to 5 mm, mains up to 25; inches lie above"},
    range{measure::outside_diameter, "outside diameter", "mm", 1.5, 80, 4, 40, "tubes of 4 to 12 mm, mains up to 40"},
    range{measure::tube_wall, "wall of a tube", "mm", 0.1, 15, 0.5, 6, "tubes of 0.7 to 2 mm, hoses up to 6"},
    range{measure::warmer_than_air, "step over the air", "K", -60, 150, -10, 60,
          "a line beside an engine or exhaust; no line is colder than a clear night makes it"},
    range{measure::part_rating, "rating of a part", "bar", 5, 2000, 20, 1000,
          "plastic tube from 20, hoses up to 1000 bar"},
    range{measure::pump_pressure, "pressure of a pump", "bar", 0.5, 1000, 15, 450,
          "pumps of vehicles give 60 to 400 bar"},
    range{measure::point_pressure, "pressure at a point", "bar", 0, 500, 0, 120,
          "a clean bearing asks for 5 to 40 bar"},
    range{measure::divider_loss, "loss of a divider", "bar", 0, 300, 0, 60, "a stage of dividers loses some 10 bar"},
    range{measure::reset_pressure, "pressure that resets meters", "bar", 0.5, 500, 2, 150,
          "meters recharge at some 10 to 70 bar"},
    range{measure::gauge_pressure, "reading of a gauge", "bar", 0, 2000, 0, 700,
          "gauges of such systems end at 400 to 700"},
    range{measure::dose, "dose", "cm3", 1e-6, 1e4, 0.003, 20, "elements and meters give 0.01 to 2 cm3 a cycle"},
    range{measure::dose_time, "time of a dose", "s", 1e-3, 1e6, 0.05, 3600, "a cycle takes seconds to minutes"},
    range{measure::interval, "interval between cycles", "s", 1, 31622400, 60, 172800,
          "timers go from a minute to a day; 366 days are the most"},
    range{measure::pump_flow, "flow of a pump", "cm3/min", 1e-4, 1e6, 0.02, 2000, "a few cm3 a minute of each element"},
    range{measure::reservoir_volume, "reservoir", "L", 0.005, 2000, 0.3, 100, "2 to 30 L on vehicles; a drum has 200"},
    range{measure::reservoir_mass, "reservoir", "kg", 0.005, 2000, 0.3, 100, "2 to 30 kg on vehicles; a drum has 180"},
    range{measure::feed_height, "height of grease", "m", 0.001, 5, 0.05, 1, "a reservoir is less than a metre high"},
    range{measure::bearing_size, "size of a bearing", "mm", 1, 2000, 5, 400, "pins and bushes of 15 to 150 mm"},
    range{measure::point_need, "need of a point", "cm3", 1e-5, 1e5, 0.005, 200, "0.1 to 5 cm3 a day in service"},
    range{measure::service_time, "time between refills", "days", 0.04, 3650, 1, 730, "weeks to a year"},
    range{measure::rest, "rest before a start", "h", 0, 87600, 0, 2500, "a night, a week end; ten years are the most"},
    range{measure::air_temperature, "temperature of the air", "C", -95, 65, -60, 52,
          "the records of the earth are -89.2 and 56.7 C (WMO)"},
    range{measure::grease_temperature, "temperature of grease", "C", -120, 400, -75, 250,
          "no grease is tested outside"},
    range{measure::pour_point, "pour point", "C", -110, 80, -75, 20, "of base oils, from silicones to waxy stocks"},
    range{measure::dropping_point, "dropping point", "C", 0, 500, 60, 350, "soaps from 80 C, complexes to 300"},
    range{measure::oil_viscosity, "viscosity of an oil", "mm2/s", 0.2, 1e6, 2, 3000,
          "base oils of greases have 10 to 1500 at 40 C"},
    range{measure::grease_density, "density of grease", "kg/m3", 500, 5000, 800, 1500,
          "soap greases have about 900; filled ones more"},
    range{measure::apparent_viscosity, "apparent viscosity", "Pa s", 1e-4, 1e7, 0.05, 2e5,
          "ASTM D1092 spans 2.5 to 1e4 Pa s"},
    range{measure::shear_stress, "shear stress", "Pa", 1e-2, 1e7, 1, 3e5, "a line of a truck sees 100 to 2e4 Pa"},
    range{measure::wall_rate, "shear rate", "1/s", 1e-6, 1e7, 1e-3, 1e5, "lines run at 0.1 to 50 1/s"},
    range{measure::linear_viscosity, "linear term", "Pa s", 0, 1e6, 0, 1e4,
          "the oil's share of a stiff grease in the cold"},
    range{measure::yield_stress, "yield stress", "Pa", 0, 1e6, 0, 2e4, "greases have 10 to 2000 Pa"},
    range{measure::flow_pressure, "flow pressure", "hPa", 1, 1e5, 10, 6000, "DIN 51805 is limited at 1400 to 1600 hPa"},
    range{measure::pack, "pack", "kg", 0.01, 20000, 0.3, 1000, "cartridges of 0.4 kg to containers of 1000"},
    range{measure::stock, "stock", "kg", 0, 1e7, 0, 1e5, "what one fleet may have in store"},
    range{measure::delivery, "time of delivery", "days", 0, 365, 0, 120, "an order of a year is placed within it"},
    range{measure::height, "height above the sea", "m", -450, 9000, -100, 5600,
          "from the Dead Sea to the highest roads"},
    range{measure::carry_over, "time that old grease lasts", "days", 0.1, 3650, 1, 730, "weeks to a year"},
    range{measure::local_time, "local time less UTC", "h", -12, 14, -11, 13, "the time zones of the earth"},
    range{measure::lag, "lag behind the air", "h", 0, 48, 0, 24, "a cold soak of hours; nothing on a truck takes days"},
    range{measure::night_sky, "cooling by a clear night", "K", 0, 5, 0, 4,
          "parts under the open sky, common practice, no source"},
    range{measure::deviation, "standard deviation", "K", 0.1, 20, 0.5, 8, "of annual minima"}};

constexpr const range& range_of(measure m) { return measure_ranges[static_cast<std::size_t>(m)]; }

/// What a number of a measure may be, from the least of its range.
constexpr sign sign_of(measure m) {
  const double least = range_of(m).least;
  return least > 0.0 ? sign::positive : least == 0.0 ? sign::not_negative : sign::any;
}

/// "0.03 to 200 m".
std::string range_text(measure m);

/// Reads a quantity as parse(text, where, sign) does and holds it to the range of a measure.
/// @throws input_error
template <class Quantity>
Quantity parse(std::string_view text, std::string_view where, measure m);

/// "25.4 mm is an odd bore, usual are 1.5 to 25 mm"; nothing for what is usual.
template <class Quantity>
std::optional<std::string> oddness(Quantity quantity, measure m);

}  // namespace coldgrease::inline v0
