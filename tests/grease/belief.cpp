// The belief about a grease: what data make of it, against least squares and quadrature.
#include "coldgrease/grease/belief.hpp"

#include <doctest/doctest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>

#include "coldgrease/grease/grease.hpp"
#include "coldgrease/line/limits.hpp"
#include "grease/belief_update.hpp"
#include "near.hpp"

using namespace coldgrease;
using detail::belief;
using detail::joint_belief;
using detail::observation;
using detail::shared_unknown;
using detail::unknown;
using detail::unknowns;
using detail::weights;

namespace {

belief prior_of_class() { return estimate({.nlgi = "1", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)}).belief(); }

/// Data about five shared things, seeded.
struct sampler {
  std::mt19937_64 random;
  std::normal_distribution<double> normal{};
  std::uniform_real_distribution<double> share{0.0, 1.0};

  std::vector<shared_unknown> shared() {
    return {{0.25, true}, {0.25, true}, {0.09, true}, {0.11, false}, {1.8, true}};
  }
  observation number() {
    observation o{.of = detail::at_rate(60.0 * share(random) - 35.0, std::exp(3.0 * normal(random)))};
    if (share(random) < 0.5) o.of[unknown::start] = share(random);
    for (std::size_t who = 0; who < 5; ++who) {
      if (share(random) < 0.5) o.shares.push_back({who, who == 4 ? 0.05 * normal(random) : 1.0});
    }
    o.error = 0.03 + 0.4 * share(random);
    o.value = 0.5 * normal(random);
    return o;
  }
  observation bound() {
    observation o = number();
    o.what = share(random) < 0.5 ? observation::says::less : observation::says::more;
    return o;
  }
};

double worst_difference(const belief& a, const belief& b) {
  double worst = 0.0;
  for (std::size_t i = 0; i < unknowns; ++i) {
    worst = std::max(worst, std::abs(a.mean[i] - b.mean[i]));
    for (std::size_t j = 0; j < unknowns; ++j)
      worst = std::max(worst, std::abs(a.covariance[i][j] - b.covariance[i][j]));
  }
  return worst;
}

double phi(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

}  // namespace

TEST_CASE("law: without data the chance at 2.65 1/s, running, is that of one normal law of the description") {
  // The former formula: sigma = sqrt((ln F25)^2 + (ln 2 (1/12 - 1/18) max(0, 25 - T))^2)/1.645.
  const struct {
    const char* label;
    double factor;
  } classes[]{{"3", 1.8}, {"2", 1.8}, {"1", 1.8}, {"0", 2.2}, {"00", 3.5}, {"000", 3.5}};
  for (const auto& c : classes) {
    const grease g = estimate({.nlgi = c.label, .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)});
    // A line whose nominal rate is 2.65 1/s.
    const double flow = 2.65 * std::numbers::pi * std::pow(4e-3, 3) / 32.0;
    const line l{.segments = {{.length = metre(6), .bore = millimetre(4)}}, .outlet = bar(15), .flow = m3_per_s(flow)};
    for (const double t : {-25.0, -10.0, 0.0, 20.0, 40.0}) {
      CAPTURE(t);
      const conditions k{.at = celsius(t), .available = bar(120), .rest = second(0)};
      const double slope = std::log(2.0) * (1.0 / 12 - 1.0 / 18) * std::max(0.0, 25.0 - t);
      const double sigma = std::hypot(std::log(c.factor), slope) / 1.645;
      detail::curve f = g.model().at(t);
      f.c *= std::exp(25e-9 * 0.5 * (120e5 + 15e5));
      const double lost = 4.0 * 6.0 / 4e-3 * detail::wall_at_nominal(f, 2.65).stress;
      CHECK(near(*outcome_of(l, g, k).chance, phi(std::log(105e5 / lost) / sigma), 1e-12, 1e-15));
    }
  }
}

TEST_CASE("law: numbers are one joint least squares of everything, solved by Eigen") {
  sampler s{std::mt19937_64(12)};
  for (int trial = 0; trial < 50; ++trial) {
    const belief prior = prior_of_class();
    const auto shared = s.shared();
    std::vector<observation> data(1 + static_cast<std::size_t>(s.random() % 12));
    for (observation& o : data) o = s.number();
    joint_belief joint(prior, shared);
    REQUIRE(joint.learn(data));
    // Every unknown over its prior deviation is a row, every datum over its error another. The oil is known here: it
    // has no deviation and no column.
    const std::size_t core = unknowns - 1, all = core + shared.size();
    const auto n = static_cast<Eigen::Index>(all), m = static_cast<Eigen::Index>(data.size());
    Eigen::MatrixXd a = Eigen::MatrixXd::Zero(n + m, n);
    Eigen::VectorXd y = Eigen::VectorXd::Zero(n + m);
    for (std::size_t i = 0; i < core; ++i)
      a(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(i)) = 1.0 / std::sqrt(prior.covariance[i][i]);
    for (std::size_t i = 0; i < shared.size(); ++i)
      a(static_cast<Eigen::Index>(core + i), static_cast<Eigen::Index>(core + i)) = 1.0 / shared[i].deviation;
    for (std::size_t d = 0; d < data.size(); ++d) {
      const Eigen::Index row = n + static_cast<Eigen::Index>(d);
      for (std::size_t i = 0; i < core; ++i) a(row, static_cast<Eigen::Index>(i)) = data[d].of.by[i] / data[d].error;
      for (const detail::share_of& share : data[d].shares)
        a(row, static_cast<Eigen::Index>(core + share.who)) += share.by / data[d].error;
      y(row) = data[d].value / data[d].error;
    }
    const Eigen::VectorXd x = a.colPivHouseholderQr().solve(y);
    const Eigen::MatrixXd covariance = (a.transpose() * a).inverse();
    const belief found = joint.next_batch();
    for (std::size_t i = 0; i < core; ++i) {
      const auto r = static_cast<Eigen::Index>(i);
      CHECK(near(found.mean[i], x(r), 1e-8, 1e-11));
      for (std::size_t j = 0; j < core; ++j)
        CHECK(near(found.covariance[i][j], covariance(r, static_cast<Eigen::Index>(j)), 1e-8, 1e-11));
    }
    for (std::size_t i = 0; i < shared.size(); ++i)
      CHECK(near(joint.mean_of_shared(i), x(static_cast<Eigen::Index>(core + i)), 1e-8, 1e-11));
    // The batch in hand: its deviation joins the level.
    const belief own = joint.of_batch(0);
    CHECK(near(own.mean[0], x(0) + x(static_cast<Eigen::Index>(core)), 1e-8, 1e-11));
    const auto b = static_cast<Eigen::Index>(core);
    CHECK(near(own.covariance[0][0], covariance(0, 0) + 2.0 * covariance(0, b) + covariance(b, b), 1e-8, 1e-11));
  }
}

TEST_CASE("law: the order of the data does not matter, and one taken out is as if it had never been there") {
  sampler s{std::mt19937_64(7)};
  for (int trial = 0; trial < 40; ++trial) {
    const bool bounds = trial % 2 == 1;
    const auto shared = s.shared();
    std::vector<observation> data(6);
    for (std::size_t d = 0; d < data.size(); ++d) data[d] = bounds && d > 2 ? s.bound() : s.number();
    joint_belief forward(prior_of_class(), shared), backward(prior_of_class(), shared), fewer(prior_of_class(), shared);
    REQUIRE(forward.learn(data));
    const std::vector<observation> reversed(data.rbegin(), data.rend());
    REQUIRE(backward.learn(reversed));
    CHECK(worst_difference(forward.next_batch(), backward.next_batch()) < (bounds ? 1e-8 : 1e-12));
    if (bounds) continue;
    REQUIRE(fewer.learn(std::span(data).subspan(1)));
    CHECK(worst_difference(forward.next_batch_without(0), fewer.next_batch()) < 1e-11);
    const std::array first{std::size_t{0}};
    CHECK(worst_difference(forward.without_data(first).next_batch(), fewer.next_batch()) < 1e-11);
    const auto left = forward.without(0), direct = fewer.of(data[0]);
    CHECK(near(left.mean, direct.mean, 1e-9, 1e-11));
    CHECK(near(left.variance, direct.variance, 1e-9));
  }
}

TEST_CASE("law: more numbers never widen a deviation, nor does a bound beside them") {
  // Of several bounds a surprising one may rightly widen the answer: the law is of one.
  sampler s{std::mt19937_64(31)};
  for (int trial = 0; trial < 40; ++trial) {
    const auto shared = s.shared();
    std::vector<observation> data;
    std::vector<weights> asked;
    for (int i = 0; i < 6; ++i) asked.push_back(s.number().of);
    belief before = prior_of_class();
    for (int n = 0; n < 6; ++n) {
      data.push_back(n < 5 ? s.number() : s.bound());
      joint_belief joint(prior_of_class(), shared);
      REQUIRE(joint.learn(data));
      const belief now = joint.next_batch();
      for (const weights& w : asked) CHECK(now.sigma(w) <= before.sigma(w) * (1.0 + 1e-12));
      before = now;
    }
  }
}

TEST_CASE(
    "law: reached and not reached agree with quadrature over the level within 0.06 in chance, nearly all within "
    "0.045") {
  // Three bounds on the level alone, so that one integral is the truth.
  std::mt19937_64 random(5);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> share(0.0, 1.0);
  std::vector<double> differences;
  for (int trial = 0; trial < 120; ++trial) {
    belief prior;
    prior.variance_of(unknown::level) = std::pow(0.17 + 0.55 * share(random), 2);  // from a penetration to NLGI 000
    std::vector<observation> data;
    // What was seen of a grease that is one of those believed in.
    const double truth = std::sqrt(prior.covariance[0][0]) * normal(random);
    const int count = 1 + trial % 3;
    for (int d = 0; d < count; ++d) {
      observation o{
          .of = {{1.0, 0.0, 0.0, 0.0, 0.0}}, .value = 0.6 * normal(random), .error = 0.05 + 0.4 * share(random)};
      const bool below = truth + o.error * normal(random) < o.value;
      o.what = below ? observation::says::less : observation::says::more;
      data.push_back(o);
    }
    joint_belief joint(prior, {});
    REQUIRE(joint.learn(data));
    const double level_spread = std::sqrt(prior.covariance[0][0]);
    const auto weight = [&](double level) {
      double w = std::exp(-0.5 * level * level / (level_spread * level_spread));
      for (const observation& o : data) {
        const double z = (o.value - level) / o.error;
        w *= phi(o.what == observation::says::less ? z : -z);
      }
      return w;
    };
    for (const double allowed : {-0.8, -0.3, 0.0, 0.4, 0.9}) {
      double below = 0.0, all = 0.0;
      constexpr int steps = 4000;
      for (int i = 0; i <= steps; ++i) {
        const double level = level_spread * 7.0 * (2.0 * i / steps - 1.0), w = weight(level);
        all += w;
        below += w * phi((allowed - level) / prior.batch);
      }
      const belief b = joint.next_batch();
      const weights sum{{1.0, 0.0, 0.0, 0.0, 0.0}};
      differences.push_back(
          std::abs(detail::chance_of(allowed - b.shift(sum), b.sigma(sum), b.sigma(sum)) - below / all));
    }
  }
  std::ranges::sort(differences);
  CHECK(differences.back() <= 0.06);
  CHECK(differences[differences.size() * 95 / 100] <= 0.045);
}

TEST_CASE("law: what is conditioned on is exact, and nothing else is") {
  belief b = prior_of_class();
  const weights at = detail::at_rate(-10.0, 2.65), colder = detail::at_rate(-30.0, 2.65);
  const double before = b.sigma(colder);
  b = detail::after_seeing(b, at, 0.0);
  CHECK(near(b.sigma(at), b.batch, 1e-12));
  CHECK(b.sigma(colder) > b.batch);
  CHECK(b.sigma(colder) < before);
}

TEST_CASE("law: the coldest temperature is the warmest root, whatever data made of the belief" *
          doctest::test_suite("long")) {
  std::mt19937_64 random(20);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> share(0.0, 1.0);
  const grease g = estimate({.nlgi = "1", .kv40 = mm2_per_s(100), .kv100 = mm2_per_s(11)});
  const line l{.segments = {{.length = metre(6), .bore = millimetre(4)}}, .outlet = bar(15), .flow = cm3_per_min(1)};
  int found = 0;
  for (int trial = 0; trial < 10'000; ++trial) {
    CAPTURE(trial);
    belief b = g.belief();
    b.mean = {0.8 * normal(random), 0.03 * normal(random), 0.1 * normal(random), 0.1 * normal(random), 0.0};
    b.taught = true;
    const double rho = 1.9 * share(random) - 0.95;
    b.covariance[0][1] = b.covariance[1][0] = rho * std::sqrt(b.covariance[0][0] * b.covariance[1][1]);
    const grease other = g.believed(b);
    const conditions c{.available = bar(250), .confidence = 0.8};
    const auto coldest = coldest_passing(l, other, c);
    const auto passes = [&](double t) {
      conditions here = c;
      here.at = celsius(t);
      return *outcome_of(l, other, here).chance >= 0.8;
    };
    if (!coldest) {
      CHECK_FALSE(passes(60.0));
      continue;
    }
    ++found;
    const double t = coldest->in_celsius();
    for (double warmer = t + 1e-6; warmer < 60.0; warmer += 3.7) CHECK(passes(warmer));
    if (t > other.oil_bound()->in_celsius() + 1e-9) CHECK_FALSE(passes(t - 1e-3));
  }
  CHECK(found > 5'000);
}
