// Quantities as people write them; the first byte chooses what the rest is read as, since a refusal takes long under a
// sanitizer. What is read is a finite number of the sign that was asked for.
#include "coldgrease/base/quantity_text.hpp"

#include <array>
#include <cmath>

#include "coldgrease/grease/measurement.hpp"
#include "fuzz.hpp"

using namespace coldgrease;

namespace {

template <class Quantity>
void take_as(const std::string& text) {
  for (const sign allowed : {sign::any, sign::not_negative, sign::positive}) {
    const auto q = parse<Quantity>(text, "--option", allowed);
    if constexpr (std::is_same_v<Quantity, temperature>) {
      fuzz::must(std::isfinite(q.in_kelvin()) && q.in_kelvin() >= 0.0, "no temperature is below absolute zero");
    } else {
      const double si = detail::to_si(q);
      fuzz::must(std::isfinite(si), "a quantity is finite");
      fuzz::must(allowed == sign::any || si > 0.0 || (si == 0.0 && allowed == sign::not_negative), "the sign is kept");
    }
  }
}

void take_number(const std::string& text) {
  fuzz::must(std::isfinite(parse_number(text, "--option")), "a number is finite");
}

void take_mobility(const std::string& text) {
  const mobility_reading m = parse_mobility(text, "--option");
  fuzz::must(parse_mobility(text_of(m), "--option").grams_per_minute > 0.0, "a mobility reads back");
}

}  // namespace

void take(const std::string& bytes) {
  constexpr std::array kinds{take_as<temperature>,
                             take_as<temperature_step>,
                             take_as<length>,
                             take_as<volume>,
                             take_as<duration>,
                             take_as<mass>,
                             take_as<pressure>,
                             take_as<volume_flow>,
                             take_as<shear_rate>,
                             take_as<dynamic_viscosity>,
                             take_as<kinematic_viscosity>,
                             take_as<density>,
                             take_number,
                             take_mobility};
  if (bytes.empty()) return;
  const auto kind = kinds[static_cast<unsigned char>(bytes[0]) % kinds.size()];
  fuzz::read_or_refuse([&] { kind(bytes.substr(1)); });
}
