#include "plan/purchase.hpp"

#include <algorithm>
#include <map>

#include "base/whole.hpp"
#include "plan/supply.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// A sum that is known only while every part of it is.
class sum_of {
 public:
  void add(std::optional<double> part) { value_ = value_ && part ? std::optional(*value_ + *part) : std::nullopt; }
  const std::optional<double>& if_known() const { return value_; }

 private:
  std::optional<double> value_ = 0.0;
};

std::optional<double> in_kg(const std::optional<mass>& m) { return m ? std::optional(in_kilogram(*m)) : std::nullopt; }
std::optional<mass> as_mass(const std::optional<double>& kg) {
  return kg ? std::optional(kilogram(*kg)) : std::nullopt;
}

/// A row with what its sums come from.
struct open_row {
  purchase_row row{};
  sum_of pumped{}, at_changes{};
  int first = 2 * days_a_year;  // days after 1 July that its first fill begins
};

open_row& row_for(std::vector<open_row>& rows, std::size_t grease, const std::string& region) {
  const auto same =
      std::ranges::find_if(rows, [&](const open_row& r) { return r.row.grease == grease && r.row.region == region; });
  if (same != rows.end()) return *same;
  open_row& made = rows.emplace_back();
  made.row.grease = grease;
  made.row.region = region;
  return made;
}

void add_fill(const route_plan& r, const fill& made, open_row& into) {
  const int vehicles = r.pick.vehicles;
  const auto times = [&](const std::optional<mass>& m) {
    return m ? std::optional(vehicles * in_kilogram(*m)) : std::nullopt;
  };
  into.pumped.add(times(made.pumped));
  into.at_changes.add(times(made.at_change));
  if (!made.per_vehicle()) {
    auto& unknown = into.row.unknown_of;
    if (std::ranges::find(unknown, r.pick.route) == unknown.end()) unknown.push_back(r.pick.route);
  }
  if (made.pumped) {
    const by_month<int> days = days_by_month(made.days);
    for (std::size_t m = 0; m < days.size(); ++m)
      into.row.pumped_in[m] += *made.pumped * (static_cast<double>(vehicles) * days[m] / made.days.days);
  }
  // A grease of the whole year is needed from the day that the buyer likes.
  if (made.days.whole_year()) return;
  const int after_july = around_year(made.days.first - ordinal({7, 1}));
  if (after_july >= into.first) return;
  into.first = after_july;
  into.row.needed_by = made.days.from();
}

/// Closes a row: what is in store is taken first, the rest is bought in whole packs.
purchase_row closed(open_row open, const evidence& e, double& in_store_left) {
  purchase_row row = std::move(open.row);
  row.pumped = as_mass(open.pumped.if_known());
  row.at_changes = as_mass(open.at_changes.if_known());
  if (e.delivery && row.needed_by)
    row.order_by = day_at(ordinal(*row.needed_by) - whole_up(in_days(*e.delivery), 0, days_a_year));
  if (!row.pumped || !row.at_changes) return row;
  const double needed = in_kilogram(*row.pumped) + in_kilogram(*row.at_changes);
  const double from_store = std::min(needed, in_store_left);
  in_store_left -= from_store;
  if (e.in_store) row.in_store = kilogram(from_store);
  const double rest = needed - from_store;
  row.packs = packs_of(e, rest);
  row.to_buy = kilogram(row.packs ? *row.packs * in_kilogram(*e.pack) : rest);
  row.money = cost_of(e, rest);
  if (!(rest > 0.0)) row.order_by.reset();
  return row;
}

/// Old grease that is emptied out of the reservoirs, full ones, and purged from lines: by the fills that come before.
std::optional<double> drained_of(const fleet_limits& f, const route_plan& r) {
  const choice& c = r.pick.decided;
  sum_of kg;
  for (std::size_t k = 0; c.fills.size() > 1 && k < c.fills.size(); ++k) {
    const auto filled = take_of(f, r.pick.installations, c.fills[k].grease).at_change(c.practice);
    kg.add(filled ? std::optional(r.pick.vehicles * *filled) : std::nullopt);
  }
  return kg.if_known();
}

}  // namespace

invoice invoice_of(const fleet_limits& f, std::span<const route_plan> routes) {
  invoice bill;
  std::vector<open_row> open;
  sum_of labour, alone, risk, drained;
  for (const route_plan& r : routes) {
    const choice& c = r.pick.decided;
    if (!c.served()) {
      bill.without.push_back(r.pick.route);
      continue;
    }
    for (const fill& made : c.fills)
      add_fill(r, made, row_for(open, made.grease, r.pick.region.empty() ? r.pick.route : r.pick.region));
    labour.add(c.money ? std::optional(c.money->labour) : std::nullopt);
    alone.add(c.money ? std::optional(c.money->grease) : std::nullopt);
    risk.add(c.money ? c.money->risk : std::nullopt);
    drained.add(drained_of(f, r));
  }
  // Regions in the order of the routes, in each the greases in that of the stock.
  std::vector<std::string> regions;
  for (const open_row& o : open) {
    if (std::ranges::find(regions, o.row.region) == regions.end()) regions.push_back(o.row.region);
  }
  std::ranges::stable_sort(open, {}, [&](const open_row& o) {
    return std::pair(std::ranges::find(regions, o.row.region) - regions.begin(), o.row.grease);
  });
  if (open.empty()) return bill;
  std::map<std::size_t, double> in_store;
  sum_of grease;
  for (open_row& o : open) {
    const std::size_t g = o.row.grease;
    const evidence& e = f.stock[g].known();
    const auto left = in_store.try_emplace(g, in_kg(e.in_store).value_or(0.0)).first;
    bill.rows.push_back(closed(std::move(o), e, left->second));
    grease.add(bill.rows.back().money);
  }
  bill.grease = grease.if_known();
  bill.labour = labour.if_known();
  bill.alone = alone.if_known();
  bill.risk = risk.if_known();
  bill.drained = as_mass(drained.if_known());
  return bill;
}

}  // namespace coldgrease::inline v0::detail
