// Weather of any format, packed or not, told from its content, as most people have it read.
#include "coldgrease/climate/readers.hpp"
#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  fuzz::read_or_refuse([&] { read_weather(source::memory("w", bytes)); });
}
