// NLGI consistency classes from worked penetration, and the labels people print.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/words.hpp"

namespace coldgrease::inline v0 {

/// One class: its label and its band of worked penetration, both ends inclusive [0.1 mm].
struct nlgi_class {
  std::string_view label;
  int lower;
  int upper;
  constexpr double middle() const { return 0.5 * (lower + upper); }
};

/// Softest first. Source: ASTM D217 Note 1; the same bands in DIN 51818. Between two bands there is no class.
inline constexpr std::array<nlgi_class, 9> nlgi_classes{{{"000", 445, 475},
                                                         {"00", 400, 430},
                                                         {"0", 355, 385},
                                                         {"1", 310, 340},
                                                         {"2", 265, 295},
                                                         {"3", 220, 250},
                                                         {"4", 175, 205},
                                                         {"5", 130, 160},
                                                         {"6", 85, 115}}};

/// Range of ISO 2137: no reading of a full-scale cone is above it [0.1 mm].
inline constexpr double largest_penetration = 500.0;

/// How the sample was treated before the cone fell. Only a worked penetration assigns a class (ASTM D217 5.2).
enum class penetration_method { worked, unworked, prolonged, block };
template <>
struct words_of<penetration_method> {
  using enum penetration_method;
  static constexpr std::string_view what = "";
  static constexpr word_for<penetration_method> table[]{
      {worked, "worked"}, {unworked, "unworked"}, {prolonged, "prolonged"}, {block, "block"}};
};

/// Cone: full scale, or the small ones of ASTM D1403 for samples too small for D217.
enum class cone_scale { full, half, quarter };
template <>
struct words_of<cone_scale> {
  using enum cone_scale;
  static constexpr std::string_view what = "";
  static constexpr word_for<cone_scale> table[]{{full, "full"}, {half, "half"}, {quarter, "quarter"}};
};

struct class_answer {
  std::optional<double> penetration{};                           // full scale [0.1 mm]
  std::optional<std::string> nlgi{};                             // the class, if there is one
  std::optional<std::pair<std::string, std::string>> between{};  // softer-numbered first: the neighbours of a gap
  std::string note{};
};

/// Full-scale penetration of a reading: P = 2 r + 5 (half scale), P = 3.75 p + 24 (quarter scale).
/// Source: ASTM D1403 / ISO 2137, both equations from memory.
constexpr double full_scale(double reading, cone_scale scale) {
  switch (scale) {
    case cone_scale::half: return 2.0 * reading + 5.0;
    case cone_scale::quarter: return 3.75 * reading + 24.0;
    case cone_scale::full: break;
  }
  return reading;
}

/// Class of a penetration at 25 C.
/// @param reading  cone reading on its scale [0.1 mm]; above 0, at most largest_penetration on the full scale
/// @return the class; in a gap, the two neighbours and no class; outside 85 to 475, neither; the note says why
/// @throws input_error for a reading out of that range
class_answer classify(double reading, penetration_method method = penetration_method::worked,
                      cone_scale scale = cone_scale::full);

/// What a label claims: one class, or two neighbours it straddles (indices into nlgi_classes; equal for one class).
struct nlgi_label {
  std::size_t soft = 0;
  std::size_t stiff = 0;
  bool half_grade = false;  // written as "1.5": trade usage, no standard defines it
};

/// Reads "2", "NLGI 2", "000", "1/2" and "1-2" (straddles 1 and 2, not one half), "000/00", "1.5".
/// @throws input_error for anything else
nlgi_label parse_nlgi(std::string_view text, std::string_view where);

/// What a label says of the class.
class_answer classify_label(std::string_view text, std::string_view where);

}  // namespace coldgrease::inline v0
