#include "coldgrease/grease/oil_change.hpp"

namespace coldgrease::inline v0 {

namespace {

bool below_pour(const evidence& e, temperature at) { return e.pour && at < *e.pour; }

std::optional<kinematic_viscosity> viscosity_of(const evidence& e, temperature at) {
  if (below_pour(e, at)) return std::nullopt;
  if (e.kv40 && at == celsius(40)) return e.kv40;
  if (e.kv && at == e.kv->at) return e.kv->kv;
  const auto line = line_through({e.kv40, e.kv100, e.kv, e.vi});
  return line ? std::optional(line->at(at)) : std::nullopt;
}

/// Drops a viscosity above stiffest_compared; true if it did.
bool dropped_beyond(std::optional<kinematic_viscosity>& v) {
  const bool beyond = v && *v > stiffest_compared();
  if (beyond) v.reset();
  return beyond;
}

oil_pair pair_at(const evidence& from, const evidence& to, temperature at) {
  oil_pair p{.temperature = at, .from = viscosity_of(from, at), .to = viscosity_of(to, at)};
  p.from_below_pour = below_pour(from, at);
  p.to_below_pour = below_pour(to, at);
  p.from_beyond = dropped_beyond(p.from);
  p.to_beyond = dropped_beyond(p.to);
  if (p.from && p.to) p.ratio = in_mm2_per_s(*p.to) / in_mm2_per_s(*p.from);
  return p;
}

}  // namespace

oil_change compare_oils(const evidence& from, const evidence& to, temperature cold) {
  oil_change c{.warm = pair_at(from, to, celsius(40)), .cold = pair_at(from, to, cold)};
  if (!c.warm.ratio) return c;
  constexpr double rounding = 1.0 + 1e-9;  // of 150 mm2/s over 100
  const double ratio = *c.warm.ratio;
  c.step = ratio * rounding >= oil_step_ratio   ? oil_step::heavier
           : ratio * oil_step_ratio <= rounding ? oil_step::lighter
                                                : oil_step::alike;
  return c;
}

}  // namespace coldgrease::inline v0
