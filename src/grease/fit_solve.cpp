#include "grease/fit_solve.hpp"

// Under a name of its own, so that a program may link code made with another version or other flags of Eigen.
#define Eigen coldgrease_eigen

#include <Eigen/QR>
#include <array>
#include <unsupported/Eigen/NonLinearOptimization>

namespace coldgrease::inline v0::detail::fitting {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

Index index(std::size_t i) { return static_cast<Index>(i); }

/// ln(stress) of a point, and its derivatives by s, c, w and n.
struct response {
  double ln_stress = 0.0;
  double s = 0.0, c = 0.0, w = 0.0, n = 0.0;
};

response respond(const values& v, rate_kind kind, double rate) {
  const curve f = v.curve();
  const bool tube = kind == rate_kind::nominal;
  const wall at = tube ? wall_at_nominal(f, rate) : wall{rate, f.stress(rate), rate, 1.0, 0.0};
  const double g = at.rate, ln_g = std::log(g), power = std::pow(g, f.n);
  // By ty, K, c and n at a fixed true rate ...
  double ty = 1.0, k = power, c = g, n = f.k * power * ln_g;
  if (tube) {
    // ... and back to the nominal rate: d stress = (stress_p - stress_ln_g (ln nominal)_p/slope) dp.
    const double a = f.ty / at.stress, b = f.k * power / at.stress, d = f.c * g / at.stress;
    const nominal_over_true over(f.n);
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
      const curve f = m.of(u, p.group).curve();
      miss[i] =
          std::log(p.kind == rate_kind::nominal ? wall_at_nominal(f, p.rate).stress : f.stress(p.rate)) - p.ln_stress;
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

}  // namespace

solution best_fit(const model& m) {
  solution best = search(m);
  if (std::isfinite(best.cost)) drop_what_is_zero(m, best);
  return best;
}

covariance::covariance(const model& m, const std::vector<double>& u)
    : known_(m.at().size(), false), matrix_(known_.size() * known_.size()) {
  const layout& where = m.at();
  const auto& points = m.points();
  MatrixXd j = MatrixXd::Zero(index(points.samples.size()), index(where.size()));
  for (std::size_t i = 0; i < points.samples.size(); ++i) {
    const sample& p = points.samples[i];
    const response r = respond(m.of(u, p.group), p.kind, p.rate);
    j(index(i), index(where.strength(p.group))) = r.s * points.groups[p.group].stress;
    // Of a bare yield stress the nominal relation has no derivative by K and c: the stress rises with their roots.
    if (m.reported(u, p.group).curve().yields_only()) continue;
    j(index(i), index(where.linear(p.group))) = r.c * points.groups[p.group].viscosity;
    if (!m.shape()) continue;
    j(index(i), index(where.knee_share())) = r.w;
    j(index(i), index(where.index())) = r.n;
  }
  std::vector<std::size_t> seen;  // parameters that change any stress
  for (std::size_t p = 0; p < where.size(); ++p) {
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
  const auto parameter = [&](Index column) { return static_cast<std::size_t>(qr.colsPermutation().indices()[column]); };
  MatrixXd inverse = MatrixXd::Identity(rank, rank);
  qr.matrixR().topLeftCorner(rank, rank).triangularView<Eigen::Upper>().solveInPlace(inverse);
  // Directions in which no stress changes: what takes part in one is not known.
  const MatrixXd silent = inverse * qr.matrixR().topRightCorner(rank, rest);
  for (Index r = 0; r < rank; ++r) {
    const std::size_t p = parameter(r);
    known_[seen[p]] = rest == 0 || silent.row(r).cwiseAbs().maxCoeff() < 1e-4;
    for (Index c = 0; c < rank; ++c) {
      const std::size_t q = parameter(c);
      at(seen[p], seen[q]) = inverse.row(r).dot(inverse.row(c)) / norm[p] / norm[q];
    }
  }
}

std::optional<double> covariance::variance(std::span<const part> parts) const {
  double sum = 0.0;
  for (const part& a : parts) {
    if (a.slope == 0.0) continue;
    if (!known_[a.parameter]) return std::nullopt;
    for (const part& b : parts) {
      if (b.slope != 0.0) sum += a.slope * b.slope * at(a.parameter, b.parameter);
    }
  }
  return std::max(0.0, sum);
}

std::optional<double> covariance::variance_of_ln_stress(const model& m, const std::vector<double>& u, std::size_t j,
                                                        double nominal) const {
  const layout& where = m.at();
  const group& g = m.points().groups[j];
  const response r = respond(m.of(u, j), rate_kind::nominal, nominal);
  std::vector<part> parts{{where.strength(j), r.s * g.stress}};
  if (!m.reported(u, j).curve().yields_only()) {
    parts.push_back({where.linear(j), r.c * g.viscosity});
    if (m.shape()) {
      parts.push_back({where.knee_share(), r.w});
      parts.push_back({where.index(), r.n});
    }
  }
  return variance(parts);
}

}  // namespace coldgrease::inline v0::detail::fitting
