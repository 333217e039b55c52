// What all of it stands on: assumptions, statistics, sources, files, cautions.
#include <algorithm>

#include "base/format.hpp"
#include "report/page.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// Notes of all routes, each once.
std::vector<std::string> notes_of(const plan_answer& a) {
  std::vector<std::string> notes = a.notes;
  for (const route_plan& r : a.routes) {
    for (const std::string& n : r.pick.notes) {
      if (std::ranges::find(notes, n) == notes.end()) notes.push_back(n);
    }
  }
  return notes;
}

std::vector<std::string> rules_of(const plan_answer& a) {
  std::vector<std::string> rules;
  for (const route_plan& r : a.routes) {
    for (const rule_answer& rule : coldest_month(r.pick).published_rules) {
      std::string text = fmt::format("{}, coldest month: {}: {} ({})", r.pick.route, rule.rule, rule.says, rule.source);
      rules.push_back(std::move(text));
    }
  }
  return rules;
}

void write_statistics(page& p) {
  const policy& q = p.f.policy;
  const std::string sentences[]{
      fmt::format("A month's design temperature is that of the coldest {:g} % of its hours on the coldest leg; a road "
                  "above its station is 6.5 K/km colder (ISO 2533).",
                  100.0 * q.share),
      fmt::format("Beside it stands the {:g}-year minimum, from annual minima by a Gumbel law fitted by moments; it "
                  "decides nothing.",
                  q.return_years),
      fmt::format("A grease passes if at least {:.0f} of 100 greases of its description reach every point after a "
                  "night's rest; the spread is judgement until the grease is measured.",
                  100.0 * q.confidence),
      fmt::format("Into the cold, a date is set by the day before which in one year of {:.0f} the cold comes that the "
                  "outgoing grease does not stand; out of it, by the day after which in one year of {:.0f} the last "
                  "such cold of the incoming one comes.",
                  1.0 / q.risk, 1.0 / q.risk),
      std::string(
          "Pressure along a line by the flow curve in a round tube, laminar and without slip; worked penetration "
          "and classes by ASTM D217 and the NLGI, apparent viscosity by ASTM D1092, oil viscosity by ASTM D341."),
      std::string("Compatibility from published charts; a test by ASTM D6185 decides.")};
  p.bullets(sentences);
}

}  // namespace

void write_basis(page& p) {
  p.begin_section("basis", "What it stands on", true);
  p.out.element("h3", "Assumptions and statistics");
  write_statistics(p);
  const std::vector<std::string> notes = notes_of(p.d.plan);
  if (!notes.empty()) {
    p.out.element("h3", "Notes");
    p.bullets(notes);
  }
  const std::vector<std::string> rules = rules_of(p.d.plan);
  if (!rules.empty()) {
    p.out.element("h3", "Published grade rules for the same temperatures");
    p.bullets(rules);
  }
  if (!p.d.inputs.empty()) {
    page_table table(p, "Files read", {{"File"}, {"CRC-32", true}});
    for (const input_file& file : p.d.inputs) table.row({file.path, checksum_words(file.checksum)});
  }
  if (!p.d.tables.empty()) {
    page_table table(p, "Data tables in force", {{"Table"}, {"Found in"}, {"Source"}});
    for (const table_answer& t : p.d.tables) table.row({t.name, t.found_in, t.source});
  }
  p.out.element("h3", "Cautions").open("ul");
  for (const std::string_view caution : caution_list()) p.out.element("li", caution);
  p.out.close();
  p.end_section();
}

}  // namespace coldgrease::inline v0::detail
