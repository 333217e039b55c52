// What readings of running systems say of the greases in them.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/base/words.hpp"
#include "coldgrease/grease/grease.hpp"
#include "coldgrease/line/installation.hpp"
#include "coldgrease/line/readings.hpp"

namespace coldgrease::inline v0 {

/// What becomes of a reading.
enum class reading_use {
  counts,
  waits,  // far from everything else: a broken line reads soft, a blocked one stiff, so a second vehicle has to agree
  says_nothing,  // nothing is left for the line at that pressure, or nothing is known of the grease there
};
template <>
struct words_of<reading_use> {
  using enum reading_use;
  static constexpr std::string_view what = "";
  static constexpr word_for<reading_use> table[]{
      {counts, "counts"}, {waits, "waits for a second vehicle"}, {says_nothing, "says nothing"}};
};

/// One reading beside what is believed without it.
struct judged_reading {
  std::size_t installation = 0;
  std::size_t reading = 0;              // index into those given
  datum_kind says = datum_kind::gauge;  // gauge, reached, not_reached
  reading_use use = reading_use::counts;
  bool pinned = false;                     // the gauge stood at what there is: no value, but 'not reached'
  std::size_t line = 0;                    // the one it was taken to speak of
  std::optional<pressure> expected{};      // at the gauge, by all other readings
  double over_expected = 1.0;              // stress read over that expected; of a reached point, of its pressure
  std::optional<double> over_reference{};  // over that of the reference curve; nothing where none is left for the line
  std::optional<double> error{};           // of a number: the gauge's own, a deviation of ln(stress)
  std::optional<double> deviations{};      // of the reading from what is expected; of a number
  double spread_90_without = 1.0;          // 90 % factor of the next batch there without it
  double spread_90 = 1.0;                  // and with all that count
};

/// A batch that was read.
struct read_batch {
  std::string name{};  // empty: not named
  date first{};
  date last{};
  std::size_t readings = 0;
  double over_next = 1.0;   // its median stress over that of a batch not read, at the usual rate and 25 C
  double spread_90 = 1.0;   // of its stress at the coldest reading of the grease
  detail::belief belief{};  // about it
};

/// Where a grease was read.
struct learnt_place {
  std::size_t installation = 0;
  std::optional<temperature> coldest_before{};  // that passes at the confidence
  std::optional<temperature> coldest{};         // with the readings: of a batch not read
};

/// What readings make of one grease.
struct grease_lesson {
  std::size_t grease = 0;         // index into the stock
  temperature at = celsius(0);    // the coldest reading
  double spread_90_before = 1.0;  // 90 % factor of the next batch there, at the usual rate
  double spread_90 = 1.0;
  double over_before = 1.0;                // median stress there over that before
  bool settled = true;                     // false: the solution did not come to rest
  double widening = 1.0;                   // of every deviation, since the readings disagree by more than their errors
  std::vector<judged_reading> readings{};  // by date, vehicle and row
  std::vector<read_batch> batches{};
  std::vector<learnt_place> places{};
};

struct learn_answer {
  double confidence = usual_confidence;
  std::vector<grease_lesson> lessons{};  // of greases that were read, in the order of the stock
  std::vector<grease> stock{};           // as given, those that were read with what they taught
};

/// What a reading far from all else does: a broken line reads soft, a blocked one stiff, and so do other greases.
enum class outlier_rule {
  wait,   // for a second vehicle that agrees
  never,  // a soft one never counts, whoever agrees
  count   // as every other: where no line can be broken or blocked
};

struct learn_conditions {
  double confidence = usual_confidence;  // of the coldest temperatures
  outlier_rule outliers = outlier_rule::wait;
};

/// Updates the belief about every grease by its readings: gauges as numbers, linearised at the answer, then points
/// reached and not reached, by expectation propagation. A gauge at 0.95 or more of what the pump has is 'not reached',
/// unless the point was seen to be reached. Readings of one vehicle share the error of its lines and pump, those of its
/// point that of the outlet, those of a day that of the thermometer, those of a batch its deviation. Readings without a
/// batch are one batch until 120 days pass without one (judgement). A reading more than two deviations softer, or
/// three stiffer, than all else says, or that alone makes the answer softer by more than a factor 2, waits until one of
/// a second vehicle agrees; a stiff one widens the answer meanwhile, and counts where no other vehicle was read. Where
/// the residuals are larger than nine of ten sets with their errors would show (chi-square) every deviation is widened
/// by the root of their mean square. The order of the readings does not matter.
/// @param readings  those of greases, installations and points that are not there are left out
/// Test: tests/line/learn.cpp, bench/calibration.cpp
learn_answer learn(std::span<const grease> stock, std::span<const installation> installations,
                   std::span<const reading> readings, const learn_conditions& c = {});

}  // namespace coldgrease::inline v0
