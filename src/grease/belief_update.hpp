// What data make of a belief: exact for numbers, by expectation propagation for "more" and "less".
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "coldgrease/grease/belief.hpp"

namespace coldgrease::inline v0::detail {

/// An unknown beside those of the grease that several data may share: a batch, a laboratory, a thermometer's day.
struct shared_unknown {
  double deviation = 0.0;
  bool of_readings = false;  // judged by the chi-square of the readings
};
struct share_of {
  std::size_t who = 0;  // index into the shared unknowns
  double by = 1.0;
};

/// A datum: sum = (weights, shares) . unknowns + an error of its own.
struct observation {
  enum class says { number, less, more };  // the sum is `value`; it is below it; it is above it
  weights of{};
  std::vector<share_of> shares{};
  double value = 0.0;
  double error = 0.0;  // standard deviation, > 0
  says what = says::number;
  bool reading = false;  // of a running system: its residual is judged
};

/// A normal factor 1/variance and mean/variance in the sum of one observation; 0 and 0 where it says nothing.
struct site {
  double precision = 0.0;
  double pull = 0.0;
};

/// The joint belief about the grease and what its data share.
class joint_belief {
 public:
  joint_belief(const belief& prior, std::span<const shared_unknown> shared);

  /// Numbers first, all at once; then sweeps over "less" and "more" until no site moves by 1e-10 of itself. Replaces
  /// what was learnt before. @return false if the sweeps did not come to rest
  bool learn(std::span<const observation> data);

  /// Of a new batch: the shared unknowns are summed over.
  belief next_batch() const;
  /// Of the batch that is the shared unknown `who`: its own deviation is a part of the level.
  belief of_batch(std::size_t who) const;
  double mean_of_shared(std::size_t who) const { return shared_[who].deviation * mean_[unknowns + who]; }

  struct marginal {
    double mean = 0.0;
    double variance = 0.0;
  };
  /// Of the sum of an observation, its own error left out.
  marginal of(const observation& o) const;
  /// How far an observation alone would move the mean of its sum, what it shares with others left out.
  double move_by(const observation& o) const;
  /// The same without what datum i of learn() said: what all others say of it.
  marginal without(std::size_t i) const;
  /// This belief without what some data of learn() said, the sites of all others as they are.
  joint_belief without_data(std::span<const std::size_t> some) const;
  /// Belief of a new batch without datum i.
  belief next_batch_without(std::size_t i) const;
  /// Sum of the squared residuals of the readings, over their errors, and of what they share over its deviations:
  /// chi-square of so many degrees of freedom, or less. A bound counts by how far it lies on its wrong side.
  struct misfit {
    double chi_square = 0.0;
    std::size_t readings = 0;
  };
  misfit misfit_of_readings() const;

 private:
  using vector = std::vector<double>;
  /// A weight of an observation: most are 0.
  struct entry {
    std::size_t of;
    double weight;
  };
  using row = std::vector<entry>;

  marginal cavity(std::size_t i) const;
  std::size_t size() const { return unknowns + shared_.size(); }
  row row_of(const observation& o) const;
  double value_of(const row& a) const;
  double product(const row& a, const row& b) const;
  std::size_t at(std::size_t r, std::size_t c) const { return r * size() + c; }
  void take(const row& a, double value, double variance);
  void solve();
  belief core(const std::array<double, unknowns>& mean,
              const std::array<std::array<double, unknowns>, unknowns>& covariance) const;

  // Every unknown is kept over its deviation in the prior, the grease's five by a root of their covariance, so that the
  // prior is of mean 0 and covariance 1 whatever is known exactly.
  belief prior_;
  std::array<std::array<double, unknowns>, unknowns> root_{};  // covariance = root root^T
  std::vector<shared_unknown> shared_;
  std::vector<observation> data_;
  std::vector<row> rows_;
  std::vector<site> sites_;  // of the sum less the prior's mean
  vector mean_;
  vector covariance_;  // square, symmetric
};

}  // namespace coldgrease::inline v0::detail
