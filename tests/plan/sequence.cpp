// The year's sequence of greases against plain enumeration of every sequence there is.
#include "plan/sequence.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdint>
#include <random>

using namespace coldgrease::detail;

namespace {

/// Every sequence of n greases over twelve months.
score by_enumeration(const year_of_choices& year, std::span<const std::size_t> allowed) {
  const std::size_t greases = year.chance[0].size();
  score best = impossible;
  std::array<std::size_t, 12> s{};
  for (;;) {
    bool possible = true;
    score total;
    int changes = 0;
    for (std::size_t m = 0; m < 12 && possible; ++m) {
      possible = std::ranges::find(allowed, s[m]) != allowed.end() && year.chance[m][s[m]] >= 0.0;
      total = total + year.month[m][s[m]];
      if (s[m] != s[(m + 1) % 12]) {
        ++changes;
        total = total + year.change;
      }
    }
    // In a circle as many changes as fills, but for a year without a change.
    if (possible && (changes == 0 || changes <= year.most_fills) && total < best) best = total;
    std::size_t digit = 0;
    while (digit < 12 && ++s[digit] == greases) s[digit++] = 0;
    if (digit == 12) return best;
  }
}

std::vector<std::size_t> members(std::uint32_t set) {
  std::vector<std::size_t> out;
  for (std::size_t g = 0; g < 32; ++g) {
    if ((set >> g & 1U) != 0U) out.push_back(g);
  }
  return out;
}

}  // namespace

TEST_CASE("law: the best sequence costs what enumeration of all sequences finds" * doctest::test_suite("long")) {
  std::mt19937 random(11);
  std::uniform_int_distribution<int> cost(1, 9), chance(0, 9);
  int served = 0;
  for (int trial = 0; trial < 40; ++trial) {
    const std::size_t greases = trial % 4 == 0 ? 3U : 2U;
    year_of_choices year{.change = {static_cast<double>(cost(random)), 1.0}};
    year.most_fills = 1 + trial % 4;
    for (std::size_t m = 0; m < 12; ++m) {
      for (std::size_t g = 0; g < greases; ++g) {
        year.chance[m].push_back(chance(random) < 8 ? 0.9 : -1.0);
        year.month[m].push_back({static_cast<double>(cost(random)), static_cast<double>(cost(random))});
      }
    }
    std::vector<std::size_t> allowed{0};
    for (std::size_t g = 1; trial % 5 != 0 && g < greases; ++g) allowed.push_back(g);
    const auto found = best_sequence(year, allowed);
    const score expected = by_enumeration(year, allowed);
    CHECK(found.has_value() == (expected != impossible));
    if (!found) continue;
    ++served;
    CHECK(found->total.first == expected.first);
    CHECK(found->total.second == expected.second);
    // The sequence it names has the cost it claims.
    score total;
    for (std::size_t m = 0; m < 12; ++m) {
      CHECK(year.chance[m][found->grease[m]] >= 0.0);
      total = total + year.month[m][found->grease[m]];
      if (found->grease[m] != found->grease[(m + 1) % 12]) total = total + year.change;
    }
    CHECK(total.first == found->total.first);
  }
  CHECK(served > 10);
}

TEST_CASE("law: more greases allowed never cost more, more fills neither") {
  std::mt19937 random(5);
  std::uniform_int_distribution<int> cost(1, 99);
  year_of_choices year{.change = {20.0, 0.0}};
  for (std::size_t m = 0; m < 12; ++m) {
    for (std::size_t g = 0; g < 5; ++g) {
      year.chance[m].push_back(g == 0 || (m + g) % 3 != 0 ? 0.8 + 0.01 * static_cast<double>(g) : -1.0);
      year.month[m].push_back({static_cast<double>(cost(random)), 0.0});
    }
  }
  for (std::uint32_t set = 1; set < 32; ++set) {
    for (std::uint32_t grease = 0; grease < 5; ++grease) {
      const auto with = best_sequence(year, members(set | 1U << grease)), without = best_sequence(year, members(set));
      if (without) CHECK(with->total.first <= without->total.first);
    }
  }
  double last = 1e9;
  for (year.most_fills = 1; year.most_fills <= 6; ++year.most_fills) {
    const double now = best_sequence(year, members(31))->total.first;
    CHECK(now <= last);
    last = now;
  }
  // A higher chance asked for leaves fewer greases, and never costs less.
  const double free = best_sequence(year, members(31))->total.first;
  CHECK(best_sequence(year, members(31), 0.8)->total.first == free);
  CHECK(best_sequence(year, members(1), 0.8)->total.first >= free);
  CHECK(!best_sequence(year, members(31), 0.9));
}
