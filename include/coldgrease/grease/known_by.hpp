// How surely a grease is known, in one word for whoever signs.
#pragma once

#include <string_view>

#include "coldgrease/base/words.hpp"
#include "coldgrease/grease/grease.hpp"

namespace coldgrease::inline v0 {

/// From sure to doubtful.
enum class known_by {
  measured,    // a stress or a pressure of it, and its oil is known
  label,       // class, penetration and oil alone, or flow pressures beside them
  oil_unknown  // its oil is in doubt, whatever was measured: the safe side, for the cold hangs on it
};
template <>
struct words_of<known_by> {
  using enum known_by;
  static constexpr std::string_view what = "";
  static constexpr word_for<known_by> table[]{
      {measured, "measured"}, {label, "label only"}, {oil_unknown, "oil not known"}};
};

inline known_by how_known(const grease& g) {
  if (g.oil() != oil_knowledge::known && (g.stiffer_oil() || !g.was_measured())) return known_by::oil_unknown;
  return g.was_measured() ? known_by::measured : known_by::label;
}

}  // namespace coldgrease::inline v0
