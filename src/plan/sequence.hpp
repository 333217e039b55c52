// Which grease to pump in each month of a year: the best closed sequence, exact, by dynamic programming.
#pragma once

#include <array>
#include <compare>
#include <limits>
#include <optional>
#include <span>
#include <vector>

namespace coldgrease::inline v0::detail {

/// What is compared first, and what decides between equals. Both add up over months and changes.
struct score {
  double first = 0.0;
  double second = 0.0;

  friend score operator+(score a, score b) { return {a.first + b.first, a.second + b.second}; }
  friend auto operator<=>(const score&, const score&) = default;
};
inline constexpr score impossible{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};

/// One year of one route. Carry-over is inside `chance`: a grease may be pumped in a month only if it passes until the
/// last of that month's is used up.
struct year_of_choices {
  std::array<std::vector<double>, 12>
      chance{};                                // [12][greases]: the smallest until used up; below 0: may not be pumped
  std::array<std::vector<score>, 12> month{};  // [12][greases]: what a month of it costs
  score change{};                              // what each change of grease costs
  int most_fills = 2;
};

struct sequence {
  score total = impossible;
  std::array<std::size_t, 12> grease{};  // by month, January first
};

/// The best sequence of the greases `allowed` (the first of equals counts), each month of a chance of `least` or more,
/// with at most `most_fills` fills a year; a year is a circle: December borders on January. Cost: O(allowed^3 months
/// fills). Test: tests/plan/sequence.cpp
inline std::optional<sequence> best_sequence(const year_of_choices& year, std::span<const std::size_t> allowed,
                                             double least = 0.0) {
  const std::size_t n = allowed.size();
  const std::size_t changes = year.most_fills > 1 ? static_cast<std::size_t>(year.most_fills) : 0U;
  struct step {
    score total = impossible;
    std::size_t from_grease = 0;
    std::size_t from_changes = 0;
  };
  const auto pumped = [&](std::size_t m, std::size_t g) { return year.chance[m][allowed[g]] >= least; };
  const auto month = [&](std::size_t m, std::size_t g) { return year.month[m][allowed[g]]; };
  sequence best;
  std::vector<step> table(12 * n * (changes + 1));
  const auto at = [&](std::size_t m, std::size_t g, std::size_t c) -> step& {
    return table[(m * n + g) * (changes + 1) + c];
  };
  for (std::size_t start = 0; start < n; ++start) {
    if (!pumped(0, start)) continue;
    table.assign(table.size(), step{});
    at(0, start, 0).total = month(0, start);
    for (std::size_t m = 1; m < 12; ++m) {
      for (std::size_t g = 0; g < n; ++g) {
        if (!pumped(m, g)) continue;
        for (std::size_t before = 0; before < n; ++before) {
          for (std::size_t c = 0; c <= changes; ++c) {
            const score so_far = at(m - 1, before, c).total;
            const std::size_t now = c + (before != g);
            if (so_far == impossible || now > changes) continue;
            const score total = so_far + month(m, g) + (before != g ? year.change : score{});
            step& here = at(m, g, now);
            if (total < here.total) here = {total, before, c};
          }
        }
      }
    }
    for (std::size_t g = 0; g < n; ++g) {
      for (std::size_t c = 0; c <= changes; ++c) {
        const std::size_t around = c + (g != start);
        if (at(11, g, c).total == impossible || around > changes) continue;
        const score total = at(11, g, c).total + (g != start ? year.change : score{});
        if (!(total < best.total)) continue;
        best.total = total;
        std::size_t grease = g, used = c;
        for (std::size_t m = 12; m-- > 0;) {
          best.grease[m] = allowed[grease];
          const step& s = at(m, grease, used);
          grease = s.from_grease;
          used = s.from_changes;
        }
      }
    }
  }
  return best.total == impossible ? std::nullopt : std::optional(best);
}

}  // namespace coldgrease::inline v0::detail
