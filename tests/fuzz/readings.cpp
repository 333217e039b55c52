// Readings of running systems, of a fleet with two installations.
#include "coldgrease/line/readings.hpp"

#include <array>

#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  static const auto installations = [] {
    std::array<installation, 2> all;
    for (installation& i : all) {
      i.available = bar(250);
      i.lines = {
          {.point = "kingpin", .segments = {{.length = metre(6), .bore = millimetre(4)}}, .flow = cm3_per_min(1)}};
    }
    all[0].name = "tractor";
    all[1].name = "body";
    return all;
  }();
  static const std::array<std::string, 2> greases{"soft", "stiff"};
  fuzz::read_or_refuse([&] { read_readings(source::memory("r", bytes), installations, greases); });
}
