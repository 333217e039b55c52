// Hours of GHCN-hourly, with bars or commas.
#include "coldgrease/climate/readers.hpp"
#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  fuzz::read_or_refuse([&] { read_weather(source::memory("w", bytes), {.format = "ghcnh"}); });
}
