#include "plan/route_pick.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <iterator>
#include <numeric>
#include <set>

#include "base/whole.hpp"
#include "coldgrease/climate/statistics.hpp"
#include "plan/route_remarks.hpp"

namespace coldgrease::inline v0::detail {

namespace {

/// Pentads that hold a day of a month.
std::vector<std::size_t> pentads_of_month(int month) {
  std::vector<std::size_t> in;
  season_between(ordinal({month, 1}), ordinal({month % 12 + 1, 1})).for_each_pentad([&](std::size_t p) {
    in.push_back(p);
  });
  return in;
}

/// The leg that is the coldest on a pentad.
const leg_climate& coldest_leg(const route_year& y, std::size_t pentad) {
  return *std::ranges::min_element(y.weather.legs, {},
                                   [&](const leg_climate& l) { return l.climate->pentads[pentad].cold + l.shift; });
}

month_pick month_of(const fleet_limits& f, const route_year& y, int month) {
  const std::vector<std::size_t> pentads = pentads_of_month(month);
  const auto cold = [&](std::size_t p) { return y.pentads[p].cold; };
  const auto hot = [&](std::size_t p) { return y.pentads[p].hot; };
  const std::size_t coldest = *std::ranges::min_element(pentads, {}, cold);
  const leg_climate& leg = coldest_leg(y, coldest);
  const auto& minimum = leg.climate->return_minimum[static_cast<std::size_t>(month - 1)];
  month_pick m{.month = month,
               .design = cold(coldest),
               .hot = hot(*std::ranges::max_element(pentads, {}, hot)),
               .return_minimum = minimum ? std::optional(*minimum + leg.shift) : std::nullopt,
               .governing_station = leg.station};
  m.greases.reserve(f.stock.size());  // most of what an answer holds
  for (std::size_t g = 0; g < f.stock.size(); ++g) m.greases.push_back(judge(f, y.installations, g, m.design, m.hot));
  for (const std::size_t i : y.installations) {
    for (const rule_answer& a : rules_at(f.rules, m.design, name_of(f.systems[i].type))) {
      // One rule may be written for several types of system.
      const auto said = [&](const rule_answer& r) {
        const published_rule& rule = f.rules[r.rule];
        return std::pair<std::string_view, std::string_view>(rule.name, rule.steps[r.step].says);
      };
      if (std::ranges::find(m.published_rules, said(a), said) == m.published_rules.end())
        m.published_rules.push_back(a);
    }
  }
  return m;
}

/// Which greases are pumped in a month, and the one whose figures are shown: that of its coldest days.
void show_fills(const route_year& y, const choice& c, month_pick& m) {
  season_between(ordinal({m.month, 1}), ordinal({m.month % 12 + 1, 1})).for_each_day([&](int day) {
    if (const fill* on = pumped_on(c, day); on && (m.pumped.empty() || m.pumped.back() != on->grease))
      m.pumped.push_back(on->grease);
  });
  m.picked = !m.pumped.empty();
  if (!m.picked) {
    m.shown = nearest(m);
    return;
  }
  const std::vector<std::size_t> pentads = pentads_of_month(m.month);
  const std::size_t coldest = *std::ranges::min_element(pentads, {}, [&](std::size_t p) { return y.pentads[p].cold; });
  m.shown = pumped_on(c, middle_of_pentad(coldest))->grease;
}

/// The warmest limit of the greases that may stand in the lines on each day, of the nearest one where none is pumped.
/// @return nothing where one of them has none
std::optional<std::vector<temperature>> limits_by_day(const route_year& y, const route_pick& r) {
  std::vector<std::optional<temperature>> limits(days_a_year);
  const auto stand = [&](std::size_t grease, int day) {
    const auto& own = y.greases[grease].coldest;
    auto& limit = limits[static_cast<std::size_t>(day)];
    if (own) limit = limit ? std::max(*limit, *own) : *own;
    return own.has_value();
  };
  bool known = true;
  for (const fill& made : r.decided.fills)
    standing(r.decided, made).for_each_day([&](int day) { known = stand(made.grease, day) && known; });
  if (!r.decided.served()) {
    for (int day = 0; day < days_a_year; ++day)
      known = stand(r.months[static_cast<std::size_t>(day_at(day).month - 1)].shown, day) && known;
  }
  if (!known) return std::nullopt;
  std::vector<temperature> all;
  for (const auto& limit : limits) all.push_back(*limit);
  return all;
}

void add_time_below(const route_year& y, route_pick& r) {
  const auto limits = limits_by_day(y, r);
  if (!limits) return;
  for (const leg_climate& l : y.weather.legs) {
    daily_limits at_station{};
    for (std::size_t day = 0; day < at_station.size(); ++day) at_station[day] = ((*limits)[day] - l.shift).in_celsius();
    const auto below = below_by_month(l.climate->series, at_station);
    for (std::size_t m = 0; below && m < r.months.size(); ++m) {
      month_pick& month = r.months[m];
      month.hours_below = std::max(month.hours_below.value_or(0.0), (*below)[m].hours_a_year);
      month.longest_spell = std::max(month.longest_spell.value_or(0), (*below)[m].longest.hours);
    }
  }
}

void append(std::vector<std::string>& to, std::vector<std::string> more) {
  to.insert(to.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

/// The fills by the policy's preference, by the other one, and by purging where that is not done and would be better.
void choose(const fleet_limits& f, const asked_route& asked, decided_route& d) {
  const std::vector<std::size_t> stock = whole_stock(f);
  d.sequences = sequences_of(f, d.year, asked.vehicles, stock);
  const auto shown = [&](const sequence* s) {
    return s ? std::optional(choice_of(f, d.year, *s, asked.vehicles)) : std::nullopt;
  };
  const sequence* best = best_of(d.sequences, f.policy.prefer, f.stock);
  d.pick.decided = shown(best).value_or(choice{});
  const bool priced = std::ranges::all_of(d.sequences, [](const sequence& s) { return s.money.has_value(); });
  if (priced && d.pick.decided.served()) {
    const preference other = f.policy.prefer == preference::stiffest ? preference::cheapest : preference::stiffest;
    d.pick.otherwise = shown(best_of(d.sequences, other, f.stock));
  }
  // What purging the lines would change, where it is not what is done.
  const auto practice = f.policy.at_change;
  if (practice == change_practice::purged) return;
  const std::vector<sequence> other =
      practice ? sequences_of(f, d.year, change_practice::purged, asked.vehicles, stock) : d.sequences;
  std::vector<sequence> purged;
  std::ranges::copy_if(other, std::back_inserter(purged),
                       [](const sequence& s) { return s.practice == change_practice::purged && s.fills > 1; });
  const sequence* best_purged = best_of(purged, f.policy.prefer, f.stock);
  if (best_purged && (!best || better(*best_purged, *best, f.policy.prefer, f.stock)))
    d.pick.if_purged = shown(best_purged);
}

}  // namespace

std::vector<std::size_t> whole_stock(const fleet_limits& f) {
  std::vector<std::size_t> all(f.stock.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  return all;
}

const fill* pumped_on(const choice& c, int day) {
  const auto on = std::ranges::find_if(c.fills, [&](const fill& made) { return made.days.contains(day); });
  return on == c.fills.end() ? nullptr : &*on;
}

season standing(const choice& c, const fill& made) {
  return c.fills.size() > 1 ? made.days.longer_by(whole_near(in_days(c.carry_over), 0, days_a_year)) : made.days;
}

std::string question_of(const route& r, const std::string& weather) {
  return fmt::format("{}{}\n{}", weather, r.vehicles, fmt::join(r.installations, " "));
}

decided_route decide(const fleet_limits& f, const asked_route& asked, std::vector<std::size_t> installations,
                     route_weather weather) {
  // One after the other: g++ 12 destroys a part twice where a later one of the same braces throws.
  decided_route d;
  d.pick.route = asked.name;
  d.pick.region = asked.region;
  d.pick.vehicles = asked.vehicles;
  d.year = year_of_route(f, std::move(installations), std::move(weather));
  const route_year& y = d.year;
  route_pick& r = d.pick;
  r.installations = y.installations;
  r.by_design_values = y.by_design_values;
  choose(f, asked, d);
  for (int month = 1; month <= 12; ++month) {
    month_pick& m = r.months[static_cast<std::size_t>(month - 1)] = month_of(f, y, month);
    show_fills(y, r.decided, m);
  }
  add_time_below(y, r);
  r.notes = y.weather.notes;
  if (!r.decided.served()) {
    help found = help_on(f, r);
    r.would_help = std::move(found.remedies);
    r.unserved = std::move(found.notes);
  }
  append(r.notes, notes_of_dates(f, y, r));
  append(r.notes, conflicts_on(f, r));
  append(r.notes, gaps_of_record(f, y));
  append(r.notes, assumptions_on(f, r));
  r.warnings = warnings_on(f, r);
  r.missing = missing_on(f, y, r);
  std::vector<std::size_t> shown;
  for (const month_pick& m : r.months) {
    if (std::ranges::find(shown, m.shown) == shown.end()) shown.push_back(m.shown);
  }
  r.evidence = evidence_of(f, r, shown);
  return d;
}

}  // namespace coldgrease::inline v0::detail
