// How long a line may be, against the cold: what a limit chart draws.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "coldgrease/line/installation.hpp"

namespace coldgrease {

/// The longest line of one bore that passes with one grease.
struct limit_curve {
  struct point {
    coldgrease::temperature temperature = celsius(0);
    std::optional<coldgrease::length> longest{};  // nothing below the oil's bound, or where nothing is known
  };
  coldgrease::length bore{};
  std::vector<point> points{};  // [n_temperature], in the order asked
};

/// A line on a limit chart: the length that a tube of the curve's bore and demand would have to be as near to its limit
/// as the line is to its own. It lies above the curve just where the line does not pass. Where nothing is known at the
/// chart's temperature the line stands at its own length.
struct drawn_line {
  std::size_t line = 0;
  coldgrease::length as_long_as{};
  bool limited = false;  // whether a limit is known
};

/// One curve for each bore that is the narrowest of some line, at the most demanding of those lines.
struct limit_chart {
  coldgrease::temperature temperature = celsius(0);  // of the drawn lines
  struct bore_curve {
    limit_curve curve{};
    std::size_t asked_by = 0;         // the most demanding line
    std::vector<drawn_line> lines{};  // those of this bore
  };
  std::vector<bore_curve> bores{};  // narrow to wide
};

/// The curve of a line that asks for what `l` asks for (outlet, flow, stages) through one tube of `bore`, at the
/// confidence and after the rest of `c`: line_answer::longest at each temperature. A shared main is drawn as a tube of
/// the line's own.
/// @param bore  inner diameter, > 0   @param at  [n_temperature]; replaces c.at
/// @throws input_error as check()
/// Test: tests/line/limit_curve.cpp (law: a line of that length passes, a longer one does not)
limit_curve longest_lines(const line& l, length bore, const grease& g, const conditions& c,
                          std::span<const temperature> at);

/// The chart of an installation, mains joined. @param at  of its lines @param over  of the curves
/// @throws input_error as check()
limit_chart chart_of(const installation& i, const grease& g, temperature at, double confidence,
                     std::span<const temperature> over);

}  // namespace coldgrease
