// Measured points of a flow curve.
#include "coldgrease/grease/measurement.hpp"
#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  fuzz::read_or_refuse([&] {
    for (const measured_point& p : read_points(source::memory("p", bytes), rate_kind::nominal))
      fuzz::must(p.rate > per_second(0) && p.stress > pascal(0), "rate and stress of a point are above zero");
  });
}
