// The least squares of a fit: points and model in, the best parameters and their covariance out.
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "coldgrease/grease/fit.hpp"
#include "coldgrease/grease/grease.hpp"

namespace coldgrease::inline v0::detail::fitting {

/// Points in SI, those of one temperature side by side.
struct sample {
  std::size_t group = 0;
  rate_kind kind = rate_kind::nominal;
  double rate = 0.0;
  double ln_stress = 0.0;
};

/// Points of one temperature: its typical stress and viscosity make the parameters numbers near 1.
struct group {
  double celsius = 0.0;
  double stress = 0.0;     // geometric mean [Pa]
  double viscosity = 0.0;  // that over the geometric mean rate [Pa s]
  double rate_min = 0.0, rate_max = 0.0;
  double first_stress = 0.0, last_stress = 0.0;  // at those rates
  bool two_rates = false;
};

struct data {
  std::vector<sample> samples;
  std::vector<group> groups;
  std::vector<std::size_t> order;  // samples[i] is point order[i]
};

// The model: a network of strength s_j and a linear term c_j at each temperature, one shape for all.
//
// ty_j = s_j (1 - w), K_j = s_j w/G^n with G = 100 1/s: the share w is K's part of the network at that rate. Its ends
// are Bingham (0) and power law (1), so both are reached without a parameter running to infinity. The optimiser sees
// ln s_j, ln c_j, the logit of w and that of the index between its limits; errors are made in s_j, c_j, w and n.

inline constexpr double knee = knee_rate;
inline constexpr double end = 40.0;  // a logarithm so far off stands for a parameter at its end: e^-40 counts as zero

inline double share(double logit) { return 1.0 / (1.0 + std::exp(-logit)); }
inline double bounded(double u) { return std::clamp(u, -end, end); }

struct layout {
  std::size_t groups = 0;
  std::size_t strength(std::size_t j) const { return 2 * j; }
  std::size_t linear(std::size_t j) const { return 2 * j + 1; }
  std::size_t knee_share() const { return 2 * groups; }
  std::size_t index() const { return 2 * groups + 1; }
  std::size_t size() const { return 2 * groups + 2; }
};

/// The parameters of one temperature.
struct values {
  double s = 0.0, c = 0.0, w = 0.5, yield_share = 0.5, n = 0.5;

  detail::curve curve() const { return {s * yield_share, s * w * std::pow(knee, -n), n, c}; }
};

class model {
 public:
  /// @param shape  whether w and n are parameters; else they are those of the estimates, 1/2 both
  model(const data& d, bool shape) : data_(d), at_{d.groups.size()}, shape_(shape) {}
  bool shape() const { return shape_; }
  const layout& at() const { return at_; }
  const data& points() const { return data_; }

  values of(const std::vector<double>& u, std::size_t j) const {
    const group& g = data_.groups[j];
    values v{g.stress * std::exp(bounded(u[at_.strength(j)])), g.viscosity * std::exp(bounded(u[at_.linear(j)]))};
    if (!shape_) return v;
    const double logit = bounded(u[at_.knee_share()]);
    v.w = share(logit);
    v.yield_share = share(-logit);
    v.n = least_index + (most_index - least_index) * share(bounded(u[at_.index()]));
    return v;
  }
  /// The same with exact zeros where a parameter is at its end.
  values reported(const std::vector<double>& u, std::size_t j) const {
    values v = of(u, j);
    if (u[at_.strength(j)] <= -end) v.s = 0.0;
    if (u[at_.linear(j)] <= -end) v.c = 0.0;
    if (!shape_) return v;
    if (u[at_.knee_share()] <= -end) v.w = 0.0;
    if (u[at_.knee_share()] >= end) v.yield_share = 0.0;
    return v;
  }

 private:
  const data& data_;
  layout at_;
  bool shape_;
};

struct solution {
  std::vector<double> u;
  std::vector<std::size_t> free;
  double cost = std::numeric_limits<double>::infinity();  // sum of squares of ln(fitted/measured)
};

/// The best of several starts, its parameters at an end where the points are fitted as well without them. A cost that
/// is not finite means that the points leave the range of numbers.
solution best_fit(const model& m);

/// (J^T J)^-1 of the parameters s, c, w and n, in units of their group; without s^2.
class covariance {
 public:
  covariance(const model& m, const std::vector<double>& u);

  struct part {
    std::size_t parameter;
    double slope;  // of the quantity, in units of the parameter's group
  };
  /// Variance of a quantity, over s^2; nothing where one of its parameters is not known.
  std::optional<double> variance(std::span<const part> parts) const;
  /// The same of ln(stress) at a temperature's nominal rate.
  std::optional<double> variance_of_ln_stress(const model& m, const std::vector<double>& u, std::size_t j,
                                              double nominal) const;

 private:
  double& at(std::size_t row, std::size_t column) { return matrix_[row * known_.size() + column]; }
  double at(std::size_t row, std::size_t column) const { return matrix_[row * known_.size() + column]; }

  std::vector<bool> known_;
  std::vector<double> matrix_;
};

}  // namespace coldgrease::inline v0::detail::fitting
