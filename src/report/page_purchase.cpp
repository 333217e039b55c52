// For the buyer: what to order, and how few kinds would do.
#include "base/format.hpp"
#include "report/page.hpp"
#include "report/picture.hpp"

namespace coldgrease::detail {

namespace {

void write_order(page& p) {
  page_table table(p, "To buy for a year",
                   {{"Grease"}, {"Region"}, {"Pumped"}, {"Needed", true}, {"Packs", true}, {"A pack", true}});
  for (const purchase_row& row : p.d.plan.purchase) {
    const auto& pack = p.stock[row.grease].known().pack;
    table.row({p.grease_name(row.grease), row.region, months_words(row.from_month, row.to_month), p.weight(row.needed),
               row.packs ? fmt::format("{:.0f}", *row.packs) : std::string("-"),
               pack ? p.weight(*pack) : std::string("-")});
  }
}

/// Kilograms or pounds by month: one system to a column, so that the table keeps to a page.
void write_months(page& p) {
  const bool si = p.units == unit_system::si;
  p.out.open("div", {{"class", "scroll"}, {"tabindex", "0"}, {"role", "group"}, {"aria-label", "By month"}});
  p.out.open("table").element("caption",
                              si ? "By month, in kg (1 kg is 2.205 lb)" : "By month, in lb (1 lb is 0.4536 kg)");
  p.out.open("thead").open("tr").element("th", "Grease, region", {{"scope", "col"}});
  for (int month = 1; month <= 12; ++month) p.out.element("th", month_name(month), {{"scope", "col"}, {"class", "n"}});
  p.out.close().close().open("tbody");
  for (const purchase_row& row : p.d.plan.purchase) {
    p.out.open("tr").element("th", p.grease_name(row.grease) + ", " + row.region, {{"scope", "row"}});
    for (const mass& m : row.by_month) {
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
  page_table table(p, "The best set of each number of kinds",
                   {{"Kinds"},
                    {"Greases"},
                    {"Routes served", true},
                    {"A year", true},
                    {"Against the row above", true},
                    {"Less margin for"}});
  std::optional<double> before;
  for (const kinds_row& k : p.d.plan.kinds) {
    std::vector<std::string> names, losers;
    for (const std::size_t g : k.greases) names.push_back(p.grease_name(g));
    for (const std::size_t r : k.lose_margin) losers.push_back(p.d.plan.routes[r].pick.route);
    table.row({fmt::format("{}", k.kinds), joined(names), fmt::format("{} of {}", k.served, p.d.plan.routes.size()),
               k.cost ? money(*k.cost) : "-", k.cost && before ? fmt::format("{:+.2f}", *k.cost - *before) : "-",
               losers.empty() ? "-" : joined(losers)});
    before = k.cost;
  }
}

}  // namespace

void write_purchase(page& p) {
  p.begin_section("purchase", "Purchase", true);
  if (p.d.plan.purchase.empty()) {
    p.paragraph("No kilograms: a dose or an interval is missing, or no route has a grease.");
  } else {
    write_order(p);
    write_months(p);
  }
  write_kinds(p);
  p.end_section();
}

}  // namespace coldgrease::detail
