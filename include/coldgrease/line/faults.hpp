// Why a point runs dry: causes ranked by what was seen and by the pressures that the lines should show.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "coldgrease/base/words.hpp"
#include "coldgrease/line/installation_check.hpp"

namespace coldgrease::inline v0 {

enum class dry_points { one, several, all };
template <>
struct words_of<dry_points> {
  using enum dry_points;
  static constexpr std::string_view what = "";
  static constexpr word_for<dry_points> table[]{{one, "one"}, {several, "several"}, {all, "all"}};
};

/// What the reservoir's level did: fell as it should, stood, or was found so low that air may have been drawn in.
enum class level_sign { falls, stands, low };
template <>
struct words_of<level_sign> {
  using enum level_sign;
  static constexpr std::string_view what = "";
  static constexpr word_for<level_sign> table[]{{falls, "falls"}, {stands, "stands"}, {low, "low"}};
};

/// What was seen on the vehicle; whatever was not looked at stays empty and says nothing.
struct symptoms {
  std::optional<level_sign> level{};  // of the reservoir
  std::optional<dry_points> dry{};
  std::optional<bool> pump_turns{};
  std::optional<bool> hot_end{};         // the line's end at the dry point lies at a source of heat
  std::optional<bool> relief_weeps{};    // grease at the relief valve
  std::optional<pressure> gauge{};       // at the pump while it delivers
  std::optional<temperature> at{};       // when it was seen
  std::optional<temperature> coldest{};  // since the points were last seen greased
  std::optional<std::size_t> point{};    // the dry one, index into the lines
};

enum class fault {
  cold_grease,    // too stiff for the pressure that there is
  blocked_point,  // bearing, or the end of the line
  open_line,      // broken, cut or off its fitting
  air,            // in pump or line
  unfed_pump,     // a hole over the inlet, a plate that hangs
  pump_still,     // no power, timer, motor
  jammed_meter,   // element, divider or meter
  bled_grease,    // oil has left it on the way, soap is left
  too_little,     // dose or interval
  weak_relief     // relief valve set low or leaking, worn pump
};
template <>
struct words_of<fault> {
  using enum fault;
  static constexpr std::string_view what = "cause of a dry point";
  static constexpr word_for<fault> table[]{{cold_grease, "the grease is too stiff in this cold"},
                                           {blocked_point, "the point or the end of its line is blocked"},
                                           {open_line, "a line is broken, cut or off its fitting"},
                                           {air, "air in pump or lines"},
                                           {unfed_pump, "no grease comes to the pump"},
                                           {pump_still, "the pump does not run"},
                                           {jammed_meter, "an element, meter or divider is jammed or worn"},
                                           {bled_grease, "oil has left the grease on its way, soap plugs the line"},
                                           {too_little, "dose or interval gives too little"},
                                           {weak_relief, "the relief valve is set low or leaks, or the pump is worn"}};
};

/// A cause with its weight among all causes, 0 to 1, and what speaks for and against it.
struct cause {
  coldgrease::fault fault = fault::cold_grease;
  double weight = 0.0;
  std::vector<std::string> speaks_for{};
  std::vector<std::string> speaks_against{};
};

/// A gauge reading against what a whole line asks for.
enum class gauge_reading { low, right, high, above_relief };

/// What the gauge should read where the line is whole: by the middle estimate, and the bounds of nine in ten greases.
struct expected_gauge {
  std::size_t line = 0;
  pressure low{};
  pressure middle{};
  pressure high{};
  std::optional<gauge_reading> reading{};  // of the gauge that was seen
};

struct fault_answer {
  std::vector<cause> causes{};                // likeliest first
  std::optional<expected_gauge> gauge{};      // at the temperature of the reading
  std::optional<level_signs> level{};         // what a week should take
  std::optional<temperature> coldest_line{};  // the dry or the worst line passes down to this
  std::vector<std::size_t> feel_first{};      // points, the likeliest to be dry first
  std::vector<std::string> warnings{};        // what must be done before anything else
  std::vector<std::string> notes{};
};

/// Ranks the causes from symptoms alone. Weights are judgement: each cause has a share of all failures and a factor for
/// each thing seen; their product, brought to a sum of 1. Test: tests/line/faults.cpp
fault_answer find_fault(const symptoms& seen);
/// The same with the lines' own pressures: the gauge reading is held against what the dry line (or the worst) should
/// ask for, and the cold since then against what the lines pass. @throws input_error as check()
fault_answer find_fault(const symptoms& seen, const installation& i, const grease& g,
                        double confidence = usual_confidence);
/// The same with the answer for the installation in the coldest since then, where it is at hand.
/// @throws input_error where it is of another temperature or of another number of lines
fault_answer find_fault(const symptoms& seen, const installation_answer& in_cold, const installation& i,
                        const grease& g);

}  // namespace coldgrease::inline v0
