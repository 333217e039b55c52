// A proofread fleet file, as a buyer reads it: what to mend, then what is missing, assumed, and worth asking for.
#include "base/format.hpp"
#include "report/decision.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bullets;
using detail::row;
using detail::wrapped;

namespace {

/// "1 line", "25 lines".
std::string counted(std::size_t n, std::string_view what) { return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s"); }

std::string problems_text(const fleet_proof& p) {
  std::string out =
      row("wrong", fmt::format("{} in {} or a file that it names: nothing is answered before they are mended",
                               counted(p.problems.size(), "place"), p.file));
  for (const file_error& e : p.problems) out += wrapped(std::string("- ") + e.what(), 2) + "\n";
  return out;
}

std::string standing_text(const fleet_standing& s, unit_system units) {
  std::string out = row("routes", fmt::format("{}, {}", s.routes, counted(s.vehicles, "vehicle")));
  out += row("systems", fmt::format("{}, {}, {} on all vehicles", counted(s.installations, "installation"),
                                    counted(s.lines, "line"), s.vehicle_lines));
  out += row("grease", fmt::format("{} at hand; {}", counted(s.greases, "grease"),
                                   s.daily ? detail::words(*s.daily, units) + " a day in all vehicles"
                                           : "how much a day is not known: a dose or an interval is missing"));
  std::string weather = fmt::format("{} of {}", counted(s.days_of_weather, "day"), counted(s.stations, "station"));
  if (s.published_places > 0)
    weather += fmt::format("; of {} published design values alone", counted(s.published_places, "place"));
  return out + row("weather", weather) + "\n";
}

}  // namespace

std::string to_text(const fleet_proof& p, unit_system units) {
  if (!p.standing) return problems_text(p);
  std::string out = row("file", p.file + ": nothing in it is wrong");
  out += standing_text(*p.standing, units) + detail::missing_words(p.missing);
  if (!p.assumed.empty()) out += bullets("Assumed, or missing in a weather file", p.assumed);
  std::vector<std::string> worth;
  for (const route_worth& w : p.worth)
    worth.push_back(fmt::format("{}, {}: {}", w.route, w.grease, words_of_worth(w.datum)));
  if (!worth.empty()) out += "\n" + bullets("What would narrow the answers most", worth);
  return out;
}

}  // namespace coldgrease::inline v0
