// The tables that a user may put in the place of the library's own: each reader takes every one.
#include "coldgrease/climate/design_values.hpp"
#include "coldgrease/grease/compatibility.hpp"
#include "coldgrease/grease/published_rules.hpp"
#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  const source file = source::memory("t", bytes);
  fuzz::read_or_refuse([&] { read_compatibility(file); });
  fuzz::read_or_refuse([&] { read_design_values(file); });
  fuzz::read_or_refuse([&] { read_published_rules(file); });
}
