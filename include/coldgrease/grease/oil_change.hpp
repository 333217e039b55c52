// The oils of two greases against each other: a heavier one is stiffer in the cold, whatever the class says.
#pragma once

#include <optional>

#include "coldgrease/base/words.hpp"
#include "coldgrease/grease/evidence.hpp"

namespace coldgrease::inline v0 {

/// What a change of grease does to the viscosity at 40 C.
enum class oil_step { unknown, alike, heavier, lighter };
template <>
struct words_of<oil_step> {
  using enum oil_step;
  static constexpr std::string_view what = "step of viscosity";
  static constexpr word_for<oil_step> table[]{
      {unknown, "unknown"}, {alike, "alike"}, {heavier, "heavier"}, {lighter, "lighter"}};
};

/// From this ratio of the viscosities at 40 C on a step is named, either way. Judgement: about one grade of ISO 3448.
inline constexpr double oil_step_ratio = 1.5;

/// A temperature at which oils are compared where none is asked for. Judgement: a cold morning.
inline temperature usual_cold() { return celsius(-20.0); }

/// Above this an oil is no liquid that a ratio speaks of, and extrapolation alone says the number. Judgement.
inline kinematic_viscosity stiffest_compared() { return mm2_per_s(1e9); }

/// The two oils at one temperature; nothing is compared that is not known of both.
struct oil_pair {
  coldgrease::temperature temperature = celsius(40);
  std::optional<kinematic_viscosity> from{};
  std::optional<kinematic_viscosity> to{};
  std::optional<double> ratio{};  // to over from [-]
  bool from_below_pour = false;   // colder than its pour point: no viscosity to tell
  bool to_below_pour = false;
  bool from_beyond = false;  // above stiffest_compared: a number that tells nothing
  bool to_beyond = false;
};

struct oil_change {
  oil_step step = oil_step::unknown;
  oil_pair warm{};  // at 40 C
  oil_pair cold{};
};

/// Compares the oils of two records by their data alone: no type, index or viscosity is assumed. A viscosity at another
/// temperature than its own is known where two data fix the oil (line_through).
/// @throws input_error as line_through
oil_change compare_oils(const evidence& from, const evidence& to, temperature cold = usual_cold());

}  // namespace coldgrease::inline v0
