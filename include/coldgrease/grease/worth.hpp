// Which datum that somebody could get would narrow an answer most.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/words.hpp"
#include "coldgrease/grease/grease.hpp"

namespace coldgrease::inline v0 {

enum class obtainable { oil_viscosities, worked_penetration, apparent_viscosity, flow_pressures, pour_point, gauge };
template <>
struct words_of<obtainable> {
  using enum obtainable;
  static constexpr std::string_view what = "";
  static constexpr word_for<obtainable> table[]{
      {oil_viscosities, "viscosities of the base oil"}, {worked_penetration, "worked penetration"},
      {apparent_viscosity, "apparent viscosity"},       {flow_pressures, "two flow pressures"},
      {pour_point, "pour point of the base oil"},       {gauge, "a reading of the gauge"}};
};

/// A datum nobody has yet, and what it would do if it came out as expected. What it says counts as well: this is only
/// how far the answer would narrow.
struct worth {
  obtainable datum = obtainable::apparent_viscosity;
  std::optional<temperature> at{};               // of the test
  std::optional<shear_rate> rate{};              // nominal, of an apparent viscosity
  double spread_90_without = 1.0;                // 90 % factor of the answer without it
  double spread_90 = 1.0;                        // and with it
  std::optional<temperature> coldest_without{};  // that passes at the confidence; of lines and installations
  std::optional<temperature> coldest{};
};

/// One datum that counts: what it says, how it lies to the reference, and the 90 % factor with and without it.
std::string words_of_datum(const used_datum& d);
/// A clause for people: "apparent viscosity (ASTM D1092) at -20.0 C (-4.0 F) and 2.5 1/s: 90 % factor 2.1 instead of
/// 2.8".
std::string words_of_worth(const worth& w);

namespace detail {
/// A datum as it would be observed: its weights, and the variance of all else in it: batch, laboratory, own error.
struct candidate {
  worth datum{};
  weights of{};
  double variance = 0.0;
};
/// What could be measured of a grease for a day of `t_c` [C]: apparent viscosities (ASTM D1092) at it and up to 10 K
/// warmer, 1 to 25 1/s; flow pressures at 20 C and at it; penetration and oil, where the record lacks them.
std::vector<candidate> candidates_for(const grease& g, double t_c);
/// The one that leaves the least deviation in a sum; null for none.
const candidate* most_telling(const std::vector<candidate>& all, const belief& b, const weights& answer);
}  // namespace detail

/// The datum that narrows a grease's stress most at a temperature and a nominal rate; nothing where nothing would.
std::optional<worth> worth_most(const grease& g, temperature at, shear_rate rate = per_second(detail::usual_rate));

}  // namespace coldgrease::inline v0
