// For the engineer: every line, worst first, and how long it might be; what is known of each grease.
#include <algorithm>
#include <array>
#include <span>

#include "base/format.hpp"
#include "coldgrease/base/date.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/page.hpp"
#include "report/picture.hpp"

namespace coldgrease::inline v0::detail {

namespace {

std::vector<std::string> warnings_of(const page& p, const line_sheet& s) {
  const installation& i = p.system(s.installation);
  std::vector<std::string> warnings = s.check.warnings;
  for (const point_answer& point : s.check.points) {
    for (const std::string& w : point.check.warnings) warnings.push_back(i.lines[point.line].point + ": " + w);
    for (const breach& b : point.breaches) warnings.push_back(i.lines[point.line].point + " " + b.words);
  }
  for (std::string& w : dose_warnings(s.check.points, i, p.units)) warnings.push_back(std::move(w));
  return warnings;
}

void write_warnings(page& p, const std::vector<std::string>& warnings) {
  if (warnings.empty()) return;
  p.out.open("div", {{"class", "flags"}}).element("h4", "Warnings");
  p.bullets(warnings);
  p.out.close();
}

void write_line_table(page& p, const line_sheet& s) {
  const installation& i = p.system(s.installation);
  pressure most = s.check.available;
  for (const point_answer& point : s.check.points) most = std::max(most, point.check.needed.value_or(most));
  page_table table(p, fmt::format("{} with {} at {}", i.name, p.grease_name(s.grease), p.degrees(s.at)),
                   {{"No., point, worst first"},
                    {"Chance", true},
                    {"Verdict"},
                    {"Needs", true},
                    {"Passes down to", true},
                    {"Longest", true},
                    {"Needed of available"}});
  int number = 0;
  for (const point_answer& point : s.check.points) {
    const line_answer& c = point.check;
    const std::string needs = or_dash(c.needed, [&](pressure v) { return p.both(v); });
    table.row_with({fmt::format("{}. {}", ++number, i.lines[point.line].point), or_dash(c.chance, chance_words),
                    name_of(c.verdict), needs, or_dash(c.coldest, [&](temperature t) { return p.degrees(t); }),
                    or_dash(c.longest, [&](length l) { return p.run(l); })},
                   pressure_bar(c.needed, c.available, most,
                                c.needed ? fmt::format("needs {} of {}", needs, p.both(c.available))
                                         : "what it needs is not known"),
                   c.verdict == verdict::stalls || c.verdict == verdict::not_shown);
  }
}

void write_dose_settings(page& p, const dose_answer& a, const installation& i) {
  page_table table(p,
                   fmt::format("Timer at {}, the best setting first; elements: the smallest that give what the points "
                               "ask for",
                               p.degrees(a.temperature)),
                   {{"Pause"},
                    {"A day", true},
                    {"Over what is asked", true},
                    {"Refill after, days", true},
                    {"Longest stay, days", true},
                    {"Chance", true},
                    {"Verdict"},
                    {"Passes down to", true},
                    {"Gets too little"}});
  for (const dose_setting& s : a.settings) {
    std::vector<std::string> unserved;
    for (const point_dose& d : s.points) {
      if (d.element && !d.served) unserved.push_back(i.lines[d.line].point);
    }
    const auto count = [](duration d) { return fmt::format("{:.0f}", in_days(d)); };
    table.row(
        {pause_words(s.interval), p.dose(s.daily), p.dose(s.waste),
         or_dash(s.reservoir, count) + (s.lasts ? "" : " (too short)"), or_dash(s.longest_stay, count),
         or_dash(s.chance, chance_words), name_of(s.verdict),
         or_dash(s.coldest, [&](temperature t) { return p.degrees(t); }), unserved.empty() ? "none" : joined(unserved)},
        s.verdict != verdict::flows || s.unserved > 0 || !s.lasts || s.too_short);
  }
}

/// What an installation's points get, but for the doubts, which hang on the grease.
using element_rows = std::vector<std::array<std::string, 5>>;
element_rows element_rows_of(const page& p, const dose_setting& s, const installation& i) {
  const auto dose = [&](volume v) { return p.dose(v); };
  element_rows rows;
  for (const point_dose& d : s.points)
    rows.push_back({i.lines[d.line].point, d.element ? p.dose(*d.element) : "as it is", or_dash(d.check.daily, dose),
                    or_dash(d.check.asked, dose),
                    or_dash(d.check.dose_share, [](double share) { return fmt::format("{:.0f}", 100.0 * share); })});
  return rows;
}

/// The doubts about a point, each with the greases that have it where others have not.
std::string doubts_of(const page& p, std::span<const line_sheet* const> sheets, std::size_t point) {
  std::vector<std::string> doubts;
  for (const auto& fault : words_of<dose_fault>::table) {
    std::vector<std::string> greases;
    for (const line_sheet* s : sheets) {
      const auto& faults = s->doses->settings.front().points[point].check.dose_faults;
      if (std::ranges::find(faults, fault.value) != faults.end()) greases.push_back(p.stock[s->grease].name());
    }
    if (greases.empty()) continue;
    doubts.push_back(greases.size() == sheets.size() ? std::string(fault.text)
                                                     : fmt::format("{} ({})", fault.text, joined(greases)));
  }
  return doubts.empty() ? "none" : joined(doubts);
}

/// The elements of an installation's best settings: one table for all greases that get the same.
void write_elements(page& p, std::span<const line_sheet> sheets) {
  const installation& i = p.system(sheets.front().installation);
  struct table_of_elements {
    std::string pause;
    element_rows rows;
    std::vector<const line_sheet*> of;
  };
  std::vector<table_of_elements> tables;
  for (const line_sheet& s : sheets) {
    if (!s.doses) continue;
    const dose_setting& best = s.doses->settings.front();
    table_of_elements own{pause_words(best.interval), element_rows_of(p, best, i), {&s}};
    const auto same = std::ranges::find_if(
        tables, [&](const table_of_elements& t) { return t.pause == own.pause && t.rows == own.rows; });
    if (same == tables.end()) {
      tables.push_back(std::move(own));
    } else {
      same->of.push_back(&s);
    }
  }
  for (const table_of_elements& t : tables) {
    std::vector<std::string> greases;
    for (const line_sheet* s : t.of) greases.push_back(p.stock[s->grease].name());
    page_table table(
        p, fmt::format("{}: elements, a cycle every {}, for {}", i.name, t.pause, joined(greases)),
        {{"Point"}, {"Element", true}, {"Gets a day", true}, {"Asks a day", true}, {"Arriving, %", true}, {"Doubt"}});
    const auto& points = t.of.front()->doses->settings.front().points;
    for (std::size_t k = 0; k < t.rows.size(); ++k) {
      const auto& r = t.rows[k];
      table.row({r[0], r[1], r[2], r[3], r[4], doubts_of(p, t.of, k)}, points[k].element && !points[k].served);
    }
  }
  std::vector<std::string> notes;
  for (const line_sheet& s : sheets) {
    if (!s.doses) continue;
    for (const std::string& note : s.doses->notes) {
      if (std::ranges::find(notes, note) == notes.end()) notes.push_back(note);
    }
  }
  if (!tables.empty()) p.paragraph("A day is a calendar day, the mean over a week.", "small");
  p.bullets(notes);
}

void write_sheet(page& p, std::size_t index) {
  const line_sheet& s = p.d.lines[index];
  const installation& i = p.system(s.installation);
  const std::vector<std::string> warnings = warnings_of(p, s);
  // Beside the chart there is room for so many characters.
  constexpr std::size_t most_beside = 900;
  std::size_t characters = 0;
  for (const std::string& w : warnings) characters += w.size();
  const bool wide = characters > most_beside;
  p.out.element("h3", fmt::format("{}: {}", i.name, p.grease_name(s.grease)));
  p.begin_pair();
  p.paragraph(fmt::format("{}; pump gives {}; {}: {} ({}).", name_of(i.type), p.both(s.check.available),
                          s.planned ? "coldest design temperature it is pumped in"
                                    : "not pumped, but the nearest where nothing serves; coldest design temperature",
                          p.degrees(s.at), s.route));
  if (!wide) write_warnings(p, warnings);
  p.next_of_pair();
  p.figure(limit_picture(s, i, p.stock[s.grease], fmt::format("limit-{}", index + 1)),
           fmt::format("How long a line may be: {}, {}", i.name, p.grease_name(s.grease)));
  p.end_pair();
  if (wide) write_warnings(p, warnings);
  write_line_table(p, s);
  if (s.doses) write_dose_settings(p, *s.doses, i);
}

std::string joined_oil(const page& p, const evidence& e) {
  std::vector<std::string> known;
  if (e.oil) known.emplace_back(name_of(*e.oil));
  if (e.kv40) known.push_back(fmt::format("{} mm\u00b2/s at 40 \u00b0C", number_words(in_mm2_per_s(*e.kv40))));
  if (e.kv100) known.push_back(fmt::format("{} mm\u00b2/s at 100 \u00b0C", number_words(in_mm2_per_s(*e.kv100))));
  if (e.vi) known.push_back(fmt::format("VI {:g}", *e.vi));
  if (e.pour) known.push_back("pour point " + p.degrees(*e.pour));
  return known.empty() ? "not known" : joined(known);
}

/// What stands in the picture of the belief, in words.
void write_belief_words(page& p, const belief_chart& c, const std::string& name) {
  const belief_chart::step& coldest = c.steps.back();
  const auto band = [](const belief_chart::band& b) { return fmt::format("{:.2f} to {:.2f}", b.low, b.high); };
  std::string words = fmt::format(
      "Stress of a new batch of {} over that of the reference curve. At {} nine of ten lie within {} times the "
      "reference by "
      "the description alone, {} with all data, the middle at {:.2f}.",
      name, p.degrees(coldest.temperature), band(coldest.before), band(coldest.after), coldest.after.median);
  if (c.points.empty())
    words += " Flow pressures tell how the stress rises with the cold, not how high it is: they have no mark.";
  if (c.reference == reference_curve::fitted)
    words += " The reference is the fitted curve; of the description only its width is drawn, about that curve.";
  p.paragraph(words, "small");
}

/// Readings that are no plain number: a reader must know of each.
void write_odd_readings(page& p, const grease_sheet& s) {
  std::vector<const judged_reading*> odd;
  for (const judged_reading& j : s.readings) {
    if (j.use != reading_use::counts || j.pinned) odd.push_back(&j);
  }
  if (odd.empty()) return;
  page_table table(
      p, fmt::format("Readings of {} to look into", p.stock[s.grease].name()),
      {{"Date"}, {"Vehicle"}, {"Temperature", true}, {"Times the expected", true}, {"Deviations", true}, {"Use"}});
  for (const judged_reading* j : odd) {
    const reading& r = p.f.taken[j->reading];
    const std::string_view use =
        j->pinned ? std::string_view("all the pump has: counts as not reached") : name_of(j->use);
    table.row({text_of(r.day), r.vehicle, p.degrees(r.at),
               j->use == reading_use::says_nothing ? "-" : fmt::format("{:.2f}", j->over_expected),
               or_dash(j->deviations, [](double d) { return fmt::format("{:+.1f}", d); }), use});
  }
}

void write_grease(page& p, std::size_t index) {
  const grease_sheet& s = p.d.greases[index];
  const grease& g = p.stock[s.grease];
  // In the narrow columns of the appendix it stays in one piece.
  p.out.open("div", {{"class", s.planned ? "grease" : "keep"}});
  p.out.element("h3", g.name());
  if (!s.belief) p.begin_pair();
  p.out.open("dl");
  const auto fact = [&](std::string_view what, std::string_view words) {
    p.out.element("dt", what).element("dd", words);
  };
  const evidence& e = g.known();
  fact("Class", "NLGI " + class_words(g) +
                    (e.penetration ? fmt::format(", worked penetration {:g}", *e.penetration) : std::string()));
  fact("Base oil", joined_oil(p, e));
  if (!e.thickener.empty()) fact("Thickener", e.thickener);
  std::vector<std::string> solids;
  for (const solid& part : e.solids.value_or(std::vector<solid>{}))
    solids.push_back(fmt::format("{} {:g} %", part.kind, 100.0 * part.share));
  if (!solids.empty()) {
    fact("Solids", joined(solids));
  } else {
    fact("Solids", e.solids ? "none" : "not stated");
  }
  if (!e.claim.empty()) fact("Claimed, no proof", e.claim);
  fact("Stands on", g.stands_on());
  for (const used_datum& d : g.data()) fact("Datum", words_of_datum(d));
  if (s.worth_most) fact("Worth most", words_of_worth(*s.worth_most));
  std::vector<std::string> spreads;
  for (const curve_answer& c : s.curves) {
    if (c.spread_90) spreads.push_back(fmt::format("{:.1f} at {}", *c.spread_90, whole_degrees(c.temperature)));
  }
  if (!spreads.empty()) fact("Spread", "nine of ten such greases lie within a factor of " + joined(spreads));
  p.out.close();
  if (s.belief) {
    write_belief_words(p, *s.belief, g.name());
    p.begin_pair();
    p.figure(belief_picture(s, g, fmt::format("belief-{}", index + 1)), "What is believed of " + g.name());
  }
  // Beside the words, or beside the other picture.
  p.next_of_pair();
  p.figure(flow_picture(s, g, fmt::format("flow-{}", index + 1)), "Flow curves of " + g.name());
  p.end_pair();
  p.out.close();
  write_odd_readings(p, s);
}

}  // namespace

void write_lines(page& p) {
  p.paragraph(
      "Bars: what a line needs, filled, of what there is. The chart beside them: the longest line that passes "
      "against air temperature, a curve for each bore, between the shortest and the longest line; "
      "the numbered marks are the lines of the table at the coldest it is pumped in, each as long as a tube of "
      "the curve's bore that would be as near to its limit. A mark above its curve does not pass; one on the upper "
      "edge passes at no length; a hollow one stands at its own length where nothing is known that cold.",
      "small");
  if (p.d.lines.empty()) p.paragraph("No installation is on a route.");
  const std::span<const line_sheet> all = p.d.lines;
  for (std::size_t begin = 0, end = 0; begin < all.size(); begin = end) {
    for (; end < all.size() && all[end].installation == all[begin].installation; ++end) write_sheet(p, end);
    write_elements(p, all.subspan(begin, end - begin));
  }
}

void write_evidence(page& p) {
  p.paragraph(
      "Flow curves by decades; marks are measurements, filled where their rates are of the curve's own kind; hollow "
      "diamonds are of other temperatures. "
      "The upright bars hold nine of ten batches of a grease of which that is known.",
      "small");
  if (std::ranges::any_of(p.d.greases, [](const grease_sheet& s) { return s.belief.has_value(); }))
    p.paragraph(
        "Where data stand beside a description a second picture shows what they did: the grey band holds nine of ten "
        "batches by the description alone, the blue one with all data, at 2.65 1/s on a running pump; the lines are "
        "their middles. Each mark is a datum at its own temperature and rate. Its whisker is one deviation of its own "
        "error; what it shares with others, the batch, the laboratory, the vehicle or the day's thermometer, is to "
        "explain the rest of its way to the blue line. A bar with an arrow says that the stress lies below (reached) "
        "or above it (not reached); hollow or broken marks wait for a second vehicle. The widths before any datum and "
        "the errors are engineering judgement, no measurement of this grease.",
        "small");
  for (std::size_t g = 0; g < p.d.greases.size(); ++g) {
    if (p.d.greases[g].planned) write_grease(p, g);
  }
}

void write_others(page& p) {
  if (std::ranges::all_of(p.d.greases, &grease_sheet::planned)) return p.paragraph("The plan pumps every grease.");
  if (std::ranges::any_of(p.d.plan.routes, [](const route_plan& r) { return !r.alternatives.empty(); })) {
    page_table table(p, "Nearest other greases on the coldest days of each route",
                     {{"Route"}, {"Grease"}, {"NLGI"}, {"Chance", true}, {"Margin", true}});
    for (const route_plan& r : p.d.plan.routes) {
      for (const alternative& a : r.alternatives)
        table.row({r.pick.route, p.grease_name(a.grease), class_words(p.stock[a.grease]), chance_words(a.chance),
                   p.step(a.margin)});
    }
  }
  p.out.open("div", {{"class", "columns"}});
  for (std::size_t g = 0; g < p.d.greases.size(); ++g) {
    if (!p.d.greases[g].planned) write_grease(p, g);
  }
  p.out.close();
}

}  // namespace coldgrease::inline v0::detail
