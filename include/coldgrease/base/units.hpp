// The quantities of the trade as Boost.Units types, in SI inside; raw numbers enter and leave by the name of their
// unit.
#pragma once

#include <boost/units/derived_dimension.hpp>
#include <boost/units/quantity.hpp>
#include <boost/units/systems/si/dynamic_viscosity.hpp>
#include <boost/units/systems/si/frequency.hpp>
#include <boost/units/systems/si/kinematic_viscosity.hpp>
#include <boost/units/systems/si/length.hpp>
#include <boost/units/systems/si/mass.hpp>
#include <boost/units/systems/si/mass_density.hpp>
#include <boost/units/systems/si/pressure.hpp>
#include <boost/units/systems/si/temperature.hpp>
#include <boost/units/systems/si/time.hpp>
#include <boost/units/systems/si/volume.hpp>

namespace coldgrease::inline v0 {

namespace detail {
using flow_dimension = boost::units::derived_dimension<boost::units::length_base_dimension, 3,
                                                       boost::units::time_base_dimension, -1>::type;
using si_flow = boost::units::unit<flow_dimension, boost::units::si::system>;
}  // namespace detail

using length = boost::units::quantity<boost::units::si::length>;                            // [m]
using volume = boost::units::quantity<boost::units::si::volume>;                            // [m^3]
using duration = boost::units::quantity<boost::units::si::time>;                            // [s]
using mass = boost::units::quantity<boost::units::si::mass>;                                // [kg]
using pressure = boost::units::quantity<boost::units::si::pressure>;                        // [Pa], also stress
using volume_flow = boost::units::quantity<detail::si_flow>;                                // [m^3/s]
using shear_rate = boost::units::quantity<boost::units::si::frequency>;                     // [1/s]
using dynamic_viscosity = boost::units::quantity<boost::units::si::dynamic_viscosity>;      // [Pa s]
using kinematic_viscosity = boost::units::quantity<boost::units::si::kinematic_viscosity>;  // [m^2/s]
using density = boost::units::quantity<boost::units::si::mass_density>;                     // [kg/m^3]
using temperature_step = boost::units::quantity<boost::units::si::temperature>;             // [K], a difference

/// Exact factors to SI. Source: international yard and pound (1959), standard gravity 9.80665 m/s^2, US gallon 231
/// in^3.
namespace factor {
inline constexpr double inch = 0.0254;
inline constexpr double foot = 0.3048;
inline constexpr double pound = 0.45359237;
inline constexpr double standard_gravity = 9.80665;  // [m/s2]
inline constexpr double psi = pound * standard_gravity / (inch * inch);
inline constexpr double cubic_inch = inch * inch * inch;
inline constexpr double us_gallon = 231.0 * cubic_inch;
inline constexpr double bar = 1e5;
inline constexpr double minute = 60.0;
inline constexpr double hour = 3600.0;
inline constexpr double day = 86400.0;
}  // namespace factor

namespace detail {
/// The two doors between a quantity and its SI number; only kernels and this header use them.
template <class Quantity>
Quantity from_si(double value) {
  return Quantity::from_value(value);
}
template <class Quantity>
double to_si(const Quantity& quantity) {
  return quantity.value();
}
}  // namespace detail

// Makers.
inline length metre(double v) { return detail::from_si<length>(v); }
inline length millimetre(double v) { return detail::from_si<length>(v * 1e-3); }
inline length inch(double v) { return detail::from_si<length>(v * factor::inch); }
inline length foot(double v) { return detail::from_si<length>(v * factor::foot); }
inline volume cubic_metre(double v) { return detail::from_si<volume>(v); }
inline volume litre(double v) { return detail::from_si<volume>(v * 1e-3); }
inline volume cm3(double v) { return detail::from_si<volume>(v * 1e-6); }
inline duration second(double v) { return detail::from_si<duration>(v); }
inline duration minute(double v) { return detail::from_si<duration>(v * factor::minute); }
inline duration hour(double v) { return detail::from_si<duration>(v * factor::hour); }
inline duration days(double v) { return detail::from_si<duration>(v * factor::day); }
inline mass kilogram(double v) { return detail::from_si<mass>(v); }
inline pressure pascal(double v) { return detail::from_si<pressure>(v); }
inline pressure megapascal(double v) { return detail::from_si<pressure>(v * 1e6); }
inline pressure bar(double v) { return detail::from_si<pressure>(v * factor::bar); }
inline pressure psi(double v) { return detail::from_si<pressure>(v * factor::psi); }
inline volume_flow m3_per_s(double v) { return detail::from_si<volume_flow>(v); }
inline volume_flow cm3_per_min(double v) { return detail::from_si<volume_flow>(v * 1e-6 / factor::minute); }
inline shear_rate per_second(double v) { return detail::from_si<shear_rate>(v); }
inline dynamic_viscosity pascal_second(double v) { return detail::from_si<dynamic_viscosity>(v); }
inline kinematic_viscosity mm2_per_s(double v) { return detail::from_si<kinematic_viscosity>(v * 1e-6); }
inline density kg_per_m3(double v) { return detail::from_si<density>(v); }
inline temperature_step kelvins(double v) { return detail::from_si<temperature_step>(v); }

// Readers.
inline double in_metre(length q) { return detail::to_si(q); }
inline double in_millimetre(length q) { return detail::to_si(q) * 1e3; }
inline double in_inch(length q) { return detail::to_si(q) / factor::inch; }
inline double in_foot(length q) { return detail::to_si(q) / factor::foot; }
inline double in_m3(volume q) { return detail::to_si(q); }
inline double in_cm3(volume q) { return detail::to_si(q) * 1e6; }
inline double in_second(duration q) { return detail::to_si(q); }
inline double in_hour(duration q) { return detail::to_si(q) / factor::hour; }
inline double in_days(duration q) { return detail::to_si(q) / factor::day; }
inline double in_kilogram(mass q) { return detail::to_si(q); }
inline double in_pascal(pressure q) { return detail::to_si(q); }
inline double in_bar(pressure q) { return detail::to_si(q) / factor::bar; }
inline double in_psi(pressure q) { return detail::to_si(q) / factor::psi; }
inline double in_m3_per_s(volume_flow q) { return detail::to_si(q); }
inline double in_cm3_per_min(volume_flow q) { return detail::to_si(q) * 1e6 * factor::minute; }
inline double in_per_second(shear_rate q) { return detail::to_si(q); }
inline double in_pascal_second(dynamic_viscosity q) { return detail::to_si(q); }
inline double in_mm2_per_s(kinematic_viscosity q) { return detail::to_si(q) * 1e6; }
inline double in_kg_per_m3(density q) { return detail::to_si(q); }
inline double in_kelvins(temperature_step q) { return detail::to_si(q); }

}  // namespace coldgrease::inline v0
