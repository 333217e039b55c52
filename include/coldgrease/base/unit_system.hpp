// Which units a person reads.
#pragma once

#include "coldgrease/base/words.hpp"

namespace coldgrease::inline v0 {

/// Units of pressure, length, volume and mass; a text has temperatures in both scales.
enum class unit_system { si, us };
template <>
struct words_of<unit_system> {
  using enum unit_system;
  static constexpr std::string_view what = "";
  static constexpr word_for<unit_system> table[]{{si, "si"}, {us, "us"}};
};

}  // namespace coldgrease::inline v0
