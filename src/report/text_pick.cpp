// The pick as a buyer reads it: the decision first, then each route with its evidence.
#include <algorithm>
#include <tuple>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bore_words;
using detail::bullets;
using detail::chance_words;
using detail::class_words;
using detail::fitted;
using detail::month_name;
using detail::number_words;
using detail::rule;
using detail::run_words;
using detail::words;
using detail::wrapped;

namespace {

std::string point_words(const point_index& p, std::span<const installation> installations) {
  const installation& i = installations[p.installation];
  return fmt::format("{} ({})", i.lines[p.line].point, i.name);
}

std::string fill_words(const fill& f) { return detail::months_words(f.from_month, f.to_month); }

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

std::string coldest_share(const pick_answer& answer) { return fmt::format("coldest {:g} %", 100.0 * answer.share); }

std::string decision_row(std::string_view route, const fill& f, std::span<const grease> stock) {
  const grease& g = stock[f.grease];
  return fmt::format("{} {} {} {} {:>6}\n", fitted(route, 22), fitted(fill_words(f), 12), fitted(g.name(), 26),
                     fitted(class_words(g), 5), chance_words(f.chance));
}

std::string decision_table(const pick_answer& answer, std::span<const grease> stock) {
  std::string out = fmt::format("{} {} {} {} {}\n", fitted("route", 22), fitted("pumped", 12), fitted("grease", 26),
                                "NLGI ", "chance");
  for (const route_pick& r : answer.routes) {
    if (r.year) {
      out += decision_row(r.route, *r.year, stock);
    } else if (!r.seasons.empty()) {
      for (std::size_t i = 0; i < r.seasons.size(); ++i)
        out += decision_row(i == 0 ? r.route : "", r.seasons[i], stock);
    } else {
      out += fmt::format("{} {}: see {}\n", fitted(r.route, 22), "NO GREASE OF THE STOCK SERVES IT",
                         r.would_help.empty() ? "its notes" : "what would help");
    }
  }
  return out;
}

/// The month in which a tow is worst.
const tow_month& worst_month(const tow_pick& t) {
  return *std::ranges::min_element(t.months, {}, [](const tow_month& m) { return std::tuple(m.served, m.chance); });
}

std::string tow_table(const pick_answer& answer) {
  if (answer.tows.empty()) return {};
  constexpr std::size_t name_width = 28;
  std::string out =
      "\n" +
      wrapped(
          "Fills coupled on one road: the tow is served only if all of them are, and the "
          "smallest chance is its own.") +
      "\n" +
      fmt::format("{} {:<6} {:>6} {:<5} {}\n", fitted("tow", name_width), "served", "chance", "in", "by the fill of");
  for (const tow_pick& t : answer.tows) {
    const tow_month& worst = worst_month(t);
    // A name that its column cannot hold stands above its row; that of the fill wraps within its own.
    const bool fits = fitted(t.tow, name_width).starts_with(t.tow);
    if (!fits) out += wrapped(t.tow, 2) + "\n";
    out += wrapped(fmt::format("{} {:<6} {:>6} {:<5} {}", fitted(fits ? t.tow : "", name_width),
                               t.served ? "yes" : "NO", worst.chance ? chance_words(*worst.chance) : "n/s",
                               month_name(static_cast<int>(&worst - t.months.data()) + 1),
                               answer.routes[worst.weakest].route),
                   name_width + 21) +
           "\n";
  }
  return out;
}

std::string month_table(const pick_answer& answer, const route_pick& r, std::span<const grease> stock) {
  std::string out = fmt::format("{:<5}{:<18}{:<18}{} {:>6} {:>6} {:>5}\n", "", coldest_share(answer),
                                fmt::format("{:g}-year minimum", answer.return_years), fitted("grease", 17), "chance",
                                "hours", "spell");
  for (const month_pick& m : r.months) {
    const grease_month& g = m.greases[m.shown];
    const auto text = [](const auto& value, std::string_view form) {
      return value ? fmt::format(fmt::runtime(form), *value) : std::string("-");
    };
    out += fmt::format("{:<5}{:<18}{:<18}{} {:>6} {:>6} {:>5}\n", month_name(m.month), both_scales(m.design),
                       m.return_minimum ? both_scales(*m.return_minimum) : "-",
                       fitted(m.picked ? stock[g.grease].name() : "none", 17), g.chance ? chance_words(*g.chance) : "-",
                       text(m.hours_below, "{:.1f}"), text(m.longest_spell, "{}"));
  }
  out += wrapped(
             "hours, spell: hours a year, and the longest run of hours on record, colder than a grease that may still "
             "stand in the lines passes (than the nearest one passes where none is picked).") +
         "\n";
  return out;
}

std::string chance_table(const route_pick& r, std::span<const grease> stock) {
  std::string out = fmt::format("{}", fitted("chance in %", 20));
  for (int month = 1; month <= 12; ++month) out += fmt::format("{:>5}", month_name(month));
  out += "\n";
  for (std::size_t g = 0; g < stock.size(); ++g) {
    out += fitted(stock[g].name(), 20);
    for (const month_pick& m : r.months) {
      const grease_month& gm = m.greases[g];
      out += gm.chance ? fmt::format("{:>4.0f}{}", std::min(99.0, 100.0 * *gm.chance), mark(gm))
                       : fmt::format("{:>4}{}", "n/s", mark(gm));
    }
    while (out.ends_with(' ')) out.pop_back();
    out += "\n";
  }
  out += "+ flows   ? doubtful   - stalls   n/s not shown   x excluded (limits)\n";
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
  if (r.year) {
    const grease& g = stock[r.year->grease];
    out += detail::row("whole year", fmt::format("{}, NLGI {}, chance {} in the worst month", g.name(), class_words(g),
                                                 chance_words(r.year->chance)));
  } else {
    out += detail::row("whole year", "no grease of the stock passes every month");
  }
  const bool split = r.seasons.size() > 1;
  if (!split && answer.seasons > 1)
    out += detail::row("two fills",
                       r.year ? "no split lets a stiffer grease stand in summer" : "no split of the year passes");
  for (const fill& f : r.seasons) {
    if (!split) break;
    const grease& g = stock[f.grease];
    out += detail::row(
        &f == &r.seasons.front() ? (r.year ? "or two fills" : "two fills") : "",
        fmt::format("{}: {}, NLGI {}, chance {}", fill_words(f), g.name(), class_words(g), chance_words(f.chance)));
  }
  out += detail::row("carry-over",
                     fmt::format("a fill lasts {:.0f} days in reservoir and lines: each is judged until it is used up",
                                 in_days(r.carry_over)));
  const auto caution = [&](const fill& f) {
    if (f.hot_months.empty()) return;
    out += detail::row("caution", detail::leak_caution(stock[f.grease], f.hot_months));
  };
  if (r.year) caution(*r.year);
  if (split) std::ranges::for_each(r.seasons, caution);
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

  std::vector<std::string> help;
  for (const remedy& fix : r.would_help) help.push_back(advice(fix, installations, stock, units));
  const bool by_line = !r.would_help.empty() && !r.would_help.front().colder_oil;
  out += bullets(by_line ? "\nWhat would help (any one change on each line named)" : "\nWhat would help", help);

  const std::string shown_class = class_words(stock[coldest.shown]);
  if (!coldest.published_rules.empty())
    out += "\nPublished rules for that temperature, beside the pick (sources at the end)\n";
  for (const rule_answer& a : coldest.published_rules) {
    const bool agrees = std::ranges::find(a.classes, shown_class) != a.classes.end();
    out += wrapped(fmt::format("- {}: {}{}", a.rule, a.says,
                               !coldest.picked || a.classes.empty() ? ""
                               : agrees                             ? " (agrees)"
                                                                    : " (differs)"),
                   2) +
           "\n";
  }
  return out;
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

std::string advice(const remedy& r, std::span<const installation> installations, std::span<const grease> stock,
                   unit_system units) {
  const line& l = installations[r.point.installation].lines[r.point.line];
  const std::string where = point_words(r.point, installations);
  const grease& nearest = stock[r.grease];
  if (r.colder_oil) {
    std::string out = fmt::format("no change of a line helps: the oil of the nearest grease, {}, is good down to {}; ",
                                  nearest.name(), nearest.oil_bound() ? both_scales(*nearest.oil_bound()) : "nothing");
    out += fmt::format("ask for an oil that is good at {}", both_scales(r.at));
    if (r.ask_supplier)
      out += fmt::format(", and {}, for {}, the hardest point", grease_to_ask(*r.ask_supplier), where);
    return out;
  }
  std::string out = fmt::format("{}, {} with {}: ", where, both_scales(r.at), nearest.name());
  std::string ways;
  const auto way = [&](const std::string& text) { ways += (ways.empty() ? "" : "; or ") + text; };
  double narrowest = in_metre(l.segments.front().bore), run = 0.0;
  for (const segment& s : l.segments) {
    narrowest = std::min(narrowest, in_metre(s.bore));
    run += in_metre(s.length);
  }
  if (r.bore)
    way(fmt::format("a bore of {} instead of {}{}", bore_words(*r.bore, units), bore_words(metre(narrowest), units),
                    l.segments.size() > 1 ? " (all segments by the same factor)" : ""));
  if (r.length)
    way(fmt::format("a length of {} instead of {}", run_words(*r.length, units), run_words(metre(run), units)));
  if (r.outlet)
    way(fmt::format("{} at the point instead of {}", words(*r.outlet, units),
                    words(l.outlet.value_or(assumed_outlet()), units)));
  if (r.ask_supplier) way(grease_to_ask(*r.ask_supplier));
  return out + ways;
}

std::string to_text(const pick_answer& answer, std::span<const installation> installations,
                    std::span<const grease> stock, unit_system units) {
  std::string out = answer.about.empty() ? std::string() : wrapped(answer.about) + "\n\n";
  out += wrapped(fmt::format(
             "What to put in, and when. A grease passes a month if at least {:.0f} of 100 greases of its description "
             "reach every point at the {} of the month's hours.",
             100.0 * answer.confidence, coldest_share(answer))) +
         "\n\n";
  if (const std::string oils = detail::oils_in_doubt(stock); !oils.empty())
    out += wrapped("WARNING: " + oils + ".", 9) + "\n\n";
  out += decision_table(answer, stock) + tow_table(answer) + "\n";
  for (const route_pick& r : answer.routes) out += route_page(answer, r, installations, stock, units) + "\n";
  std::vector<std::string> sources;
  for (const route_pick& r : answer.routes) {
    for (const month_pick& m : r.months) {
      for (const rule_answer& a : m.published_rules) {
        std::string source = fmt::format("{}: {}", a.rule, a.source);
        if (std::ranges::find(sources, source) == sources.end()) sources.push_back(std::move(source));
      }
    }
  }
  return out + bullets("Sources of the published rules", sources) + (sources.empty() ? "" : "\n") + cautions();
}

}  // namespace coldgrease::inline v0
