#include "coldgrease/line/doses.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0 {

namespace {

bool states_a_need(const line& l) { return l.needs || l.bearing; }

void require_choice(const installation& i) {
  if (i.elements.empty())
    throw input_error(i.name + ": elements", "is missing or empty", "the volumes a cycle that there are elements for");
  if (i.intervals.empty()) throw input_error(i.name + ": intervals", "is missing or empty", "the timer's settings");
  for (const volume& v : i.elements) {
    if (!(in_m3(v) > 0.0 && std::isfinite(in_m3(v))))
      throw input_error(i.name + ": elements", fmt::format("{} m3", in_m3(v)), "volumes above 0");
  }
  for (const duration& d : i.intervals) check_interval(d, i.name + ": intervals");
  if (std::ranges::none_of(i.lines, states_a_need))
    throw input_error(i.name + ": lines", "no point says what it asks for", "\"bearing\" or \"needs\" at its line");
}

/// Gives a line another dose, in the time that the docstring says.
void set_dose(line& l, volume dose, const installation& i) {
  constexpr double same = 1e-9;
  const double output = i.pump_output ? in_m3_per_s(*i.pump_output) : 0.0;
  const double stated = l.dose && l.in ? in_m3(*l.dose) / in_second(*l.in) : in_m3_per_s(flow_of(l));
  const bool whole_output = i.type == system_type::progressive || std::abs(stated - output) <= same * output;
  if (l.flow || whole_output) l.in = second(in_m3(dose) / stated);
  l.dose = dose;
}

/// The smallest element that serves a point, else the largest. @param sorted  small to large
point_dose choice_for(std::size_t line, const std::vector<volume>& sorted, volume asked, double cycles) {
  for (const volume& v : sorted) {
    if (serves(cubic_metre(in_m3(v) * cycles), asked)) return {line, v, true};
  }
  return {line, sorted.back(), false};
}

dose_setting setting_of(const installation& given, duration interval, const std::vector<volume>& sorted,
                        const grease& g, temperature at, double confidence) {
  installation i = given;
  i.interval = interval;
  dose_setting s{.interval = interval};
  const duty in_service = duty_of(i);
  const double cycles = cycles_a_day(interval, in_service);
  for (std::size_t l = 0; l < i.lines.size(); ++l) {
    const auto asked = asked_of(i.lines[l], in_service);
    s.points.push_back(asked ? choice_for(l, sorted, *asked, cycles) : point_dose{.line = l});
    if (asked) set_dose(i.lines[l], *s.points.back().element, i);
  }
  const installation_answer a = check(i, g, at, confidence);
  double waste = 0.0;
  for (const point_answer& p : a.points) {
    point_dose& own = s.points[p.line];
    own.check = p.check;
    if (own.element && !own.served) ++s.unserved;
    if (own.served) waste += std::max(0.0, in_m3(*p.check.daily) - in_m3(*p.check.asked));
    if (p.check.residence) s.longest_stay = std::max(s.longest_stay.value_or(second(0)), *p.check.residence);
  }
  s.warnings = a.warnings;
  s.notes = a.notes;
  s.too_short = a.shortest_pause && interval < *a.shortest_pause;
  s.waste = cubic_metre(waste);
  s.verdict = a.outcome.verdict;
  s.chance = a.outcome.chance;
  s.coldest = a.coldest;
  s.daily = a.daily.value_or(cubic_metre(0));
  s.reservoir = a.reservoir;
  s.lasts = !i.service || (a.reservoir && *a.reservoir >= *i.service);
  return s;
}

bool better(const dose_setting& a, const dose_setting& b) {
  const auto order = [](const dose_setting& s) {
    constexpr double told_apart = 1e-12;  // [m3] a day: far below any dose, far above rounding
    return std::tuple(s.too_short, s.verdict, s.unserved, !s.lasts, std::round(in_m3(s.waste) / told_apart),
                      -in_second(s.interval));
  };
  return order(a) < order(b);
}

}  // namespace

bool offers_doses(const installation& i) {
  return !i.elements.empty() && !i.intervals.empty() && std::ranges::any_of(i.lines, states_a_need);
}

dose_answer choose_doses(const installation& i, const grease& g, temperature at, double confidence) {
  require_choice(i);
  dose_answer answer{.temperature = at, .confidence = confidence};
  std::vector<volume> sorted = i.elements;
  std::ranges::sort(sorted);
  for (const duration& interval : i.intervals)
    answer.settings.push_back(setting_of(i, interval, sorted, g, at, confidence));
  std::ranges::stable_sort(answer.settings, better);
  for (std::size_t l = 0; l < i.lines.size(); ++l) {
    if (!states_a_need(i.lines[l])) answer.unstated.push_back(l);
  }
  if (!answer.unstated.empty())
    answer.notes.push_back("a point of which nobody says what it asks for keeps its dose, and counts in the total");
  if (!i.service) answer.notes.push_back("\"service\", from one refill to the next, is not given: none is asked for");
  if (i.service && !answer.settings.front().reservoir)
    answer.notes.push_back("how long the reservoir lasts is not known: it is taken as too short");
  return answer;
}

}  // namespace coldgrease::inline v0
