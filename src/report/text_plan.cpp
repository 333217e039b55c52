// The plan as a buyer signs it: what to put in and when, what to buy, how few kinds would do, then each route.
#include <algorithm>
#include <cmath>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/decision.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bullets;
using detail::chance_words;
using detail::class_words;
using detail::day_words;
using detail::days_words;
using detail::fitted;
using detail::mass_words;
using detail::money_words;
using detail::row;
using detail::rule;
using detail::step_words;
using detail::table_row;
using detail::wrapped;

namespace {

std::string decision_table(const plan_answer& a, std::span<const grease> stock) {
  constexpr std::size_t route = 16, days = 16, name = 18, nlgi = 5;
  std::string out = table_row({{"route", route},
                               {"pumped", days},
                               {"grease", name},
                               {"NLGI", nlgi},
                               {fmt::format("chance {:>13}", "kg (lb)")}});
  for (const route_plan& r : a.routes) {
    const choice& c = r.pick.decided;
    if (!c.served()) out += table_row({{r.pick.route, route}, {"NO GREASE OF THE STOCK SERVES IT: see its page"}});
    for (const fill& f : c.fills) {
      const auto kg = f.per_vehicle();
      out += table_row(
          {{&f == &c.fills.front() ? r.pick.route : "", route},
           {detail::pumped_words(f, r.pick), days},
           {stock[f.grease].name(), name},
           {class_words(stock[f.grease]), nlgi},
           {fmt::format("{:>6} {:>13}", chance_words(f.chance),
                        kg ? fmt::format("{:.1f} ({:.1f})", in_kilogram(*kg), in_kilogram(*kg) / factor::pound)
                           : "not known")}});
    }
  }
  return out + detail::design_footnote(std::ranges::any_of(
                   a.routes, [](const route_plan& r) { return r.pick.by_design_values && r.pick.decided.served(); }));
}

std::string purchase_table(const plan_answer& a, std::span<const grease> stock, unit_system units) {
  const invoice& bill = a.purchase;
  if (bill.rows.empty()) return {};
  const bool us = units == unit_system::us;
  const auto shown = [&](mass m) { return fmt::format("{:.1f}", in_kilogram(m) / (us ? factor::pound : 1.0)); };
  std::string out = fmt::format("\n{} {:>10} {:>10} {:>6} {:>12}  {}\n", fitted("To buy for a year", 26),
                                us ? "needed lb" : "needed kg", us ? "to buy lb" : "to buy kg", "packs",
                                a.currency.empty() ? "money" : a.currency, "order by");
  const std::string* region = nullptr;
  for (const purchase_row& p : bill.rows) {
    if (!region || *region != p.region) out += wrapped(p.region) + "\n";
    region = &p.region;
    const bool known = p.pumped && p.at_changes;
    const std::string needed =
        known ? shown(kilogram(in_kilogram(*p.pumped) + in_kilogram(*p.at_changes))) : "not known";
    out += table_row(
        {{"", 1},
         {stock[p.grease].name(), 24},
         {fmt::format("{:>10} {:>10} {:>6} {:>12}  {}", needed, p.to_buy ? shown(*p.to_buy) : "-",
                      p.packs ? fmt::format("{:.0f}", *p.packs) : "-", p.money ? fmt::format("{:.2f}", *p.money) : "-",
                      p.order_by ? day_words(*p.order_by) : "-")}});
    if (!p.unknown_of.empty())
      out += wrapped(fmt::format("    kilograms not known of {}: doses, an interval or a reservoir are not stated",
                                 detail::joined(p.unknown_of)),
                     4) +
             "\n";
    if (p.in_store && in_kilogram(*p.in_store) > 0.0)
      out += fmt::format("    less {} in store\n", mass_words(*p.in_store));
  }
  const auto sum = [&](std::string_view name, const std::optional<double>& money) {
    if (money) out += fmt::format("{} {:>41.2f}\n", fitted(name, 26), *money);
  };
  sum("grease", bill.grease);
  sum("labour of changes", bill.labour);
  if (bill.grease && bill.labour) sum("INVOICE, a year", *bill.grease + *bill.labour);
  if (!bill.without.empty())
    out += wrapped(fmt::format("WITHOUT {}: no grease serves {}; nothing above or below is of {}.",
                               detail::joined(bill.without), bill.without.size() == 1 ? "it" : "them",
                               bill.without.size() == 1 ? "it" : "them"),
                   2) +
           "\n";
  if (bill.grease && bill.alone && *bill.alone - *bill.grease > 0.005)
    out +=
        wrapped(fmt::format("Packs are shared within a region, and what is in store is used: {} less than the routes "
                            "would pay each for itself.",
                            money_words(*bill.alone - *bill.grease, a.currency))) +
        "\n";
  if (bill.risk)
    out += wrapped(fmt::format("Beside it, no part of the invoice: a risk of {} a year (chance that a point runs dry, "
                               "times what the owner says that costs).",
                               money_words(*bill.risk, a.currency))) +
           "\n";
  if (bill.drained && in_kilogram(*bill.drained) > 0.0)
    out += wrapped(fmt::format("Old grease emptied out and pumped through at the changes, to be disposed of: up to {}.",
                               mass_words(*bill.drained))) +
           "\n";
  return out;
}

std::string kinds_table(const plan_answer& a, std::span<const grease> stock) {
  if (a.kinds.empty()) return {};
  std::string out =
      fmt::format("\nHow few kinds would do (of {} route{})\n", a.routes.size(), a.routes.size() == 1 ? "" : "s") +
      wrapped(
          "Money as if each route bought for itself, with nothing in store. hot: days with a hot caution, summed "
          "over the routes.") +
      "\n";
  const auto routes_of = [&](std::span<const std::size_t> routes) {
    std::string names;
    for (const std::size_t r : routes) names += (names.empty() ? "" : ", ") + a.routes[r].pick.route;
    return names;
  };
  for (const kinds_row& k : a.kinds) {
    std::string names;
    for (const std::size_t g : k.greases) names += (names.empty() ? "" : ", ") + stock[g].name();
    std::string line = fmt::format("{}  serves {}: {}", k.kinds, k.served, names);
    if (k.money) {
      line += fmt::format("; {} a year", money_words(*k.money, a.currency));
      const kinds_row& most = a.kinds.back();
      if (&k != &most && most.money)
        line +=
            ", " + detail::more_money_words(*k.money - *most.money, a.currency, fmt::format("{} kinds", most.kinds));
    }
    if (a.kinds.size() > 1) line += fmt::format("; hot {}", k.hot_days);
    std::vector<std::string> also;
    for (const auto& other : k.as_cheap) {
      std::string set;
      for (const std::size_t g : other) set += (set.empty() ? "" : " + ") + stock[g].name();
      also.push_back(std::move(set));
    }
    if (!also.empty()) line += "; within 2 % of that " + detail::joined(also);
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
  out += row("vehicles", fmt::format("{}", r.pick.vehicles));
  const choice& c = r.pick.decided;
  const auto also = [&](std::string_view name, const std::string& text) {
    if (!text.empty()) out += row(name, text);
  };
  if (r.pick.by_design_values) also("DESIGN VALUES", "published values alone: one grease, no seasons, no summer");
  for (const fill& f : c.fills) {
    std::string text = detail::fill_words(f, stock);
    if (f.pumped)
      text += fmt::format("; a vehicle pumps {}{}", mass_words(*f.pumped),
                          f.at_change && in_kilogram(*f.at_change) > 0.0
                              ? fmt::format(" and takes {} at the change", mass_words(*f.at_change))
                              : std::string());
    out += row(&f == &c.fills.front() ? "fills" : "", text);
    also("", detail::basis_words(f, a.risk));
  }
  for (const fill& f : c.fills) also("caution", detail::leak_caution(f, stock));
  if (!c.served()) {
    out += detail::unserved_rows(r.pick);
    out += detail::help_words(r.pick.would_help, installations, stock, units);
  }
  also("at a change", detail::practice_words(r.pick, a.at_change.has_value(), a.currency));
  also("money", detail::year_money_words(c, a.currency));
  also("if purged", detail::if_purged_words(r.pick, stock, a.currency));
  also("otherwise", detail::otherwise_words(r.pick, a.prefer, stock, a.currency));
  for (const std::string& text : r.pick.missing) also("MISSING", text);
  if (r.keep) out += detail::keep_rows(*r.keep, r.pick, installations, stock, a.currency);
  if (r.winter_chance)
    out += row("winters", fmt::format("of {} on record, at each one's coldest hours: chance {} in the mean", r.winters,
                                      chance_words(*r.winter_chance)));
  if (r.trip)
    out +=
        row("trips", fmt::format("{:.2g} % of their time in this season is colder than the grease passes; a trip meets "
                                 "it with a chance of {:.2g} to {:.2g} %",
                                 100.0 * r.trip->of_time, 100.0 * r.trip->least, 100.0 * r.trip->most));
  for (const alternative& alt : r.alternatives)
    out += row(&alt == &r.alternatives.front() ? "nearest" : "",
               fmt::format("{}, NLGI {}: chance {}, margin {}", stock[alt.grease].name(),
                           class_words(stock[alt.grease]), chance_words(alt.chance), step_words(alt.margin)));
  if (!r.sensitivities.empty()) out += "\nWhat moves the margin of the coldest days\n";
  for (const sensitivity& s : r.sensitivities) out += table_row({{s.what, 54}, {step_words(s.moves)}});
  for (const std::string& note : r.pick.notes) out += wrapped("- " + note, 2) + "\n";
  for (const std::string& note : r.evidence) out += wrapped("- " + note, 2) + "\n";
  return out;
}

}  // namespace

std::string to_text(const plan_answer& a, std::span<const installation> installations, std::span<const grease> stock,
                    unit_system units) {
  std::string out = a.about.empty() ? std::string() : wrapped(a.about) + "\n\n";
  out +=
      wrapped(fmt::format("Plan for a year. A grease passes a day if at least {:.0f} of 100 greases of its "
                          "description reach every point; it is judged until the last of it is used up. Preferred of "
                          "all that passes ({}): {}.",
                          100.0 * a.confidence, name_of(a.prefer), detail::preference_words(a.prefer))) +
      "\n\n";
  out += detail::missing_words(a.missing);
  out += decision_table(a, stock);
  out += wrapped("kg (lb): what one vehicle pumps on those days and takes at the change.") + "\n";
  out += purchase_table(a, stock, units) + kinds_table(a, stock) + "\n";
  for (const route_plan& r : a.routes) out += route_page(a, r, installations, stock, units) + "\n";
  if (!a.notes.empty()) out += bullets("Notes", a.notes) + "\n";
  out += "Signed, date: ______________________   Checked, date: ______________________\n\n";
  return out + cautions();
}

}  // namespace coldgrease::inline v0
