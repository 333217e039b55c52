#include "grease/sheet_data.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>
#include <cfloat>
#include <cmath>

#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

namespace {

double deviation(double factor90) { return std::log(factor90) / z90; }

share_of share(sheet_share of) { return {static_cast<std::size_t>(of), 1.0}; }

std::string at_words(temperature at, double rate) { return fmt::format("at {} and {:.3g} 1/s", both_scales(at), rate); }

/// Of a point: its nominal rate whatever its kind, and what the reference says of it.
struct expectation {
  double nominal = 0.0;
  median_stress stress{};
};
expectation expected_of(const measured_point& p, const grease_kernel& known) {
  static constexpr belief untaught{};
  const grease_kernel reference{known.middle, known.stiffer, untaught};
  const double t_c = p.at.in_celsius(), rate = in_per_second(p.rate);
  if (p.kind == rate_kind::nominal) return {rate, wall_stress(reference, t_c, rate)};
  // At the wall of the tube where the true rate is this one.
  const double nominal = wall_at(reference.middle.at(t_c), rate).nominal;
  expectation e{nominal, wall_stress(reference, t_c, nominal)};
  e.stress.stress = reference.middle.at(t_c).stress(rate);
  return e;
}

}  // namespace

std::span<const shared_unknown> sheet_shares() {
  // A nozzle's constant is not known: a deviation so wide that a reading alone says nothing of the level.
  static const std::array<shared_unknown, 4> shares{{{.deviation = batch_spread},
                                                     {.deviation = deviation(capillary_laboratory)},
                                                     {.deviation = deviation(rheometer_laboratory)},
                                                     {.deviation = 30.0}}};
  return shares;
}

observation observation_of(const measured_point& p, const grease_kernel& reference) {
  const expectation expected = expected_of(p, reference);
  const bool capillary = p.kind == rate_kind::nominal;
  const bool slow = capillary && in_per_second(p.rate) < least_precise_rate;
  return {.of = expected.stress.of,
          .shares = {share(sheet_share::batch), share(capillary ? sheet_share::capillary : sheet_share::rheometer)},
          .value = std::log(in_pascal(p.stress) / expected.stress.stress),
          .error = deviation(slow ? slow_point_factor : point_factor)};
}

sheet_datum datum_of(const measured_point& p, const grease_kernel& reference) {
  const observation seen = observation_of(p, reference);
  const double rate = in_per_second(p.rate);
  return {.seen = seen,
          .used = {.kind = p.kind == rate_kind::nominal ? datum_kind::apparent_viscosity : datum_kind::rheometer,
                   .says = fmt::format("{:.4g} Pa s {}", in_pascal(p.stress) / rate, at_words(p.at, rate)),
                   .at = p.at,
                   .over_reference = std::exp(seen.value)}};
}

sheet_datum datum_of(const mobility_reading& m, const grease_kernel& reference) {
  const measured_point p = point_of(m, kg_per_m3(density_at(reference.middle.density15, m.at.in_celsius())));
  sheet_datum datum = datum_of(p, reference);
  datum.seen.shares = {share(sheet_share::batch)};
  datum.seen.error = deviation(mobility_factor);
  datum.used.kind = datum_kind::mobility;
  datum.used.says = fmt::format("{:.4g} g/min at {}", m.grams_per_minute, both_scales(m.at));
  return datum;
}

std::vector<sheet_datum> data_of(std::span<const flow_pressure_point> points, const grease_kernel& reference,
                                 std::vector<std::string>& notes) {
  std::vector<flow_pressure_point> read;
  for (const flow_pressure_point& p : points) {
    if (!p.at_most && reference.middle.knows(p.at.in_celsius())) {
      read.push_back(p);
    } else if (p.at_most) {
      notes.push_back(
          fmt::format("a flow pressure of at most {:.0f} hPa at {} speaks of a short nozzle, not of metres of "
                      "line: it is kept, not used",
                      in_pascal(p.needed) / 100.0, both_scales(p.at)));
    }
  }
  if (read.empty()) return {};
  const auto [cold, warm] = std::ranges::minmax_element(read, {}, &flow_pressure_point::at);
  if (!(in_kelvins(warm->at - cold->at) >= 5.0) || cold->at >= celsius(slope_from_c)) {
    notes.push_back("one flow pressure gives no slope: readings at two temperatures, one of them cold, would");
    return {};
  }
  std::vector<sheet_datum> data;
  const double warmest = std::log(in_pascal(warm->needed) / reference.middle.at(warm->at.in_celsius()).ty);
  for (const flow_pressure_point& p : read) {
    median_stress yield = yield_stress(reference, p.at.in_celsius());
    yield.of[unknown::level] = 0.0;  // the nozzle's constant holds it
    const double value = std::log(in_pascal(p.needed) / yield.stress) - warmest;
    data.push_back({.seen = {.of = yield.of,
                             .shares = {share(sheet_share::nozzle)},
                             .value = value,
                             // The error is that of a ratio: each of two readings has its share.
                             .error = deviation(flow_pressure_ratio) / std::sqrt(2.0)},
                    .used = {.kind = datum_kind::flow_pressures,
                             .says = &p == &*warm ? std::string()
                                                  : fmt::format("{:.0f} hPa at {} over {:.0f} hPa at {}",
                                                                in_pascal(p.needed) / 100.0, both_scales(p.at),
                                                                in_pascal(warm->needed) / 100.0, both_scales(warm->at)),
                             .at = p.at,
                             .over_reference = std::exp(value)}});
  }
  return data;
}

std::vector<sheet_datum> data_of(const fit_answer& fitted, const grease_kernel& reference) {
  std::vector<sheet_datum> data;
  const bool capillary =
      std::ranges::all_of(fitted.points, [](const fitted_point& p) { return p.measured.kind == rate_kind::nominal; });
  const auto in_wax = [&](const fitted_curve& c) {
    return reference.middle.waxy && c.temperature.in_celsius() < reference.middle.bound_c;
  };
  const bool free_of_wax = !std::ranges::all_of(fitted.curves, in_wax);
  for (const fitted_curve& c : fitted.curves) {
    // Wax has a law of its own: what was measured in it tells nothing of the slope above it.
    if (free_of_wax && in_wax(c)) continue;
    const double lowest = in_per_second(c.rate_min);
    for (const auto& [rate, error] : {std::pair{usual_rate, c.usual_rate_error},
                                      std::pair{std::sqrt(lowest * in_per_second(c.rate_max)), c.middle_rate_error}}) {
      const median_stress there = wall_stress(reference, c.temperature.in_celsius(), rate);
      const double over = wall_at_nominal(kernel(c.curve), rate).stress / there.stress;
      const double below = rate < lowest ? rate_growth * std::log(lowest / rate) / z90 : 0.0;
      data.push_back({.seen = {.of = there.of,
                               .shares = {share(sheet_share::batch),
                                          share(capillary ? sheet_share::capillary : sheet_share::rheometer)},
                               .value = std::log(over),
                               .error = std::hypot(error, below)},
                      .used = {.kind = datum_kind::fit,
                               .says = rate == usual_rate ? at_words(c.temperature, rate) : std::string(),
                               .at = c.temperature,
                               .over_reference = over}});
    }
  }
  return data;
}

belief taught_by(const belief& prior, std::vector<sheet_datum>& data) {
  if (data.empty()) return prior;
  std::vector<observation> seen;
  for (const sheet_datum& d : data) seen.push_back(d.seen);
  joint_belief joint(prior, sheet_shares());
  joint.learn(seen);
  belief all = joint.next_batch();
  all.reach = 0.0;
  for (const sheet_datum& d : data) all.reach = std::fmax(all.reach, slope_from_c - d.used.at.in_celsius());
  for (std::size_t i = 0; i < data.size(); ++i) {
    weights there = seen[i].of;
    there[unknown::level] = 1.0;
    data[i].used.error = seen[i].error;
    data[i].used.spread_90_without = std::exp(z90 * joint.next_batch_without(i).sigma(there));
    data[i].used.spread_90 = std::exp(z90 * all.sigma(there));
  }
  return all;
}

bool colder_looks_better(const grease_kernel& g) {
  if (!g.known.taught || !g.middle.has_oil) return false;
  constexpr double warmest = 60.0, step = 2.0;          // [C], [K]
  constexpr std::array rates{0.05, usual_rate, 100.0};  // [1/s]
  constexpr std::array starts{1.0, 1.5};
  constexpr std::array quantiles{-3.1, 3.1};  // chances of 0.001 and 0.999: what rises at both, rises between them
  std::array<double, (1 + rates.size() * starts.size()) * quantiles.size()> warmer{};
  warmer.fill(-INFINITY);
  for (double t = warmest; g.middle.knows(t); t -= step) {
    std::size_t at = 0;
    bool falls = false;
    const auto look = [&](const median_stress& m) {
      const double sigma = g.known.sigma(m.of), median = std::log(std::fmax(m.stress, DBL_MIN));
      for (const double z : quantiles) {
        const double believed = median + z * sigma;
        falls = falls || believed < warmer[at];
        warmer[at++] = believed;
      }
    };
    look(yield_stress(g, t));
    for (const double rate : rates) {
      for (const double start : starts) look(wall_stress(g, t, rate, start));
    }
    if (falls) return true;
  }
  return false;
}

belief after_point(const belief& prior, const measured_point& p, const grease_kernel& reference) {
  joint_belief joint(prior, sheet_shares());
  joint.learn({{observation_of(p, reference)}});
  belief after = joint.next_batch();
  after.reach = std::fmax(0.0, slope_from_c - p.at.in_celsius());
  return after;
}

}  // namespace coldgrease::inline v0::detail
