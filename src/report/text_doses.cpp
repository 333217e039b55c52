// Elements and settings of the timer, as who sets up a system reads them: the settings, then the element of each point.
#include <algorithm>
#include <span>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bullets;
using detail::chance_words;
using detail::dose_warnings;
using detail::dose_words;
using detail::grease_rows;
using detail::joined;
using detail::or_dash;
using detail::pause_words;
using detail::point_width;
using detail::row;
using detail::table_row;
using detail::wrapped;

namespace {

constexpr std::size_t settings_shown = 5;  // side by side, as the page is wide

std::string day_count(duration d) { return fmt::format("{:.0f}", in_days(d)); }

std::string settings_table(const dose_answer& a, unit_system units) {
  std::string out = fmt::format("{:<7} {:>10} {:>10} {:>7} {:>7} {:>6} {:<9} {}\n", "pause", "a day", "too much",
                                "refill", "longest", "chance", "verdict", "coldest");
  for (const dose_setting& s : a.settings)
    out += fmt::format("{:<7} {:>10} {:>10} {:>7} {:>7} {:>6} {:<9} {}\n", pause_words(s.interval),
                       dose_words(s.daily, units), dose_words(s.waste, units),
                       or_dash(s.reservoir, day_count) + (s.lasts ? "" : "!"), or_dash(s.longest_stay, day_count),
                       or_dash(s.chance, chance_words), name_of(s.verdict), or_dash(s.coldest, both_scales));
  return out +
         wrapped(
             "a day: all points together, a calendar day; too much: over what they ask for. refill: days that "
             "the reservoir lasts (! too short); longest: days that grease stays in a line; coldest: that "
             "all lines and the inlet pass.") +
         "\n";
}

std::string elements_table(const dose_answer& a, const installation& i, unit_system units) {
  const std::size_t shown = std::min(settings_shown, a.settings.size());
  std::string pauses = fmt::format("{:>10}", "asks a day");
  for (std::size_t s = 0; s < shown; ++s) pauses += fmt::format(" {:>7}", pause_words(a.settings[s].interval));
  std::string out = table_row({{"element of each point", point_width}, {pauses}});
  for (std::size_t l = 0; l < i.lines.size(); ++l) {
    const auto& asked = a.settings.front().points[l].check.asked;
    std::string elements = fmt::format("{:>10}", or_dash(asked, [&](volume v) { return dose_words(v, units); }));
    for (std::size_t s = 0; s < shown; ++s) {
      const point_dose& p = a.settings[s].points[l];
      elements += fmt::format(" {:>7}", or_dash(p.element, [&](volume v) {
                                const std::string number = dose_words(v, units);
                                return number.substr(0, number.find(' ')) + (p.served ? "" : "!");
                              }));
    }
    out += table_row({{i.lines[l].point, point_width}, {elements}});
  }
  return out +
         wrapped(fmt::format("In {}; ! even the largest gives less than is asked for; - nobody says what the "
                             "point asks for: it keeps its dose.",
                             units == unit_system::si ? "cm3" : "in3")) +
         "\n";
}

std::string best_table(const dose_setting& s, const installation& i, unit_system units) {
  std::string out = table_row({{"at the first setting", point_width},
                               {fmt::format("{:>10} {:>10} {:>5} {:>6} {:>6} {}", "gets a day", "asks a day", "days",
                                            "dose %", "chance", "verdict")}});
  const auto dose = [&](volume v) { return dose_words(v, units); };
  for (const point_dose& p : s.points) {
    const line_answer& c = p.check;
    out += table_row(
        {{i.lines[p.line].point, point_width},
         {fmt::format("{:>10} {:>10} {:>5} {:>6} {:>6} {}", or_dash(c.daily, dose), or_dash(c.asked, dose),
                      or_dash(c.residence, day_count),
                      or_dash(c.dose_share, [](double share) { return fmt::format("{:.0f}", 100.0 * share); }),
                      or_dash(c.chance, chance_words), name_of(c.verdict))}});
  }
  return out + wrapped("dose %: what still arrives in this cold by the middle estimate.") + "\n";
}

/// What is wrong with the settings behind the first.
std::string others_words(const dose_answer& a, const installation& i) {
  std::string out;
  for (const dose_setting& s : std::span(a.settings).subspan(1)) {
    if (s.too_short)
      out += wrapped(fmt::format("{}: the pump needs longer for a cycle", pause_words(s.interval))) + "\n";
    std::vector<std::string> unserved;
    for (const point_dose& p : s.points) {
      if (p.element && !p.served) unserved.push_back(i.lines[p.line].point);
    }
    if (!unserved.empty())
      out += wrapped(fmt::format("{}: no element gives enough to {}", pause_words(s.interval), joined(unserved)), 2) +
             "\n";
  }
  return out;
}

/// What is wrong with the first, as it is said of an installation.
std::string warnings_words(const dose_setting& s, const installation& i, unit_system units) {
  std::string out;
  for (const std::string& warning : s.warnings) out += wrapped(fmt::format("WARNING: {}", warning), 9) + "\n";
  std::vector<point_answer> points;
  for (const point_dose& p : s.points) {
    points.push_back({.line = p.line, .check = p.check});
    for (const std::string& warning : p.check.warnings)
      out += wrapped(fmt::format("WARNING: {}: {}", i.lines[p.line].point, warning), 9) + "\n";
  }
  for (const std::string& warning : dose_warnings(points, i, units))
    out += wrapped(fmt::format("WARNING: {}", warning), 9) + "\n";
  return out.empty() ? out : out + "\n";
}

/// What the first setting comes to: nothing of it is left unsaid where it is not as it should be.
std::string first_words(const dose_answer& a, const installation& i) {
  const dose_setting& s = a.settings.front();
  const bool good = s.verdict == verdict::flows && s.unserved == 0 && s.lasts && !s.too_short;
  std::string out = fmt::format("{}a cycle every {}: {}", good ? "" : "no setting does all that is asked for; ",
                                pause_words(s.interval), name_of(s.verdict));
  out += s.unserved == 0 ? ", every point gets what it asks for"
                         : fmt::format(", {} of {} points get too little", s.unserved, i.lines.size());
  if (!a.unstated.empty()) out += fmt::format(" as far as that is known ({} points do not say)", a.unstated.size());
  if (s.reservoir) out += fmt::format(", the reservoir lasts {:.0f} days", in_days(*s.reservoir));
  return out;
}

}  // namespace

std::string to_text(const dose_answer& a, const installation& i, const grease& g, unit_system units) {
  const dose_setting& best = a.settings.front();
  std::string out = warnings_words(best, i, units);
  out += row("installation", fmt::format("{}, {}", i.name, name_of(i.type)));
  out += grease_rows(g);
  out += row("at", fmt::format("{}, confidence {:.2f}", both_scales(a.temperature), a.confidence));
  std::vector<std::string> elements;
  for (const volume& v : i.elements) elements.push_back(dose_words(v, units));
  out += row("elements", joined(elements));
  if (i.service) out += row("refill", fmt::format("every {:.0f} days", in_days(*i.service)));
  out += row("FIRST", first_words(a, i));
  out += "\nSettings of the timer, the best first\n" + settings_table(a, units) + others_words(a, i) + "\n" +
         elements_table(a, i, units) + "\n" + best_table(best, i, units);
  std::vector<std::string> notes = best.notes;
  notes.insert(notes.end(), a.notes.begin(), a.notes.end());
  return out + bullets("\nNotes", notes) + "\n" + cautions();
}

}  // namespace coldgrease::inline v0
