// What a tender asks for: a datum that, measured, passes the line it was computed for.
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

namespace {

/// What a tender may state: a point that a supplier measures stands on the class and the oil alone.
evidence described(const grease& g) {
  evidence e = g.known();
  e.points.clear();
  e.flow_pressures.clear();
  return e;
}

/// The grease of a description, or of nothing but g's own curve where no class is known, once a supplier has measured
/// it at one temperature and rate and found the curve right.
struct offered_grease {
  detail::grease_model middle;
  std::optional<detail::grease_model> stiffer;
};
std::optional<offered_grease> offered(const detail::line_kernel& k, double t_c, const grease& g, temperature at,
                                      shear_rate rate) {
  offered_grease o;
  if (g.stiff_penetration() > 0.0) {
    evidence e = described(g);
    const grease by_class = estimate(e);
    if (!detail::knows(k, by_class, t_c)) return std::nullopt;
    e.points = {{at, rate, stress(*by_class.at(at), nominal_rate{rate}), rate_kind::nominal}};
    const grease measured_once = estimate(e);
    o.middle = measured_once.kernel();
    if (const auto* stiffer = measured_once.stiffer_oil()) o.stiffer = *stiffer;
  } else {
    if (!detail::knows(k, g, t_c)) return std::nullopt;
    o.middle = g.kernel();
    o.middle.f0 = detail::measured_factor;
    o.middle.t0_c = at.in_celsius() - 10.0;
    o.middle.lowest_rate = in_per_second(rate);
    o.middle.slope = detail::slope_spread;
    const detail::curve there = g.kernel().at(at.in_celsius());
    if (there.ty > 0.0)
      o.middle.held_over_yield = detail::wall_at_nominal(there, in_per_second(rate)).stress / there.ty;
  }
  // The label must not vouch for an offer: its level counts as unknown, which never narrows the spread.
  constexpr double unlimited = 1e9;
  o.middle.f0_most = unlimited;
  if (o.stiffer) o.stiffer->f0_most = unlimited;
  return o;
}

}  // namespace

std::optional<supplier_question> detail::question_of(const detail::line_kernel& k, const grease& g, double t_c,
                                                     double z, const detail::tube& tight) {
  const temperature at = celsius(t_c + tight.offset_k);
  const shear_rate rate = per_second(detail::nominal_rate_of(k.flow * tight.flow_ratio, tight.bore));
  const auto offer = offered(k, t_c, g, at, rate);
  if (!offer) return std::nullopt;
  const detail::grease_kernel model{offer->middle, offer->stiffer ? &*offer->stiffer : nullptr};
  const double excess =
      std::fmax(detail::flow_demand(k, model, t_c, k.flow).excess(z), detail::vent_demand(k, model, t_c).excess(z));
  const double stress =
      std::exp(-excess) * detail::wall_at_nominal(offer->middle.at(at.in_celsius()), in_per_second(rate)).stress;
  constexpr double rounding = 1e-12;  // the value put back must pass
  return supplier_question{at, rate, pascal_second(stress / in_per_second(rate) * (1.0 - rounding))};
}

}  // namespace coldgrease::inline v0
