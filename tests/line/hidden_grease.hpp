// Greases drawn from what a description says, trucks that hold them, and readings with the errors that are stated: what
// learn() may know, beside the truth it may not.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "coldgrease/line/learn.hpp"
#include "coldgrease/line/limits.hpp"
#include "line/line_kernel.hpp"

namespace hidden {

using namespace coldgrease;
using detail::unknowns;
using detail::z90;

enum class reads { gauge, gauge_at_start, reached, mixed };

struct plan {
  int readings = 0;
  int vehicles = 1;
  int batches = 1;
  reads kind = reads::gauge;
};

/// One grease that nobody knows: the unknowns of its description, drawn.
struct truth {
  detail::belief means{};                  // of the grease
  std::vector<double> batches{};           // deviation of each batch that is read
  std::map<std::string, double> shared{};  // of vehicles, days and outlets
};

class simulation {
 public:
  simulation(const grease& g, const installation& i, std::uint64_t seed) : grease_(g), system_(i), random_(seed) {
    join_mains(system_);
  }

  truth draw(const plan& p) {
    truth t;
    t.means.taught = true;
    // The covariance of a description is diagonal: each unknown is drawn alone.
    for (std::size_t u = 0; u < unknowns; ++u)
      t.means.mean[u] = std::sqrt(grease_.belief().covariance[u][u]) * normal();
    for (int b = 0; b < p.batches; ++b) t.batches.push_back(detail::batch_spread * normal());
    return t;
  }

  /// Readings of a winter or two, from the temperatures where the gauge speaks.
  std::vector<reading> read(const plan& p, truth& t) {
    std::vector<reading> all;
    const reading_errors errors;
    for (int n = 0; n < p.readings; ++n) {
      const int batch = n % p.batches;
      reading r{.day = date_of(19'700 + 400 * batch + n), .vehicle = "truck " + std::to_string(n % p.vehicles)};
      r.batch = "batch " + std::to_string(batch);
      r.at = celsius(between(-22.0, 5.0));
      const bool at_start = p.kind == reads::gauge_at_start || (p.kind == reads::mixed && n % 3 == 1);
      const bool by_point = p.kind == reads::reached || (p.kind == reads::mixed && n % 3 == 2);
      if (at_start) r.rest = hour(12);
      const std::size_t line = static_cast<std::size_t>(n) % system_.lines.size();
      r.installation = system_.name;
      r.point = system_.lines[line].point;
      r.grease = grease_.name();
      r.row = static_cast<std::size_t>(n) + 2;
      conditions c = conditions_of(system_, r.at, usual_confidence);
      c.rest = r.rest.value_or(second(0));
      const detail::line_kernel k = detail::kernel(system_.lines[line], c);
      const coldgrease::line& l = system_.lines[line];
      const double warmer = of(t, "day " + std::to_string(n / 2), in_kelvins(errors.thermometer));
      const double outlet = of(t, "outlet " + r.vehicle + std::to_string(line),
                               in_pascal(l.outlet ? errors.stated_outlet : errors.assumed_outlet));
      const double vehicle = of(t, r.vehicle, std::log(errors.vehicle));
      r.day = date_of(19'700 + 400 * batch + n / 2);
      // By the pressure itself: the oil is thickened by what the gauge shows.
      const double extra = t.batches[static_cast<std::size_t>(batch)] + vehicle;
      double shown = k.available;
      const detail::grease_kernel true_grease{grease_.model(), grease_.stiffer_oil(), t.means};
      const double fixed = in_pascal(l.outlet.value_or(assumed_outlet())) + outlet + k.dividers;
      const auto loss_at = [&](double gauge) {
        return std::exp(extra) * detail::loss(k, true_grease, r.at.in_celsius() + warmer, k.start, k.flow,
                                              detail::thickening(true_grease, gauge, k.outlet))
                                     .pressure;
      };
      const double error = in_pascal(errors.gauge) / z90 * normal();
      if (by_point) {
        r.reached = fixed + loss_at(k.available) + error < k.available;
      } else {
        for (int step = 0; step < 60; ++step) shown = 0.5 * (shown + fixed + loss_at(shown));
        shown += error;
        if (shown >= 0.95 * k.available) {
          // Pinned: a technician writes down what the relief holds.
          shown = k.available;
        }
        r.gauge = pascal(std::fmax(shown, 0.0));
      }
      all.push_back(r);
    }
    return all;
  }

  double normal() { return normal_(random_); }
  double between(double low, double high) {
    return low + (high - low) * std::uniform_real_distribution<double>()(random_);
  }

 private:
  double of(truth& t, const std::string& name, double ninety) {
    const auto [at, is_new] = t.shared.try_emplace(name, 0.0);
    if (is_new) at->second = ninety / z90 * normal();
    return at->second;
  }

  const grease& grease_;
  installation system_;
  std::mt19937_64 random_;
  std::normal_distribution<double> normal_{};
};

/// How often the 50, 80 and 95 % intervals of ln(stress) held the truth.
struct coverage {
  std::array<int, 3> inside{};
  int all = 0;

  void take(double z) {
    constexpr std::array quantile{0.6744897501960817, 1.2815515655446004, 1.959963984540054};
    for (std::size_t i = 0; i < quantile.size(); ++i) inside[i] += std::abs(z) <= quantile[i];
    ++all;
  }
  double share(std::size_t i) const { return static_cast<double>(inside[i]) / all; }
};

struct calibration {
  coverage next{};  // of a batch nobody read
  coverage read{};  // of the first batch that was
};

/// Draws greases, lets learn() read them, and asks for temperatures that were not read. No line is broken here, so
/// every reading counts unless told otherwise.
inline calibration calibrate(const grease& g, const installation& i, const plan& p, int draws, std::uint64_t seed,
                             outlier_rule outliers = outlier_rule::count) {
  simulation s(g, i, seed);
  calibration c;
  const std::array stock{g};
  const std::array systems{i};
  for (int d = 0; d < draws; ++d) {
    truth t = s.draw(p);
    const auto readings = s.read(p, t);
    const learn_answer a = learn(stock, systems, readings, {.outliers = outliers});
    const grease& taught = a.stock.front();
    const double at = s.between(-28.0, -5.0);
    detail::weights w = detail::wall_stress(g.kernel(), at, 5.0).of;
    if (p.kind == reads::gauge_at_start) w[detail::unknown::start] = 0.6;
    const double grease_only = t.means.shift(w);
    const double fresh = detail::batch_spread * s.normal();
    c.next.take((grease_only + fresh - taught.belief().shift(w)) / taught.belief().sigma(w));
    if (a.lessons.empty()) continue;
    const detail::belief& own = a.lessons.front().batches.front().belief;
    c.read.take((grease_only + t.batches.front() - own.shift(w)) / own.sigma(w));
  }
  return c;
}

/// What ten readings of three trucks make of greases twice as stiff as described, asked of a line that was not read.
struct finding {
  std::vector<double> errors{};  // of the likely coldest temperature [K], smallest first
  int less_cold = 0;             // greases that flow less cold than told

  double median_error() const { return errors[errors.size() / 2]; }
};

inline finding find_out_twice_as_stiff(const grease& g, const installation& i, int greases) {
  finding f;
  for (int n = 0; n < greases; ++n) {
    simulation s(g, i, 1000 + static_cast<std::uint64_t>(n));
    const plan p{10, 3, 1, reads::gauge};
    truth t = s.draw(p);
    t.means.mean = {std::log(2.0), 0.0, 0.0, 0.0, 0.0};
    t.batches = {0.0};
    const grease taught = g.believed(learn({{g}}, {{i}}, s.read(p, t)).lessons[0].batches[0].belief);
    line other = i.lines[0];
    other.segments[0] = {.length = metre(5), .bore = millimetre(4.5)};
    const conditions c{.available = available_pressure(i), .rest = second(0)};
    detail::belief exact = t.means;
    exact.batch = 1e-9;
    const auto likely = detail::coldest_c(detail::kernel(other, c), taught.kernel(), 0.0);
    const auto told = coldest_passing(other, taught, c);
    const auto really = coldest_passing(other, g.believed(exact), c);
    if (!told || !really || !likely) continue;
    f.errors.push_back(std::abs(really->in_celsius() - *likely));
    f.less_cold += *really > *told;
  }
  std::ranges::sort(f.errors);
  return f;
}

}  // namespace hidden
