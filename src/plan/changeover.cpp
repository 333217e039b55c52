#include "coldgrease/plan/changeover.hpp"
#include "coldgrease/line/displacement.hpp"
#include "coldgrease/line/tube_flow.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/designation.hpp"
#include "coldgrease/grease/grease.hpp"
#include "coldgrease/line/installation_check.hpp"

namespace coldgrease::inline v0 {

namespace {

/// Doses that hold a volume, without rounding; the order of arrival, since all lines share interval and hours.
/// Through a shared main go the doses of all its lines.
std::optional<double> doses(const line& l) {
  if (!l.dose) return std::nullopt;
  double sum = 0.0;
  for (const segment& s : l.segments) sum += in_m3(volume_of(s)) / (in_m3(*l.dose) * s.dose_ratio);
  return sum;
}

/// Geometry and dose; how fast a dose is delivered plays no part here.
void check_shape(line l) {
  l.flow = cm3_per_min(1);
  l.in.reset();
  validate(l);
}

/// Whole doses; a volume that is a whole number of them but for rounding asks for no further one.
double whole(double shots) { return std::ceil(shots * (1.0 - 1e-12)); }

std::vector<std::string> cautions_of(const compatibility_answer& thickeners) {
  std::vector<std::string> out{
      "let stored pressure off before a line is opened; grease under pressure goes through skin",
      "push as much old grease as possible out through line AND point: what stays in the point mixes there",
      "watch the points after the change: grease that runs out thin, dry points and oil at the seals are signs of a "
      "mixture that fails",
      "the documents of the makers of vehicle, pump and points come first; some points may be cleaned only, not "
      "purged"};
  const bool mixes = thickeners.agreement == chart_agreement::agree && thickeners.word == mix_word::compatible;
  if (!mixes) out.insert(out.begin() + 1, "drain and clean the reservoir before the new grease goes in: do not top up");
  return out;
}

/// The coldest air an installation passes in; nothing is said of a grease whose oil nobody knows, nor of an
/// installation whose pressure or flows nobody gives.
std::optional<temperature> coldest_with(const installation& i, const grease& g, double confidence) {
  const bool oil_known = g.oil() != oil_knowledge::unknown;
  const bool timed = std::ranges::all_of(i.lines, [](const line& l) { return l.flow || (l.dose && l.in); });
  if (!oil_known || !timed || i.lines.empty() || (!i.available && !i.relief)) return std::nullopt;
  return coldest_passing(i, g, confidence);
}

/// What the numbers of a changeover stand on.
std::vector<std::string> notes_of(const changeover_answer& a, const installation& i, const evidence& from,
                                  const evidence& to) {
  std::vector<std::string> notes;
  notes.emplace_back(
      "the volumes are what the lines hold, as if the grease moved as a plug; old grease smears behind, so at least "
      "this much has to come out, and the point itself holds more");
  notes.push_back(a.density_assumed ? fmt::format("no density of the old grease is given: {:g} kg/m3 is assumed",
                                                  in_kg_per_m3(a.old_density))
                                    : fmt::format("density of the old grease: {:g} kg/m3 at {}",
                                                  in_kg_per_m3(a.old_density), both_scales(celsius(15))));
  if (i.interval) {
    const duty in_service = duty_of(i);
    notes.push_back(
        fmt::format("days count from the moment new grease enters the lines: calendar days, {:g} h in service on {:g} "
                    "of 7",
                    in_service.hours_per_day, in_service.days_per_week));
    if (auto assumed = assumed_duty_note(i.hours_per_day, i.days_per_week)) notes.push_back(std::move(*assumed));
  } else {
    notes.emplace_back("no interval is given: shots are known, days are not");
  }
  notes.emplace_back(a.reservoir ? "old grease left in the reservoir goes first: a full one lasts as long as is said "
                                   "beside it, an emptied one not at all"
                                 : "old grease left in the reservoir goes first; how long is not known without its "
                                   "volume, the doses and the interval");
  for (const evidence* grease : {&from, &to}) {
    for (const std::string& note : with_designation(*grease).notes)
      notes.push_back(grease->name.empty() ? note : grease->name + ": " + note);
  }
  return notes;
}

/// What stays at the walls of a line's longest segment.
/// @return nothing where the flow of the line as given, or the grease, is not known
std::vector<old_at_walls> left_in(const line& given, const line& l, const grease& fresh, temperature at) {
  const bool flows = given.flow || (given.dose && given.in);
  const auto curve = fresh.at(at);
  if (!flows || !curve) return {};
  const segment& longest =
      *std::ranges::max_element(l.segments, {}, [](const segment& s) { return in_metre(s.length); });
  const double nominal = detail::nominal_rate_of(in_m3_per_s(flow_of(l)), in_metre(longest.bore));
  std::vector<old_at_walls> left;
  for (const double volumes : {1.0, 1.5, 2.0, 3.0})
    left.push_back({volumes, detail::old_left(detail::kernel(*curve), nominal, volumes)});
  return left;
}

}  // namespace

changeover_answer changeover(const installation& given, const grease& old, const grease& fresh,
                             const compatibility_table& charts, double confidence, temperature cold) {
  const evidence &from = old.known(), &to = fresh.known();
  installation i = given;
  for (line& l : i.lines) {
    check_shape(l);
    if (!l.flow && !l.in) l.flow = cm3_per_min(1);  // how fast plays no part here
  }
  join_mains(i);
  changeover_answer answer;
  answer.density_assumed = !from.density;
  answer.old_density = from.density.value_or(assumed_density());
  answer.thickeners = compatibility(from.thickener, to.thickener, charts);
  answer.oils = compare_oils(from, to, cold);
  answer.coldest_before = coldest_with(given, old, confidence);
  answer.coldest_after = coldest_with(given, fresh, confidence);
  answer.reservoir = reservoir_time(i, answer.old_density);

  for (std::size_t n = 0; n < i.lines.size(); ++n) {
    const line& l = i.lines[n];
    const auto shots = doses(l);
    const volume purge = volume_of(l);
    answer.lines.push_back({n, purge, purge * answer.old_density, shots ? std::optional(whole(*shots)) : std::nullopt,
                            residence_time(l, i)});
  }
  answer.total = volume_of(i);
  answer.total_mass = answer.total * answer.old_density;
  // Without a dose a line is unknown, not last: it goes to the end, the largest volume first.
  std::ranges::stable_sort(answer.lines, [&](const changeover_line& a, const changeover_line& b) {
    const auto of_a = doses(i.lines[a.line]), of_b = doses(i.lines[b.line]);
    if (of_a.has_value() != of_b.has_value()) return of_a.has_value();
    return of_a ? *of_a > *of_b : a.purge > b.purge;
  });
  const bool all_known = std::ranges::all_of(i.lines, [](const line& l) { return l.dose.has_value(); });
  if (all_known && !answer.lines.empty()) answer.last = answer.lines.front().line;

  answer.pumped_at = cold;
  if (!answer.lines.empty()) {
    const std::size_t last = answer.lines.front().line;
    answer.at_walls = left_in(given.lines[last], i.lines[last], fresh, cold);
  }
  answer.cautions = cautions_of(answer.thickeners);
  answer.notes = notes_of(answer, i, from, to);
  return answer;
}

}  // namespace coldgrease::inline v0
