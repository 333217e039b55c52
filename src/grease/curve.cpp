#include "coldgrease/grease/curve.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0 {

namespace {

/// Of a rate of either kind, with what data say of the slope against the rate [Pa].
double median_stress_at(const grease& g, double t_c, double rate, rate_kind kind) {
  if (kind == rate_kind::nominal) return detail::wall_stress(g.kernel(), t_c, rate).stress;
  const detail::curve f = g.model().at(t_c);
  if (!g.belief().taught) return f.stress(rate);
  const double nominal = std::fmax(detail::wall_at(f, rate).nominal, std::numeric_limits<double>::min());
  return f.stress(rate) * detail::wall_stress(g.kernel(), t_c, nominal).stress /
         detail::wall_at_nominal(f, nominal).stress;
}

}  // namespace

curve_answer describe(const grease& g, temperature at, std::span<const shear_rate> rates, rate_kind kind) {
  curve_answer answer{.temperature = at,
                      .curve = g.at(at),
                      .evidence = g.stands_on(),
                      .data = g.data(),
                      .kind = kind,
                      .notes = g.notes()};
  for (const shear_rate& rate : rates) {
    if (!(in_per_second(rate) > 0.0)) throw input_error("rate", fmt::format("{} 1/s", in_per_second(rate)), "above 0");
  }
  answer.worth_most = worth_most(g, at);
  if (!answer.curve) {
    answer.notes.push_back("nothing is known of this grease at " + both_scales(at));
    return answer;
  }
  double widest = rates.empty() ? g.sigma(at) : 0.0;
  for (const shear_rate& rate : rates) widest = std::max(widest, g.sigma(at, rate));
  answer.spread_90 = std::exp(detail::z90 * widest);
  for (const shear_rate& rate : rates) {
    const pressure tau = pascal(median_stress_at(g, at.in_celsius(), in_per_second(rate), kind));
    const dynamic_viscosity apparent = pascal_second(in_pascal(tau) / in_per_second(rate));
    if (!std::isfinite(in_pascal(tau)) || !std::isfinite(in_pascal_second(apparent)))
      throw input_error("rate", fmt::format("at {} 1/s the stress leaves the range of numbers", in_per_second(rate)),
                        "a rate that grease is sheared at");
    answer.points.push_back({rate, tau, apparent});
  }
  if (const auto bound = g.oil_bound(); bound && at < *bound)
    answer.notes.push_back("colder than the oil's bound, " + both_scales(*bound) + ": at best doubtful");
  return answer;
}

}  // namespace coldgrease::inline v0
