// From measured points to the parameters of the flow curve, with what the points leave open.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/grease/belief.hpp"
#include "coldgrease/grease/flow_curve.hpp"
#include "coldgrease/grease/measurement.hpp"

namespace coldgrease::inline v0 {

/// Temperatures of points that differ by less are one [K].
inline constexpr double same_temperature = 0.05;

struct fit_conditions {
  std::optional<shear_rate> line_rate{};  // nominal rate of the line the curve is wanted for [1/s], > 0
};

/// Standard errors of a curve; nothing where a parameter was not fitted, where there are no more points than
/// parameters, or where the points do not tell it from another.
struct curve_errors {
  std::optional<pressure> yield{};            // [Pa]
  std::optional<double> consistency{};        // [Pa s^n]
  std::optional<double> index{};              // [-]
  std::optional<dynamic_viscosity> linear{};  // [Pa s]
};

/// The curve of one temperature; a parameter that the points drive to zero is exactly zero.
struct fitted_curve {
  coldgrease::temperature temperature = celsius(25);
  flow_curve curve{};
  curve_errors standard_errors{};
  shear_rate rate_min{};           // of its points
  shear_rate rate_max{};           // of its points
  double spread_90 = 1.0;          // fit_spread of the lowest rate and the line's
  double usual_rate_error = 0.0;   // standard error of ln(stress) at 2.65 1/s, at least that of one point
  double middle_rate_error = 0.0;  // and at the geometric mean of its rates
};

struct fitted_point {
  measured_point measured{};
  pressure fitted{};      // by the curve of its temperature, at its own kind of rate
  double residual = 0.0;  // measured/fitted - 1
};

/// d ln(parameter)/dT [1/K]: negative where the cold stiffens. Nothing where fewer than two temperatures have the term.
struct fit_slopes {
  std::optional<double> yield{};   // of yield stress and consistency, which keep their ratio
  std::optional<double> linear{};  // of the linear term
  std::optional<double> yield_error{};
  std::optional<double> linear_error{};
};

struct fit_answer {
  std::vector<fitted_curve> curves{};  // coldest first
  std::vector<fitted_point> points{};  // in the order given
  std::optional<fit_slopes> slopes{};  // nothing for one temperature
  std::vector<std::string> fitted{};   // yield, linear, and where the rates allow it consistency, index
  std::vector<std::string> warnings{};
  std::vector<std::string> notes{};
};

/// 90 % factor of another batch in a line, by a fitted curve alone: two batches, the laboratory, and below the measured
/// rates the curve that is continued, exp(1.645 sqrt(2 batch^2 + laboratory^2 + growth^2)) with growth
/// 0.15 ln(lowest measured rate/line rate) of 90 % (JUDGEMENT). A class beside the points narrows it.
/// @param lowest, line  [1/s], > 0   Test: tests/grease/fit.cpp
inline double fit_spread(shear_rate lowest, shear_rate line, rate_kind kind) {
  const double laboratory =
      std::log(kind == rate_kind::nominal ? detail::capillary_laboratory : detail::rheometer_laboratory);
  const double growth = detail::rate_growth * std::log(std::max(1.0, in_per_second(lowest) / in_per_second(line)));
  return std::exp(std::hypot(std::sqrt(2.0) * std::log(detail::batch_factor), laboratory, growth));
}

/// Fits tau(g) = ty + K g^n + c g to points of one or several temperatures by least squares in ln(stress): every point
/// counts by its relative error, whatever its stress. Each point goes through the relation of its own kind: a nominal
/// rate through the exact tube flow of the curve, a true rate through the curve itself. Kinds may be mixed.
///
/// ty and c are fitted for each temperature. n and K/ty, common to all temperatures, are fitted only where the rates
/// span three decades and begin at or below three times the line's nominal rate (of 1 1/s, where that is not given);
/// otherwise the shape that the estimates use is kept: n = 1/2, K = ty/10 (the two terms are equal at 100 1/s).
/// Temperatures that differ by less than 0.05 K are one.
///
/// Standard errors: s^2 (J^T J)^-1 in the parameters themselves, s^2 the residual sum of squares over the degrees of
/// freedom, so that a parameter at zero has one too. Slopes: straight lines through ln(ty) and ln(c), weighted by
/// their errors; their own error is widened where the temperatures lie off the line.
/// A parameter whose standard error exceeds its value, or that is zero, is named in the warnings.
///
/// @param points  in any order; rates and stresses above 0, at least two rates at every temperature
/// @throws input_error for fewer points than parameters, or values that are not positive and finite
/// Deterministic; safe from several threads. Test: tests/grease/fit.cpp
fit_answer fit(std::span<const measured_point> points, const fit_conditions& conditions = {});

}  // namespace coldgrease::inline v0
