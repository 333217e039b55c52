#include "report/scale.hpp"

namespace coldgrease::inline v0::detail {

double round_step(double from, double to, int most) {
  const double least = (to - from) / most;
  const double decade = std::pow(10.0, std::floor(std::log10(least)));
  for (const double factor : {1.0, 2.0, 5.0}) {
    if (factor * decade >= least * (1.0 - 1e-9)) return factor * decade;
  }
  return 10.0 * decade;
}

std::vector<double> ticks_by(double step, double from, double to) {
  std::vector<double> ticks;
  const double first = std::ceil(from / step - 1e-9), last = std::floor(to / step + 1e-9);
  for (double k = first; k <= last; k += 1.0) ticks.push_back(k == 0.0 ? 0.0 : k * step);
  return ticks;
}

std::vector<double> decades(double from, double to) {
  std::vector<double> ticks;
  const double last = std::floor(std::log10(to) + 1e-9);
  for (double power = std::ceil(std::log10(from) - 1e-9); power <= last; power += 1.0)
    ticks.push_back(std::pow(10.0, power));
  return ticks;
}

}  // namespace coldgrease::inline v0::detail
