// What a tender asks for: a datum that, measured, passes the line it was computed for.
#include "coldgrease/base/error.hpp"
#include "grease/sheet_data.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

namespace {

/// What a tender may state: a point that a supplier measures stands on the class and the oil alone.
evidence described(const grease& g) {
  evidence e = g.known();
  e.points.clear();
  e.flow_pressures.clear();
  e.mobility.reset();
  return e;
}

/// A grease of a description, or of nothing but g's own curve where no class is known, of which a supplier measures one
/// stress.
class offered_grease {
 public:
  /// @param vouched  by the label: without it the level is not known
  offered_grease(const grease& curve, temperature at, shear_rate rate, bool vouched) : grease_(curve) {
    using detail::unknown;
    constexpr double no_class = 50.0;  // so wide that the measurement alone counts
    const auto square = [](double v) { return v * v; };
    prior_.variance_of(unknown::level) =
        vouched ? detail::belief(curve.belief()).variance_of(unknown::level) : no_class;
    prior_.variance_of(unknown::slope) = square(detail::slope_spread);
    prior_.variance_of(unknown::tilt) = square(detail::tilt_spread);
    prior_.variance_of(unknown::start) = square(detail::start_spread);
    prior_.variance_of(unknown::oil) = curve.stiffer_oil() ? 1.0 : 0.0;
    point_ = {.at = at, .rate = rate, .stress = {}, .kind = rate_kind::nominal};
    middle_ = curve.model();
    const detail::curve there = middle_.at(at.in_celsius());
    expected_ = detail::wall_at_nominal(there, in_per_second(rate)).stress;
    if (there.ty > 0.0) middle_.held_over_yield = expected_ / there.ty;
  }
  double expected() const { return expected_; }
  /// Whether a grease so stiff would look better in the cold than in warmer air; measured stress [Pa].
  bool looks_better_in_cold(double stress) const {
    const detail::belief known = believed(stress);
    return detail::colder_looks_better({middle_, grease_.stiffer_oil(), known});
  }
  /// How much is asked for beyond what is allowed, in warmer air as well or in this alone, at a measured stress [Pa].
  double excess(const detail::line_kernel& k, double t_c, double z, double stress, bool in_warmer_air) const {
    detail::belief known = believed(stress);
    known.colder_looks_better = in_warmer_air;
    const detail::grease_kernel g{middle_, grease_.stiffer_oil(), known};
    return std::fmax(detail::flow_excess(k, g, t_c, k.flow, z), detail::vent_excess(k, g, t_c, z));
  }

 private:
  detail::belief believed(double stress) const {
    measured_point p = point_;
    p.stress = pascal(stress);
    return detail::after_point(prior_, p, {grease_.model(), grease_.stiffer_oil(), prior_});
  }

  const grease& grease_;
  detail::belief prior_;
  measured_point point_;
  detail::grease_model middle_;
  double expected_ = 0.0;
};

/// The largest stress that passes [Pa]; nothing where none does.
std::optional<double> largest_stress(const offered_grease& o, const detail::line_kernel& k, double t_c, double z) {
  constexpr double widest = 12.0;  // of ln(stress/expected)
  const auto stress_at = [&](double ln) { return o.expected() * std::exp(ln); };
  const auto largest = [&](bool in_warmer_air) -> std::optional<double> {
    const auto excess = [&](double ln) { return o.excess(k, t_c, z, stress_at(ln), in_warmer_air); };
    if (excess(-widest) > 0.0) return std::nullopt;
    return stress_at(excess(widest) <= 0.0 ? widest : detail::met_beside_root(excess, -widest, widest));
  };
  // Warmer air costs a hundred times as much to look at, and seldom counts.
  const auto found = largest(false);
  const bool warmer_counts = found && o.looks_better_in_cold(*found) && o.excess(k, t_c, z, *found, true) > 0.0;
  return warmer_counts ? largest(true) : found;
}

}  // namespace

std::optional<supplier_question> detail::question_of(const detail::line_kernel& k, const grease& g, double t_c,
                                                     double z, const detail::tube& tight) {
  const temperature at = celsius(t_c + tight.offset_k);
  const shear_rate rate = per_second(detail::nominal_rate_of(k.flow * tight.flow_ratio, tight.bore));
  const bool classed = g.stiff_penetration() > 0.0;
  const grease curve = classed ? estimate(described(g)) : g;
  if (!detail::knows(k, curve, t_c)) return std::nullopt;
  // The label must not vouch for an offer that the measurement alone would not pass.
  std::optional<double> stress = largest_stress({curve, at, rate, false}, k, t_c, z);
  if (classed && stress) {
    const auto vouched = largest_stress({curve, at, rate, true}, k, t_c, z);
    stress = vouched ? std::optional(std::fmin(*stress, *vouched)) : std::nullopt;
  }
  if (!stress) return std::nullopt;
  constexpr double rounding = 1e-9;  // the value put back must pass
  return supplier_question{at, rate, pascal_second(*stress / in_per_second(rate) * (1.0 - rounding))};
}

}  // namespace coldgrease::inline v0
