#include "report/decision.hpp"

#include <algorithm>
#include <cmath>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/report/text.hpp"
#include "report/layout.hpp"

namespace coldgrease::inline v0::detail {

std::string missing_words(std::span<const std::string> missing) {
  if (missing.empty()) return {};
  std::string out = "NOT STATED, and what that does:\n";
  for (const std::string& text : missing) out += wrapped("- " + text, 2) + "\n";
  return out + "\n";
}

std::string days_words(const season& s) {
  return s.whole_year() ? "all year" : fmt::format("{} to {}", day_words(s.from()), day_words(s.to()));
}

std::string spans_words(std::span<const season> spans) {
  std::vector<std::string> all;
  for (const season& s : spans) all.push_back(days_words(s));
  return joined(all);
}

std::string pumped_words(const fill& f, const route_pick& r) {
  return days_words(f.days) + (r.by_design_values ? " (1)" : "");
}

std::string design_footnote(bool any) {
  return any ? wrapped(
                   "(1) by published design values of the cold alone: nothing is known of its summer, and no limit "
                   "for heat is applied.") +
                   "\n"
             : std::string();
}

std::string unserved_rows(const route_pick& r) {
  if (r.decided.served()) return {};
  std::string out = row("fills", "no grease of the stock serves every day");
  for (const std::string& why : r.unserved) out += row("", why);
  return out;
}

std::string more_money_words(double more, const std::string& currency, std::string_view than) {
  const double cents = std::round(100.0 * more) / 100.0;
  if (cents == 0.0) return than.empty() ? "the same money" : fmt::format("the same money as {}", than);
  return fmt::format("{} {}{}{}", money_words(std::abs(cents), currency), cents < 0.0 ? "less" : "more",
                     than.empty() ? "" : " than ", than);
}

std::string money_words(double amount, const std::string& currency) {
  return fmt::format("{:.2f} {}", amount, currency);
}

std::string_view preference_words(preference p) {
  return p == preference::stiffest
             ? "fewest days with a hot caution, each further fill weighing as 30 of them (judgement), then the "
               "stiffest grease, the cheapest"
             : "the least money of the year, then fewest days with a hot caution, the stiffest grease";
}

std::string fill_words(const fill& f, std::span<const grease> stock) {
  return fmt::format("{}, NLGI {}, {}: chance {}{}, margin {} at {}", stock[f.grease].name(),
                     class_words(stock[f.grease]), days_words(f.days), chance_words(f.chance),
                     f.settling ? " in its first days (bores 5 % smaller)" : "", step_words(f.margin),
                     both_scales(f.margin_at));
}

std::string basis_words(const fill& f, double risk) {
  const std::string recent =
      f.recent ? fmt::format("; by the last 30 years alone {}", day_words(*f.recent)) : std::string();
  switch (f.basis) {
    case date_basis::whole_year: return {};
    case date_basis::heat: return "dated by the days that are too hot for the softer grease";
    case date_basis::pentads:
      return fmt::format("dated by the usual cold of {}{}", f.limit ? both_scales(*f.limit) : "-", recent);
    case date_basis::risk:
      return fmt::format("dated by the cold of {} in one year of {:.0f}{}", f.limit ? both_scales(*f.limit) : "-",
                         1.0 / risk, recent);
    case date_basis::record:
      return fmt::format("dated by the cold of {} as it was on the few years on record{}",
                         f.limit ? both_scales(*f.limit) : "-", recent);
  }
  return {};
}

std::string help_words(std::span<const remedy> remedies, std::span<const installation> installations,
                       std::span<const grease> stock, unit_system units) {
  if (remedies.empty()) return {};
  std::string out =
      remedies.front().colder_oil ? "\nWhat would help\n" : "\nWhat would help (any one change on each line named)\n";
  for (const advice& a : advice_on(remedies, installations, stock, units)) {
    out += wrapped(fmt::format("- {}:", a.about), 2) + "\n";
    for (const std::string& way : a.ways) out += wrapped("  - " + way, 4) + "\n";
  }
  return out;
}

std::string leak_caution(const fill& f, std::span<const grease> stock) {
  const auto hot_above = hot_caution(stock[f.grease]);
  if (f.hot_months.empty() || !hot_above) return {};
  std::vector<std::string> names;
  for (const int m : f.hot_months) names.emplace_back(month_name(m));
  return fmt::format("{} {}, and {} days of {} are hotter than {} (judgement): look for leaks", stock[f.grease].name(),
                     stock[f.grease].soft_penetration() > 0.0 ? "is soft" : "may be soft, its class is not stated",
                     f.hot_days, joined(names), both_scales(*hot_above));
}

std::string practice_words(const route_pick& r, bool asked_for, const std::string& currency) {
  const choice& c = r.decided;
  if (c.fills.size() < 2) return {};
  std::string out;
  switch (c.practice) {
    case change_practice::emptied:
      out = fmt::format("empty the reservoir and refill it; the old grease in the lines is used up within {:.0f} days",
                        in_days(c.carry_over));
      break;
    case change_practice::purged:
      out = asked_for
                ? "empty the reservoir and pump the lines through: nothing of the old grease is left to be used up"
                : "empty the reservoir AND pump the lines through. If the reservoir alone is emptied there is no "
                  "answer: the old grease would stand in the lines for longer than it passes";
      break;
    case change_practice::run_down:
      out = fmt::format("reservoir and lines are run down: the old grease lasts up to {:.0f} days",
                        in_days(c.carry_over));
      break;
  }
  std::string mass;
  double kg = 0.0;
  bool known = true;
  for (const fill& f : c.fills) {
    known = known && f.at_change;
    if (f.at_change) kg += in_kilogram(*f.at_change);
  }
  if (known && kg > 0.0) mass = fmt::format("{} a vehicle and year to refill", mass_words(kilogram(kg)));
  if (c.money && c.money->labour > 0.0)
    mass += fmt::format("{}labour {} a year", mass.empty() ? "" : ", ", money_words(c.money->labour, currency));
  return mass.empty() ? out : fmt::format("{} ({})", out, mass);
}

namespace {

/// "Synthetic 00 8 Sep to 29 Mar, Synthetic 1 30 Mar to 7 Sep".
std::string fills_in_a_row(const choice& c, std::span<const grease> stock) {
  std::string fills;
  for (const fill& f : c.fills)
    fills += fmt::format("{}{} {}", fills.empty() ? "" : ", ", stock[f.grease].name(), days_words(f.days));
  return fills;
}

/// "1234.50 EUR more a year"; empty where money is not known.
std::string money_apart(const choice& from, const choice& to, const std::string& currency) {
  if (!from.money || !to.money) return {};
  const auto cents = [](const choice& c) { return std::round(100.0 * c.money->sum()) / 100.0; };
  return more_money_words(cents(to) - cents(from), currency) + " a year";
}

}  // namespace

std::string if_purged_words(const route_pick& r, std::span<const grease> stock, const std::string& currency) {
  if (!r.if_purged) return {};
  std::string out =
      fmt::format("lines pumped through at each change would allow {}", fills_in_a_row(*r.if_purged, stock));
  if (!r.decided.served()) return out;
  const int hot = r.if_purged->hot_days - r.decided.hot_days;
  if (hot != 0) out += fmt::format(", {} {} days with a hot caution", std::abs(hot), hot > 0 ? "more" : "fewer");
  const std::string money = money_apart(r.decided, *r.if_purged, currency);
  return money.empty() ? out : out + ", " + money;
}

std::string otherwise_words(const route_pick& r, preference p, std::span<const grease> stock,
                            const std::string& currency) {
  if (!r.otherwise || !r.decided.money || !r.otherwise->money) return {};
  const choice &own = r.decided, &other = *r.otherwise;
  const std::string_view name = name_of(p == preference::stiffest ? preference::cheapest : preference::stiffest);
  const auto same = [](const fill& a, const fill& b) { return a.grease == b.grease && a.days == b.days; };
  if (std::ranges::equal(own.fills, other.fills, same)) return fmt::format("the {} is the same", name);
  std::string out =
      fmt::format("the {} is {}: {}", name, fills_in_a_row(other, stock), money_apart(own, other, currency));
  const int hot = other.hot_days - own.hot_days;
  if (hot != 0) out += fmt::format(", {} {} days with a hot caution", std::abs(hot), hot > 0 ? "more" : "fewer");
  if (other.fills.size() != own.fills.size())
    out += fmt::format(", {} fill{} a year instead of {}", other.fills.size(), other.fills.size() == 1 ? "" : "s",
                       own.fills.size());
  if (other.practice != own.practice) out += fmt::format(", lines {}", name_of(other.practice));
  const auto chance = [](const choice& c) { return std::ranges::min(c.fills, {}, &fill::chance).chance; };
  const auto margin = [](const choice& c) {
    return std::ranges::min(c.fills, {}, [](const fill& f) { return in_kelvins(f.margin); }).margin;
  };
  const auto compare = [&](std::string_view what, const std::string& there, const std::string& here) {
    if (there != here) out += fmt::format(", {} {} instead of {}", what, there, here);
  };
  compare("chance", chance_words(chance(other)), chance_words(chance(own)));
  compare("margin", step_words(margin(other)), step_words(margin(own)));
  if (other.money->risk && own.money->risk)
    compare("a risk of", money_words(*other.money->risk, currency), money_words(*own.money->risk, currency));
  return out;
}

std::string year_money_words(const choice& c, const std::string& currency) {
  if (!c.money) return {};
  std::string out = fmt::format("{} a year = {} grease + {} labour of changes", money_words(c.money->sum(), currency),
                                money_words(c.money->grease, currency), money_words(c.money->labour, currency));
  if (c.money->risk) out += fmt::format("; beside it a risk of {}", money_words(*c.money->risk, currency));
  return out;
}

namespace {

/// How a change begins.
std::string_view begin_words(change_practice p) {
  switch (p) {
    case change_practice::emptied: return "empty the reservoir and pump";
    case change_practice::purged: return "empty the reservoir, pump the lines through, and pump";
    case change_practice::run_down: break;
  }
  return "fill up with";
}

}  // namespace

std::vector<std::string> keep_sentences(const kept_plan& k, const route_pick& r,
                                        std::span<const installation> installations, std::span<const grease> stock,
                                        const std::string& currency) {
  std::vector<std::string> out;
  std::string what;
  for (const kept_grease& g : k.greases)
    what +=
        fmt::format("{}{} in {}", what.empty() ? "" : ", ", stock[g.grease].name(), installations[g.installation].name);
  const std::string chance = k.chance ? chance_words(*k.chance) : "not shown";
  if (k.passes) {
    out.push_back(fmt::format("{}: passes on every day, chance {} on the coldest", what, chance));
  } else {
    std::vector<std::string> why;
    if (!k.too_cold.empty()) why.push_back(fmt::format("too cold for it {}", spans_words(k.too_cold)));
    if (!k.barred.empty()) why.push_back(fmt::format("barred by a rule or limit {}", spans_words(k.barred)));
    out.push_back(fmt::format("{}: does not pass, {}; chance {} on the coldest days", what, joined(why), chance));
  }
  if (k.hours) {
    std::string months;
    for (std::size_t m = 0; m < k.starved.size(); ++m) {
      if (k.starved[m].value_or(0.0) >= 0.05)
        months +=
            fmt::format("{}{} {:.1f}", months.empty() ? "" : ", ", month_name(static_cast<int>(m) + 1), *k.starved[m]);
    }
    out.push_back(fmt::format("{:.1f} hours a year colder than it passes{}", *k.hours,
                              months.empty() ? std::string() : ": " + months));
  }
  if (!k.into) return out;
  const std::string_view begin = begin_words(r.decided.practice);
  out.push_back(k.change_by ? fmt::format("to the plan: from {} {} {}, so that the last of the old is used up in time",
                                          day_words(*k.change_by), begin, stock[*k.into].name())
                            : fmt::format("to the plan: at once {} {}", begin, stock[*k.into].name()));
  std::vector<std::string> takes;
  if (k.labour) takes.push_back(fmt::format("{} of labour", money_words(*k.labour, currency)));
  if (k.at_change && in_kilogram(*k.at_change) > 0.0)
    takes.push_back(
        fmt::format("{} of {} a vehicle beside what is pumped", mass_words(*k.at_change), stock[*k.into].name()));
  if (!takes.empty()) out.push_back(fmt::format("that change takes {}", joined(takes)));
  if (r.decided.money)
    out.push_back(fmt::format("every year of the plan costs {}", money_words(r.decided.money->sum(), currency)));
  return out;
}

std::string keep_rows(const kept_plan& k, const route_pick& r, std::span<const installation> installations,
                      std::span<const grease> stock, const std::string& currency) {
  std::string out;
  for (const std::string& text : keep_sentences(k, r, installations, stock, currency))
    out += row(out.empty() ? "if kept" : "", text);
  return out;
}

}  // namespace coldgrease::inline v0::detail
