// The pick as a buyer reads it: the decision first, then each route with its evidence.
#include <algorithm>
#include <tuple>

#include "base/format.hpp"
#include "base/parallel.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/decision.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bore_words;
using detail::bullets;
using detail::chance_words;
using detail::class_words;
using detail::month_name;
using detail::number_words;
using detail::rule;
using detail::run_words;
using detail::table_row;
using detail::words;
using detail::wrapped;

namespace {

std::string point_words(const point_index& p, std::span<const installation> installations) {
  const installation& i = installations[p.installation];
  return fmt::format("{} ({})", i.lines[p.line].point, i.name);
}

char mark(const grease_month& g) {
  if (g.excluded != exclusion::none) return 'x';
  switch (g.verdict) {
    case verdict::flows: return '+';
    case verdict::doubtful: return '?';
    case verdict::stalls: return '-';
    case verdict::not_shown: break;
  }
  return ' ';
}

std::string grease_to_ask(const supplier_question& q) {
  return fmt::format("a grease measured at no more than {} Pa s at {} and {:.3g} 1/s (ASTM D1092)",
                     number_words(in_pascal_second(q.apparent_max)), both_scales(q.temperature), in_per_second(q.rate));
}

std::string decision_table(const pick_answer& answer, std::span<const grease> stock) {
  constexpr std::size_t route = 22, days = 17, name = 24, nlgi = 5;
  std::string out = table_row({{"route", route}, {"pumped", days}, {"grease", name}, {"NLGI", nlgi}, {"chance"}});
  for (const route_pick& r : answer.routes) {
    if (!r.decided.served()) out += table_row({{r.route, route}, {"NO GREASE OF THE STOCK SERVES IT: see its page"}});
    for (const fill& f : r.decided.fills) {
      const grease& g = stock[f.grease];
      out += table_row({{&f == &r.decided.fills.front() ? r.route : "", route},
                        {detail::pumped_words(f, r), days},
                        {g.name(), name},
                        {class_words(g), nlgi},
                        {fmt::format("{:>6}", chance_words(f.chance))}});
    }
  }
  return out + detail::design_footnote(std::ranges::any_of(
                   answer.routes, [](const route_pick& r) { return r.by_design_values && r.decided.served(); }));
}

/// The month in which a tow is worst.
const tow_month& worst_month(const tow_pick& t) {
  return *std::ranges::min_element(t.months, {}, [](const tow_month& m) { return std::tuple(m.served, m.chance); });
}

std::string tow_table(const pick_answer& answer) {
  if (answer.tows.empty()) return {};
  constexpr std::size_t name = 28, served = 6, in = 5, by = 31;
  std::string out =
      "\n" +
      wrapped(
          "Fills coupled on one road: the tow is served only if all of them are, and the "
          "smallest chance is its own.") +
      "\n" + table_row({{"tow", name}, {"served", served}, {"chance", served}, {"in", in}, {"by the fill of", by}});
  for (const tow_pick& t : answer.tows) {
    const tow_month& worst = worst_month(t);
    out += table_row({{t.tow, name},
                      {t.served ? "yes" : "NO", served},
                      {fmt::format("{:>6}", worst.chance ? chance_words(*worst.chance) : "n/s"), served},
                      {std::string(month_name(static_cast<int>(&worst - t.months.data()) + 1)), in},
                      {answer.routes[worst.weakest].route, by}});
  }
  return out;
}

/// None is pumped in it, and the nearest not for its chance.
bool is_barred(const month_pick& m) { return !m.picked && m.greases[m.shown].excluded != exclusion::none; }

std::string month_table(const pick_answer& answer, const route_pick& r, std::span<const grease> stock) {
  constexpr std::size_t month = 3, degrees = 18, name = 17;
  std::string out = table_row({{"", month},
                               {fmt::format("coldest {:g} %", 100.0 * answer.share), degrees},
                               {fmt::format("{:g}-year minimum", answer.return_years), degrees},
                               {"grease", name},
                               {"chance  hours spell"}});
  for (const month_pick& m : r.months) {
    const grease_month& g = m.greases[m.shown];
    const auto text = [](const auto& value, std::string_view form) {
      return value ? fmt::format(fmt::runtime(form), *value) : std::string("-");
    };
    const std::string& shown = stock[g.grease].name();
    out += table_row(
        {{std::string(month_name(m.month)), month},
         {both_scales(m.design), degrees},
         {m.return_minimum ? both_scales(*m.return_minimum) : "-", degrees},
         {!m.picked             ? "(" + shown + ")"
          : m.pumped.size() > 1 ? shown + " *"
                                : shown,
          name},
         {fmt::format("{:>6}{}{:>6} {:>5}", g.chance ? chance_words(*g.chance) : "-", is_barred(m) ? 'x' : ' ',
                      text(m.hours_below, "{:.1f}"), text(m.longest_spell, "{}"))}});
  }
  if (std::ranges::any_of(r.months, [](const month_pick& m) { return m.pumped.size() > 1; }))
    out += "* on its coldest days; another grease on others.\n";
  if (!std::ranges::all_of(r.months, &month_pick::picked))
    out += "(in brackets) none is pumped; the figures are those of the nearest.\n";
  if (std::ranges::any_of(r.months, is_barred)) out += "x it is excluded by a limit or rule, whatever its chance.\n";
  out += wrapped(
             "A month shows its coldest five days, judged by the hours of the 31 days around them. hours, spell: hours "
             "a year, and the longest run of hours on record, colder than a grease that may still "
             "stand in the lines passes.") +
         "\n";
  return out;
}

std::string chance_table(const route_pick& r, std::span<const grease> stock) {
  constexpr std::size_t name = 19;
  std::string months;
  for (int month = 1; month <= 12; ++month) months += fmt::format("{:>5}", month_name(month));
  std::string out = table_row({{"chance in %", name}, {months}});
  for (std::size_t g = 0; g < stock.size(); ++g) {
    std::string chances;
    for (const month_pick& m : r.months) {
      const grease_month& gm = m.greases[g];
      chances += gm.chance ? fmt::format("{:>4.0f}{}", std::min(99.0, 100.0 * *gm.chance), mark(gm))
                           : fmt::format("{:>4}{}", "n/s", mark(gm));
    }
    out += table_row({{stock[g].name(), name}, {chances}});
  }
  out += "+ flows   ? doubtful   - stalls   n/s not shown\nx excluded by a limit or rule on some of its days\n";
  const std::string oils = detail::oils_in_doubt(stock);
  return oils.empty() ? out : out + wrapped(oils + ".") + "\n";
}

std::string route_page(const pick_answer& answer, const route_pick& r, std::span<const installation> installations,
                       std::span<const grease> stock, unit_system units) {
  std::string out =
      rule('=') + wrapped(r.route + (r.region.empty() ? std::string() : ", " + r.region)) + "\n" + rule('=');
  for (const std::string& warning : r.warnings) out += wrapped(fmt::format("WARNING: {}", warning), 9) + "\n";
  std::string names;
  for (const std::size_t i : r.installations)
    names += fmt::format("{}{}", names.empty() ? "" : "; ", installations[i].name);
  out += detail::row("systems", names);
  if (r.by_design_values)
    out += detail::row("DESIGN VALUES", "published values alone: one grease, no seasons, no summer");
  out += detail::unserved_rows(r);
  for (const fill& f : r.decided.fills) {
    out += detail::row(&f == &r.decided.fills.front() ? "fills" : "", detail::fill_words(f, stock));
    if (const std::string basis = detail::basis_words(f, answer.risk); !basis.empty()) out += detail::row("", basis);
  }
  const auto also = [&](std::string_view name, const std::string& text) {
    if (!text.empty()) out += detail::row(name, text);
  };
  also("at a change", detail::practice_words(r, answer.at_change.has_value(), answer.currency));
  also("money", detail::year_money_words(r.decided, answer.currency));
  also("if purged", detail::if_purged_words(r, stock, answer.currency));
  also("otherwise", detail::otherwise_words(r, answer.prefer, stock, answer.currency));
  for (const fill& f : r.decided.fills) also("caution", detail::leak_caution(f, stock));
  for (const std::string& text : r.missing) also("MISSING", text);
  for (const std::string& note : r.notes) out += detail::row("note", note);
  for (const std::string& note : r.evidence) out += detail::row("evidence", note);
  out += fmt::format("\n{}\n{}", month_table(answer, r, stock), chance_table(r, stock));

  const month_pick& coldest = coldest_month(r);
  out += "\n";
  out += wrapped(fmt::format("Why, in {}, the coldest month: {} at {}", month_name(coldest.month),
                             both_scales(coldest.design), coldest.governing_station)) +
         "\n";
  for (const grease_month& g : coldest.greases)
    out += wrapped(fmt::format("- {} (NLGI {}): {}", stock[g.grease].name(), class_words(stock[g.grease]),
                               reason(g, installations, stock, units)),
                   2) +
           "\n";

  out += detail::help_words(r.would_help, installations, stock, units);

  const std::string shown_class = class_words(stock[coldest.shown]);
  if (!coldest.published_rules.empty())
    out += "\nPublished rules for that temperature, beside the pick (sources at the end)\n";
  for (const rule_answer& a : coldest.published_rules) {
    const published_rule& rule = answer.rules[a.rule];
    const rule_step& step = rule.steps[a.step];
    const bool agrees = std::ranges::find(step.classes, shown_class) != step.classes.end();
    out += wrapped(fmt::format("- {}: {}{}", rule.name, step.says,
                               !coldest.picked || step.classes.empty() ? ""
                               : agrees                                ? " (agrees)"
                                                                       : " (differs)"),
                   2) +
           "\n";
  }
  return out;
}

/// Of the rules that say something in some month, in the order in which they do, each once.
std::vector<std::string> sources_of_rules(const pick_answer& answer) {
  std::vector<std::string> sources;
  std::vector<bool> named(answer.rules.size());
  for (const route_pick& r : answer.routes) {
    for (const month_pick& m : r.months) {
      for (const rule_answer& a : m.published_rules) {
        if (named[a.rule]) continue;
        named[a.rule] = true;
        std::string source = fmt::format("{}: {}", answer.rules[a.rule].name, answer.rules[a.rule].source);
        if (std::ranges::find(sources, source) == sources.end()) sources.push_back(std::move(source));
      }
    }
  }
  return sources;
}

/// The installation, the temperature and the nearest grease, which its remedies have in common.
std::string about(const remedy& r, std::span<const installation> installations, std::span<const grease> stock) {
  const std::string& name = installations[r.point.installation].name;
  const grease& nearest = stock[r.grease];
  if (r.colder_oil)
    return fmt::format("{}: no change of a line helps; the oil of the nearest grease, {}, is good down to {}", name,
                       nearest.name(), nearest.oil_bound() ? both_scales(*nearest.oil_bound()) : "nothing");
  return fmt::format("{}, {} with {}", name, both_scales(r.at), nearest.name());
}

/// What would let the line pass, in the order of what is done with least: another grease, the point, the tube, its run.
std::string ways_of(const remedy& r, std::span<const installation> installations, unit_system units) {
  const line& l = installations[r.point.installation].lines[r.point.line];
  if (r.colder_oil)
    return fmt::format("ask for an oil that is good at {}{}", both_scales(r.at),
                       r.ask_supplier
                           ? fmt::format(", and {}, for {}, the hardest point", grease_to_ask(*r.ask_supplier), l.point)
                           : "");
  std::vector<std::string> ways;
  double narrowest = in_metre(l.segments.front().bore), run = 0.0;
  for (const segment& s : l.segments) {
    narrowest = std::min(narrowest, in_metre(s.bore));
    run += in_metre(s.length);
  }
  if (r.ask_supplier) ways.push_back(grease_to_ask(*r.ask_supplier));
  if (r.outlet)
    ways.push_back(fmt::format("{} at the point instead of {}", words(*r.outlet, units),
                               words(l.outlet.value_or(assumed_outlet()), units)));
  if (r.bore)
    ways.push_back(fmt::format("a bore of {} instead of {}{}", bore_words(*r.bore, units),
                               bore_words(metre(narrowest), units),
                               l.segments.size() > 1 ? " (all segments by the same factor)" : ""));
  if (r.length)
    ways.push_back(
        fmt::format("a length of {} instead of {}", run_words(*r.length, units), run_words(metre(run), units)));
  return fmt::format("{}: {}", l.point, fmt::join(ways, "; or "));
}

}  // namespace

std::string reason(const grease_month& g, std::span<const installation> installations, std::span<const grease> stock,
                   unit_system units) {
  const grease& known = stock[g.grease];
  switch (g.excluded) {
    case exclusion::stiffer_than_allowed: return "stiffer than a system of this route allows";
    case exclusion::too_much_solid: return "more solids than a system of this route allows";
    case exclusion::too_soft_for_heat: return "softer than the owner allows in a month this hot";
    case exclusion::class_unknown: return "of no known class, which a limit of the system or of the owner asks for";
    case exclusion::solids_not_stated:
      return "not shown: its record does not state its solids, which a limit of a system asks for";
    case exclusion::rule_not_shown:
    case exclusion::point_rule: return fmt::format("{} {}", point_words(g.excluded_by, installations), g.broken_rule);
    case exclusion::none: break;
  }
  if (g.missing == missing_datum::grease) return "nothing is known of it this cold";
  if (g.missing != missing_datum::none) return fmt::format("not shown: {}", name_of(g.missing));
  if (g.unfed && g.verdict != verdict::flows)
    return fmt::format(
        "the pump of {} is not fed this cold{}", installations[*g.unfed].name,
        g.chance ? fmt::format(": {:.0f} of 100 such greases would not reach it", 100.0 * (1.0 - *g.chance)) : "");
  if (g.unfed) return "reaches every point; the pump's inlet is the hardest part";
  const std::string point = point_words(g.worst, installations);
  if (g.stays && g.verdict != verdict::flows) {
    const auto& reset = installations[g.worst.installation].reset;
    return fmt::format("the meter of {} does not recharge: about {} stay after relief, it resets at {}", point,
                       words(*g.stays, units), reset ? words(*reset, units) : "-");
  }
  const std::string figures = fmt::format(
      "needs {} and has {}", g.needed ? "about " + words(*g.needed, units) : "more than 1000 bar (14500 psi)",
      words(g.available, units));
  if (g.below_oil_bound && known.oil_bound() && g.verdict != verdict::stalls)
    return fmt::format("colder than its oil is good for, {}; {} {}", both_scales(*known.oil_bound()), point, figures);
  switch (g.verdict) {
    case verdict::flows: return fmt::format("reaches every point; the hardest, {}, {}", point, figures);
    case verdict::doubtful:
      return fmt::format("{} {}: {:.0f} of 100 such greases would leave it dry", point, figures,
                         100.0 * (1.0 - *g.chance));
    case verdict::stalls: return fmt::format("leaves {} dry, which {}", point, figures);
    case verdict::not_shown: break;
  }
  return "nothing is known of it this cold";
}

std::vector<advice> advice_on(std::span<const remedy> remedies, std::span<const installation> installations,
                              std::span<const grease> stock, unit_system units) {
  std::vector<advice> groups;
  for (const remedy& r : remedies) {
    if (&r == &remedies.front() || r.point.installation != (&r - 1)->point.installation)
      groups.push_back({about(r, installations, stock), {}});
    groups.back().ways.push_back(ways_of(r, installations, units));
  }
  return groups;
}

std::string to_text(const pick_answer& answer, std::span<const installation> installations,
                    std::span<const grease> stock, unit_system units, int jobs) {
  std::string out = answer.about.empty() ? std::string() : wrapped(answer.about) + "\n\n";
  out += wrapped(fmt::format(
             "What to put in, and when. A grease passes a day if at least {:.0f} of 100 greases of its description "
             "reach every point in the coldest {:g} % of the hours of the 31 days around it; it is judged until the "
             "last of it is used up. Preferred "
             "of all that passes ({}): {}.",
             100.0 * answer.confidence, 100.0 * answer.share, name_of(answer.prefer),
             detail::preference_words(answer.prefer))) +
         "\n\n";
  out += detail::missing_words(answer.missing);
  out += decision_table(answer, stock) + tow_table(answer) + "\n";
  detail::write_in_order(
      answer.routes.size(), jobs,
      [&](std::size_t r) { return route_page(answer, answer.routes[r], installations, stock, units) + "\n"; },
      [&](std::string_view route) { out += route; });
  const std::vector<std::string> sources = sources_of_rules(answer);
  return out + bullets("Sources of the published rules", sources) + (sources.empty() ? "" : "\n") + cautions();
}

}  // namespace coldgrease::inline v0
