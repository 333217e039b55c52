// Offers side by side: what each would do on every route, and what to put to its supplier.
#include <algorithm>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/decision.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::chance_words;
using detail::class_words;
using detail::row;
using detail::rule;
using detail::table_row;
using detail::wrapped;

namespace {

/// "never" where no day of the year passes.
std::string passes_words(const offer_on_route& o) {
  if (o.passes) return "all year";
  if (!o.coldest) return "not shown";
  const auto whole = [](const std::vector<season>& s) { return s.size() == 1 && s.front().whole_year(); };
  if (whole(o.barred)) return "barred";
  return whole(o.too_cold) ? "never" : "not all year";
}

/// When it does not pass; empty where that is never or always.
std::string fails_words(const offer_on_route& o) {
  std::vector<std::string> why;
  const auto add = [&](const char* what, const std::vector<season>& spans) {
    if (!spans.empty() && !spans.front().whole_year()) why.push_back(what + detail::spans_words(spans));
  };
  if (o.coldest) add("too cold ", o.too_cold);
  add("barred ", o.barred);
  return detail::joined(why);
}

std::string offer_table(const compare_answer& a, const compared_route& r) {
  constexpr std::size_t name = 24, passes = 16;
  std::string out = table_row({{"offer", name},
                               {"passes", passes},
                               {fmt::format("{:>6} {:>8} {:>9} {:>11}", "chance", "margin K", "kg a year",
                                            a.currency.empty() ? "money" : a.currency)}});
  for (const offer_on_route& o : r.offers)
    out += table_row(
        {{a.stock[o.grease].name(), name},
         {passes_words(o), passes},
         {fmt::format("{:>6} {:>8} {:>9} {:>11}", o.coldest_days.chance ? chance_words(*o.coldest_days.chance) : "n/s",
                      o.margin ? fmt::format("{:+.1f}", in_kelvins(*o.margin)) : "-",
                      o.needed ? fmt::format("{:.1f}", in_kilogram(*o.needed)) : "-",
                      o.money ? fmt::format("{:.2f}", *o.money) : "-")}});
  return out;
}

std::string route_page(const compare_answer& a, const compared_route& r, std::span<const installation> installations,
                       unit_system units) {
  std::string out = rule('=') + wrapped(r.pick.route + (r.pick.region.empty() ? std::string() : ", " + r.pick.region)) +
                    "\n" + rule('=');
  out += row("coldest days", fmt::format("judged at {}, {}; {} vehicle{}", both_scales(r.coldest),
                                         r.pick.by_design_values ? "by design values, all year"
                                                                 : "about " + detail::day_words(r.coldest_on),
                                         r.pick.vehicles, r.pick.vehicles == 1 ? "" : "s"));
  out += detail::unserved_rows(r.pick);
  for (const fill& f : r.pick.decided.fills)
    out += row(&f == &r.pick.decided.fills.front() ? "decided" : "", detail::fill_words(f, a.stock));
  for (const std::string& text : r.pick.missing) out += row("MISSING", text);
  out += "\n" + offer_table(a, r) + "\n";
  for (const offer_on_route& o : r.offers) {
    const std::string& name = a.stock[o.grease].name();
    out += wrapped(fmt::format("{} (NLGI {}): {}", name, class_words(a.stock[o.grease]),
                               reason(o.coldest_days, installations, a.stock, units))) +
           "\n";
    if (const std::string fails = fails_words(o); !fails.empty()) out += wrapped("- " + fails, 2) + "\n";
    std::vector<std::string> equal;
    for (const std::size_t g : o.told_equal) equal.push_back(a.stock[g].name());
    if (!equal.empty())
      out += wrapped(fmt::format("- told equal in the cold: {}; what is known of them does not tell them apart",
                                 detail::joined(equal)),
                     2) +
             "\n";
    for (const mixing_with& m : o.mixing)
      out += wrapped(
                 fmt::format("- with {}, {}: {}", a.stock[m.grease].name(),
                             m.kept ? "which is in the lines" : "which the plan pumps", detail::mixing_words(m.charts)),
                 2) +
             "\n";
  }
  return out;
}

/// What a route asks of a grease on its coldest days: "325 Pa s at -29.2 C (-20.6 F) and 3.1 1/s (Northern plain)".
std::string demand_words(const compared_route& r, std::size_t offer) {
  const auto& ask = r.offers[offer].ask;
  if (!ask)
    return fmt::format("one that any oil still has at {}: is yours good there, and down to which temperature? ({})",
                       both_scales(r.coldest), r.pick.route);
  return fmt::format("at most {} Pa s at {} and {:.3g} 1/s ({})",
                     detail::number_words(in_pascal_second(ask->apparent_max)), both_scales(ask->temperature),
                     in_per_second(ask->rate), r.pick.route);
}

/// A letter's worth of a question, to be sent as it is.
std::string question_words(const compare_answer& a, const offer_question& q, std::size_t offer) {
  const grease& g = a.stock[q.grease];
  std::string out =
      wrapped(fmt::format("To the supplier of {}: we grease through long thin lines in the cold. ", g.name()) +
              "On our coldest days we ask for an apparent viscosity (ASTM D1092) of:") +
      "\n";
  for (const std::size_t r : q.hardest) out += wrapped("- " + demand_words(a.routes[r], offer), 2) + "\n";
  std::string ask = "What did you measure, on which batch, and how far do batches differ? ";
  if (!q.not_stated.empty()) ask += fmt::format("Please state: {}.", fmt::join(q.not_stated, "; "));
  return out + wrapped(ask);
}

}  // namespace

std::string to_text(const compare_answer& a, std::span<const installation> installations, unit_system units) {
  std::string out = a.about.empty() ? std::string() : wrapped(a.about) + "\n\n";
  out +=
      wrapped(fmt::format(
          "Offers side by side, each as if it alone were pumped the year round. chance, margin: on the coldest days; "
          "at least {:.0f} of 100 greases of a description must reach every point. Decided: the plan from the fleet's "
          "own "
          "stock.",
          100.0 * a.confidence)) +
      "\n\n";
  out += detail::missing_words(a.missing);
  for (const compared_route& r : a.routes) out += route_page(a, r, installations, units) + "\n";
  out += "What each stands on\n";
  for (const offer_question& q : a.questions)
    out += wrapped(fmt::format("- {}: {}", a.stock[q.grease].name(), a.stock[q.grease].stands_on()), 2) + "\n";
  out += "\nTo be sent\n";
  for (std::size_t o = 0; o < a.questions.size(); ++o) out += question_words(a, a.questions[o], o) + "\n\n";
  return out + cautions();
}

}  // namespace coldgrease::inline v0
