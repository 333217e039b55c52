#include "coldgrease/line/faults.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <array>

#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/line/limits.hpp"

namespace coldgrease::inline v0 {

namespace {

/// JUDGEMENT, no source: how often each cause is met, and by how much a sign makes it likelier (above 1) or rarer.
/// A sign that a cause cannot show is 0.05, not 0: people misread levels and gauges.
struct row {
  fault what;
  double share;
  double level_falls, level_stands, level_low;
  double one_dry, all_dry;
  double turns, still;
  double hot;  // the end of the line at the point
  double weeps;
  double gauge_low, gauge_right, gauge_high;
  double lines_pass, lines_stall;  // by the computed pressures, in the coldest since then
};
constexpr double never = 0.05;
constexpr std::array<row, 10> rows{{
    {fault::cold_grease, 0.20, 0.3, 2, 0.3, 0.6, 1.5, 1, 0.3, 0.3, 4, 0.2, 1.5, 3, 0.2, 5},
    {fault::blocked_point, 0.15, 1, 0.7, 0.7, 3, 0.3, 1, 0.3, 1, 3, 0.1, 0.5, 4, 1.2, 0.7},
    {fault::open_line, 0.15, 2, 0.2, 1.5, 3, 0.2, 1, 0.3, 1, 0.1, 5, 0.5, never, 1, 1},
    {fault::air, 0.10, 0.5, 1.5, 20, 1, 1.5, 1, 0.3, 1, 0.2, 3, 0.5, 0.2, 1, 1},
    {fault::unfed_pump, 0.10, never, 3, 1, 0.1, 3, 1.3, never, 1, 0.1, 4, 0.3, 0.1, 0.8, 1.5},
    {fault::pump_still, 0.10, never, 3, 1, never, 4, never, 10, 1, never, 1, never, never, 1, 1},
    {fault::jammed_meter, 0.08, 1, 1, 1, 3, 0.5, 1, 0.5, 1, 1, 0.7, 1, 1.5, 1, 1},
    {fault::bled_grease, 0.04, 0.7, 1.2, 0.7, 3, 0.2, 1, 0.3, 20, 2, 0.2, 0.7, 3, 1.2, 0.7},
    {fault::too_little, 0.05, 3, 0.1, 1, 0.7, 1.5, 1, never, 1, 0.2, 0.7, 3, 0.3, 1.5, 0.5},
    {fault::weak_relief, 0.03, 0.3, 2, 1, 0.3, 2, 1, 0.3, 1, 5, 3, 0.3, 0.1, 0.8, 1.5},
}};

struct computed {
  std::optional<gauge_reading> gauge;
  std::optional<bool> passes;  // every line concerned, in the coldest since then
};

struct indication {
  std::string words;
  double row::*factor;
};

std::vector<indication> indications_of(const symptoms& seen, const computed& found) {
  std::vector<indication> all;
  if (seen.level == level_sign::falls) all.push_back({"the level falls", &row::level_falls});
  if (seen.level == level_sign::stands) all.push_back({"the level stands", &row::level_stands});
  if (seen.level == level_sign::low) all.push_back({"the level was low: air may be drawn in", &row::level_low});
  if (seen.dry == dry_points::one) all.push_back({"one point is dry", &row::one_dry});
  if (seen.dry == dry_points::all) all.push_back({"all points are dry", &row::all_dry});
  if (seen.pump_turns)
    all.push_back(*seen.pump_turns ? indication{"the pump turns", &row::turns}
                                   : indication{"the pump is still", &row::still});
  if (seen.hot_end.value_or(false)) all.push_back({"the line's end at the point is hot", &row::hot});
  if (seen.relief_weeps.value_or(false)) all.push_back({"the relief valve weeps", &row::weeps});
  if (found.gauge == gauge_reading::low)
    all.push_back({"the gauge reads less than a whole line asks for", &row::gauge_low});
  if (found.gauge == gauge_reading::right) all.push_back({"the gauge reads what the line asks for", &row::gauge_right});
  if (found.gauge == gauge_reading::high || found.gauge == gauge_reading::above_relief)
    all.push_back({"the gauge reads more than the line should ask for", &row::gauge_high});
  if (found.passes)
    all.push_back(*found.passes ? indication{"the lines should have passed in the coldest since then", &row::lines_pass}
                                : indication{"the coldest since then was too cold for the line", &row::lines_stall});
  return all;
}

std::vector<cause> ranked(const symptoms& seen, const computed& found, system_type type) {
  const auto indications = indications_of(seen, found);
  std::vector<cause> causes;
  double total = 0.0;
  for (row r : rows) {
    // In a progressive system one outlet that takes nothing stops the whole cycle.
    const bool stops = r.what == fault::blocked_point || r.what == fault::bled_grease || r.what == fault::jammed_meter;
    if (type == system_type::progressive && stops) {
      std::swap(r.one_dry, r.all_dry);
      std::swap(r.level_falls, r.level_stands);
      r.level_stands = std::max(r.level_stands, 2.0);
      r.level_falls = never;
    }
    cause c{.fault = r.what, .weight = r.share};
    for (const indication& i : indications) {
      const double factor = r.*i.factor;
      c.weight *= factor;
      if (factor > 1.0) c.speaks_for.push_back(i.words);
      if (factor < 0.5) c.speaks_against.push_back(i.words);
    }
    total += c.weight;
    causes.push_back(std::move(c));
  }
  for (cause& c : causes) c.weight /= total;
  std::ranges::stable_sort(causes, std::ranges::greater{}, &cause::weight);
  return causes;
}

/// What a gauge says beside what it should read. JUDGEMENT: a gauge is read to 5 %. At the relief setting the pump is
/// stalled, whatever the spread allows.
gauge_reading reading_of(pressure gauge, const expected_gauge& expected, pressure available) {
  if (gauge > 1.05 * available) return gauge_reading::above_relief;
  if (gauge < expected.low) return gauge_reading::low;
  const bool at_relief = gauge >= available && expected.middle < available;
  return gauge > expected.high || at_relief ? gauge_reading::high : gauge_reading::right;
}

/// Adds what the gauge should read while a line is fed, and holds what was seen against it. @param now  that line
std::optional<gauge_reading> hold_gauge(const symptoms& seen, std::size_t line, const line_answer& now,
                                        fault_answer& answer) {
  if (now.missing == missing_datum::grease) {
    answer.notes.push_back("nothing is known of this grease at " + both_scales(*seen.at) +
                           ": no pressure to hold the gauge against");
    return std::nullopt;
  }
  if (!now.needed)
    answer.notes.push_back(
        fmt::format("the line would need more than 1000 bar (14500 psi) at {}: the gauge stands at the relief setting",
                    both_scales(*seen.at)));
  // Losses are not told above 1000 bar: they are that much at least. No gauge reads more than the pump can give.
  const pressure most = bar(1000);
  const double factor = *now.spread_90;
  const pressure fixed = now.outlet + now.divider_loss;
  const auto bounded = [&](pressure p) { return std::min(p, now.available); };
  answer.gauge =
      expected_gauge{line, bounded(fixed + now.flow_loss.value_or(most) / factor), bounded(now.needed.value_or(most)),
                     bounded(fixed + now.start_loss.value_or(most) * factor)};
  if (!seen.gauge) return std::nullopt;
  answer.gauge->reading = reading_of(*seen.gauge, *answer.gauge, now.available);
  if (answer.gauge->reading == gauge_reading::above_relief)
    answer.warnings.push_back(
        fmt::format("the gauge reads {}, more than the {} there should ever be: stop the pump; the relief valve does "
                    "not open, a part may burst, or the gauge is wrong",
                    both_units(*seen.gauge), both_units(now.available)));
  return answer.gauge->reading;
}

}  // namespace

fault_answer find_fault(const symptoms& seen) {
  fault_answer answer;
  answer.causes = ranked(seen, {}, system_type::multi_outlet);
  if (seen.gauge)
    answer.notes.push_back("the gauge says more beside an installation and its grease: name a fleet file");
  return answer;
}

namespace {

temperature coldest_since(const symptoms& seen) {
  if (!seen.at) throw input_error("at", "no temperature is given", "the temperature when it was seen");
  const temperature coldest = seen.coldest.value_or(*seen.at);
  if (coldest > *seen.at)
    throw input_error("coldest", both_scales(coldest) + " is warmer than when it was seen", "the coldest since then");
  return coldest;
}

}  // namespace

fault_answer find_fault(const symptoms& seen, const installation& i, const grease& g, double confidence) {
  return find_fault(seen, check(i, g, coldest_since(seen), confidence), i, g);
}

fault_answer find_fault(const symptoms& seen, const installation_answer& in_cold, const installation& given,
                        const grease& g) {
  installation i = given;
  join_mains(i);
  if (in_cold.temperature != coldest_since(seen) || in_cold.points.size() != i.lines.size())
    throw input_error("coldest", "the answer is of another temperature or installation",
                      "that of this installation at the coldest since then");
  if (seen.point && *seen.point >= i.lines.size())
    throw input_error("point", "is none of the installation", "one of its lines");
  fault_answer answer;
  computed found;
  for (const point_answer& p : in_cold.points) answer.feel_first.push_back(p.line);
  if (seen.point) {
    std::erase(answer.feel_first, *seen.point);
    answer.feel_first.insert(answer.feel_first.begin(), *seen.point);
  }
  const std::size_t concerned = answer.feel_first.front();
  const auto cold_line = std::ranges::find(in_cold.points, concerned, &point_answer::line);
  answer.coldest_line = cold_line->check.coldest;
  // Too cold to be shown is too cold to be counted on; where the recharge is open nothing is known either way.
  const missing_datum missing = cold_line->check.missing;
  if (missing == missing_datum::none || missing == missing_datum::grease)
    found.passes = cold_line->check.verdict == verdict::flows;
  answer.level = level_in_a_week(i, concerned, kg_per_m3(g.model().density15));

  found.gauge =
      hold_gauge(seen, concerned, check(i.lines[concerned], g, conditions_of(i, *seen.at, in_cold.confidence)), answer);
  answer.causes = ranked(seen, found, i.type);
  if (found.passes == true && seen.dry)
    answer.notes.push_back("if it fails warm too it is no matter of cold: clear the point, do not change the grease");
  for (cause& c : answer.causes) {
    if (c.fault != fault::bled_grease || !cold_line->check.residence) continue;
    // JUDGEMENT: three months in a line is the handbook's usual reservoir time; beyond it the oil has had long to
    // leave.
    if (in_days(*cold_line->check.residence) > 90.0)
      c.speaks_for.push_back(
          fmt::format("grease stays {:.0f} days in that line", in_days(*cold_line->check.residence)));
  }
  const double points = static_cast<double>(i.lines.size());
  if (i.type != system_type::progressive && points > 10.0)
    answer.notes.push_back(
        fmt::format("one blocked line of {:.0f} changes the weekly level by {:.0f} %: the level alone cannot show it",
                    points, 100.0 / points));
  return answer;
}

}  // namespace coldgrease::inline v0
