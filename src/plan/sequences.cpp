#include "plan/sequences.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "plan/supply.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// The first day from the warm end of the year on which nothing bars a grease any more.
std::optional<int> end_of_heat(const route_year& y, const grease_year& g) {
  std::optional<int> end;
  for (int day = 0; day < days_a_year / 2; ++day) {
    if (!g.allowed[static_cast<std::size_t>(around_year(day + y.origin()) / days_a_pentad)]) end = day + 1;
  }
  return end;
}

/// The first day of the second half of the year on which something does.
std::optional<int> begin_of_heat(const route_year& y, const grease_year& g) {
  for (int day = days_a_year / 2; day < days_a_year; ++day) {
    if (!g.allowed[static_cast<std::size_t>(around_year(day + y.origin()) / days_a_pentad)]) return day;
  }
  return std::nullopt;
}

int hot_days_of(const grease_year& g, const season& stands) {
  int days = 0;
  if (g.hot.any()) stands.for_each_day([&](int day) { days += g.hot[static_cast<std::size_t>(day / days_a_pentad)]; });
  return days;
}

/// The search over sequences of one route and practice.
struct search {
  const fleet_limits& f;
  const route_year& y;
  change_practice practice;
  int vehicles;
  std::vector<std::size_t> greases{};            // that may be pumped some day
  std::vector<std::optional<change>> changes{};  // [from][to], by their places in `greases`
  std::vector<take> takes{};                     // of each of `greases`
  std::vector<sequence> found{};

  const std::optional<change>& change_at(std::size_t from, std::size_t to) const {
    return changes[from * greases.size() + to];
  }
  const change_times& times() const { return y.at(practice); }

  void add(const sequence& s) {
    sequence& own = found.emplace_back(s);
    double labour = own.fills > 1 ? static_cast<double>(own.fills) : 0.0;
    const auto& cost = f.policy.costs.changeover;
    bool known = labour == 0.0 || cost;
    labour *= vehicles * (cost ? cost->amount : 0.0);
    std::array<double, most_fills> kg{};
    for (std::size_t k = 0; k < own.fills; ++k) {
      const season days = own.days_of(k);
      const std::size_t g = own.grease[k];
      own.hot_days += hot_days_of(y.greases[g], own.fills > 1 ? days.longer_by(times().carry) : days);
      own.penetration += softness(f.stock[g]) * days.days / days_a_year;
      const take& t = takes[static_cast<std::size_t>(std::ranges::find(greases, g) - greases.begin())];
      const auto filled = own.fills > 1 ? t.at_change(practice) : std::optional(0.0);
      known = known && t.daily && filled;
      if (!known) continue;
      // A grease that comes twice a year is bought once.
      const std::size_t first = static_cast<std::size_t>(std::ranges::find(own.grease, g) - own.grease.begin());
      kg[first] += vehicles * (*t.daily * days.days + *filled);
    }
    year_money money{.labour = labour};
    for (std::size_t k = 0; known && k < own.fills; ++k) {
      if (std::ranges::find(own.grease, own.grease[k]) != own.grease.begin() + static_cast<std::ptrdiff_t>(k)) continue;
      const auto cost_of_it = cost_of(f.stock[own.grease[k]].known(), kg[k]);
      known = cost_of_it.has_value();
      money.grease += cost_of_it.value_or(0.0);
    }
    if (known) own.money = money;
  }

  void whole_years() {
    for (const std::size_t g : greases) {
      if (!(y.greases[g].stands & y.greases[g].allowed).all()) continue;
      sequence s{.practice = practice, .grease = {g}};
      s.basis[0] = date_basis::whole_year;
      add(s);
    }
  }

  /// Closes a ring of fills: the days go once around the year, and the first and last fill pass.
  void close(const std::array<std::size_t, most_fills>& places, std::size_t fills, sequence s) {
    const auto& back = change_at(places[fills - 1], places[0]);
    if (!back) return;
    s.fills = fills;
    s.from[0] = back->day;
    s.basis[0] = back->basis;
    int days = 0;
    for (std::size_t k = 0; k < fills; ++k) days += around_year(s.from[(k + 1) % fills] - s.from[k]);
    if (days != days_a_year) return;
    for (const std::size_t k : {std::size_t{0}, fills - 1}) {
      if (!may_be_pumped(y, s.grease[k], s.days_of(k), times())) return;
    }
    add(s);
  }

  /// Adds one grease after the other to a ring whose first is the smallest place in it.
  void extend(std::array<std::size_t, most_fills>& places, std::size_t fills, const sequence& s) {
    if (fills >= 2) close(places, fills, s);
    if (fills >= most_fills || fills >= static_cast<std::size_t>(f.policy.fills)) return;
    for (std::size_t next = places[0]; next < greases.size(); ++next) {
      if (next == places[fills - 1]) continue;
      const auto& c = change_at(places[fills - 1], next);
      if (!c) continue;
      sequence longer = s;
      longer.grease[fills] = greases[next];
      longer.from[fills] = c->day;
      longer.basis[fills] = c->basis;
      // The fill before it is whole now, but for the first, whose beginning is not known yet.
      if (fills >= 2 && !may_be_pumped(y, s.grease[fills - 1], season_between(s.from[fills - 1], c->day), times()))
        continue;
      places[fills] = next;
      extend(places, fills + 1, longer);
    }
  }

  void rings() {
    if (f.policy.fills < 2 || y.by_design_values) return;
    for (std::size_t first = 0; first < greases.size(); ++first) {
      std::array<std::size_t, most_fills> places{first};
      extend(places, 1, {.practice = practice, .grease = {greases[first]}});
    }
  }
};

}  // namespace

std::optional<change> change_of(const route_year& y, std::size_t from, std::size_t to, int carry) {
  const grease_year &out = y.greases[from], &in = y.greases[to];
  if (!out.coldest || !in.coldest) return std::nullopt;
  const auto on = [&](int day, date_basis basis, bool into_cold) -> std::optional<change> {
    if (day < 0 || day >= days_a_year) return std::nullopt;
    return change{around_year(day + y.origin()), basis, into_cold};
  };
  if (*in.coldest < *out.coldest) {
    if (out.cold_from) return on(out.cold_from->day - carry, out.cold_from->basis, true);
    const auto end = end_of_heat(y, in);
    return end ? on(*end, date_basis::heat, true) : std::nullopt;
  }
  if (in.warm_from) return on(in.warm_from->day, in.warm_from->basis, false);
  const auto begin = begin_of_heat(y, out);
  return begin ? on(*begin, date_basis::heat, false) : std::nullopt;
}

bool may_be_pumped(const route_year& y, std::size_t g, const season& days, const change_times& times) {
  return days.days >= std::max(1, y.way) && passes_on(y, g, days, times);
}

bool passes_on(const route_year& y, std::size_t g, const season& days, const change_times& times) {
  const grease_year& own = y.greases[g];
  const auto fails = [](const season& s, const pentads& where) { return (pentads_in(s) & ~where).any(); };
  return !fails(days, own.stands & own.allowed) && !fails(days.beginning(times.settle), own.settles) &&
         !fails(days.longer_by(times.carry), own.stands & own.tail);
}

std::vector<sequence> sequences_of(const fleet_limits& f, const route_year& y, change_practice practice, int vehicles,
                                   std::span<const std::size_t> allowed) {
  search s{.f = f, .y = y, .practice = practice, .vehicles = vehicles};
  for (const std::size_t g : allowed) {
    if ((y.greases[g].stands & y.greases[g].allowed).any()) s.greases.push_back(g);
  }
  for (const std::size_t from : s.greases) {
    s.takes.push_back(take_of(f, y.installations, from));
    for (const std::size_t to : s.greases)
      s.changes.push_back(from == to ? std::nullopt : change_of(y, from, to, y.at(practice).carry));
  }
  s.whole_years();
  s.rings();
  return std::move(s.found);
}

std::vector<sequence> sequences_of(const fleet_limits& f, const route_year& y, int vehicles,
                                   std::span<const std::size_t> allowed) {
  if (f.policy.at_change) return sequences_of(f, y, *f.policy.at_change, vehicles, allowed);
  std::vector<sequence> all = sequences_of(f, y, change_practice::emptied, vehicles, allowed);
  const std::vector<sequence> purged = sequences_of(f, y, change_practice::purged, vehicles, allowed);
  // One grease for the year has no change: it is the same by either.
  std::ranges::copy_if(purged, std::back_inserter(all), [](const sequence& s) { return s.fills > 1; });
  return all;
}

bool preferred(const sequence& a, const sequence& b, preference p, std::span<const grease> stock) {
  return a.practice != b.practice ? a.practice < b.practice : better(a, b, p, stock);
}

bool better(const sequence& a, const sequence& b, preference p, std::span<const grease> stock) {
  constexpr double unknown = std::numeric_limits<double>::infinity();
  const auto money = [&](const sequence& s) { return s.money ? s.money->sum() : unknown; };
  if (p == preference::cheapest && money(a) != money(b)) return money(a) < money(b);
  if (weight_of(a) != weight_of(b)) return weight_of(a) < weight_of(b);
  if (a.fills != b.fills) return a.fills < b.fills;
  if (a.penetration != b.penetration) return a.penetration < b.penetration;
  if (money(a) != money(b)) return money(a) < money(b);
  for (std::size_t k = 0; k < a.fills; ++k) {
    if (const int order = stock[a.grease[k]].name().compare(stock[b.grease[k]].name()); order != 0) return order < 0;
  }
  return false;
}

const sequence* best_of(std::span<const sequence> all, preference p, std::span<const grease> stock) {
  const sequence* best = nullptr;
  for (const sequence& s : all) {
    if (!best || preferred(s, *best, p, stock)) best = &s;
  }
  return best;
}

namespace {

fill fill_of(const fleet_limits& f, const route_year& y, const sequence& s, std::size_t k) {
  const std::size_t g = s.grease[k];
  const grease_year& own = y.greases[g];
  const change_times& times = y.at(s.practice);
  const bool changes = s.fills > 1;
  fill made{.days = s.days_of(k), .grease = g, .basis = s.basis[k]};
  const auto coldest_in = [&](const season& days) {
    std::optional<temperature> coldest;
    days.for_each_pentad([&](std::size_t p) {
      if (!coldest || y.pentads[p].cold < *coldest) coldest = y.pentads[p].cold;
    });
    return *coldest;
  };
  const season stands = changes ? made.days.longer_by(times.carry) : made.days;
  made.coldest = coldest_in(stands);
  made.chance = chance_in(f, y.installations, g, made.coldest);
  made.margin = made.coldest - *own.coldest;
  made.margin_at = made.coldest;
  if (changes) {
    const temperature new_coldest = coldest_in(made.days.beginning(times.settle));
    const double while_settling = chance_in(f, y.installations, g, new_coldest, true);
    made.settling = while_settling < made.chance;
    made.chance = std::min(made.chance, while_settling);
    if (const temperature_step first_days = new_coldest - *own.settling; first_days < made.margin) {
      made.margin = first_days;
      made.margin_at = new_coldest;
    }
    const std::size_t before = s.grease[(k + s.fills - 1) % s.fills];
    const grease_year& old = y.greases[before];
    const bool into_cold = *own.coldest < *old.coldest;
    if (made.basis != date_basis::heat) {
      made.limit = into_cold ? old.coldest : own.settling;
      const auto recent = into_cold ? old.recent_cold : own.recent_warm;
      if (recent) made.recent = day_at(*recent - (into_cold ? times.carry : 0) + y.origin());
    }
  }
  made.hot_days = hot_days_of(own, stands);
  if (made.hot_days > 0) {
    by_month<int> hot{};
    stands.for_each_day([&](int day) {
      hot[static_cast<std::size_t>(day_at(day).month - 1)] += own.hot[static_cast<std::size_t>(day / days_a_pentad)];
    });
    for (std::size_t m = 0; m < hot.size(); ++m) {
      if (hot[m] > 0) made.hot_months.push_back(static_cast<int>(m) + 1);
    }
  }
  const take t = take_of(f, y.installations, g);
  const auto filled = changes ? t.at_change(s.practice) : std::optional(0.0);
  if (t.daily) made.pumped = kilogram(*t.daily * made.days.days);
  if (filled) made.at_change = kilogram(*filled);
  return made;
}

}  // namespace

choice choice_of(const fleet_limits& f, const route_year& y, const sequence& s, int vehicles) {
  choice c{.practice = s.practice, .hot_days = s.hot_days, .money = s.money};
  const change_times& times = y.at(s.practice);
  c.carry_over = days(times.carry);
  for (std::size_t k = 0; k < s.fills; ++k) c.fills.push_back(fill_of(f, y, s, k));
  // The cold season, the softest grease, stands first.
  const auto softest =
      std::ranges::max_element(c.fills, {}, [&](const fill& made) { return softness(f.stock[made.grease]); });
  std::rotate(c.fills.begin(), softest, c.fills.end());
  if (c.money && f.policy.costs.starved) {
    const double chance = std::ranges::min(c.fills, {}, &fill::chance).chance;
    c.money->risk = (1.0 - chance) * f.policy.costs.starved->amount * vehicles;
  }
  return c;
}

}  // namespace coldgrease::inline v0::detail
