// What is known of a grease beyond its reference curve: how far the true stress may lie from it, and what the data say.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>

namespace coldgrease::inline v0::detail {

/// Normal quantile of a 90 % interval: "a factor f" means a standard deviation ln(f)/z90 of the logarithm.
inline constexpr double z90 = 1.645;

/// JUDGEMENT: 90 % factor between two batches of one grease.
inline constexpr double batch_factor = 1.5;
inline constexpr double batch_spread = 0.4054651081081644 / z90;  // ln 1.5
/// JUDGEMENT: no answer about a batch that was read is surer than a 90 % factor of 1.15.
inline constexpr double read_batch_spread = 0.13976194237515868 / z90;  // ln 1.15
/// JUDGEMENT: the yield stress doubles every 18 K, not faster than every 12 K: standard deviation of the slope [1/K].
inline constexpr double slope_spread = 0.6931471805599453 * (1.0 / 12.0 - 1.0 / 18.0) / z90;
/// JUDGEMENT: standard deviation of the exponent by which the stress may rise or fall with the rate beside the
/// reference.
inline constexpr double tilt_spread = 0.15 / z90;
/// JUDGEMENT: 90 % factor 1.3 of the factor on the yield stress after a rest.
inline constexpr double start_spread = 0.26236426446749106 / z90;  // ln 1.3
/// Nominal rate of 1 cm3/min in a bore of 4 mm [1/s], above which the tilt tells and at which a spread without a
/// line is stated.
inline constexpr double usual_rate = 2.65;
/// Below this the slope tells; above it the curve is as well known as here [C].
inline constexpr double slope_from_c = 25.0;

/// What is not known of a grease. In logarithms the true stress of a batch lies over that of the reference curve by
///     level + slope max(0, 25 C - T) + tilt max(0, ln(rate/2.65 1/s)) + start d ln(stress)/d ln(start factor)
///     + oil ln(stress on the stiffer end of the oil/stress)/1.645 + the batch's own deviation.
/// `oil` is the viscosity where none is known and the index where one viscosity stands alone, in standard deviations.
enum class unknown : std::size_t { level, slope, tilt, start, oil };
inline constexpr std::size_t unknowns = 5;

/// The derivatives of a ln(stress) or ln(pressure) by the unknowns.
struct weights {
  std::array<double, unknowns> by{};

  double& operator[](unknown u) noexcept { return by[static_cast<std::size_t>(u)]; }
  double operator[](unknown u) const noexcept { return by[static_cast<std::size_t>(u)]; }
  /// Adds another one, weighted.
  void add(double weight, const weights& other) noexcept {
    for (std::size_t i = 0; i < unknowns; ++i) by[i] += weight * other.by[i];
  }
};

/// The weights of the stress at a temperature and a nominal rate, running, on an oil that is known. Below the usual
/// rate the tilt stands still: a slower flow asks for no more than a faster one, so it is known no worse.
inline weights at_rate(double t_c, double rate) noexcept {
  return {{1.0, std::fmax(0.0, slope_from_c - t_c), std::fmax(0.0, std::log(rate / usual_rate)), 0.0, 0.0}};
}

/// The unknowns as jointly normal: means, covariance, and the deviation of a batch that nobody read. Without data the
/// means are 0 and the covariance that of the description. Test: tests/grease/belief.cpp
struct belief {
  std::array<double, unknowns> mean{};
  std::array<std::array<double, unknowns>, unknowns> covariance{};
  double batch = batch_spread;
  double least = 0.0;     // no deviation is below it: of a batch that was read
  double widening = 1.0;  // of every deviation, where readings disagree
  bool taught = false;    // by data: some mean is not 0
  // Data make it so sure, or so soft, in the cold that more is asked for, or doubted, in warmer air: see most_from().
  bool colder_looks_better = false;
  double reach = 1e9;  // K below 25 C of the coldest datum: what data say of the slope makes nothing softer beyond it

  double& variance_of(unknown u) noexcept {
    return covariance[static_cast<std::size_t>(u)][static_cast<std::size_t>(u)];
  }
  /// Mean of ln(true/reference).
  double shift(const weights& s) const noexcept {
    double sum = 0.0;
    for (std::size_t i = 0; i < unknowns; ++i) sum += mean[i] * s.by[i];
    // Only where the slope is used alone, of one place: a mean over segments has been shifted already.
    const double slope = mean[static_cast<std::size_t>(unknown::slope)],
                 beyond = s[unknown::slope] - reach * s[unknown::level];
    return slope < 0.0 && beyond > 0.0 ? sum - slope * beyond : sum;
  }
  /// Standard deviation of ln(true/reference).
  double sigma(const weights& s) const noexcept {
    double variance = batch * batch;
    for (std::size_t i = 0; i < unknowns; ++i) {
      variance += covariance[i][i] * s.by[i] * s.by[i];
      for (std::size_t j = 0; j < i; ++j) variance += 2.0 * covariance[i][j] * s.by[i] * s.by[j];
    }
    return std::fmax(widening * std::sqrt(std::fmax(variance, 0.0)), least);
  }
  /// The same with what nobody said of the oil left out, where that is less.
  double sigma_without_oil(weights s, double with_oil) const noexcept {
    if (s[unknown::oil] == 0.0) return with_oil;
    s[unknown::oil] = 0.0;
    return std::fmin(sigma(s), with_oil);
  }
};

/// A belief once a sum was seen and came out as expected: the means stay, what is known of the sum narrows the rest.
/// @param variance  of all else in what was seen; 0: the sum is exact
inline belief after_seeing(const belief& b, const weights& sum, double variance) noexcept {
  std::array<double, unknowns> with{};  // covariance of each unknown with the sum
  double total = variance;
  for (std::size_t i = 0; i < unknowns; ++i) {
    for (std::size_t j = 0; j < unknowns; ++j) with[i] += b.covariance[i][j] * sum.by[j];
    total += with[i] * sum.by[i];
  }
  belief after = b;
  if (!(total > 0.0)) return after;
  for (std::size_t i = 0; i < unknowns; ++i) {
    for (std::size_t j = 0; j < unknowns; ++j) after.covariance[i][j] -= with[i] * with[j] / total;
  }
  return after;
}

/// Phi(margin/sigma), margin = ln(allowed/asked). What is not known of the oil never makes a chance better: below an
/// even chance `least`, the deviation without it, counts.
inline double chance_of(double margin, double sigma, double least) noexcept {
  return 0.5 * std::erfc(-margin / ((margin > 0.0 ? sigma : least) * 1.4142135623730951));
}

}  // namespace coldgrease::inline v0::detail
