#include "plan/kinds.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <tuple>

#include "plan/route_pick.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr std::size_t most_candidates = 16;
constexpr double as_cheap = 0.02;  // of the money: judgement

/// What the routes' best sequences come to within one set of greases: sums, compared in the order of the preference.
struct total {
  int unserved = 0;
  double purged = 0.0;  // routes that must purge
  double money = 0.0;
  double weight = 0.0;  // weight_of()
  double fills = 0.0;
  double penetration = 0.0;
  int hot_days = 0;  // with a hot caution, of all routes
  bool priced = true;

  void add(const sequence* s, int vehicles) {
    if (!s) {
      ++unserved;
      return;
    }
    purged += s->practice != change_practice::emptied;
    priced = priced && s->money;
    money += s->money ? s->money->sum() : 0.0;
    weight += vehicles * weight_of(*s);
    fills += vehicles * static_cast<double>(s->fills);
    penetration += vehicles * s->penetration;
    hot_days += s->hot_days;
  }
  bool before(const total& other, preference p) const {
    const auto rank = [&](const total& t) {
      const double last = t.priced ? t.money : std::numeric_limits<double>::infinity();
      const double first = p == preference::cheapest ? last : 0.0;
      return std::tuple(t.unserved, t.purged, first, t.weight, t.fills, t.penetration, last);
    };
    return rank(*this) < rank(other);
  }
};

constexpr std::uint16_t none = std::numeric_limits<std::uint16_t>::max();

/// The set of a sequence's greases, a bit for each candidate; nothing if one is no candidate.
std::optional<std::size_t> set_of(const sequence& s, std::span<const std::size_t> candidates) {
  std::size_t set = 0;
  for (std::size_t k = 0; k < s.fills; ++k) {
    const auto at = std::ranges::find(candidates, s.grease[k]);
    if (at == candidates.end()) return std::nullopt;
    set |= std::size_t{1} << (at - candidates.begin());
  }
  return set;
}

/// For every set of candidates which sequence of a route is the best within it: its place, as they stand in order.
std::vector<std::uint16_t> best_by_set(const route_ways& r, std::span<const std::size_t> candidates) {
  std::vector<std::uint16_t> best(std::size_t{1} << candidates.size(), none);
  for (std::size_t s = 0; s < std::min<std::size_t>(r.sequences.size(), none); ++s) {
    if (const auto set = set_of(r.sequences[s], candidates)) best[*set] = static_cast<std::uint16_t>(s);
  }
  // Each set takes over what its subsets can: those with a candidate, whose bit is c, stand c behind those without.
  for (std::size_t c = 1; c < best.size(); c *= 2) {
    for (std::size_t without = 0; without < best.size(); without += 2 * c) {
      for (std::size_t set = without; set < without + c; ++set) best[set + c] = std::min(best[set + c], best[set]);
    }
  }
  return best;
}

/// The best sequence of a route from some greases; nothing if none of them is enough.
const sequence* best_within(const route_ways& r, std::span<const std::size_t> greases) {
  const auto found =
      std::ranges::find_if(r.sequences, [&](const sequence& s) { return set_of(s, greases).has_value(); });
  return found == r.sequences.end() ? nullptr : &*found;
}

/// Greases that pass somewhere, those of the plans first where they are too many.
std::vector<std::size_t> candidates_of(const fleet_limits& f, std::span<const route_ways> routes,
                                       std::vector<std::string>& notes) {
  std::vector<std::size_t> candidates;
  const auto uses = [](const sequence& s, std::size_t g) {
    return std::ranges::find(std::span(s.grease).first(s.fills), g) != std::span(s.grease).first(s.fills).end();
  };
  for (std::size_t g = 0; g < f.stock.size(); ++g) {
    if (std::ranges::any_of(routes, [&](const route_ways& r) { return r.passing[g]; })) candidates.push_back(g);
  }
  if (candidates.size() > most_candidates) {
    std::stable_partition(candidates.begin(), candidates.end(), [&](std::size_t g) {
      return std::ranges::any_of(
          routes, [&](const route_ways& r) { return !r.sequences.empty() && uses(r.sequences.front(), g); });
    });
    notes.push_back(fmt::format("{} greases pass somewhere: the kinds are counted among {}, those of the plans first",
                                candidates.size(), most_candidates));
    candidates.resize(most_candidates);
  }
  return candidates;
}

std::vector<std::size_t> greases_of(std::size_t set, std::span<const std::size_t> candidates) {
  std::vector<std::size_t> greases;
  for (std::size_t c = 0; c < candidates.size(); ++c) {
    if ((set >> c & 1U) != 0U) greases.push_back(candidates[c]);
  }
  return greases;
}

/// Other sets of as many greases, each of them needed, that serve every route for nearly the same money: the nearest
/// first, a few.
std::vector<std::vector<std::size_t>> sets_as_cheap(std::span<const total> totals, std::size_t chosen,
                                                    std::span<const std::size_t> candidates) {
  constexpr std::size_t few = 3;
  const auto apart = [&](std::size_t set) { return std::abs(totals[set].money - totals[chosen].money); };
  const auto each_needed = [&](std::size_t set) {
    for (std::size_t c = 0; c < candidates.size(); ++c) {
      const std::size_t without = set & ~(std::size_t{1} << c);
      if (without != set && totals[without].unserved == 0 && !(totals[set].money < totals[without].money)) return false;
    }
    return true;
  };
  std::vector<std::size_t> sets;
  for (std::size_t set = 1; set < totals.size(); ++set) {
    const bool as_many = std::popcount(set) == std::popcount(chosen);
    if (set != chosen && as_many && totals[set].unserved == 0 && totals[set].priced &&
        apart(set) <= as_cheap * totals[chosen].money && each_needed(set))
      sets.push_back(set);
  }
  std::ranges::stable_sort(sets, {}, apart);
  if (sets.size() > few) sets.resize(few);
  std::vector<std::vector<std::size_t>> named;
  for (const std::size_t set : sets) named.push_back(greases_of(set, candidates));
  return named;
}

/// Which routes a set leaves without a grease, and which with less margin than planned on their coldest days.
void compare(std::span<const route_ways> routes, kinds_row& row) {
  constexpr double told_apart = 0.05;  // [K], as margins are shown
  for (std::size_t r = 0; r < routes.size(); ++r) {
    const sequence* s = best_within(routes[r], row.greases);
    if (!s) {
      row.unserved.push_back(r);
      continue;
    }
    const int day = middle_of_pentad(routes[r].coldest_pentad);
    std::size_t on = 0;
    for (std::size_t k = 0; k < s->fills; ++k) {
      if (s->days_of(k).contains(day)) on = s->grease[k];
    }
    if (routes[r].served &&
        in_kelvins(routes[r].margins[on]) < in_kelvins(routes[r].margins[routes[r].planned]) - told_apart)
      row.lose_margin.push_back(r);
  }
}

}  // namespace

std::vector<sequence> best_of_each_set(std::vector<sequence> all, preference p, std::span<const grease> stock) {
  std::ranges::stable_sort(all, [&](const sequence& a, const sequence& b) { return preferred(a, b, p, stock); });
  const auto is_part = [](const sequence& part, const sequence& whole) {
    const auto greases = std::span(whole.grease).first(whole.fills);
    return std::ranges::all_of(std::span(part.grease).first(part.fills),
                               [&](std::size_t g) { return std::ranges::find(greases, g) != greases.end(); });
  };
  std::vector<sequence> best;
  for (const sequence& s : all) {
    if (std::ranges::none_of(best, [&](const sequence& better) { return is_part(better, s); })) best.push_back(s);
  }
  best.shrink_to_fit();  // they are kept of every route
  return best;
}

std::vector<kinds_row> kinds_of(const fleet_limits& f, std::span<const route_ways> routes,
                                std::vector<std::string>& notes) {
  const std::vector<std::size_t> candidates = candidates_of(f, routes, notes);
  const std::size_t sets = std::size_t{1} << candidates.size();
  std::vector<total> totals(sets);
  for (const route_ways& r : routes) {
    const std::vector<std::uint16_t> best = best_by_set(r, candidates);
    for (std::size_t set = 1; set < sets; ++set)
      totals[set].add(best[set] == none ? nullptr : &r.sequences[best[set]], r.vehicles);
  }
  std::vector<kinds_row> rows;
  std::optional<total> last;
  const auto of_size = [](std::size_t set, int kinds) { return std::popcount(set) == kinds; };
  for (int kinds = 1; kinds <= static_cast<int>(candidates.size()); ++kinds) {
    std::size_t chosen = 0;
    for (std::size_t set = 1; set < sets; ++set) {
      if (of_size(set, kinds) && (chosen == 0 || totals[set].before(totals[chosen], f.policy.prefer))) chosen = set;
    }
    kinds_row row{.kinds = kinds,
                  .greases = greases_of(chosen, candidates),
                  .served = static_cast<int>(routes.size()) - totals[chosen].unserved,
                  .hot_days = totals[chosen].hot_days};
    if (row.served == 0) continue;
    // Further kinds that neither serve more nor do it better are no choice.
    if (last && !totals[chosen].before(*last, f.policy.prefer)) continue;
    last = totals[chosen];
    if (totals[chosen].priced && totals[chosen].unserved == 0) {
      row.money = totals[chosen].money;
      row.as_cheap = sets_as_cheap(totals, chosen, candidates);
    }
    compare(routes, row);
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace coldgrease::inline v0::detail
