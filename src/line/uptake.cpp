#include "coldgrease/line/uptake.hpp"

#include "coldgrease/line/limits.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

std::optional<volume> uptake_of(const line& l, const grease& g, const conditions& c) {
  const detail::line_kernel k = detail::kernel(l, c);
  const double t_c = c.at->in_celsius();
  if (!detail::knows(k, g, t_c)) return std::nullopt;
  const detail::grease_kernel model = g.kernel();
  double sum = 0.0;
  // Pressures at the downstream end of a segment, from the point back to the pump.
  double flowing = k.outlet_in(model, t_c), resting = flowing;
  const double thick = detail::thickening(model, k.available, flowing);
  for (std::size_t n = l.segments.size(); n-- > 0;) {
    const segment& s = l.segments[n];
    const detail::tube& tube = k.tubes[n];
    if (!s.wall) return std::nullopt;
    const double here_c = t_c + tube.offset_k, over_stress = 4.0 * tube.length / tube.bore;
    const double rate = detail::nominal_rate_of(k.flow * tube.flow_ratio, tube.bore);
    const double held = over_stress * detail::yield_stress(model, here_c).stress;
    const double lost = over_stress * detail::wall_stress(model, here_c, rate, 1.0, thick).stress;
    const double mean_flowing = flowing + 0.5 * lost, mean_resting = resting + 0.5 * held;
    const double wall =
        detail::wall_modulus(s.material.value_or(assumed_material), t_c + tube.offset_k, tube.bore, in_metre(*s.wall));
    sum += in_m3(volume_of(s)) * (detail::volume_under(mean_resting) - detail::volume_under(mean_flowing) +
                                  (mean_flowing - mean_resting) / wall);
    flowing += lost;
    resting += held;
  }
  return cubic_metre(sum);
}

std::optional<duration> vent_time(const line& l, const grease& g, const conditions& c) {
  const detail::line_kernel k = detail::kernel(l, c);
  const double t_c = c.at->in_celsius();
  if (!detail::knows(k, g, t_c)) return std::nullopt;
  const double gauge = 0.5 * in_pascal(c.available);
  // -dV/V over dp of the grease at that pressure, air included.
  const double step = 1e-3 * gauge;
  const double soft = (detail::volume_under(gauge - step) - detail::volume_under(gauge + step)) / (2.0 * step);
  double root = 0.0;
  for (std::size_t i = 0; i < k.tubes.size(); ++i) {
    const detail::tube& s = k.tubes[i];
    const segment& own = l.segments[i];
    if (!s.vents) continue;
    if (!own.wall) return std::nullopt;
    const double rate = detail::nominal_rate_of(k.flow * s.flow_ratio, s.bore);
    const double eta = detail::wall_stress(g.kernel(), t_c + s.offset_k, rate).stress / rate;
    const double wall =
        detail::wall_modulus(own.material.value_or(assumed_material), t_c + s.offset_k, s.bore, in_metre(*own.wall));
    root += s.length / s.bore * std::sqrt(32.0 * eta * (soft + 1.0 / wall));
  }
  return second(root * root);
}

}  // namespace coldgrease::inline v0
