#include "coldgrease/line/worth.hpp"

#include <cmath>

#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"
#include "coldgrease/line/readings.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

namespace {

double square(double v) { return v * v; }

/// A reading of the gauge while the pump runs.
detail::candidate gauge_at(const line& l, const detail::line_kernel& k, const detail::grease_kernel& g, double t_c) {
  using namespace detail;
  const median_pressure lost = running_loss(k, g, t_c);
  const reading_errors errors;
  const double outlet = in_pascal(l.outlet ? errors.stated_outlet : errors.assumed_outlet);
  const double slope = ln_loss_per_kelvin(k, g, t_c);
  return {.datum = {.datum = obtainable::gauge, .at = celsius(t_c)},
          .of = lost.of,
          .variance = square(batch_spread) + square(std::log(errors.vehicle) / z90) +
                      (square(in_pascal(errors.gauge)) + square(outlet)) / square(z90 * lost.pressure) +
                      square(slope * in_kelvins(errors.thermometer) / z90)};
}

}  // namespace

std::optional<worth> worth_most(const line& l, const grease& g, const conditions& c,
                                std::span<const temperature> mornings) {
  const detail::line_kernel k = detail::kernel(l, c);
  const double t_c = c.at->in_celsius();
  if (detail::missing_for(c, g) != missing_datum::none || !detail::knows(k, g, t_c)) return std::nullopt;
  const double z = normal_quantile(c.confidence);
  const auto coldest = [&](const detail::grease_model& model, const detail::belief& b) -> std::optional<temperature> {
    const auto found = detail::coldest_c(k, {model, g.stiffer_oil(), b}, z);
    return found ? std::optional(celsius(*found)) : std::nullopt;
  };
  if (!g.known().pour && detail::below_bound(k, g.model(), t_c)) {
    // No measurement of stress passes a line below the bound of its oil; a pour point moves that bound.
    detail::grease_model unbound = g.model();
    unbound.bound_c = t_c + k.coldest_offset();
    const worth pour{.datum = obtainable::pour_point,
                     .coldest_without = coldest(g.model(), g.belief()),
                     .coldest = coldest(unbound, g.belief())};
    if (pour.coldest && pour.coldest_without && *pour.coldest < *pour.coldest_without) return pour;
  }
  auto all = detail::candidates_for(g, t_c);
  for (const temperature& morning : mornings) {
    if (detail::knows(k, g, morning.in_celsius())) all.push_back(gauge_at(l, k, g.kernel(), morning.in_celsius()));
  }
  const detail::demand flow = detail::flow_demand(k, g.kernel(), t_c, k.flow);
  const detail::demand vent = detail::vent_demand(k, g.kernel(), t_c);
  const detail::weights answer = vent.chance() < flow.chance() ? vent.of : flow.of;
  const detail::candidate* best = detail::most_telling(all, g.belief(), answer);
  if (!best) return std::nullopt;
  const detail::belief after = detail::after_seeing(g.belief(), best->of, best->variance);
  worth w = best->datum;
  w.spread_90_without = std::exp(detail::z90 * g.belief().sigma(answer));
  w.spread_90 = std::exp(detail::z90 * after.sigma(answer));
  w.coldest_without = coldest(g.model(), g.belief());
  w.coldest = coldest(g.model(), after);
  return w;
}

std::optional<worth> worth_most(const installation& i, const grease& g, temperature at, double confidence,
                                std::span<const temperature> mornings) {
  const installation_outcome whole = outcome_of(i, g, at, confidence);
  if (whole.line) return worth_most(i.lines[*whole.line], g, conditions_of(i, at, confidence), mornings);
  return worth_most(g, at);
}

}  // namespace coldgrease::inline v0
