// How far a chance without an oil, or without one of its viscosities, stands over the median of what it may be: 2,000
// random installations each, and the time of an installation's outcome. Printed, not judged; the law is a test of 200.
#include <chrono>
#include <cstdio>

#include "line/unstated_oils.hpp"

int main() {
  using namespace coldgrease;
  constexpr int installations = 2000;
  std::printf("%-36s%12s%20s%14s\n", "left out", "above 1/2", "most over median", "us an outcome");
  for (const unstated_oil& u : unstated_oils()) {
    const auto start = std::chrono::steady_clock::now();
    const held_against_band held = hold_against_band(u, 7, installations);
    const std::chrono::duration<double, std::micro> took = std::chrono::steady_clock::now() - start;
    std::printf("%-36s%12d%20.5f%14.1f\n", u.name.c_str(), held.above_half, held.most_over_median,
                took.count() / (installations + 50.0 * held.above_half));
  }
}
