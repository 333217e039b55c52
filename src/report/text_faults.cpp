// The fault finder as a technician reads it: what the gauge should say, then the causes in the order to look.
#include <algorithm>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bullets;
using detail::grease_rows;
using detail::joined;
using detail::row;
using detail::share_words;
using detail::words;
using detail::wrapped;

std::string_view check_of(fault f, std::optional<system_type> type) {
  const bool progressive = type == system_type::progressive;
  switch (f) {
    case fault::cold_grease:
      return "let the vehicle stand in a warm shop and run a cycle: if grease comes then, it was the cold; if not, do "
             "not change the grade";
    case fault::blocked_point:
      return progressive
                 ? "pressure off first, then open the outlets of the divider one after the other, a cycle each: "
                   "the one after which the cycle goes on leads to the block; then part line and bearing there"
                 : "pressure off first, then take the line off at the point and run a cycle: if grease comes, "
                   "the point is blocked; if none comes, the line is";
    case fault::open_line:
      return "follow the line and look for fresh grease, chafed or cut tube, a fitting off; the gauge stays low";
    case fault::air:
      return "open the bleed at the pump's outlet and run it until grease comes without bubbles; look whether the "
             "level "
             "was once too low";
    case fault::unfed_pump:
      return "open the reservoir: a hole over the inlet, a plate that hangs, or grease too stiff to follow";
    case fault::pump_still:
      return "start a cycle by hand and measure the supply at the motor; then fuse, timer, wiring";
    case fault::jammed_meter:
      return "watch that outlet over a cycle: its pin or its shot must come each time; change it for one known to work";
    case fault::bled_grease: return "cut off the last few centimetres of the line: dry soap without oil is the sign";
    case fault::too_little:
      return "weigh or count what a point gets in a day and hold it against what its size asks for";
    case fault::weak_relief:
      return "with the relief valve in place, run a cycle against a closed outlet of the pump: the gauge must come up "
             "to "
             "the setting and stay there";
  }
  return {};
}

namespace {

std::string gauge_words(const expected_gauge& e, const symptoms& seen, const installation& i, unit_system units) {
  std::string out =
      fmt::format("at {} it should read about {} ({} to {}) while {} is fed", both_scales(*seen.at),
                  words(e.middle, units), words(e.low, units), words(e.high, units), i.lines[e.line].point);
  if (!seen.gauge) return out;
  const std::string read = words(*seen.gauge, units);
  switch (e.reading.value_or(gauge_reading::right)) {
    case gauge_reading::low: return out + fmt::format("; {} is less: the line is open, or no grease comes", read);
    case gauge_reading::high: return out + fmt::format("; {} is more: something is in its way", read);
    case gauge_reading::above_relief: return out + fmt::format("; {} is more than there should ever be", read);
    case gauge_reading::right: break;
  }
  return out + fmt::format("; {} is what a whole line asks for", read);
}

std::string causes_words(const fault_answer& a, std::optional<system_type> type) {
  std::string out = "In this order (weights are judgement)\n";
  int number = 0;
  for (const cause& c : a.causes) {
    out += wrapped(fmt::format("{:>2}. {}  {}", ++number, share_words(c.weight), name_of(c.fault)), 4) + "\n";
    if (!c.speaks_for.empty()) out += wrapped(fmt::format("    for it: {}", joined(c.speaks_for)), 6) + "\n";
    if (!c.speaks_against.empty()) out += wrapped(fmt::format("    against: {}", joined(c.speaks_against)), 6) + "\n";
    out += wrapped(fmt::format("    check: {}", check_of(c.fault, type)), 6) + "\n";
  }
  return out;
}

constexpr std::string_view pressure_caution =
    "CAUTION: lines hold pressure after the pump has stopped. Let it off before a line or fitting is opened, keep "
    "hands "
    "away from it, and never clear a blocked line by more pressure.";

}  // namespace

std::string to_text(const fault_answer& a) {
  return wrapped(pressure_caution, 9) + "\n\n" + causes_words(a, std::nullopt) + bullets("\nNotes", a.notes) + "\n" +
         cautions();
}

std::string to_text(const fault_answer& a, const symptoms& seen, const installation& i, const grease& g,
                    unit_system units) {
  std::string out = wrapped(pressure_caution, 9) + "\n";
  for (const std::string& warning : a.warnings) out += wrapped(fmt::format("WARNING: {}", warning), 9) + "\n";
  out += "\n";
  out += row("installation", fmt::format("{}, {}", i.name, name_of(i.type)));
  out += grease_rows(g);
  if (a.gauge) out += row("gauge", gauge_words(*a.gauge, seen, i, units));
  const std::string& point = i.lines[a.feel_first.front()].point;
  out += row("passes",
             fmt::format("{}: down to {}", point, a.coldest_line ? both_scales(*a.coldest_line) : "nothing shown"));
  if (a.level)
    out += row("level", fmt::format("{} a week when all is well; {} with that line blocked; no less with it broken",
                                    words(a.level->as_expected, units), words(a.level->one_blocked, units)));
  std::string feel;
  for (std::size_t p = 0; p < std::min<std::size_t>(5, a.feel_first.size()); ++p)
    feel += (p == 0 ? "" : ", ") + i.lines[a.feel_first[p]].point;
  out += row("feel first", feel);
  return out + "\n" + causes_words(a, i.type) + bullets("\nNotes", a.notes) + "\n" + cautions();
}

}  // namespace coldgrease::inline v0
