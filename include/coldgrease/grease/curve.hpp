// The flow curve of a grease at one temperature, as an answer.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/grease/worth.hpp"

namespace coldgrease::inline v0 {

/// A flow curve at one temperature, with its evidence.
struct curve_answer {
  coldgrease::temperature temperature = celsius(25);
  std::optional<flow_curve> curve{};  // nothing where nothing is known
  std::string evidence{};
  std::vector<used_datum> data{};
  std::optional<coldgrease::worth> worth_most{};  // what would narrow it most at the usual rate
  std::optional<double> spread_90{};              // exp(1.645 sigma): nine of ten such greases lie within this factor
  coldgrease::rate_kind kind = rate_kind::nominal;
  struct point {
    shear_rate rate{};
    pressure stress{};
    dynamic_viscosity apparent{};
  };
  std::vector<point> points{};
  std::vector<std::string> notes{};
};

/// @param rates  [1/s], each above 0 @throws input_error
curve_answer describe(const grease& g, temperature at, std::span<const shear_rate> rates,
                      rate_kind kind = rate_kind::nominal);

}  // namespace coldgrease::inline v0
