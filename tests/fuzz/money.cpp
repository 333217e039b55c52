// Money and prices. What is read is written so that it reads back.
#include "coldgrease/base/money.hpp"

#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  fuzz::read_or_refuse([&] {
    const money m = parse_money(bytes, "--option");
    fuzz::must(m.amount >= 0.0 && parse_money(text_of(m), "--option") == m, "money reads back");
  });
  fuzz::read_or_refuse([&] {
    const mass_price p = parse_mass_price(bytes, "--option");
    fuzz::must(p.per_kg >= 0.0 && parse_mass_price(text_of(p), "--option") == p, "a price reads back");
  });
}
