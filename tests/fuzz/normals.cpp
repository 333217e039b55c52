// Freeze dates of climate normals.
#include "coldgrease/climate/normals.hpp"
#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  fuzz::read_or_refuse([&] { read_normals(source::memory("n", bytes)); });
}
