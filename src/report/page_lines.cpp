// For the engineer: every line, worst first, and how long it might be; what is known of each grease.
#include <algorithm>

#include "base/format.hpp"
#include "coldgrease/base/date.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/page.hpp"
#include "report/picture.hpp"

namespace coldgrease::inline v0::detail {

namespace {

void write_warnings(page& p, const line_sheet& s) {
  const installation& i = p.system(s.installation);
  std::vector<std::string> warnings = s.check.warnings;
  for (const point_answer& point : s.check.points) {
    for (const std::string& w : point.check.warnings) warnings.push_back(i.lines[point.line].point + ": " + w);
    for (const breach& b : point.breaches) warnings.push_back(i.lines[point.line].point + " " + b.words);
  }
  for (std::string& w : dose_warnings(s.check.points, i, p.units)) warnings.push_back(std::move(w));
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

void write_dose_elements(page& p, const dose_setting& s, const installation& i) {
  page_table table(p, fmt::format("Elements, a cycle every {}", pause_words(s.interval)),
                   {{"Point"},
                    {"Element", true},
                    {"Gets a day", true},
                    {"Asks a day", true},
                    {"Dose arriving, %", true},
                    {"Doubt"}});
  const auto dose = [&](volume v) { return p.dose(v); };
  for (const point_dose& d : s.points) {
    std::vector<std::string> faults;
    for (const dose_fault f : d.check.dose_faults) faults.emplace_back(name_of(f));
    table.row({i.lines[d.line].point, d.element ? p.dose(*d.element) : "as it is", or_dash(d.check.daily, dose),
               or_dash(d.check.asked, dose),
               or_dash(d.check.dose_share, [](double share) { return fmt::format("{:.0f}", 100.0 * share); }),
               faults.empty() ? "none" : joined(faults)},
              d.element && !d.served);
  }
}

void write_doses(page& p, const dose_answer& a, const installation& i) {
  write_dose_settings(p, a, i);
  write_dose_elements(p, a.settings.front(), i);
  p.paragraph("A day is a calendar day, the mean over a week.", "small");
  p.bullets(a.notes);
}

void write_sheet(page& p, std::size_t index) {
  const line_sheet& s = p.d.lines[index];
  const installation& i = p.system(s.installation);
  p.out.open("div", {{"class", "keep"}});
  p.out.element("h3", fmt::format("{}: {}", i.name, p.grease_name(s.grease)));
  p.begin_pair();
  p.paragraph(fmt::format("{}; pump gives {}; {}: {} ({}).", name_of(i.type), p.both(s.check.available),
                          s.planned ? "coldest design temperature it is pumped in"
                                    : "not pumped, but the nearest where nothing serves; coldest design temperature",
                          p.degrees(s.at), s.route));
  write_warnings(p, s);
  p.next_of_pair();
  p.figure(limit_picture(s, i, p.stock[s.grease], fmt::format("limit-{}", index + 1)),
           fmt::format("How long a line may be: {}, {}", i.name, p.grease_name(s.grease)));
  p.end_pair();
  write_line_table(p, s);
  p.out.close();
  if (s.doses) write_doses(p, *s.doses, i);
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
  p.out.open("div", {{"class", "keep"}});
  p.out.element("h3", g.name());
  p.begin_pair();
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
  if (s.belief) write_belief_words(p, *s.belief, g.name());
  p.next_of_pair();
  p.figure(flow_picture(s, g, fmt::format("flow-{}", index + 1)), "Flow curves of " + g.name());
  if (s.belief) p.figure(belief_picture(s, g, fmt::format("belief-{}", index + 1)), "What is believed of " + g.name());
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
  for (std::size_t i = 0; i < p.d.lines.size(); ++i) write_sheet(p, i);
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
  for (std::size_t g = 0; g < p.d.greases.size(); ++g) {
    if (!p.d.greases[g].planned) write_grease(p, g);
  }
}

}  // namespace coldgrease::inline v0::detail
