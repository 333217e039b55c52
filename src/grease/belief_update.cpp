#include "grease/belief_update.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>

namespace coldgrease::inline v0::detail {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
Index index(std::size_t i) { return static_cast<Index>(i); }

/// phi(z)/Phi(z): its expansion where Phi underflows.
double hazard(double z) {
  if (z < -30.0) return -z - 1.0 / z;
  const double phi = std::exp(-0.5 * z * z) / std::sqrt(2.0 * std::numbers::pi);
  return phi / (0.5 * std::erfc(-z / std::numbers::sqrt2));
}

/// The site that a "less" or "more" leaves on a sum which all other data put at `cavity`: moments of the normal law cut
/// by a probit of the datum's own error.
site probit_site(const observation& o, joint_belief::marginal cavity) {
  const double sign = o.what == observation::says::less ? 1.0 : -1.0;
  const double total = std::sqrt(cavity.variance + o.error * o.error);
  const double z = sign * (o.value - cavity.mean) / total;
  const double ratio = hazard(z), share = cavity.variance / total;
  const double mean = cavity.mean - sign * share * ratio;
  const double variance = cavity.variance - share * share * ratio * (z + ratio);
  if (!(variance > 0.0) || !(variance < cavity.variance)) return {};
  return {1.0 / variance - 1.0 / cavity.variance, mean / variance - cavity.mean / cavity.variance};
}

/// A square root of a covariance that may be singular: what is known exactly has none.
std::array<std::array<double, unknowns>, unknowns> root_of(const belief& b) {
  MatrixXd covariance(index(unknowns), index(unknowns));
  for (std::size_t i = 0; i < unknowns; ++i) {
    for (std::size_t j = 0; j < unknowns; ++j) covariance(index(i), index(j)) = b.covariance[i][j];
  }
  const Eigen::SelfAdjointEigenSolver<MatrixXd> solved(covariance);
  std::array<std::array<double, unknowns>, unknowns> root{};
  for (std::size_t i = 0; i < unknowns; ++i) {
    for (std::size_t j = 0; j < unknowns; ++j)
      root[i][j] =
          solved.eigenvectors()(index(i), index(j)) * std::sqrt(std::fmax(solved.eigenvalues()(index(j)), 0.0));
  }
  return root;
}

bool is_diagonal(const belief& b) {
  for (std::size_t i = 0; i < unknowns; ++i) {
    for (std::size_t j = 0; j < unknowns; ++j) {
      if (i != j && b.covariance[i][j] != 0.0) return false;
    }
  }
  return true;
}

}  // namespace

joint_belief::joint_belief(const belief& prior, std::span<const shared_unknown> shared)
    : prior_(prior), shared_(shared.begin(), shared.end()) {
  prior_.reach = belief{}.reach;  // sums are linear here
  if (is_diagonal(prior)) {
    for (std::size_t i = 0; i < unknowns; ++i) root_[i][i] = std::sqrt(prior.covariance[i][i]);
  } else {
    root_ = root_of(prior);
  }
  solve();
}

joint_belief::row joint_belief::row_of(const observation& o) const {
  row a;
  for (std::size_t j = 0; j < unknowns; ++j) {
    double weight = 0.0;
    for (std::size_t i = 0; i < unknowns; ++i) weight += root_[i][j] * o.of.by[i];
    if (weight != 0.0) a.push_back({j, weight});
  }
  for (const share_of& s : o.shares) a.push_back({unknowns + s.who, shared_[s.who].deviation * s.by});
  return a;
}

double joint_belief::value_of(const row& a) const {
  double sum = 0.0;
  for (const entry& e : a) sum += e.weight * mean_[e.of];
  return sum;
}

double joint_belief::product(const row& a, const row& b) const {
  double sum = 0.0;
  for (const entry& e : a) {
    for (const entry& f : b) sum += e.weight * f.weight * covariance_[at(e.of, f.of)];
  }
  return sum;
}

/// One normal factor on top: a rank-one change of the covariance.
void joint_belief::take(const row& a, double value, double variance) {
  VectorXd with = VectorXd::Zero(index(size()));
  Eigen::Map<MatrixXd> covariance(covariance_.data(), index(size()), index(size()));
  for (const entry& e : a) with += e.weight * covariance.col(index(e.of));
  double total = variance;
  for (const entry& e : a) total += e.weight * with[index(e.of)];
  const double miss = value - value_of(a);
  Eigen::Map<VectorXd>(mean_.data(), index(size())) += with * (miss / total);
  covariance.noalias() -= with * (with / total).transpose();
}

/// All normal factors at once: the inverse of 1 + sum of precision a a^T.
void joint_belief::solve() {
  const Index n = index(size());
  MatrixXd precision = MatrixXd::Identity(n, n);
  VectorXd pull = VectorXd::Zero(n);
  for (std::size_t i = 0; i < data_.size(); ++i) {
    if (!(sites_[i].precision > 0.0)) continue;
    for (const entry& e : rows_[i]) {
      pull[index(e.of)] += e.weight * sites_[i].pull;
      for (const entry& f : rows_[i]) precision(index(e.of), index(f.of)) += sites_[i].precision * e.weight * f.weight;
    }
  }
  mean_.resize(size());
  covariance_.resize(size() * size());
  Eigen::Map<MatrixXd> covariance(covariance_.data(), n, n);
  Eigen::Map<VectorXd> mean(mean_.data(), n);
  const Eigen::LLT<MatrixXd> factored(precision);
  covariance = factored.solve(MatrixXd::Identity(n, n));
  mean = factored.solve(pull);
}

bool joint_belief::learn(std::span<const observation> data) {
  data_.assign(data.begin(), data.end());
  rows_.clear();
  sites_.assign(data_.size(), {});
  bool sweeps = false;
  for (std::size_t i = 0; i < data_.size(); ++i) {
    rows_.push_back(row_of(data_[i]));
    data_[i].value -= prior_.shift(data_[i].of);
    if (data_[i].what == observation::says::number) {
      const double precision = 1.0 / (data_[i].error * data_[i].error);
      sites_[i] = {precision, precision * data_[i].value};
    } else {
      sweeps = true;
    }
  }
  solve();
  constexpr int most_sweeps = 500;
  constexpr double rest = 1e-10;
  for (int sweep = 0; sweeps && sweep < most_sweeps; ++sweep) {
    double moved = 0.0;
    for (std::size_t i = 0; i < data_.size(); ++i) {
      if (data_[i].what == observation::says::number) continue;
      const site before = sites_[i];
      const site now = probit_site(data_[i], cavity(i));
      const auto change = [](double a, double b) { return std::abs(a - b) / (1.0 + std::abs(b)); };
      moved = std::max({moved, change(now.precision, before.precision), change(now.pull, before.pull)});
      const double more = now.precision - before.precision;
      sites_[i] = now;
      // The difference of two normal factors is one, of a negative variance where the new one says less.
      if (std::abs(more) > 1e-14) take(rows_[i], (now.pull - before.pull) / more, 1.0 / more);
    }
    solve();  // from the start, so that sweeps gather no rounding
    if (moved < rest) return true;
  }
  return !sweeps;
}

joint_belief::marginal joint_belief::of(const observation& o) const {
  const row a = row_of(o);
  return {prior_.shift(o.of) + value_of(a), product(a, a)};
}

double joint_belief::move_by(const observation& o) const {
  const marginal now = of(o);
  if (!(now.variance > 0.0)) return 0.0;
  double moved = 0.0;  // of the whole sum
  if (o.what == observation::says::number) {
    moved = (o.value - now.mean) * now.variance / (now.variance + o.error * o.error);
  } else {
    const site s = probit_site(o, now);
    const double precision = 1.0 / now.variance + s.precision;
    moved = (now.mean / now.variance + s.pull) / precision - now.mean;
  }
  observation own = o;
  own.shares.clear();
  return moved * product(row_of(own), row_of(o)) / now.variance;
}

joint_belief::marginal joint_belief::cavity(std::size_t i) const {
  const double mean = value_of(rows_[i]), variance = product(rows_[i], rows_[i]);
  if (!(variance > 0.0)) return {mean, 0.0};
  const double left = 1.0 / variance - sites_[i].precision;
  return {(mean / variance - sites_[i].pull) / left, 1.0 / left};
}

joint_belief::marginal joint_belief::without(std::size_t i) const {
  const marginal m = cavity(i);
  return {prior_.shift(data_[i].of) + m.mean, m.variance};
}

joint_belief joint_belief::without_data(std::span<const std::size_t> some) const {
  joint_belief other = *this;
  for (const std::size_t i : some) {
    const site s = sites_[i];
    if (s.precision > 0.0) other.take(rows_[i], s.pull / s.precision, -1.0 / s.precision);
  }
  return other;
}

belief joint_belief::core(const std::array<double, unknowns>& mean,
                          const std::array<std::array<double, unknowns>, unknowns>& covariance) const {
  belief b = prior_;
  for (std::size_t i = 0; i < unknowns; ++i) {
    for (std::size_t k = 0; k < unknowns; ++k) b.mean[i] += root_[i][k] * mean[k];
    for (std::size_t j = 0; j < unknowns; ++j) {
      double sum = 0.0;
      for (std::size_t k = 0; k < unknowns; ++k) {
        for (std::size_t l = 0; l < unknowns; ++l)
          sum += root_[i][k] * 0.5 * (covariance[k][l] + covariance[l][k]) * root_[j][l];
      }
      b.covariance[i][j] = sum;
    }
  }
  b.taught = std::ranges::any_of(b.mean, [](double m) { return m != 0.0; });
  return b;
}

belief joint_belief::next_batch() const {
  std::array<double, unknowns> mean{};
  std::array<std::array<double, unknowns>, unknowns> covariance{};
  for (std::size_t i = 0; i < unknowns; ++i) {
    mean[i] = mean_[i];
    for (std::size_t j = 0; j < unknowns; ++j) covariance[i][j] = covariance_[at(i, j)];
  }
  return core(mean, covariance);
}

belief joint_belief::of_batch(std::size_t who) const {
  belief b = next_batch();
  // The batch joins the level: both stand in every sum with weight 1.
  const std::size_t own = unknowns + who;
  const double deviation = shared_[who].deviation;
  std::array<double, unknowns> together{};  // with each unknown of the grease
  for (std::size_t i = 0; i < unknowns; ++i) {
    for (std::size_t k = 0; k < unknowns; ++k) together[i] += root_[i][k] * deviation * covariance_[at(k, own)];
  }
  b.mean[0] += deviation * mean_[own];
  for (std::size_t i = 0; i < unknowns; ++i) {
    b.covariance[0][i] += together[i];
    b.covariance[i][0] += together[i];
  }
  b.covariance[0][0] += deviation * deviation * covariance_[at(own, own)];
  b.taught = b.taught || b.mean[0] != 0.0;
  b.batch = 0.0;
  b.least = read_batch_spread;
  return b;
}

belief joint_belief::next_batch_without(std::size_t i) const {
  if (!(sites_[i].precision > 0.0)) return next_batch();
  const double left = 1.0 / sites_[i].precision - product(rows_[i], rows_[i]);
  const double miss = sites_[i].pull / sites_[i].precision - value_of(rows_[i]);
  std::array<double, unknowns> with{}, mean{};
  for (std::size_t k = 0; k < unknowns; ++k) {
    for (const entry& e : rows_[i]) with[k] += e.weight * covariance_[at(k, e.of)];
  }
  std::array<std::array<double, unknowns>, unknowns> covariance{};
  for (std::size_t k = 0; k < unknowns; ++k) {
    mean[k] = mean_[k] - with[k] * miss / left;
    for (std::size_t l = 0; l < unknowns; ++l) covariance[k][l] = covariance_[at(k, l)] + with[k] * with[l] / left;
  }
  return core(mean, covariance);
}

joint_belief::misfit joint_belief::misfit_of_readings() const {
  misfit m;
  for (std::size_t i = 0; i < data_.size(); ++i) {
    const observation& o = data_[i];
    if (!o.reading) continue;
    ++m.readings;
    if (o.what == observation::says::number) {
      const double miss = (o.value - value_of(rows_[i])) / o.error;
      m.chi_square += miss * miss;
      continue;
    }
    // A bound misses only on its wrong side, by what all others say.
    const marginal others = cavity(i);
    const double over = (o.value - others.mean) / std::sqrt(others.variance + o.error * o.error);
    const double wrong = o.what == observation::says::less ? std::fmin(over, 0.0) : std::fmax(over, 0.0);
    m.chi_square += wrong * wrong;
  }
  for (std::size_t s = 0; s < shared_.size(); ++s) {
    if (shared_[s].of_readings) m.chi_square += mean_[unknowns + s] * mean_[unknowns + s];
  }
  return m;
}

}  // namespace coldgrease::inline v0::detail
