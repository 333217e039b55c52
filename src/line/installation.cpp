#include "coldgrease/line/installation.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <set>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/ranges.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/line/dosing.hpp"
#include "line_kernel.hpp"

namespace coldgrease::inline v0 {

inlet feed_of(const installation& i) {
  if (i.feed) return *i.feed;
  return {.kind = i.type == system_type::single_line ? feed_kind::gravity : feed_kind::stirred,
          .height = {},
          .heated_to = {}};
}

namespace {

/// The meters of a single line fill from one pump: all of them together take the time of its output, whatever their own
/// times say.
void wait_for_pump(installation& i) {
  if (i.type != system_type::single_line || !i.pump_output) return;
  double all = 0.0;
  for (const line& l : i.lines) all += l.dose ? in_m3(*l.dose) : 0.0;
  for (line& l : i.lines) {
    if (l.dose && !l.flow) l.cycle = second(all / in_m3_per_s(*i.pump_output));
  }
}

/// One pump feeds the outlets of a progressive system, one after the other.
void refuse_two_flows(const installation& i) {
  if (i.type != system_type::progressive || i.lines.empty()) return;
  constexpr double rounding = 0.02;  // doses and times are written with two digits
  const line& first = i.lines.front();
  const double flow = in_m3_per_s(i.pump_output.value_or(flow_of(first)));
  const std::string other = i.pump_output ? "the pump gives" : in_quotes(first.point) + " takes";
  for (const line& l : i.lines) {
    const double own = in_m3_per_s(flow_of(l));
    if (std::abs(own - flow) <= rounding * flow) continue;
    throw input_error(
        l.point, fmt::format("takes {:.3g} cm3/min, {} {:.3g} cm3/min of the same pump", own * 6e7, other, flow * 6e7),
        "one flow for all lines of a progressive system: give pump_output, and leave out in");
  }
}

}  // namespace

void join_mains(installation& i) {
  wait_for_pump(i);
  refuse_two_flows(i);
  struct main_tube {
    const segment* first = nullptr;
    double flow = 0.0;    // [m3/s]
    double volume = 0.0;  // a cycle [m3]
  };
  std::map<std::string, main_tube> mains;
  const auto own_dose = [](const line& l) { return l.dose ? in_m3(*l.dose) : 0.0; };
  std::set<std::string_view> points;
  for (const line& l : i.lines) points.insert(l.point);
  for (const line& l : i.lines) {
    std::set<std::string> on_this_line;
    for (const segment& s : l.segments) {
      if (s.main.empty()) continue;
      const std::string where = fmt::format("{}: main", l.point);
      if (i.type == system_type::multi_outlet)
        throw input_error(where, in_quotes(s.main) + " stands in a multi-outlet system",
                          "progressive or single-line: in the other each point has its own line");
      if (points.contains(s.main))
        throw input_error(where, in_quotes(s.main) + " is the name of a point", "a name of its own");
      main_tube& m = mains[s.main];
      if (m.first && (m.first->length != s.length || m.first->bore != s.bore || m.first->offset != s.offset))
        throw input_error(where, in_quotes(s.main) + " is another tube than in the line before",
                          "the same length, bore and offset in every line that names it");
      if (!on_this_line.insert(s.main).second)
        throw input_error(where, in_quotes(s.main) + " stands twice in one line", "a name for each tube");
      if (!m.first) m.first = &s;
      const double flow = in_m3_per_s(flow_of(l));
      m.flow = i.type == system_type::single_line ? m.flow + flow : std::max(m.flow, flow);
      m.volume += own_dose(l);
    }
  }
  for (line& l : i.lines) {
    for (segment& s : l.segments) {
      if (s.main.empty()) continue;
      const main_tube& m = mains[s.main];
      s.flow_ratio = m.flow / in_m3_per_s(flow_of(l));
      s.dose_ratio = l.dose ? m.volume / own_dose(l) : 1.0;
    }
  }
}

usual_range usual(system_type type) {
  // Source: The Tribology Handbook C15 (total loss grease systems), figures as printed there.
  static constexpr std::array<usual_range, 3> by_type{
      {{"1 to 60", "0.01 to 1 cm3", "up to 100 bar (1450 psi)",
        "60 mm2/s oil to NLGI 000 (NLGI 2 with a pneumatic pump)", "The Tribology Handbook C15, multi-outlet"},
       {"up to 200", "0.01 to 2 cm3", "100 bar (1450 psi)", "20 mm2/s oil to NLGI 2",
        "The Tribology Handbook C15, progressive"},
       {"1 to 500", "0.005 to 1.5 cm3", "20 to 50 bar (290 to 725 psi)", "20 mm2/s oil to NLGI 000",
        "The Tribology Handbook C15, single line volumetric"}}};
  return by_type[static_cast<std::size_t>(type)];
}

pressure available_pressure(const installation& i) {
  std::optional<pressure> least = i.available;
  const auto limit = [&](pressure p) { least = least ? std::min(*least, p) : p; };
  if (i.relief) limit(*i.relief);
  if (!least) throw input_error(i.name, "no pressure is given", "available or relief");
  for (const pressure& rating : i.ratings) limit(rating);
  return *least;
}

duty duty_of(const installation& i) {
  return {i.hours_per_day.value_or(assumed_hours_per_day), i.days_per_week.value_or(assumed_days_per_week)};
}

std::optional<volume> reservoir_of(const installation& i, density grease) {
  if (i.reservoir || !i.reservoir_mass) return i.reservoir;
  return cubic_metre(in_kilogram(*i.reservoir_mass) / in_kg_per_m3(grease));
}

std::optional<duration> reservoir_time(const installation& i, density grease) {
  const auto daily = daily_volume(i);
  const auto holds = reservoir_of(i, grease);
  if (!holds || !daily || !(in_m3(*daily) > 0.0)) return std::nullopt;
  return days(in_m3(*holds) / in_m3(*daily));
}

std::optional<duration> residence_time(const line& l, const installation& i) {
  return residence_of(l, cycles_a_day(i));
}

std::optional<duration> way_through(const installation& i) {
  duration longest = second(0);
  for (const line& l : i.lines) {
    const auto own = residence_time(l, i);
    if (!own) return std::nullopt;
    longest = std::max(longest, *own);
  }
  return longest;
}

volume volume_of(const installation& i) {
  double sum = 0.0;
  std::set<std::string> counted;
  for (const line& l : i.lines) {
    for (const segment& s : l.segments) {
      if (s.main.empty() || counted.insert(s.main).second) sum += in_m3(volume_of(s));
    }
  }
  return cubic_metre(sum);
}

cap_breach breach_of_caps(const installation& i, const grease& g) {
  if (!i.stiffest.empty()) {
    if (!(g.stiff_penetration() > 0.0)) return cap_breach::class_unknown;
    if (g.stiff_penetration() < nlgi_classes[parse_nlgi(i.stiffest, "stiffest").stiff].lower)
      return cap_breach::stiffer;
  }
  if (!i.solids_max) return cap_breach::none;
  const auto solids = solids_of(g.known());
  if (!solids) return cap_breach::solids_not_stated;
  return *solids > *i.solids_max ? cap_breach::too_much_solid : cap_breach::none;
}

namespace {

/// What is said of single lines: each sentence once, with the lines that it holds for.
template <class Texts>
std::vector<std::string> said_of_lines(const installation& i, Texts texts_of) {
  std::vector<std::pair<std::string, std::vector<std::string>>> found;
  for (const line& l : i.lines) {
    for (const std::string& text : texts_of(l)) {
      auto at = std::ranges::find(found, text, &std::pair<std::string, std::vector<std::string>>::first);
      if (at == found.end()) at = found.insert(at, {text, {}});
      at->second.push_back(l.point);
    }
  }
  std::vector<std::string> out;
  for (const auto& [text, points] : found)
    out.push_back(points.size() == i.lines.size() ? text : fmt::format("{}: {}", fmt::join(points, ", "), text));
  return out;
}

/// Parts of single lines that are rated below what the pump gives.
std::vector<std::string> line_ratings(const installation& i) {
  return said_of_lines(i, [&](const line& l) { return detail::rating_warnings(l, available_pressure(i)); });
}

/// What is odd in a system, its lines left out.
std::vector<std::string> odd_parts(const installation& i) {
  std::vector<std::string> odd;
  const auto look = [&](const auto& value, measure m) {
    if (!value) return;
    if (auto text = oddness(*value, m)) odd.push_back(std::move(*text));
  };
  look(i.available, measure::pump_pressure);
  look(i.reset, measure::reset_pressure);
  look(i.divider_loss, measure::divider_loss);
  look(i.pump_output, measure::pump_flow);
  look(i.reservoir, measure::reservoir_volume);
  look(i.interval, measure::interval);
  return odd;
}

}  // namespace

std::vector<std::string> rating_warnings(const installation& i) {
  std::vector<std::string> warnings;
  pressure pump = i.available.value_or(i.relief.value_or(pascal(0)));
  if (i.relief) pump = std::min(pump, *i.relief);
  for (const pressure& rating : i.ratings) {
    if (rating < pump)
      warnings.push_back(fmt::format("a part common to all lines is rated {}, below the {} of the pump: it limits them",
                                     both_units(rating), both_units(pump)));
  }
  for (std::string& text : line_ratings(i)) warnings.push_back(std::move(text));
  return warnings;
}

std::vector<std::string> warnings_of(const installation& i) {
  std::vector<std::string> warnings = rating_warnings(i);
  if (i.type == system_type::single_line && !i.reset)
    warnings.push_back("not shown: reset pressure missing: nobody can say whether the meters recharge");
  const bool staged = std::ranges::any_of(i.lines, [](const line& l) { return l.stages > 0; });
  if (i.type == system_type::progressive && staged && !i.divider_loss)
    warnings.push_back("what a divider stage takes is not given: it is left out, and the lines need more than shown");
  warnings.insert(warnings.end(), i.left_out.begin(), i.left_out.end());
  for (std::string& text : odd_parts(i)) warnings.push_back(std::move(text));
  for (std::string& text : said_of_lines(i, &detail::odd_parts)) warnings.push_back(std::move(text));
  return warnings;
}

std::vector<std::string> assumptions_of(const installation& i) {
  std::vector<std::string> notes;
  if (!i.feed)
    notes.push_back(
        fmt::format("how grease comes to the pump is not given: {} is assumed ({})", name_of(feed_of(i).kind),
                    i.type == system_type::single_line ? "the least favourable" : "common practice, no source"));
  if (!i.rest) notes.emplace_back(detail::rest_assumed);
  // Each in the words of a line's own answer, once.
  for (const line& l : i.lines) {
    for (std::string& note : detail::assumptions_of(l)) {
      if (std::ranges::find(notes, note) == notes.end()) notes.push_back(std::move(note));
    }
  }
  return notes;
}

conditions conditions_of(const installation& i, temperature at, double confidence) {
  return {.at = at,
          .available = available_pressure(i),
          .confidence = confidence,
          .rest = i.rest,
          .interval = i.interval,
          .hours_per_day = duty_of(i).hours_per_day,
          .days_per_week = duty_of(i).days_per_week,
          .system = i.type,
          .divider_loss = i.divider_loss,
          .reset = i.reset};
}

}  // namespace coldgrease::inline v0
