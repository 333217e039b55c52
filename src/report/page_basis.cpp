// What all of it stands on: assumptions, statistics, sources, files, cautions.
#include <algorithm>
#include <set>

#include "base/format.hpp"
#include "report/page.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// Notes of all routes, each once.
std::vector<std::string> notes_of(const plan_answer& a) {
  std::vector<std::string> notes = a.notes;
  std::set<std::string_view> known(a.notes.begin(), a.notes.end());
  for (const route_plan& r : a.routes) {
    for (const std::string& n : r.pick.notes) {
      if (known.insert(n).second) notes.push_back(n);
    }
  }
  return notes;
}

/// Each rule once, with the routes in whose coldest month it says so.
std::vector<std::string> rules_of(const plan_answer& a) {
  struct said {
    std::string text;
    std::vector<std::string> routes;
  };
  std::vector<said> rules;
  for (const route_plan& r : a.routes) {
    for (const rule_answer& answer : coldest_month(r.pick).published_rules) {
      const published_rule& rule = a.rules[answer.rule];
      std::string text = fmt::format("{}: {} ({})", rule.name, rule.steps[answer.step].says, rule.source);
      auto same = std::ranges::find(rules, text, &said::text);
      if (same == rules.end()) same = rules.insert(rules.end(), {std::move(text), {}});
      same->routes.push_back(r.pick.route);
    }
  }
  std::vector<std::string> sentences;
  for (const said& rule : rules)
    sentences.push_back(rule.text + (rule.routes.size() == a.routes.size() ? std::string(", on every route")
                                                                           : ", on " + joined(rule.routes)));
  return sentences;
}

void write_margins(page& p) {
  if (std::ranges::all_of(p.d.plan.routes, [](const route_plan& r) { return r.sensitivities.empty(); })) return;
  page_table table(p, "What moves the margin of the coldest days most", {{"Route"}, {"If"}, {"Margin moves", true}});
  for (const route_plan& r : p.d.plan.routes)
    for (const sensitivity& s : r.sensitivities) table.row({r.pick.route, s.what, p.step(s.moves)});
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
  write_margins(p);
  p.out.element("h3", "Assumptions and statistics");
  write_statistics(p);
  const std::vector<std::string> notes = notes_of(p.d.plan);
  if (!notes.empty()) {
    p.out.element("h3", "Notes");
    p.bullets(notes);
  }
  const std::vector<std::string> rules = rules_of(p.d.plan);
  if (!rules.empty()) {
    p.out.element("h3", "Published grade rules for the coldest month");
    p.bullets(rules);
  }
  if (!p.d.tables.empty()) {
    page_table table(p, "Data tables in force", {{"Table"}, {"Found in"}, {"Source"}});
    for (const table_answer& t : p.d.tables) table.row({t.name, t.found_in, t.source});
  }
}

void write_cautions(page& p) {
  // In one piece, so that the last printed page holds more than a line or two.
  p.out.open("div", {{"class", "keep"}}).open("ul");
  for (const std::string_view caution : caution_list()) p.out.element("li", caution);
  p.out.close();
  if (!p.d.inputs.empty()) {
    page_table table(p, "Files read", {{"File"}, {"CRC-32", true}});
    for (const input_file& file : p.d.inputs) table.row({file.path, checksum_words(file.checksum)});
  }
  p.out.close();
}

}  // namespace coldgrease::inline v0::detail
