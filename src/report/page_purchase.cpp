// For the buyer: what to order, and how few kinds would do.
#include "base/format.hpp"
#include "report/decision.hpp"
#include "report/page.hpp"
#include "report/picture.hpp"

namespace coldgrease::inline v0::detail {

namespace {

void write_order_table(page& p) {
  const invoice& bill = p.d.plan.purchase;
  const std::string& currency = p.d.plan.currency;
  page_table table(
      p, currency.empty() ? "To buy for a year" : "To buy for a year, money in " + currency,
      {{"Grease"}, {"Region"}, {"Needed", true}, {"To buy", true}, {"Packs", true}, {"Money", true}, {"Order by"}});
  const auto amount = [](const std::optional<double>& v) { return v ? fmt::format("{:.2f}", *v) : std::string("-"); };
  for (const purchase_row& row : bill.rows) {
    const bool known = row.pumped && row.at_changes;
    table.row({p.grease_name(row.grease), row.region,
               known ? p.weight(*row.pumped + *row.at_changes) : std::string("not known"),
               row.to_buy ? p.weight(*row.to_buy) : std::string("-"),
               row.packs ? fmt::format("{:.0f}", *row.packs) : std::string("-"), amount(row.money),
               row.order_by ? day_words(*row.order_by) : std::string("-")});
  }
  const auto sum = [&](const char* name, const std::optional<double>& v, bool strong = false) {
    if (v) table.row({name, "", "", "", "", fmt::format("{:.2f}", *v), ""}, strong);
  };
  sum("Grease", bill.grease);
  sum("Labour of changes", bill.labour);
  if (bill.grease && bill.labour) sum("Invoice, a year", *bill.grease + *bill.labour, true);
}

/// What stands beside the invoice.
void write_beside(page& p) {
  const invoice& bill = p.d.plan.purchase;
  const std::string& currency = p.d.plan.currency;
  for (const purchase_row& row : bill.rows) {
    if (row.in_store && in_kilogram(*row.in_store) > 0.0)
      p.paragraph(
          fmt::format("{}, {}: less {} in store.", p.grease_name(row.grease), row.region, p.weight(*row.in_store)));
    if (!row.unknown_of.empty())
      p.paragraph(fmt::format("{}: kilograms not known of {}: doses, an interval or a reservoir are not stated.",
                              p.grease_name(row.grease), joined(row.unknown_of)));
  }
  if (bill.grease && bill.alone && *bill.alone - *bill.grease > 0.005)
    p.paragraph(
        fmt::format("Packs are shared within a region, and what is in store is used: {} less than the routes "
                    "would pay each for itself.",
                    money_words(*bill.alone - *bill.grease, currency)));
  if (bill.risk)
    p.paragraph(
        fmt::format("Beside it, no part of the invoice: a risk of {} a year (chance that a point runs dry, times "
                    "what the owner says that costs).",
                    money_words(*bill.risk, currency)));
  if (bill.drained && in_kilogram(*bill.drained) > 0.0)
    p.paragraph(fmt::format("Old grease emptied out and pumped through at the changes, to be disposed of: up to {}.",
                            p.weight(*bill.drained)));
}

/// Kilograms or pounds by month: one system to a column, so that the table keeps to a page.
void write_months(page& p) {
  const bool si = p.units == unit_system::si;
  p.out.open("div", {{"class", "scroll"}, {"tabindex", "0"}, {"role", "group"}, {"aria-label", "By month"}});
  p.out.open("table").element(
      "caption", si ? "Pumped by month, in kg (1 kg is 2.205 lb)" : "Pumped by month, in lb (1 lb is 0.4536 kg)");
  p.out.open("thead").open("tr").element("th", "Grease, region", {{"scope", "col"}});
  for (int month = 1; month <= 12; ++month) p.out.element("th", month_name(month), {{"scope", "col"}, {"class", "n"}});
  p.out.close().close().open("tbody");
  for (const purchase_row& row : p.d.plan.purchase.rows) {
    p.out.open("tr");
    p.cell("th", p.grease_name(row.grease) + ", " + row.region, {{"scope", "row"}});
    for (const mass& m : row.pumped_in) {
      const double v = si ? in_kilogram(m) : in_kilogram(m) / factor::pound;
      p.out.element("td", v > 0.0 ? fmt::format("{:.1f}", v) : "", {{"class", "n"}});
    }
    p.out.close();
  }
  p.out.close().close().close();
}

void write_kinds(page& p) {
  if (p.d.plan.kinds.empty()) return;
  p.out.element("h3", "How few kinds would do");
  p.figure(kinds_picture(p.d.plan, "kinds"), "How few kinds would do");
  const kinds_row& most = p.d.plan.kinds.back();
  const std::string against = fmt::format("More than {} kinds", most.kinds);
  page_table table(
      p,
      "The best set of each number of kinds, money as if each route bought for itself with nothing in store; hot days: "
      "with a caution, summed over the routes",
      {{"Kinds"},
       {"Greases"},
       {"A year", true},
       {against, true},
       {"Hot days", true},
       {"Within 2 % of it"},
       {"Does not serve"},
       {"Less margin than planned for"}});
  const auto names_of = [&](const std::vector<std::size_t>& routes) {
    std::vector<std::string> names;
    for (const std::size_t r : routes) names.push_back(p.d.plan.routes[r].pick.route);
    return names.empty() ? std::string("-") : joined(names);
  };
  for (const kinds_row& k : p.d.plan.kinds) {
    std::vector<std::string> greases;
    for (const std::size_t g : k.greases) greases.push_back(p.grease_name(g));
    std::string as_cheap;
    for (const auto& other : k.as_cheap) {
      for (const std::size_t g : other)
        as_cheap += (g == other.front() ? (as_cheap.empty() ? "" : "; ") : " + ") + p.grease_name(g);
    }
    if (as_cheap.empty()) as_cheap = "-";
    table.row({fmt::format("{}", k.kinds), joined(greases), k.money ? fmt::format("{:.2f}", *k.money) : "-",
               k.money && most.money ? fmt::format("{:.2f}", *k.money - *most.money) : "-",
               fmt::format("{}", k.hot_days), as_cheap, names_of(k.unserved), names_of(k.lose_margin)});
  }
}

}  // namespace

void write_order(page& p) {
  const invoice& bill = p.d.plan.purchase;
  // Nothing is signed that is not there.
  if (bill.rows.empty()) return p.paragraph("Nothing to order and nothing to sign: no route has a grease.");
  write_order_table(p);
  if (!bill.without.empty())
    p.paragraph(fmt::format("Without {}, which no grease serves: nothing here is of that.", joined(bill.without)));
  p.out.open("div", {{"class", "sign"}}).element("span", "Signed, date").element("span", "Checked, date").close();
}

void write_purchase(page& p) {
  if (p.d.plan.purchase.rows.empty()) {
    p.paragraph("No route has a grease.");
  } else {
    write_beside(p);
    write_months(p);
  }
  write_kinds(p);
}

}  // namespace coldgrease::inline v0::detail
