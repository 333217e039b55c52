#include "coldgrease/line/inlet.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "coldgrease/line/limits.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr double assumed_height = 0.2;  // [m]
constexpr double assisted_yield = 5e3;  // [Pa], JUDGEMENT
constexpr double most_stress = 5e3;     // [Pa] at 1 1/s, JUDGEMENT

/// ln of the worse demand over its limit: below 0 the pump is fed by a grease of this curve.
double shortfall_of(const inlet& i, const detail::grease_kernel& g, const detail::grease_model& m, double t_c) {
  const detail::curve f = g.at(m, t_c);
  const double density = detail::density_at(m.density15, t_c);
  const double height = i.height ? in_metre(*i.height) : assumed_height;
  const double limit =
      i.kind == feed_kind::gravity ? density * factor::standard_gravity * height / 4.0 : assisted_yield;
  return std::log(std::fmax(f.ty / limit, f.stress(1.0) / most_stress));
}

/// The median of the shortfall, and how surely it is known. What data say of the slope against the rate is left out:
/// the grease hardly moves.
struct shortfall {
  double median = 0.0;
  double sigma = 1.0;
  double least = 1.0;  // without what nobody said of the oil
};
shortfall believed_shortfall(const inlet& i, const detail::grease_kernel& g, double t_c) {
  detail::weights of = detail::at_rate(t_c, detail::usual_rate);
  shortfall s{.median = shortfall_of(i, g, g.middle, t_c)};
  if (g.stiffer) of[detail::unknown::oil] = (shortfall_of(i, g, *g.stiffer, t_c) - s.median) / detail::z90;
  s.median += g.known.shift(of);
  s.sigma = g.known.sigma(of);
  s.least = g.known.sigma_without_oil(of, s.sigma);
  return s;
}

}  // namespace

inlet_answer detail::fed_now(const inlet& i, const grease& g, const grease_kernel& kernel, temperature at,
                             double confidence) {
  inlet_answer answer;
  answer.temperature = i.heated_to ? std::max(at, *i.heated_to) : at;
  const double t_c = answer.temperature.in_celsius();
  if (!g.knows(answer.temperature)) return answer;
  const auto doubt = [&](double t) {
    const shortfall s = believed_shortfall(i, kernel, t);
    return -chance_of(-s.median, s.sigma, s.least);
  };
  answer.chance = -most_from(g.belief(), t_c, doubt);
  answer.below_oil_bound = g.model().has_oil && t_c < g.model().bound_c;
  answer.verdict = judge(answer.chance, confidence, answer.below_oil_bound);
  return answer;
}

inlet_answer feeding(const inlet& i, const grease& g, temperature at, double confidence) {
  inlet_answer answer = detail::fed_now(i, g, g.kernel(), at, confidence);
  if (!g.has_model() || !g.model().has_oil) return answer;
  const double z = normal_quantile(confidence);
  const auto excess = [&](double t) {
    const shortfall s = believed_shortfall(i, g.kernel(), t);
    return s.median + z * s.sigma;
  };
  if (const auto t = detail::coldest_root(excess, g.model().bound_c, detail::warmest_search_c, g.belief().taught))
    answer.coldest = celsius(*t);
  return answer;
}

std::optional<temperature> coldest_air(const inlet& i, const inlet_answer& answer) {
  if (!answer.coldest) return std::nullopt;
  return i.heated_to && *i.heated_to >= *answer.coldest ? kelvin(0.0) : *answer.coldest;
}

}  // namespace coldgrease::inline v0
