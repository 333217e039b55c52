#include "coldgrease/grease/worth.hpp"

#include "base/format.hpp"

#include <array>
#include <cmath>

#include "coldgrease/base/quantity_text.hpp"
#include "grease/sheet_data.hpp"

namespace coldgrease::inline v0 {

namespace detail {

namespace {

constexpr double coldest_capillary_c = -54.0, warmest_capillary_c = 38.0;  // range of ASTM D1092

double square_of_ln(double factor90) {
  const double deviation = std::log(factor90) / z90;
  return deviation * deviation;
}

void add_apparent(const grease& g, double day_c, std::vector<candidate>& all) {
  for (const double warmer : {0.0, 5.0, 10.0}) {
    const double t_c = std::fmin(std::fmax(day_c, coldest_capillary_c) + warmer, warmest_capillary_c);
    if (!g.model().knows(t_c)) continue;
    for (const double rate : {1.0, 2.5, 5.0, 10.0, 25.0}) {
      const double point = rate < least_precise_rate ? slow_point_factor : point_factor;
      all.push_back(
          {.datum = {.datum = obtainable::apparent_viscosity, .at = celsius(t_c), .rate = per_second(rate)},
           .of = wall_stress(g.kernel(), t_c, rate).of,
           .variance = batch_spread * batch_spread + square_of_ln(capillary_laboratory) + square_of_ln(point)});
    }
  }
}

void add_flow_pressures(const grease& g, double day_c, std::vector<candidate>& all) {
  constexpr double warm_c = 20.0;
  if (!g.known().flow_pressures.empty() || day_c > warm_c - 5.0 || !g.model().knows(day_c) || !g.model().has_oil)
    return;
  candidate c{.datum = {.datum = obtainable::flow_pressures, .at = celsius(day_c)},
              .of = yield_stress(g.kernel(), day_c).of,
              .variance = square_of_ln(flow_pressure_ratio)};
  c.of.add(-1.0, yield_stress(g.kernel(), warm_c).of);
  all.push_back(c);
}

}  // namespace

std::vector<candidate> candidates_for(const grease& g, double t_c) {
  std::vector<candidate> all;
  if (!g.has_model()) return all;
  if (g.stiffer_oil()) {
    candidate oil{.datum = {.datum = obtainable::oil_viscosities}};
    oil.of[unknown::oil] = 1.0;
    all.push_back(oil);
  }
  if (const auto variance = variance_of_worked_penetration(g)) {
    candidate worked{.datum = {.datum = obtainable::worked_penetration}, .variance = *variance};
    worked.of[unknown::level] = 1.0;
    all.push_back(worked);
  }
  add_apparent(g, t_c, all);
  add_flow_pressures(g, t_c, all);
  return all;
}

namespace {

/// Covariance of the unknowns with a sum.
std::array<double, unknowns> with_sum(const belief& b, const weights& of) {
  std::array<double, unknowns> with{};
  for (std::size_t i = 0; i < unknowns; ++i) {
    for (std::size_t j = 0; j < unknowns; ++j) with[i] += b.covariance[i][j] * of.by[j];
  }
  return with;
}
double dot(const std::array<double, unknowns>& a, const std::array<double, unknowns>& b) {
  double sum = 0.0;
  for (std::size_t i = 0; i < unknowns; ++i) sum += a[i] * b[i];
  return sum;
}

}  // namespace

const candidate* most_telling(const std::vector<candidate>& all, const belief& b, const weights& answer) {
  const candidate* best = nullptr;
  constexpr double no_help = 0.05;  // of the answer's variance: 2.5 % of its factor's logarithm
  const double sigma = b.sigma(answer);
  double most = no_help * sigma * sigma;
  for (const candidate& c : all) {
    const auto with = with_sum(b, c.of);
    const double total = dot(with, c.of.by) + c.variance, together = dot(with, answer.by);
    const double told = total > 0.0 ? together * together / total : 0.0;
    if (!(told > most)) continue;
    most = told;
    best = &c;
  }
  return best;
}

}  // namespace detail

std::string words_of_datum(const used_datum& d) {
  constexpr double same = 0.005;  // a curve of a fit that the reference passes through
  std::string lies = "the reference itself";
  if (d.kind != datum_kind::fit || std::abs(d.over_reference - 1.0) > same)
    lies = fmt::format("{:.2f} times {}the reference", d.over_reference,
                       d.kind == datum_kind::flow_pressures ? "the ratio of " : "");
  return fmt::format("{} {}, {}: 90 % factor there {:.2f}, without it {:.2f}", name_of(d.kind), d.says, lies,
                     d.spread_90, d.spread_90_without);
}

std::string words_of_worth(const worth& w) {
  std::string text(name_of(w.datum));
  if (w.datum == obtainable::oil_viscosities) text += " at 40 and 100 C";
  if (w.datum == obtainable::apparent_viscosity)
    text += fmt::format(" (ASTM D1092) at {} and {:g} 1/s", both_scales(*w.at), in_per_second(*w.rate));
  if (w.datum == obtainable::flow_pressures)
    text += fmt::format(" (DIN 51805), at {} and {}", both_scales(celsius(20)), both_scales(*w.at));
  if (w.datum == obtainable::gauge) text += fmt::format(" of a running pump at {}", both_scales(*w.at));
  if (w.datum != obtainable::pour_point)
    text += fmt::format(": 90 % factor {:.2f} instead of {:.2f}", w.spread_90, w.spread_90_without);
  if (w.coldest && w.coldest_without && *w.coldest < *w.coldest_without)
    text += fmt::format("{} coldest {} instead of {}, if it {}", w.datum == obtainable::pour_point ? ":" : ",",
                        both_scales(*w.coldest), both_scales(*w.coldest_without),
                        w.datum == obtainable::pour_point ? "lies so low" : "comes out as expected");
  return text;
}

std::optional<worth> worth_most(const grease& g, temperature at, shear_rate rate) {
  if (!g.knows(at)) return std::nullopt;
  const double t_c = at.in_celsius();
  const auto all = detail::candidates_for(g, t_c);
  const detail::weights answer = detail::wall_stress(g.kernel(), t_c, in_per_second(rate)).of;
  const detail::candidate* best = detail::most_telling(all, g.belief(), answer);
  if (!best) return std::nullopt;
  worth w = best->datum;
  w.spread_90_without = std::exp(detail::z90 * g.belief().sigma(answer));
  w.spread_90 = std::exp(detail::z90 * detail::after_seeing(g.belief(), best->of, best->variance).sigma(answer));
  return w;
}

}  // namespace coldgrease::inline v0
