#include "coldgrease/grease/fit.hpp"

#include "base/format.hpp"

// Under a name of its own, so that a program may link code made with another version or other flags of Eigen.
#define Eigen coldgrease_eigen

#include <Eigen/QR>
#include <array>
#include <limits>
#include <numbers>
#include <unsupported/Eigen/NonLinearOptimization>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/grease.hpp"

namespace coldgrease {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// JUDGEMENT: how far rates must reach before they tell K and n from ty and c, and how near the line they must begin.
constexpr double shape_decades = 3.0;
constexpr double shape_reach = 3.0;
constexpr double usual_line_rate = 1.0;  // [1/s]
/// JUDGEMENT: a point further from the curve than this is worth a warning.
constexpr double large_residual = 0.20;
constexpr double least_index = 0.1, most_index = 1.5;  // as validate(flow_curve) has it

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

// ---- the model: a network of strength s_j and a linear term c_j at each temperature, one shape for all --------------
//
// ty_j = s_j (1 - w), K_j = s_j w/G^n with G = 100 1/s: the share w is K's part of the network at that rate. Its ends
// are Bingham (0) and power law (1), so both are reached without a parameter running to infinity. The optimiser sees
// ln s_j, ln c_j, the logit of w and that of the index between its limits; errors are made in s_j, c_j, w and n.

constexpr double knee = detail::knee_rate;
constexpr double end = 40.0;  // a logarithm so far off stands for a parameter at its end: e^-40 counts as zero

double share(double logit) { return 1.0 / (1.0 + std::exp(-logit)); }
double bounded(double u) { return std::clamp(u, -end, end); }

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

/// ln(stress) of a point, and its derivatives by s, c, w and n.
struct response {
  double ln_stress = 0.0;
  double s = 0.0, c = 0.0, w = 0.0, n = 0.0;
};

response respond(const values& v, rate_kind kind, double rate) {
  const detail::curve f = v.curve();
  const bool tube = kind == rate_kind::nominal;
  const detail::wall at = tube ? detail::wall_at_nominal(f, rate) : detail::wall{rate, f.stress(rate), rate, 1.0, 0.0};
  const double g = at.rate, ln_g = std::log(g), power = std::pow(g, f.n);
  // By ty, K, c and n at a fixed true rate ...
  double ty = 1.0, k = power, c = g, n = f.k * power * ln_g;
  if (tube) {
    // ... and back to the nominal rate: d stress = (stress_p - stress_ln_g (ln nominal)_p/slope) dp.
    const double a = f.ty / at.stress, b = f.k * power / at.stress, d = f.c * g / at.stress;
    const detail::nominal_over_true over(f.n);
    const double ratio = over(a, b, d);
    const auto by = over.slope(a, b, d);
    const double back = at.stress_change / at.slope / at.stress;
    n -= back * (n * (by.b / ratio - 3.0) + at.stress * by.n / ratio);
    ty -= back * (by.a / ratio - 3.0);
    k -= back * power * (by.b / ratio - 3.0);
    c -= back * g * (by.d / ratio - 3.0);
  }
  const double per_share = std::pow(knee, -f.n);
  return {std::log(at.stress), (ty * v.yield_share + k * v.w * per_share) / at.stress, c / at.stress,
          v.s * (k * per_share - ty) / at.stress, (n - k * f.k * std::log(knee)) / at.stress};
}

// ---- least squares --------------------------------------------------------------------------------------------------

/// What the optimiser calls: the parameters `free` of `u`; the others stay.
struct residuals {
  const model& m;
  std::vector<double> u;
  std::vector<std::size_t> free;

  void put(const VectorXd& x) {
    for (std::size_t i = 0; i < free.size(); ++i) u[free[i]] = x[static_cast<Index>(i)];
  }
  Index values() const { return static_cast<Index>(m.points().samples.size()); }

  int operator()(const VectorXd& x, VectorXd& miss) {
    put(x);
    for (Index i = 0; i < miss.size(); ++i) {
      const sample& p = m.points().samples[static_cast<std::size_t>(i)];
      const detail::curve f = m.of(u, p.group).curve();
      miss[i] = std::log(p.kind == rate_kind::nominal ? detail::wall_at_nominal(f, p.rate).stress : f.stress(p.rate)) -
                p.ln_stress;
    }
    return 0;
  }

  int df(const VectorXd& x, MatrixXd& jacobian) {
    put(x);
    const layout& at = m.at();
    for (Index i = 0; i < jacobian.rows(); ++i) {
      const sample& p = m.points().samples[static_cast<std::size_t>(i)];
      const auto v = m.of(u, p.group);
      const response r = respond(v, p.kind, p.rate);
      for (std::size_t q = 0; q < free.size(); ++q) {
        const std::size_t which = free[q];
        jacobian(i, static_cast<Index>(q)) =
            which == at.strength(p.group) ? r.s * v.s
            : which == at.linear(p.group) ? r.c * v.c
            : which == at.knee_share()    ? r.w * v.w * v.yield_share
            : which == at.index()         ? r.n * (v.n - least_index) * (most_index - v.n) / (most_index - least_index)
                                          : 0.0;
      }
    }
    return 0;
  }
};

struct solution {
  std::vector<double> u;
  std::vector<std::size_t> free;
  double cost = std::numeric_limits<double>::infinity();  // sum of squares of ln(fitted/measured)
};

solution improve(const model& m, std::vector<double> u, const std::vector<std::size_t>& free) {
  residuals r{m, std::move(u), free};
  VectorXd x(static_cast<Index>(free.size()));
  for (std::size_t i = 0; i < free.size(); ++i) x[static_cast<Index>(i)] = r.u[free[i]];
  Eigen::LevenbergMarquardt<residuals> search(r);
  search.parameters.ftol = search.parameters.xtol = 1e-14;
  search.parameters.factor = 1.0;  // logarithms: a first step of a few units is long
  search.minimize(x);
  VectorXd miss(r.values());
  r(x, miss);
  const double cost = miss.squaredNorm();
  for (double& v : r.u) v = bounded(v);
  return {std::move(r.u), free, std::isfinite(cost) ? cost : std::numeric_limits<double>::infinity()};
}

/// The best of several starts: shares of the lowest stress that are the network's, of the highest that are the oil's.
solution search(const model& m) {
  const layout& at = m.at();
  const bool shape = m.shape();
  std::vector<std::size_t> free;
  for (std::size_t p = 0; p < at.size(); ++p) {
    if (shape || p < at.knee_share()) free.push_back(p);
  }
  const auto logit = [](double v) { return std::log(v / (1.0 - v)); };
  const auto index_logit = [&](double n) { return logit((n - least_index) / (most_index - least_index)); };
  solution best;
  const auto from = [&](double network, double oil, double w, double n) {
    std::vector<double> u(at.size());
    u[at.knee_share()] = logit(w);
    u[at.index()] = index_logit(n);
    for (std::size_t j = 0; j < at.groups; ++j) {
      const group& g = m.points().groups[j];
      const double at_lowest = 1.0 - w + w * std::pow(g.rate_min / knee, n);
      u[at.strength(j)] = bounded(std::log(network * g.first_stress / at_lowest / g.stress));
      u[at.linear(j)] = bounded(std::log(oil * g.last_stress / g.rate_max / g.viscosity));
    }
    if (solution found = improve(m, std::move(u), free); found.cost < best.cost) best = std::move(found);
  };
  for (const double network : {0.95, 0.5}) {
    for (const double oil : {0.5, 0.05}) {
      if (!shape) from(network, oil, 0.5, 0.5);
      for (const double w : {0.1, 0.5, 0.9}) {
        for (const double n : {0.3, 0.5, 0.9}) {
          if (shape) from(network, oil, w, n);
        }
      }
    }
  }
  return best;
}

/// Puts a parameter to its end where the points are fitted as well without it: simpler curves first.
void drop_what_is_zero(const model& m, solution& best) {
  const layout& at = m.at();
  const double rounding = 1e-16 * static_cast<double>(m.points().samples.size());
  const auto without = [&](std::initializer_list<std::pair<std::size_t, double>> fixed) {
    std::vector<double> u = best.u;
    std::vector<std::size_t> free = best.free;
    for (const auto& [parameter, value] : fixed) {
      u[parameter] = value;
      std::erase(free, parameter);
    }
    if (free.empty()) return false;
    solution simpler = improve(m, std::move(u), free);
    if (simpler.cost > best.cost * (1.0 + 1e-8) + rounding) return false;
    best = std::move(simpler);
    return true;
  };
  const auto oil_alone = [&](std::size_t j) { return best.u[at.strength(j)] <= -end; };
  bool network = false;
  for (std::size_t j = 0; j < at.groups; ++j) network = !without({{at.strength(j), -end}}) || network;
  const double half = std::log((0.5 - least_index) / (most_index - 0.5));
  // K before c: with an index of 1 the two terms are one, and c is the simpler.
  bool consistency = m.shape() && network;
  if (consistency && without({{at.knee_share(), -end}, {at.index(), half}})) consistency = false;
  for (std::size_t j = 0; j < at.groups; ++j) {
    if (!oil_alone(j)) without({{at.linear(j), -end}});
  }
  if (consistency) without({{at.knee_share(), end}});
  if (!network) {
    best.u[at.knee_share()] = 0.0;
    best.u[at.index()] = half;
  }
}

// ---- errors --------------------------------------------------------------------------------------------------------

/// (J^T J)^-1 of the parameters s, c, w and n, in units of their group; without s^2.
class covariance {
 public:
  covariance(const model& m, const std::vector<double>& u)
      : at_(m.at()), known_(at_.size(), false), matrix_(MatrixXd::Zero(index(at_.size()), index(at_.size()))) {
    const auto& points = m.points();
    MatrixXd j = MatrixXd::Zero(index(points.samples.size()), index(at_.size()));
    for (std::size_t i = 0; i < points.samples.size(); ++i) {
      const sample& p = points.samples[i];
      const response r = respond(m.of(u, p.group), p.kind, p.rate);
      j(index(i), index(at_.strength(p.group))) = r.s * points.groups[p.group].stress;
      // Of a bare yield stress the nominal relation has no derivative by K and c: the stress rises with their roots.
      if (m.reported(u, p.group).curve().yields_only()) continue;
      j(index(i), index(at_.linear(p.group))) = r.c * points.groups[p.group].viscosity;
      if (!m.shape()) continue;
      j(index(i), index(at_.knee_share())) = r.w;
      j(index(i), index(at_.index())) = r.n;
    }
    std::vector<std::size_t> seen;  // parameters that change any stress
    for (std::size_t p = 0; p < at_.size(); ++p) {
      if (j.col(index(p)).norm() > 1e-10) seen.push_back(p);
    }
    MatrixXd scaled(j.rows(), index(seen.size()));
    std::vector<double> norm;
    for (std::size_t q = 0; q < seen.size(); ++q) {
      norm.push_back(j.col(index(seen[q])).norm());
      scaled.col(index(q)) = j.col(index(seen[q])) / norm.back();
    }
    Eigen::ColPivHouseholderQR<MatrixXd> qr;
    qr.setThreshold(1e-6);
    qr.compute(scaled);
    const Index rank = qr.rank(), rest = index(seen.size()) - rank;
    const auto parameter = [&](Index column) {
      return static_cast<std::size_t>(qr.colsPermutation().indices()[column]);
    };
    MatrixXd inverse = MatrixXd::Identity(rank, rank);
    qr.matrixR().topLeftCorner(rank, rank).triangularView<Eigen::Upper>().solveInPlace(inverse);
    // Directions in which no stress changes: what takes part in one is not known.
    const MatrixXd silent = inverse * qr.matrixR().topRightCorner(rank, rest);
    for (Index r = 0; r < rank; ++r) {
      const std::size_t p = parameter(r);
      known_[seen[p]] = rest == 0 || silent.row(r).cwiseAbs().maxCoeff() < 1e-4;
      for (Index c = 0; c < rank; ++c) {
        const std::size_t q = parameter(c);
        matrix_(index(seen[p]), index(seen[q])) = inverse.row(r).dot(inverse.row(c)) / norm[p] / norm[q];
      }
    }
  }

  struct part {
    std::size_t parameter;
    double slope;  // of the quantity, in units of the parameter's group
  };
  /// Variance of a quantity, over s^2; nothing where one of its parameters is not known.
  std::optional<double> variance(std::span<const part> parts) const {
    double sum = 0.0;
    for (const part& a : parts) {
      if (a.slope == 0.0) continue;
      if (!known_[a.parameter]) return std::nullopt;
      for (const part& b : parts) {
        if (b.slope != 0.0) sum += a.slope * b.slope * matrix_(index(a.parameter), index(b.parameter));
      }
    }
    return std::max(0.0, sum);
  }

 private:
  static Index index(std::size_t i) { return static_cast<Index>(i); }

  layout at_;
  std::vector<bool> known_;
  MatrixXd matrix_;
};

/// A straight line through ln(parameter) against temperature.
struct line_point {
  double celsius = 0.0, ln_value = 0.0, weight = 0.0;
  std::size_t parameter = 0;
  double slope = 0.0;  // d ln(value)/d parameter
};

struct line_fit {
  std::optional<double> slope{}, error{};
};

line_fit straight_line(std::span<const line_point> points, const covariance& errors, std::optional<double> s2) {
  if (points.size() < 2) return {};
  double sum = 0.0, mean_t = 0.0, mean_y = 0.0;
  for (const line_point& p : points) {
    sum += p.weight;
    mean_t += p.weight * p.celsius;
    mean_y += p.weight * p.ln_value;
  }
  mean_t /= sum;
  mean_y /= sum;
  double sxx = 0.0, sxy = 0.0, off = 0.0;
  for (const line_point& p : points) {
    sxx += p.weight * (p.celsius - mean_t) * (p.celsius - mean_t);
    sxy += p.weight * (p.celsius - mean_t) * (p.ln_value - mean_y);
  }
  line_fit answer{.slope = sxy / sxx};
  std::vector<covariance::part> parts;
  for (const line_point& p : points) {
    const double miss = p.ln_value - mean_y - *answer.slope * (p.celsius - mean_t);
    off += p.weight * miss * miss;
    parts.push_back({p.parameter, p.weight * (p.celsius - mean_t) / sxx * p.slope});
  }
  // More temperatures than a line needs show whether it is one; if not, their scatter is the error.
  if (points.size() > 2 && s2) s2 = std::max(*s2, off / static_cast<double>(points.size() - 2));
  if (const auto variance = errors.variance(parts); variance && s2) answer.error = std::sqrt(*variance * *s2);
  return answer;
}

// ---- in and out -----------------------------------------------------------------------------------------------------

void check(std::span<const measured_point> points, const fit_conditions& conditions) {
  const auto positive = [](double v) { return v > 0.0 && std::isfinite(v); };
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto refuse = [&](std::string_view what, double value, std::string_view unit, std::string_view expected) {
      throw input_error(fmt::format("point {}: {}", i + 1, what), fmt::format("{} {}", value, unit), expected);
    };
    const measured_point& p = points[i];
    const double t = p.at.in_celsius(), rate = in_per_second(p.rate), stress = in_pascal(p.stress);
    if (!std::isfinite(t) || t < -273.15) refuse("temperature", t, "C", "a temperature above absolute zero");
    if (!positive(rate)) refuse("rate", rate, "1/s", "a finite value above 0");
    if (!positive(stress)) refuse("stress", stress, "Pa", "a finite value above 0");
  }
  if (conditions.line_rate && !positive(in_per_second(*conditions.line_rate)))
    throw input_error("line rate", fmt::format("{} 1/s", in_per_second(*conditions.line_rate)),
                      "a finite value above 0");
}

std::string count(std::size_t n, std::string_view what) { return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s"); }

/// Sorts by temperature, kind, rate and stress, so that the order given changes no digit.
data grouped(std::span<const measured_point> points) {
  data d;
  for (std::size_t i = 0; i < points.size(); ++i) d.order.push_back(i);
  const auto key = [&](std::size_t i) {
    const measured_point& p = points[i];
    return std::tuple(p.at.in_celsius(), in_per_second(p.rate), p.kind, in_pascal(p.stress));
  };
  std::ranges::stable_sort(d.order, {}, key);
  std::size_t first = 0;
  for (std::size_t i = 0; i < d.order.size(); i = first) {
    const auto t = [&](std::size_t k) { return points[d.order[k]].at.in_celsius(); };
    while (first < d.order.size() && (first == i || t(first) - t(first - 1) < same_temperature)) ++first;
    // Temperatures apart by less than the step above are one, but their rates are not in order yet.
    std::ranges::stable_sort(d.order.begin() + static_cast<std::ptrdiff_t>(i),
                             d.order.begin() + static_cast<std::ptrdiff_t>(first), {},
                             [&](std::size_t k) { return in_per_second(points[k].rate); });
    group g{.rate_min = std::numeric_limits<double>::infinity()};
    double above = 0.0, ln_stress = 0.0, ln_rate = 0.0;
    const double t0 = t(i), n = static_cast<double>(first - i);
    for (std::size_t k = i; k < first; ++k) {
      const measured_point& p = points[d.order[k]];
      const double rate = in_per_second(p.rate), stress = in_pascal(p.stress);
      d.samples.push_back({d.groups.size(), p.kind, rate, std::log(stress)});
      above += (t(k) - t0) / n;
      ln_stress += std::log(stress) / n;
      ln_rate += std::log(rate) / n;
      if (rate < g.rate_min) g.first_stress = stress;
      if (rate > g.rate_max) g.last_stress = stress;
      g.rate_min = std::min(g.rate_min, rate);
      g.rate_max = std::max(g.rate_max, rate);
    }
    g.celsius = t0 + above;
    g.stress = std::exp(ln_stress);
    g.viscosity = std::exp(ln_stress - ln_rate);
    g.two_rates = g.rate_max > g.rate_min;
    d.groups.push_back(g);
    const std::string where = "points at " + both_scales(celsius(g.celsius));
    if (first - i < 2) throw input_error(where, "1 point", "2 or more at every temperature");
    if (!g.two_rates)
      throw input_error(where, fmt::format("all at one rate, {} 1/s", g.rate_min),
                        "two rates or more, to tell yield stress and linear term apart");
  }
  return d;
}

/// Whether the points can tell K and n; says so in `notes` where they cannot.
bool tells_shape(const data& d, const fit_conditions& conditions, std::vector<std::string>& notes) {
  double low = std::numeric_limits<double>::infinity(), high = 0.0;
  for (const group& g : d.groups) {
    low = std::min(low, g.rate_min);
    high = std::max(high, g.rate_max);
  }
  const double line = conditions.line_rate ? in_per_second(*conditions.line_rate) : usual_line_rate;
  if (!conditions.line_rate)
    notes.push_back("no rate of a line is given: the rates of the points are judged against one of 1 1/s");
  constexpr double rounding = 1.0 + 1e-9;
  const double highest_start = shape_reach * line;
  const bool wide = high / low * rounding >= std::pow(10.0, shape_decades), slow = low <= highest_start * rounding;
  const std::size_t needed = 2 * d.groups.size() + 2;
  if (wide && slow && d.samples.size() >= needed) return true;
  std::string why;
  if (!wide || !slow) {
    why = fmt::format("the rates run from {:.4g} to {:.4g} 1/s, and three decades from {:.4g} 1/s or below are needed",
                      low, high, highest_start);
  } else {
    why = fmt::format("there are {}, and {} are needed", count(d.samples.size(), "point"), needed);
  }
  notes.push_back("K = yield/10 and n = 0.5, the shape of the estimates, are kept and not fitted: " + why);
  return false;
}

class named_parameter {
 public:
  named_parameter(std::string_view name, std::string_view unit) : name_(name), unit_(unit) {}

  /// What is wrong with a fitted value; empty if nothing.
  std::string fault(double value, std::optional<double> error, bool freedom) const {
    if (value == 0.0)
      return fmt::format("{} is driven to zero{}", name_,
                         error ? fmt::format(" (standard error {:.3g}{})", *error, unit_) : "");
    if (!freedom) return {};
    if (!error) return fmt::format("{}, {:.4g}{}, is not told from the others", name_, value, unit_);
    if (*error > value)
      return fmt::format("{} is not fixed: {:.4g}{}, standard error {:.3g}", name_, value, unit_, *error);
    return {};
  }

 private:
  std::string_view name_, unit_;
};

}  // namespace

fit_answer fit(std::span<const measured_point> points, const fit_conditions& conditions) {
  check(points, conditions);
  if (points.size() < 2) throw input_error("points", count(points.size(), "point"), "2 or more");
  const data d = grouped(points);
  fit_answer answer;
  const bool shape = tells_shape(d, conditions, answer.notes);
  answer.fitted = shape ? std::vector<std::string>{"yield", "consistency", "index", "linear"}
                        : std::vector<std::string>{"yield", "linear"};

  const model m(d, shape);
  const layout at = m.at();
  solution best = search(m);
  if (!std::isfinite(best.cost))
    throw input_error("points", "leave the range of numbers", "rates and stresses that grease has");
  drop_what_is_zero(m, best);
  const covariance errors(m, best.u);
  const std::size_t parameters = shape ? at.size() : at.knee_share();
  std::optional<double> s2;
  if (d.samples.size() > parameters) {
    s2 = best.cost / static_cast<double>(d.samples.size() - parameters);
  } else {
    answer.warnings.push_back(fmt::format(
        "there are as many parameters as points ({}): the curve goes through them, and nothing shows its error",
        parameters));
  }

  using part = covariance::part;
  const auto error = [&](std::span<const part> parts) -> std::optional<double> {
    const auto variance = errors.variance(parts);
    return variance && s2 ? std::optional(std::sqrt(*variance * *s2)) : std::nullopt;
  };
  std::vector<line_point> strengths, linears;
  std::optional<double> index_error;
  for (std::size_t j = 0; j < d.groups.size(); ++j) {
    const group& g = d.groups[j];
    const values v = m.reported(best.u, j);
    const detail::curve f = v.curve();
    const bool bingham = shape && v.w == 0.0;
    fitted_curve c;
    c.temperature = celsius(g.celsius);
    c.curve = {pascal(f.ty), f.k, f.n, pascal_second(f.c)};
    c.rate_min = per_second(g.rate_min);
    c.rate_max = per_second(g.rate_max);
    c.spread_90 = fit_spread(c.rate_min, conditions.line_rate.value_or(c.rate_min));

    const double per_share = std::pow(knee, -v.n);
    const auto ty_error = error(std::array<part, 2>{
        {{at.strength(j), v.yield_share * g.stress}, {at.knee_share(), shape && !f.yields_only() ? -v.s : 0.0}}});
    const auto c_error = error(std::array<part, 1>{{{at.linear(j), g.viscosity}}});
    if (ty_error) c.standard_errors.yield = pascal(*ty_error);
    if (c_error) c.standard_errors.linear = pascal_second(*c_error);
    if (shape) {
      c.standard_errors.consistency = error(std::array<part, 3>{{{at.strength(j), v.w * per_share * g.stress},
                                                                 {at.knee_share(), v.s * per_share},
                                                                 {at.index(), -f.k * std::log(knee)}}});
      if (!bingham) c.standard_errors.index = index_error = error(std::array<part, 1>{{{at.index(), 1.0}}});
    }
    const auto warn = [&](const std::string& fault) {
      if (!fault.empty()) answer.warnings.push_back(fmt::format("at {}: {}", both_scales(c.temperature), fault));
    };
    warn(named_parameter("yield", " Pa").fault(f.ty, ty_error, s2.has_value()));
    if (shape)
      warn(named_parameter("consistency", " Pa s^n").fault(f.k, c.standard_errors.consistency, s2.has_value()));
    warn(named_parameter("linear", " Pa s").fault(f.c, c_error, s2.has_value()));
    if (f.yields_only()) warn("the stress does not rise with the rate: neither K nor c is left of the curve");
    answer.curves.push_back(c);

    // The unscaled variance is the weight: it exists where no freedom is left as well.
    const auto line = [&](std::vector<line_point>& into, std::size_t parameter, double value, double scale) {
      const double slope = value > 0.0 ? scale / value : 0.0;
      const auto variance = errors.variance(std::array<part, 1>{{{parameter, slope}}});
      if (value > 0.0 && variance && *variance > 0.0)
        into.push_back({g.celsius, std::log(value), 1.0 / *variance, parameter, slope});
    };
    line(strengths, at.strength(j), v.s, g.stress);
    line(linears, at.linear(j), v.c, g.viscosity);
  }
  if (shape && std::ranges::any_of(answer.curves, [](const fitted_curve& c) { return c.curve.consistency > 0.0; })) {
    const double n = answer.curves.front().curve.index;
    if (std::min(n - least_index, most_index - n) < 1e-4) {
      answer.warnings.push_back(fmt::format("index is driven to the end of its range, {:.1f}", n));
    } else if (const std::string fault = named_parameter("index", "").fault(n, index_error, s2.has_value());
               !fault.empty()) {
      answer.warnings.push_back(fault);
    }
  } else if (shape) {
    answer.warnings.push_back("index is not known where consistency is zero");
  }
  if (d.groups.size() > 1) {
    const line_fit yield = straight_line(strengths, errors, s2), linear = straight_line(linears, errors, s2);
    answer.slopes = fit_slopes{yield.slope, linear.slope, yield.error, linear.error};
  }

  answer.points.resize(points.size());
  double largest = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const sample& p = d.samples[i];
    const flow_curve& f = answer.curves[p.group].curve;
    const pressure fitted = p.kind == rate_kind::nominal ? stress(f, nominal_rate{per_second(p.rate)})
                                                         : stress(f, true_rate{per_second(p.rate)});
    const measured_point& measured = points[d.order[i]];
    const double residual = in_pascal(measured.stress) / in_pascal(fitted) - 1.0;
    answer.points[d.order[i]] = {measured, fitted, residual};
    largest = std::max(largest, std::abs(residual));
    if (!std::isfinite(residual))
      throw input_error("points", "leave the range of numbers", "rates and stresses that grease has");
  }
  if (largest > large_residual)
    answer.warnings.push_back(fmt::format(
        "a point lies {:.0f} % off the curve: {}", largest * 100.0,
        shape ? "no curve of this family goes near all of them" : "its shape is kept and not fitted, see the notes"));
  return answer;
}

}  // namespace coldgrease
