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

/// ln of the worse demand over its limit: below 0 the pump is fed by the middle estimate.
double shortfall(const inlet& i, const detail::grease_model& g, double t_c) {
  const detail::curve f = g.at(t_c);
  const double density = detail::density_at(g.density15, t_c);
  const double height = i.height ? in_metre(*i.height) : assumed_height;
  const double limit =
      i.kind == feed_kind::gravity ? density * factor::standard_gravity * height / 4.0 : assisted_yield;
  return std::log(std::fmax(f.ty / limit, f.stress(1.0) / most_stress));
}

/// Share of the spread that an oil in doubt adds.
double doubt_of(const inlet& i, const grease& g, double t_c) {
  const auto* stiffer = g.stiffer_oil();
  return stiffer ? std::abs(shortfall(i, *stiffer, t_c) - shortfall(i, g.kernel(), t_c)) / detail::z90 : 0.0;
}

}  // namespace

inlet_answer detail::fed_now(const inlet& i, const grease& g, temperature at, double confidence) {
  inlet_answer answer;
  answer.temperature = i.heated_to ? std::max(at, *i.heated_to) : at;
  const grease_model& model = g.kernel();
  const double t_c = answer.temperature.in_celsius();
  if (g.kind() == evidence_kind::none || !model.knows(t_c)) return answer;
  answer.chance = chance_of(-shortfall(i, model, t_c), model.sigma(t_c), doubt_of(i, g, t_c));
  answer.below_oil_bound = model.has_oil && t_c < model.bound_c;
  answer.verdict = judge(answer.chance, confidence, answer.below_oil_bound);
  return answer;
}

inlet_answer feeding(const inlet& i, const grease& g, temperature at, double confidence) {
  inlet_answer answer = detail::fed_now(i, g, at, confidence);
  const detail::grease_model& model = g.kernel();
  if (g.kind() == evidence_kind::none || !model.has_oil) return answer;
  const double z = normal_quantile(confidence);
  const auto excess = [&](double t) {
    return shortfall(i, model, t) + z * std::hypot(model.sigma(t), doubt_of(i, g, t));
  };
  if (const auto t = detail::coldest_root(excess, model.bound_c, detail::warmest_search_c))
    answer.coldest = celsius(*t);
  return answer;
}

std::optional<temperature> coldest_air(const inlet& i, const inlet_answer& answer) {
  if (!answer.coldest) return std::nullopt;
  return i.heated_to && *i.heated_to >= *answer.coldest ? kelvin(0.0) : *answer.coldest;
}

}  // namespace coldgrease::inline v0
