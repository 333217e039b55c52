// Quantities written as people write them, a number and a unit: "4 mm", "1/4 in", "1740 psi", "-12 C", "1 cm3/min".
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/temperature.hpp"
#include "coldgrease/base/units.hpp"

namespace coldgrease::inline v0 {

/// What a number may be, for the checks that every reader needs.
enum class sign { any, not_negative, positive };

/// Reads a quantity: number, optional blank, unit. The decimal sign is a point whatever the locale; lengths may be
/// fractions ("3/16 in", "1 1/4 in"). Units are case-sensitive. Defined for temperature and every alias of units.hpp.
/// @param text   what was written
/// @param where  option, column or JSON pointer, named in the error
/// @throws input_error for no unit (both likely readings are offered), an unknown unit, a number that is not finite
///         before or after conversion, a wrong sign, or a temperature below absolute zero
/// Units: C F K | K (step) | mm cm m in ft | cm3 ml L in3 gal | s min h days | kg g lb | Pa hPa mbar kPa MPa bar psi |
/// m3/s cm3/min ml/min in3/min | 1/s | Pa s, mPa s, P, cP | mm2/s cSt (and SUS at 100 F) | kg/m3 g/cm3.
template <class Quantity>
Quantity parse(std::string_view text, std::string_view where, sign allowed = sign::any);

/// Writes a quantity with the fewest digits that read back to it within two units in the last place: "4 mm".
/// @throws input_error if `unit` is none of this quantity
template <class Quantity>
std::string text_of(Quantity quantity, std::string_view unit);

/// A finite number without a unit, the whole text: "287", "1e-3". @throws input_error
double parse_number(std::string_view text, std::string_view where);
/// The same, nothing instead of an error.
std::optional<double> to_number(std::string_view text) noexcept;

/// Both scales, as every report prints a temperature: "-15.0 C (5.0 F)".
std::string both_scales(temperature t);
/// A pressure for people of either unit, in a sentence that cannot ask which: "250 bar (3626 psi)".
std::string both_units(pressure p);

}  // namespace coldgrease::inline v0
