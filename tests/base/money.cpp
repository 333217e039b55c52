#include "coldgrease/base/money.hpp"

#include <doctest/doctest.h>

#include "coldgrease/base/error.hpp"
#include "near.hpp"

using namespace coldgrease;

TEST_CASE("law: money and prices read back what was written") {
  for (const double v : {0.0, 0.1, 45.0, 4.63, 1e-7, 123456789.5}) {
    CHECK(parse_money(text_of(money{v, "EUR"}), "m") == money{v, "EUR"});
    CHECK(parse_mass_price(text_of(mass_price{v, "USD"}), "p") == mass_price{v, "USD"});
  }
}

TEST_CASE(
    "published value: a pound is 0.45359237 kg, so a price by the pound is 2.2046 times as much by the kilogram") {
  // Source: NIST SP 811, 1 lb = 0.453 592 37 kg exactly.
  CHECK(near(parse_mass_price("2.10 USD/lb", "price").per_kg, 2.10 / 0.45359237, 1e-15));
  CHECK(parse_mass_price(" 4.63EUR / kg ", "price") == mass_price{4.63, "EUR"});
  CHECK(parse_money("1e3 CHF", "cost") == money{1000.0, "CHF"});
}

TEST_CASE("case: a bare price, a currency that is none, another mass or a negative amount are refused") {
  for (const char* text : {"4.63", "", "EUR", "4.63 EUR", "4.63 eur/kg", "4.63 EURO/kg", "4,63 EUR/kg", "-1 EUR/kg",
                           "4.63 EUR/t", "4.63 EUR/", "nan EUR/kg", "1e10 EUR/kg", "4.63 EUR/kg/kg"}) {
    CAPTURE(text);
    CHECK_THROWS_AS(parse_mass_price(text, "price"), input_error);
  }
  for (const char* text : {"45", "45 EUR/kg", "45 E", "$45", "-45 EUR", "45 EUR USD"}) {
    CAPTURE(text);
    CHECK_THROWS_AS(parse_money(text, "cost"), input_error);
  }
}
