#include "grease/belief_update.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Core>

namespace coldgrease::inline v0::detail {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
Index index(std::size_t i) { return static_cast<Index>(i); }

Eigen::Map<VectorXd> as_vector(std::vector<double>& v) { return {v.data(), index(v.size())}; }
Eigen::Map<const VectorXd> as_vector(const std::vector<double>& v) { return {v.data(), index(v.size())}; }
Eigen::Map<MatrixXd> as_square(std::vector<double>& v, std::size_t size) {
  return {v.data(), index(size), index(size)};
}
Eigen::Map<const MatrixXd> as_square(const std::vector<double>& v, std::size_t size) {
  return {v.data(), index(size), index(size)};
}

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

/// What a joint normal law says of the grease, its other unknowns summed over.
belief core_of(const belief& like, const VectorXd& mean, const MatrixXd& covariance) {
  belief b = like;
  for (std::size_t i = 0; i < unknowns; ++i) {
    b.mean[i] = mean[index(i)];
    for (std::size_t j = 0; j < unknowns; ++j)
      b.covariance[i][j] = 0.5 * (covariance(index(i), index(j)) + covariance(index(j), index(i)));
  }
  b.taught = std::ranges::any_of(b.mean, [](double m) { return m != 0.0; });
  return b;
}

}  // namespace

joint_belief::joint_belief(const belief& prior, std::span<const shared_unknown> shared)
    : prior_(prior), shared_(shared.begin(), shared.end()) {
  start();
}

void joint_belief::start() {
  mean_.assign(size(), 0.0);
  covariance_.assign(size() * size(), 0.0);
  auto covariance = as_square(covariance_, size());
  for (std::size_t i = 0; i < unknowns; ++i) {
    mean_[i] = prior_.mean[i];
    for (std::size_t j = 0; j < unknowns; ++j) covariance(index(i), index(j)) = prior_.covariance[i][j];
  }
  for (std::size_t s = 0; s < shared_.size(); ++s)
    covariance(index(unknowns + s), index(unknowns + s)) = shared_[s].deviation * shared_[s].deviation;
}

joint_belief::vector joint_belief::row(const observation& o) const {
  vector a(size(), 0.0);
  std::ranges::copy(o.of.by, a.begin());
  for (const share_of& s : o.shares) a[unknowns + s.who] += s.by;
  return a;
}

void joint_belief::take(const vector& row, double value, double variance) {
  const auto a = as_vector(row);
  auto mean = as_vector(mean_);
  auto covariance = as_square(covariance_, size());
  const VectorXd with = covariance * a;
  const double total = a.dot(with) + variance;
  mean += with * ((value - a.dot(mean)) / total);
  covariance.noalias() -= with * (with / total).transpose();
}

/// Numbers and sites from the start again, so that sweeps gather no rounding.
void joint_belief::sweep_from_numbers() {
  start();
  for (std::size_t i = 0; i < data_.size(); ++i) {
    if (sites_[i].precision > 0.0) take(rows_[i], sites_[i].pull / sites_[i].precision, 1.0 / sites_[i].precision);
  }
}

bool joint_belief::learn(std::span<const observation> data) {
  data_.assign(data.begin(), data.end());
  rows_.clear();
  sites_.assign(data_.size(), {});
  bool sweeps = false;
  for (std::size_t i = 0; i < data_.size(); ++i) {
    rows_.push_back(row(data_[i]));
    if (data_[i].what == observation::says::number) {
      const double precision = 1.0 / (data_[i].error * data_[i].error);
      sites_[i] = {precision, precision * data_[i].value};
    } else {
      sweeps = true;
    }
  }
  sweep_from_numbers();
  constexpr int most_sweeps = 500;
  constexpr double rest = 1e-10;
  for (int sweep = 0; sweeps && sweep < most_sweeps; ++sweep) {
    double moved = 0.0;
    for (std::size_t i = 0; i < data_.size(); ++i) {
      if (data_[i].what == observation::says::number) continue;
      const site before = sites_[i];
      const site now = probit_site(data_[i], without(i));
      moved = std::max({moved, std::abs(now.precision - before.precision), std::abs(now.pull - before.pull)});
      const double more = now.precision - before.precision;
      sites_[i] = now;
      // The difference of two normal factors is one, of a negative variance where the new one says less.
      if (std::abs(more) > 1e-14) take(rows_[i], (now.pull - before.pull) / more, 1.0 / more);
    }
    sweep_from_numbers();
    if (moved < rest) return true;
  }
  return !sweeps;
}

joint_belief::marginal joint_belief::of(const observation& o) const {
  const vector own = row(o);
  const auto a = as_vector(own);
  return {a.dot(as_vector(mean_)), a.dot(as_square(covariance_, size()) * a)};
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
  const vector whole = row(o), core = row(own);
  return moved * as_vector(core).dot(as_square(covariance_, size()) * as_vector(whole)) / now.variance;
}

joint_belief::marginal joint_belief::without(std::size_t i) const {
  const auto a = as_vector(rows_[i]);
  const double mean = a.dot(as_vector(mean_)), variance = a.dot(as_square(covariance_, size()) * a);
  if (!(variance > 0.0)) return {mean, 0.0};
  const double left = 1.0 / variance - sites_[i].precision;
  return {(mean / variance - sites_[i].pull) / left, 1.0 / left};
}

joint_belief joint_belief::without_data(std::span<const std::size_t> some) const {
  joint_belief other = *this;
  for (const std::size_t i : some) {
    const site s = sites_[i];
    if (s.precision > 0.0) other.take(rows_[i], s.pull / s.precision, -1.0 / s.precision);
  }
  return other;
}

belief joint_belief::next_batch() const { return core_of(prior_, as_vector(mean_), as_square(covariance_, size())); }

belief joint_belief::of_batch(std::size_t who) const {
  // The batch joins the level: both stand in every sum with weight 1.
  MatrixXd join = MatrixXd::Identity(index(size()), index(size()));
  join(0, index(unknowns + who)) = 1.0;
  belief b = core_of(prior_, join * as_vector(mean_), join * as_square(covariance_, size()) * join.transpose());
  b.batch = 0.0;
  b.least = read_batch_spread;
  return b;
}

belief joint_belief::next_batch_without(std::size_t i) const {
  if (!(sites_[i].precision > 0.0)) return next_batch();
  const auto a = as_vector(rows_[i]);
  const auto mean = as_vector(mean_);
  const auto covariance = as_square(covariance_, size());
  const VectorXd with = covariance * a;
  const double left = 1.0 / sites_[i].precision - a.dot(with);
  const double value = sites_[i].pull / sites_[i].precision;
  return core_of(prior_, mean - with * ((value - a.dot(mean)) / left), covariance + with * (with / left).transpose());
}

joint_belief::misfit joint_belief::misfit_of_readings() const {
  misfit m;
  for (std::size_t i = 0; i < data_.size(); ++i) {
    if (!data_[i].reading || data_[i].what != observation::says::number) continue;
    const double miss = (data_[i].value - as_vector(rows_[i]).dot(as_vector(mean_))) / data_[i].error;
    m.chi_square += miss * miss;
    ++m.readings;
  }
  for (std::size_t s = 0; s < shared_.size(); ++s) {
    if (!shared_[s].of_readings || !(shared_[s].deviation > 0.0)) continue;
    const double miss = mean_of_shared(s) / shared_[s].deviation;
    m.chi_square += miss * miss;
  }
  return m;
}

void condition(belief& b, const weights& on) {
  std::array<double, unknowns> with{};
  double total = 0.0;
  for (std::size_t i = 0; i < unknowns; ++i) {
    for (std::size_t j = 0; j < unknowns; ++j) with[i] += b.covariance[i][j] * on.by[j];
    total += with[i] * on.by[i];
  }
  for (std::size_t i = 0; i < unknowns; ++i) {
    for (std::size_t j = 0; j < unknowns; ++j) b.covariance[i][j] -= with[i] * with[j] / total;
  }
}

}  // namespace coldgrease::inline v0::detail
