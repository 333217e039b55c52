// The plan as a buyer signs it: what to put in and when, what to buy, how few kinds would do, then each route.
#include <algorithm>
#include <cmath>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bullets;
using detail::chance_words;
using detail::class_words;
using detail::fitted;
using detail::mass_words;
using detail::money;
using detail::months_words;
using detail::row;
using detail::rule;
using detail::start_words;
using detail::step_words;
using detail::wrapped;

namespace {

std::string decision_table(const plan_answer& a, std::span<const grease> stock) {
  std::string out = fmt::format("{} {} {} {} {:>6} {:>13}\n", fitted("route", 20), fitted("pump", 12),
                                fitted("grease", 18), fitted("NLGI", 5), "chance", "kg (lb)");
  for (const route_plan& r : a.routes) {
    if (r.fills.empty())
      out += fmt::format("{} NO GREASE OF THE STOCK SERVES IT: see its page\n", fitted(r.pick.route, 20));
    for (const planned_fill& f : r.fills)
      out += fmt::format("{} {} {} {} {:>6} {:>13}\n", fitted(&f == &r.fills.front() ? r.pick.route : "", 20),
                         fitted(start_words(f), 12), fitted(stock[f.grease].name(), 18),
                         fitted(class_words(stock[f.grease]), 5), chance_words(f.chance),
                         f.per_vehicle ? fmt::format("{:.1f} ({:.1f})", in_kilogram(*f.per_vehicle),
                                                     in_kilogram(*f.per_vehicle) / factor::pound)
                                       : "-");
  }
  return out;
}

std::string purchase_table(const plan_answer& a, std::span<const grease> stock) {
  if (a.purchase.empty()) return {};
  std::string out = fmt::format("\nTo buy for a year\n{} {} {} {:>19} {:>5}\n", fitted("grease", 18),
                                fitted("region", 23), fitted("pumped", 10), "mass", "packs");
  for (const purchase_row& p : a.purchase)
    out += fmt::format("{} {} {} {:>19} {:>5}\n", fitted(stock[p.grease].name(), 18), fitted(p.region, 23),
                       fitted(months_words(p.from_month, p.to_month), 10), mass_words(p.needed),
                       p.packs ? fmt::format("{:.0f}", *p.packs) : "-");
  return out;
}

std::string kinds_table(const plan_answer& a, std::span<const grease> stock) {
  if (a.kinds.empty()) return {};
  std::string out = fmt::format("\nHow few kinds would do (of {} routes)\n", a.routes.size());
  const auto routes_of = [&](std::span<const std::size_t> routes) {
    std::string names;
    for (const std::size_t r : routes) names += (names.empty() ? "" : ", ") + a.routes[r].pick.route;
    return names;
  };
  for (const kinds_row& k : a.kinds) {
    std::string names;
    for (const std::size_t g : k.greases) names += (names.empty() ? "" : ", ") + stock[g].name();
    std::string line = fmt::format("{}  serves {}: {}", k.kinds, k.served, names);
    if (k.cost) {
      line += fmt::format("; costs {} a year", money(*k.cost));
      const kinds_row& most = a.kinds.back();
      if (&k != &most)
        line += fmt::format(", {} more than {} kinds", detail::money_more(*k.cost, *most.cost), most.kinds);
    }
    if (!k.unserved.empty()) line += "; not " + routes_of(k.unserved);
    if (!k.lose_margin.empty()) line += "; less margin than planned for " + routes_of(k.lose_margin);
    out += wrapped(line, 3) + "\n";
  }
  return out;
}

std::string route_page(const plan_answer& a, const route_plan& r, std::span<const installation> installations,
                       std::span<const grease> stock, unit_system units) {
  std::string out = rule('=') + wrapped(r.pick.route + (r.pick.region.empty() ? std::string() : ", " + r.pick.region)) +
                    "\n" + rule('=');
  for (const std::string& warning : r.pick.warnings) out += wrapped(fmt::format("WARNING: {}", warning), 9) + "\n";
  out += row("vehicles", fmt::format("{}", r.vehicles));
  for (const planned_fill& f : r.fills) {
    const grease& g = stock[f.grease];
    std::string text = fmt::format("{}, NLGI {}, {}: chance {}, margin {}", g.name(), class_words(g), start_words(f),
                                   chance_words(f.chance), step_words(f.margin));
    if (f.limit) {
      text += f.start ? fmt::format("; by the cold of {} in one year of {:.0f}", both_scales(*f.limit), 1.0 / a.risk)
                      : fmt::format("; no date of {} from this weather: by the month", both_scales(*f.limit));
    }
    if (f.held_back) text += "; earlier the owner's limit for hot months bars it";
    if (f.per_vehicle) text += fmt::format("; {} a vehicle", mass_words(*f.per_vehicle));
    out += row(&f == &r.fills.front() ? "fills" : "", text);
  }
  for (const planned_fill& f : r.fills) {
    if (!f.hot_months.empty()) out += row("caution", detail::leak_caution(stock[f.grease], f.hot_months));
  }
  if (r.fills.empty()) {
    std::vector<std::string> help;
    for (const remedy& fix : r.pick.would_help) help.push_back(advice(fix, installations, stock, units));
    out += row("fills", "no grease of the stock serves every month");
    out += bullets("\nWhat would help", help);
  }
  out +=
      row("carry-over", fmt::format("a fill lasts {:.0f} days: change-overs into the cold are counted back by them. By "
                                    "that date the new grease must be at the pump: the reservoir emptied of the old",
                                    in_days(r.pick.carry_over)));
  if (r.winter_chance)
    out += row("winters", fmt::format("of {} on record, at each one's coldest hours: chance {} in the mean", r.winters,
                                      chance_words(*r.winter_chance)));
  if (r.trip)
    out +=
        row("trips", fmt::format("{:.2g} % of their time in this season is colder than the grease passes; a trip meets "
                                 "it with a chance of {:.2g} to {:.2g} %",
                                 100.0 * r.trip->of_time, 100.0 * r.trip->least, 100.0 * r.trip->most));
  if (r.cost) out += row("cost", fmt::format("{} a year and vehicle", money(*r.cost)));
  for (const alternative& alt : r.alternatives)
    out += row(&alt == &r.alternatives.front() ? "nearest" : "",
               fmt::format("{}, NLGI {}: chance {}, margin {}", stock[alt.grease].name(),
                           class_words(stock[alt.grease]), chance_words(alt.chance), step_words(alt.margin)));
  if (!r.sensitivities.empty()) out += "\nWhat moves the margin of the coldest month\n";
  for (const sensitivity& s : r.sensitivities) out += fmt::format("{} {}\n", fitted(s.what, 54), step_words(s.moves));
  for (const std::string& note : r.pick.notes) out += wrapped("- " + note, 2) + "\n";
  for (const std::string& note : r.evidence) out += wrapped("- " + note, 2) + "\n";
  return out;
}

}  // namespace

std::string to_text(const plan_answer& a, std::span<const installation> installations, std::span<const grease> stock,
                    unit_system units) {
  std::string out = a.about.empty() ? std::string() : wrapped(a.about) + "\n\n";
  out += wrapped(fmt::format(
             "Plan for a year. A grease passes a month if at least {:.0f} of 100 greases of its description "
             "reach every point; it is judged until the last of it is used up. {}",
             100.0 * a.confidence,
             a.by_cost ? "Of all sequences that pass, the cheapest is taken."
                       : "Of all sequences that pass, the one with the fewest fills is taken, then the "
                         "stiffest.")) +
         "\n\n";
  const std::string oils = detail::oils_in_doubt(stock);
  if (!oils.empty()) out += wrapped("WARNING: " + oils + ".", 9) + "\n\n";
  out += decision_table(a, stock);
  out += wrapped("kg (lb): what one vehicle pumps in that season.") + "\n";
  out += purchase_table(a, stock) + kinds_table(a, stock) + "\n";
  if (!oils.empty()) out += wrapped(oils + ".") + "\n\n";
  for (const route_plan& r : a.routes) out += route_page(a, r, installations, stock, units) + "\n";
  if (!a.notes.empty()) out += bullets("Notes", a.notes) + "\n";
  out += "Signed, date: ______________________   Checked, date: ______________________\n\n";
  return out + cautions();
}

}  // namespace coldgrease::inline v0
