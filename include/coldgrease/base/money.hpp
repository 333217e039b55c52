// Money and prices, always with their currency and the mass they are for.
#pragma once

#include <string>
#include <string_view>

#include "coldgrease/base/units.hpp"

namespace coldgrease::inline v0 {

/// An amount of a currency, named by its three letters (ISO 4217).
struct money {
  double amount = 0.0;
  std::string currency{};
  friend bool operator==(const money&, const money&) = default;
};

/// A price by mass.
struct mass_price {
  double per_kg = 0.0;
  std::string currency{};
  friend bool operator==(const mass_price&, const mass_price&) = default;
};

/// Reads "45 EUR". @throws input_error for a bare number, a currency that is not three capital letters, and an amount
/// that is not 0 to 1e9
money parse_money(std::string_view text, std::string_view where);
/// Reads "4.63 EUR/kg" or "2.10 USD/lb". @throws input_error likewise; a bare number says neither currency nor unit
mass_price parse_mass_price(std::string_view text, std::string_view where);

/// As parse_money reads it back.
std::string text_of(const money& m);
/// As parse_mass_price reads it back, by the kilogram.
std::string text_of(const mass_price& p);

}  // namespace coldgrease::inline v0
