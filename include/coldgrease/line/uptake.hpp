// What a line holds back under pressure: grease compresses, soft walls swell.
#pragma once

#include <cmath>
#include <optional>

#include "coldgrease/line/line.hpp"

namespace coldgrease::inline v0 {

namespace detail {

/// Bulk modulus of degassed grease, that of mineral oil [Pa], and the share of air in it after filling: JUDGEMENT on
/// 1.7 to 2.1 GPa of The Tribology Handbook table 2.5 (oils at 30 and 60 C, 35 MPa); no value of a grease was found.
inline constexpr double grease_modulus = 1.7e9;
inline constexpr double air_share = 0.01;
inline constexpr double atmosphere = 1e5;  // [Pa]

/// Volume over that at atmospheric pressure, at a gauge pressure [Pa]: oil compresses, air shrinks isothermally.
inline double volume_under(double gauge, double air = air_share) noexcept {
  return (1.0 - air) * std::exp(-gauge / grease_modulus) + air * atmosphere / (atmosphere + gauge);
}

/// Young's modulus of a tube wall [Pa]. Polyamide 0.4 GPa at 23 C, 1.3 GPa at -30 C (from memory, low trust),
/// geometric between and beyond; steel 205 and copper 120 GPa.
inline double youngs_modulus(tube_material material, double t_c) noexcept {
  switch (material) {
    case tube_material::steel: return 205e9;
    case tube_material::copper: return 120e9;
    case tube_material::polyamide: break;
  }
  return 0.4e9 * std::pow(1.3 / 0.4, (23.0 - t_c) / 53.0);
}

/// Pressure over relative growth of the bore's volume [Pa]: 1/K = (2/E) ((Do^2 + Di^2)/(Do^2 - Di^2) + nu), thick wall.
inline double wall_modulus(tube_material material, double t_c, double bore, double wall) noexcept {
  const double poisson = material == tube_material::polyamide ? 0.4 : material == tube_material::steel ? 0.3 : 0.34;
  const double inner = bore * bore, outer = (bore + 2.0 * wall) * (bore + 2.0 * wall);
  return youngs_modulus(material, t_c) / (2.0 * ((outer + inner) / (outer - inner) + poisson));
}

}  // namespace detail

/// Grease that the line takes up between rest (a gradient of 4 ty/D, which stays in it) and full flow, before the point
/// sees the full flow: for each segment its volume times the compression and swelling between its two mean pressures.
/// An order of magnitude, at the mean pressure where the verdict turns: walls creep and air differs. A tube of unknown
/// material is polyamide. Test: tests/line/uptake.cpp
/// @return nothing where a segment's wall is not known, or the grease is not
std::optional<volume> uptake_of(const line& l, const grease& g, const conditions& c);

/// Time for the pressure of the supply to fall after relief: t = 32 eta L^2/(K D^2) for each tube that vents, added as
/// (sum of sqrt(t))^2, eta the apparent viscosity at the flow's nominal rate, K of grease and wall at half the
/// pressure. An order of magnitude, at ambient pressure. Source: diffusion of pressure in a tube.
/// @return nothing where the wall of a tube that vents is not known, or the grease is not
std::optional<duration> vent_time(const line& l, const grease& g, const conditions& c);

}  // namespace coldgrease::inline v0
