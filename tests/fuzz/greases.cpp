// Greases as JSON.
#include "coldgrease/grease/evidence.hpp"
#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  fuzz::read_or_refuse([&] { read_greases(source::memory("g", bytes)); });
}
