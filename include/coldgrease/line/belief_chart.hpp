// What is believed of a grease against temperature, before and after its data: what the picture of a belief draws.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "coldgrease/grease/grease.hpp"
#include "coldgrease/line/learn.hpp"

namespace coldgrease::inline v0 {

/// Everything is a stress over that of the reference curve at the same temperature and rate [-].
struct belief_chart {
  /// Of the stress of a batch not read, at 2.65 1/s and running: exp(shift), and exp(shift -/+ 1.645 sigma), between
  /// which nine in ten lie.
  struct band {
    double low = 1.0;
    double median = 1.0;
    double high = 1.0;
  };
  struct step {
    coldgrease::temperature temperature = celsius(0);
    band before{};  // by the description alone
    band after{};   // with all data
  };
  /// A datum, at its own temperature and rate.
  struct point {
    datum_kind kind = datum_kind::gauge;
    coldgrease::temperature temperature = celsius(0);
    double over_reference = 1.0;           // of a point reached or not reached: of the pressure there was
    double low = 1.0;                      // one deviation of its own error below it; the same where it has none
    double high = 1.0;                     // and above it
    bool waits = false;                    // it does not count yet
    std::optional<std::size_t> reading{};  // whose it is, index into the readings given to learn()
  };
  reference_curve reference = reference_curve::of_class;
  std::vector<step> steps{};    // warm to cold, where anything is known
  std::vector<point> points{};  // of the data sheet, then readings
};

/// The chart of a grease; nothing where no datum speaks of it, or where it is known at fewer than two of the
/// temperatures. Flow pressures tell a slope and have no point of their own.
/// @param g  with all its data @param lesson  of its readings, null without any @param readings  those it was made of
/// @param over  temperatures of the bands, warm to cold
/// Test: tests/line/belief_chart.cpp (law: data never widen a band that no disagreement widens)
std::optional<belief_chart> chart_of(const grease& g, const grease_lesson* lesson, std::span<const reading> readings,
                                     std::span<const temperature> over);

}  // namespace coldgrease::inline v0
