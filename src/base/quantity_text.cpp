#include "coldgrease/base/quantity_text.hpp"

#include "base/decimal.hpp"
#include "base/format.hpp"

#include <cmath>
#include <span>
#include <string>

#include "base/blanks.hpp"
#include "base/quantity_words.hpp"
#include "coldgrease/base/saybolt.hpp"

namespace coldgrease::inline v0 {

namespace {

using detail::trimmed;

/// SI value (degrees C for a temperature) = (number - zero) * factor / divisor.
struct unit {
  std::string_view symbol;
  double factor;
  double zero = 0.0;
  double divisor = 1.0;

  constexpr double to_si(double number) const { return (number - zero) * factor / divisor; }
  constexpr double from_si(double si) const { return si * divisor / factor + zero; }
};

/// What is read as one kind of quantity: its units, and the two that a bare number is most often meant in.
struct kind {
  std::string_view name;
  std::string_view example;
  std::span<const unit> units;
  std::string_view si_habit;
  std::string_view us_habit;
};

// The degree sign is written in UTF-8.
constexpr unit temperature_units[] = {{"C", 1.0},
                                      {"F", 1.0, 32.0, 1.8},
                                      {"K", 1.0, celsius(0.0).in_kelvin()},
                                      {"\xc2\xb0\x43", 1.0},
                                      {"\xc2\xb0\x46", 1.0, 32.0, 1.8}};
constexpr unit step_units[] = {{"K", 1.0}};
constexpr unit length_units[] = {{"mm", 1e-3}, {"cm", 1e-2}, {"m", 1.0}, {"in", factor::inch}, {"ft", factor::foot}};
constexpr unit volume_units[] = {{"cm3", 1e-6}, {"ml", 1e-6},
                                 {"mL", 1e-6},  {"L", 1e-3},
                                 {"l", 1e-3},   {"in3", factor::cubic_inch},
                                 {"m3", 1.0},   {"gal", factor::us_gallon}};
constexpr unit time_units[] = {
    {"s", 1.0}, {"min", factor::minute}, {"h", factor::hour}, {"days", factor::day}, {"day", factor::day}};
constexpr unit mass_units[] = {{"kg", 1.0}, {"g", 1e-3}, {"lb", factor::pound}};
constexpr unit pressure_units[] = {{"Pa", 1.0},  {"hPa", 1e2},         {"mbar", 1e2},       {"kPa", 1e3},
                                   {"MPa", 1e6}, {"bar", factor::bar}, {"psi", factor::psi}};
constexpr unit flow_units[] = {{"cm3/min", 1e-6 / factor::minute},
                               {"ml/min", 1e-6 / factor::minute},
                               {"in3/min", factor::cubic_inch / factor::minute},
                               {"m3/s", 1.0}};
constexpr unit rate_units[] = {{"1/s", 1.0}, {"s-1", 1.0}};
constexpr unit dynamic_units[] = {{"Pa s", 1.0}, {"Pa.s", 1.0}, {"mPa s", 1e-3}, {"P", 0.1}, {"cP", 1e-3}};
constexpr unit kinematic_units[] = {{"mm2/s", 1e-6}, {"cSt", 1e-6}, {"m2/s", 1.0}};
constexpr unit density_units[] = {{"kg/m3", 1.0}, {"g/cm3", 1e3}};

template <class Quantity>
constexpr kind kind_of();
template <>
constexpr kind kind_of<temperature>() {
  return {"temperature", "-12 C or 10 F", temperature_units, "C", "F"};
}
template <>
constexpr kind kind_of<temperature_step>() {
  return {"temperature difference", "3 K", step_units, {}, {}};
}
template <>
constexpr kind kind_of<length>() {
  return {"length", "4 mm, 6 m, 1/4 in or 20 ft", length_units, "mm", "in"};
}
template <>
constexpr kind kind_of<volume>() {
  return {"volume", "0.2 cm3, 4 L or 1 in3", volume_units, "cm3", "in3"};
}
template <>
constexpr kind kind_of<duration>() {
  return {"time", "10 s, 90 min, 12 h or 90 days", time_units, "s", "min"};
}
template <>
constexpr kind kind_of<mass>() {
  return {"mass", "4 kg or 10 lb", mass_units, "kg", "lb"};
}
template <>
constexpr kind kind_of<pressure>() {
  return {"pressure", "250 bar, 25 MPa or 1740 psi", pressure_units, "bar", "psi"};
}
template <>
constexpr kind kind_of<volume_flow>() {
  return {"flow", "1 cm3/min or 0.06 in3/min", flow_units, "cm3/min", "in3/min"};
}
template <>
constexpr kind kind_of<shear_rate>() {
  return {"shear rate", "10 1/s", rate_units, {}, {}};
}
template <>
constexpr kind kind_of<dynamic_viscosity>() {
  return {"viscosity", "12 Pa s, 120 P or 12000 cP", dynamic_units, "Pa s", "P"};
}
template <>
constexpr kind kind_of<kinematic_viscosity>() {
  return {"kinematic viscosity", "150 mm2/s, 150 cSt or 700 SUS", kinematic_units, {}, {}};
}
template <>
constexpr kind kind_of<density>() {
  return {"density", "900 kg/m3", density_units, {}, {}};
}

template <class Quantity>
Quantity from_number(double si) {
  if constexpr (std::is_same_v<Quantity, temperature>) {
    return celsius(si);
  } else {
    return detail::from_si<Quantity>(si);
  }
}

template <class Quantity>
double to_si_number(const Quantity& quantity) {
  if constexpr (std::is_same_v<Quantity, temperature>) {
    return quantity.in_celsius();
  } else {
    return detail::to_si(quantity);
  }
}

struct number {
  double value = 0.0;
  std::string_view rest;
  bool too_large = false;
};

/// A decimal number at the start of `text`; what follows it is `rest`. A plus sign is allowed, read_decimal takes none.
std::optional<number> leading_number(std::string_view text) {
  std::string_view digits = text;
  if (digits.starts_with('+') && !digits.starts_with("+-")) digits.remove_prefix(1);
  number found;
  const auto [end, error] = detail::read_decimal(digits.data(), digits.data() + digits.size(), found.value);
  if (error == std::errc::invalid_argument) return std::nullopt;
  found.too_large = error == std::errc::result_out_of_range;
  found.rest = digits.substr(static_cast<std::size_t>(end - digits.data()));
  return found;
}

/// "1/4 in", "1 1/4 in": the fraction after the whole part, if one stands there.
void take_fraction(number& found) {
  const auto divided_by = [](std::string_view text) -> std::optional<number> {
    if (!text.starts_with('/')) return std::nullopt;
    const auto below = leading_number(text.substr(1));
    return below && below->value > 0.0 && std::isfinite(below->value) ? below : std::nullopt;
  };
  if (const auto below = divided_by(found.rest)) {
    found = {found.value / below->value, below->rest};
  } else if (found.rest.starts_with(' ')) {
    const auto above = leading_number(trimmed(found.rest));
    if (!above) return;
    if (const auto under = divided_by(above->rest)) {
      found = {found.value + std::copysign(above->value / under->value, found.value), under->rest};
    }
  }
}

std::string both_readings(const kind& k, double value) {
  if (k.si_habit.empty()) return {};
  const auto find = [&](std::string_view symbol) {
    for (const unit& u : k.units)
      if (u.symbol == symbol) return u;
    return k.units.front();
  };
  const unit si = find(k.si_habit);
  const unit us = find(k.us_habit);
  const double as_us = us.from_si(si.to_si(value));
  const double as_si = si.from_si(us.to_si(value));
  return fmt::format(" ({0} {1} = {2:.4g} {3}, {0} {3} = {4:.4g} {1})", value, k.si_habit, as_us, k.us_habit, as_si);
}

std::string unit_list(const kind& k) {
  std::string list;
  for (const unit& u : k.units) {
    if (u.symbol.front() == '\xc2') continue;
    if (!list.empty()) list += ", ";
    list += u.symbol;
  }
  return list;
}

void check_sign(double si, sign allowed, std::string_view shown, std::string_view where) {
  if (allowed == sign::positive && !(si > 0.0)) throw input_error(where, in_quotes(shown), "a value above 0");
  if (allowed == sign::not_negative && !(si >= 0.0))
    throw input_error(where, in_quotes(shown), "a value of 0 or above");
}

}  // namespace

template <class Quantity>
Quantity parse(std::string_view text, std::string_view where, sign allowed) {
  constexpr kind k = kind_of<Quantity>();
  const std::string_view whole = trimmed(text);
  const std::string expected = fmt::format("a {} such as {}", k.name, k.example);
  if (whole.empty()) throw input_error(where, "is empty", expected);

  auto found = leading_number(whole);
  if (!found) throw input_error(where, in_quotes(whole) + " does not begin with a number", expected);
  if (found->too_large || !std::isfinite(found->value))
    throw input_error(where, in_quotes(whole) + " is not a finite number", expected);
  if constexpr (std::is_same_v<Quantity, length>) take_fraction(*found);
  const std::string_view symbol = trimmed(found->rest);
  if (symbol.empty())
    throw input_error(where, in_quotes(whole) + " has no unit" + both_readings(k, found->value), expected);
  if (symbol.front() == ',')
    throw input_error(where, in_quotes(whole) + " has a decimal comma", "a decimal point, " + expected);

  const auto finish = [&](double si) {
    if (!std::isfinite(si)) throw input_error(where, in_quotes(whole) + " is not finite in SI units", expected);
    if constexpr (std::is_same_v<Quantity, temperature>) {
      if (celsius(si) < kelvin(0.0)) throw input_error(where, in_quotes(whole) + " is below absolute zero", expected);
    }
    check_sign(si, allowed, whole, where);
    return from_number<Quantity>(si);
  };
  if constexpr (std::is_same_v<Quantity, kinematic_viscosity>) {
    if (symbol == "SUS") {
      if (found->value < saybolt_least)
        throw input_error(where, in_quotes(whole) + " is below the scale of ASTM D2161", "32 SUS or more");
      return finish(in_mm2_per_s(from_saybolt(found->value, fahrenheit(100.0))) * 1e-6);
    }
  }
  for (const unit& u : k.units) {
    if (u.symbol == symbol) return finish(u.to_si(found->value));
  }
  throw input_error(where, in_quotes(whole) + fmt::format(" has the unknown unit {}", in_quotes(symbol)),
                    fmt::format("a {} in {}", k.name, unit_list(k)));
}

template <class Quantity>
double detail::number_in(Quantity quantity, std::string_view symbol) {
  constexpr kind k = kind_of<Quantity>();
  for (const unit& u : k.units) {
    if (u.symbol == symbol) return u.from_si(to_si_number(quantity));
  }
  throw input_error("unit", in_quotes(symbol), fmt::format("a {} in {}", k.name, unit_list(k)));
}

template <class Quantity>
std::string text_of(Quantity quantity, std::string_view symbol) {
  return fmt::format("{} {}", detail::number_in(quantity, symbol), symbol);
}

namespace detail {

template <class Quantity>
quantity_words quantity_words_of() {
  constexpr kind k = kind_of<Quantity>();
  return {k.name, unit_list(k), k.si_habit.empty() ? k.units.front().symbol : k.si_habit};
}

template <class Quantity>
std::string pattern_of(sign allowed) {
  constexpr kind k = kind_of<Quantity>();
  std::string units;
  const auto add = [&](std::string_view symbol) {
    if (!units.empty()) units += '|';
    for (const char c : symbol) units += c == '.' ? std::string("\\.") : std::string(1, c);
  };
  for (const unit& u : k.units) add(u.symbol);
  if constexpr (std::is_same_v<Quantity, kinematic_viscosity>) add("SUS");
  const bool may_be_negative = allowed == sign::any;
  // A length may be a fraction, "1 1/4 in"; what must be above 0 has another digit than 0 before its unit.
  const bool fractions = std::is_same_v<Quantity, length>;
  return fmt::format("^[ \\t]*{}{}([0-9]+\\.?[0-9]*|\\.[0-9]+)([eE][+-]?[0-9]+)?{}[ \\t]*({})[ \\t]*$",
                     allowed != sign::positive ? ""
                     : fractions               ? "(?=[0-9.+ \\t/]*[1-9])"
                                               : "(?=[+]?[0-9.]*[1-9])",
                     may_be_negative ? "[+-]?" : "[+]?", fractions ? "([ \\t]*[0-9.]+/[0-9.]+|/[0-9.]+)?" : "", units);
}

template <class Quantity>
std::string exact_text(Quantity quantity) {
  constexpr kind k = kind_of<Quantity>();
  const double si = to_si_number(quantity);
  std::string best;
  for (const unit& u : k.units) {
    if (u.symbol.front() == '\xc2') continue;
    std::string text = fmt::format("{} {}", u.from_si(si), u.symbol);
    if (to_si_number(parse<Quantity>(text, {})) != si) continue;
    if (best.empty() || text.size() < best.size()) best = std::move(text);
  }
  return best;  // never empty: each kind has a unit that is that of SI
}

std::string share_text(double share) {
  const double percent = share * 100.0;
  for (const double near : {percent, std::nextafter(percent, 0.0), std::nextafter(percent, 200.0)}) {
    if (near / 100.0 == share) return fmt::format("{} %", near);
  }
  return fmt::format("{} %", percent);
}

}  // namespace detail

#define COLDGREASE_QUANTITY(Q)                                    \
  template Q parse<Q>(std::string_view, std::string_view, sign);  \
  template std::string text_of<Q>(Q, std::string_view);           \
  template detail::quantity_words detail::quantity_words_of<Q>(); \
  template std::string detail::pattern_of<Q>(sign);               \
  template double detail::number_in<Q>(Q, std::string_view);      \
  template std::string detail::exact_text<Q>(Q);
COLDGREASE_QUANTITY(temperature)
COLDGREASE_QUANTITY(temperature_step)
COLDGREASE_QUANTITY(length)
COLDGREASE_QUANTITY(volume)
COLDGREASE_QUANTITY(duration)
COLDGREASE_QUANTITY(mass)
COLDGREASE_QUANTITY(pressure)
COLDGREASE_QUANTITY(volume_flow)
COLDGREASE_QUANTITY(shear_rate)
COLDGREASE_QUANTITY(dynamic_viscosity)
COLDGREASE_QUANTITY(kinematic_viscosity)
COLDGREASE_QUANTITY(density)
#undef COLDGREASE_QUANTITY

std::optional<double> to_number(std::string_view text) noexcept {
  if (double plain = 0.0; detail::plain_decimal(text, plain)) return plain;
  const auto found = leading_number(text);
  if (!found || found->too_large || !found->rest.empty() || !std::isfinite(found->value)) return std::nullopt;
  return found->value;
}

double parse_number(std::string_view text, std::string_view where) {
  const std::string_view whole = trimmed(text);
  const auto value = to_number(whole);
  if (value) return *value;
  const bool comma = whole.find(',') != std::string_view::npos;
  throw input_error(where, whole.empty() ? std::string("is empty") : in_quotes(whole),
                    comma ? "a number with a decimal point" : "a finite number without a unit");
}

std::string both_scales(temperature t) {
  // "-0.0" is a rounding of the last bit, not a reading.
  const auto tenth = [](double v) {
    return std::abs(v) < 1e6 ? fmt::format("{:.1f}", std::round(v * 10.0) / 10.0 + 0.0) : fmt::format("{:.4g}", v);
  };
  return fmt::format("{} C ({} F)", tenth(t.in_celsius()), tenth(t.in_fahrenheit()));
}

std::string both_units(pressure p) {
  const auto whole = [](double v) { return std::abs(v) < 1e9 ? fmt::format("{:.0f}", v) : fmt::format("{:.4g}", v); };
  return fmt::format("{} bar ({} psi)", whole(in_bar(p)), whole(in_psi(p)));
}

}  // namespace coldgrease::inline v0
