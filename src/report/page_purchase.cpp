// For the buyer: what to order, and how few kinds would do.
#include "base/format.hpp"
#include "report/page.hpp"
#include "report/picture.hpp"

namespace coldgrease::inline v0::detail {

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
    p.out.open("tr");
    p.cell("th", p.grease_name(row.grease) + ", " + row.region, {{"scope", "row"}});
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
  const kinds_row& most = p.d.plan.kinds.back();
  const std::string against = fmt::format("More than {} kinds", most.kinds);
  page_table table(p, "The best set of each number of kinds",
                   {{"Kinds"},
                    {"Greases"},
                    {"A year", true},
                    {against, true},
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
    table.row({fmt::format("{}", k.kinds), joined(greases), k.cost ? money(*k.cost) : "-",
               k.cost && most.cost ? money_more(*k.cost, *most.cost) : "-", names_of(k.unserved),
               names_of(k.lose_margin)});
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

}  // namespace coldgrease::inline v0::detail
