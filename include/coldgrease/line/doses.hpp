// Which element for each point, and which setting of the timer.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "coldgrease/line/installation_check.hpp"

namespace coldgrease::inline v0 {

/// A point at one setting of the timer.
struct point_dose {
  std::size_t line = 0;  // index into the installation's
  /// A cycle: the smallest that gives what is asked for, or the largest of all if none does; nothing where nobody knows
  /// what the point asks for: it keeps its dose.
  std::optional<volume> element{};
  bool served = false;  // gets what it asks for
  line_answer check{};  // with that dose, at the temperature asked for
};

/// A setting of the timer with the elements that go with it.
struct dose_setting {
  duration interval{};                               // between cycles
  bool too_short = false;                            // for the pump to end a cycle in
  std::vector<point_dose> points{};                  // by line
  std::size_t unserved = 0;                          // points that no element gives enough
  coldgrease::verdict verdict = verdict::not_shown;  // of the installation at the temperature asked for
  std::optional<double> chance{};                    // the smallest of its lines and its inlet
  std::optional<temperature> coldest{};              // that every line and the inlet pass
  volume daily{};                                    // of all points, a calendar day
  volume waste{};                                    // given over asked, of the points that are served
  std::optional<duration> reservoir{};               // how long it lasts
  bool lasts = false;                                // from one refill to the next, or nobody says how long that is
  std::optional<duration> longest_stay{};            // of grease in a line
  std::vector<std::string> warnings{};               // of the installation with these doses, as check() has them
  std::vector<std::string> notes{};
};

struct dose_answer {
  coldgrease::temperature temperature = celsius(0);
  double confidence = usual_confidence;
  std::vector<dose_setting> settings{};  // best first
  std::vector<std::size_t> unstated{};   // lines of which nobody knows what their point asks for
  std::vector<std::string> notes{};      // on the choice
};

/// True if there is something to choose: elements, settings of the timer, and what a point asks for.
bool offers_doses(const installation& i);

/// For every setting of the timer the smallest element of each point that gives what it asks for (asked_of), and what
/// then still arrives at `at`: check() of the whole installation with these doses. Best first: a pause in
/// which the pump can end a cycle; verdict (flows, doubtful, stalls, not shown); fewest points that no element serves;
/// a reservoir that lasts from one refill to the next; least waste; longest pause. Exact: a point's element depends on
/// no other's, and a smaller one is never harder to deliver, so that no other choice of elements wastes less. A
/// reservoir that nobody knows does not last. Time of a dose: all elements of a pump work in one cycle, so a bigger one
/// delivers more in the line's own time `in` and costs pressure; a line that takes the pump's whole output goes on at
/// that flow, a bigger dose taking longer, and the meters of a single line share it.
/// @throws input_error for an installation that offers nothing to choose, or as check()
/// Test: tests/line/doses.cpp
dose_answer choose_doses(const installation& i, const grease& g, temperature at, double confidence = usual_confidence);

}  // namespace coldgrease::inline v0
