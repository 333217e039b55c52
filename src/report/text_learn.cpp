// What readings taught, as an engineer reads it: what was believed before and after, then every reading beside it.
#include <algorithm>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bullets;
using detail::or_none;
using detail::row;
using detail::table_row;
using detail::words;
using detail::wrapped;

namespace {

std::string shown_words(const judged_reading& j, const reading& r, pressure has, unit_system units) {
  const std::string at = words(r.gauge.value_or(has), units);
  if (j.says == datum_kind::gauge) return at;
  return (j.says == datum_kind::reached ? "< " : "> ") + at;
}

std::string_view mark_of(const judged_reading& j) {
  if (j.use == reading_use::waits) return " w";
  if (j.use == reading_use::says_nothing) return " -";
  return j.pinned ? " p" : "";
}

std::string readings_table(const grease_lesson& l, const fleet& f, unit_system units) {
  constexpr std::size_t date = 10, vehicle = 7, at = 17;
  std::string out =
      "\n" +
      table_row({{"date", date},
                 {"vehicle", vehicle},
                 {"at", at},
                 {fmt::format("{:>10} {:>9} {:>6} {:>6} {:>6}", "gauge", "expected", "times", "off by", "factor")}});
  for (const judged_reading& j : l.readings) {
    const reading& r = f.taken[j.reading];
    const pressure has = conditions_of(f.installations[j.installation], r.at, usual_confidence).available;
    const bool told = j.use != reading_use::says_nothing;
    out += table_row(
        {{text_of(r.day), date},
         {r.vehicle, vehicle},
         {both_scales(r.at), at},
         {fmt::format("{:>10} {:>9} {:>6} {:>6} {:>6}{}", shown_words(j, r, has, units),
                      j.expected ? words(*j.expected, units) : "-", told ? fmt::format("{:.2f}", j.over_expected) : "-",
                      j.deviations ? fmt::format("{:+.1f}", *j.deviations) : "-",
                      told ? fmt::format("{:.2f}", j.spread_90) : "-", mark_of(j))}});
  }
  return out +
         wrapped(
             "gauge: what it showed; > not reached at that pressure, < reached. expected: by all other "
             "readings. times: stress read over that expected. off by: deviations from it. factor: 90 % "
             "factor of a new batch there, with all that counts. w waits, p pinned, - says nothing.") +
         "\n";
}

/// What does not belong, each with what to do about it.
std::vector<std::string> doubts_of(const grease_lesson& l, const fleet& f, unit_system units) {
  std::vector<std::string> out;
  for (const judged_reading& j : l.readings) {
    const reading& r = f.taken[j.reading];
    const std::string which = fmt::format("{}, {} (row {})", text_of(r.day), r.vehicle, r.row);
    const std::string& point = f.installations[j.installation].lines[j.line].point;
    if (j.use == reading_use::waits)
      out.push_back(
          j.over_expected < 1.0
              ? fmt::format("{}: softer than all else says, {:.2f} times the stress expected: it waits until a second "
                            "vehicle agrees. A broken or open line reads soft: look at {} with coldgrease starve",
                            which, j.over_expected, point)
              : fmt::format(
                    "{}: stiffer than all else says, {:.2f} times the stress expected: it widens the answer, and "
                    "waits until a second vehicle agrees. A blocked line reads stiff: look at {} with "
                    "coldgrease starve",
                    which, j.over_expected, point));
    if (j.pinned && j.use != reading_use::says_nothing)
      out.push_back(
          fmt::format("{}: the gauge stood at what the pump has: no value, but 'not reached'. Look for "
                      "the point that is dry with coldgrease starve, --gauge \"{}\"",
                      which, words(*r.gauge, units)));
    if (j.use == reading_use::says_nothing)
      out.push_back(
          fmt::format("{}: says nothing: the gauge shows no more than {} asks for, or nothing is known of "
                      "the grease so cold",
                      which, point));
  }
  if (!l.settled) out.push_back("the solution did not come to rest: do not sign what stands on these readings");
  if (l.widening > 1.0)
    out.push_back(fmt::format(
        "the readings lie farther apart than their errors: every deviation is {:.2f} times as wide", l.widening));
  return out;
}

std::string batch_words(const read_batch& b) {
  const std::string name = b.name.empty() ? "not named" : b.name;
  return fmt::format("{}, {} to {}: {} {}, {:.2f} times a batch not read; 90 % factor of its own {:.2f}", name,
                     text_of(b.first), text_of(b.last), b.readings, b.readings == 1 ? "reading" : "readings",
                     b.over_next, b.spread_90);
}

std::string lesson_words(const grease_lesson& l, const learn_answer& a, const fleet& f, unit_system units) {
  const grease& g = a.stock[l.grease];
  std::string out = detail::rule('=') + "\n" +
                    row("grease", fmt::format("{}{}", g.name(), g.nlgi().empty() ? "" : ", NLGI " + g.nlgi())) +
                    row("stands on", g.stands_on());
  out += row("stress", fmt::format("at {} {:.2f} times what was believed before", both_scales(l.at), l.over_before));
  out += row("90 % factor",
             fmt::format("{:.2f} there, {:.2f} before: of a batch not read", l.spread_90, l.spread_90_before));
  for (const learnt_place& p : l.places)
    out += row(&p == &l.places.front() ? "coldest" : "",
               fmt::format("{}: {}, {} before", f.installations[p.installation].name, or_none(p.coldest, both_scales),
                           or_none(p.coldest_before, both_scales)));
  for (const read_batch& b : l.batches) out += row(&b == &l.batches.front() ? "batches" : "", batch_words(b));
  return out + readings_table(l, f, units) + bullets("\nDo not belong", doubts_of(l, f, units));
}

}  // namespace

std::string to_text(const learn_answer& a, const fleet& f, unit_system units) {
  std::string out = f.about.empty() ? std::string() : wrapped(f.about) + "\n\n";
  out += wrapped(fmt::format("{} readings of running systems, at a confidence of {:.2f}. The errors of gauge, outlet, "
                             "thermometer, vehicle and batch are engineering judgement.",
                             f.taken.size(), a.confidence)) +
         "\n";
  for (const grease_lesson& l : a.lessons) out += "\n" + lesson_words(l, a, f, units);
  return out + "\n" + cautions();
}

}  // namespace coldgrease::inline v0
