// How long a line may be, against the cold: what a limit chart draws.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "coldgrease/base/words.hpp"
#include "coldgrease/line/installation.hpp"

namespace coldgrease::inline v0 {

/// The longest line of one bore that passes with one grease.
struct limit_curve {
  struct point {
    coldgrease::temperature temperature = celsius(0);
    std::optional<coldgrease::length> longest{};  // nothing where nothing is known, or no length passes
  };
  coldgrease::length bore{};
  std::vector<point> points{};  // [n_temperature], in the order asked
};

/// The curve of a line that asks for what `l` asks for (outlet, flow, stages, its weakest rating and coldest offset)
/// through one tube of `bore`, at the confidence and after the rest of `c`: line_answer::longest at each temperature. A
/// shared main is drawn as a tube of the line's own.
/// @param bore  inner diameter, > 0   @param at  [n_temperature]; replaces c.at
/// @throws input_error as check()
/// Test: tests/line/limit_curve.cpp (law: a line of that length passes, a longer one does not)
limit_curve longest_lines(const line& l, length bore, const grease& g, const conditions& c,
                          std::span<const temperature> at);

/// How a line stands on a chart. by_limit: by how near it is to its own limit. at_no_length: its outlet takes all the
/// pressure there is. not_known: nothing is known at the chart's temperature.
enum class drawn_as { by_limit, at_no_length, not_known };
template <>
struct words_of<drawn_as> {
  using enum drawn_as;
  static constexpr std::string_view what = "way to draw a line";
  static constexpr word_for<drawn_as> table[]{
      {by_limit, "by its limit"}, {at_no_length, "at no length"}, {not_known, "not known"}};
};

/// A line on a limit chart. By its limit it is as long as a tube of the curve's bore and demand that would be as near
/// to it: it lies above the curve just where the line does not pass. Else it stands at its own length.
struct drawn_line {
  std::size_t line = 0;
  coldgrease::length as_long_as{};
  drawn_as how = drawn_as::not_known;
};

/// One curve for each bore that is the narrowest of some line: at each temperature that of the line which allows the
/// shortest there.
struct limit_chart {
  coldgrease::temperature temperature = celsius(0);  // of the drawn lines
  struct bore_curve {
    limit_curve curve{};
    std::vector<drawn_line> lines{};  // those of this bore
  };
  std::vector<bore_curve> bores{};  // narrow to wide
};

/// The chart of an installation, mains joined. @param at  of its lines @param over  of the curves
/// @throws input_error as check()
/// Test: tests/line/limit_curve.cpp, tests/plan/dossier.cpp
limit_chart chart_of(const installation& i, const grease& g, temperature at, double confidence,
                     std::span<const temperature> over);

}  // namespace coldgrease::inline v0
