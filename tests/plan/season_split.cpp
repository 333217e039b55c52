// The two-season split against brute force, written apart from the library's search.
#include <doctest/doctest.h>

#include <cmath>
#include <set>

#include "examples.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

/// Months that a fill pumped in `length` months from `from` (0 to 11) must pass.
std::set<int> judged(int from, int length, double carry_days) {
  std::set<int> months;
  for (int m = 0; m < length; ++m) months.insert((from + m) % 12);
  const int more = static_cast<int>(std::ceil(carry_days / (365.2425 / 12.0) - 1e-9));
  for (int m = 0; m < more; ++m) months.insert((from + length + m) % 12);
  return months;
}

bool serves(const route_pick& r, std::size_t grease, const std::set<int>& months) {
  for (const int m : months) {
    const grease_month& g = r.months[static_cast<std::size_t>(m)].greases[grease];
    if (g.verdict != verdict::flows || g.excluded != exclusion::none) return false;
  }
  return true;
}

/// The smallest mean penetration of any split in two different greases that passes; infinity if none does.
double best_mean_penetration(const route_pick& r, const std::vector<grease>& stock) {
  double best = INFINITY;
  for (int from = 0; from < 12; ++from) {
    for (int length = 1; length < 12; ++length) {
      for (std::size_t a = 0; a < stock.size(); ++a) {
        if (!serves(r, a, judged(from, length, in_days(r.carry_over)))) continue;
        for (std::size_t b = 0; b < stock.size(); ++b) {
          if (stock[a].stiff_penetration() == stock[b].stiff_penetration()) continue;
          if (!serves(r, b, judged(from + length, 12 - length, in_days(r.carry_over)))) continue;
          best = std::min(
              best, (length * stock[a].stiff_penetration() + (12 - length) * stock[b].stiff_penetration()) / 12.0);
        }
      }
    }
  }
  return best;
}

double mean_penetration(const std::vector<fill>& fills, const std::vector<grease>& stock) {
  double sum = 0.0;
  for (const fill& f : fills)
    sum += ((f.to_month - f.from_month + 12) % 12 + 1) / 12.0 * stock[f.grease].stiff_penetration();
  return sum;
}

}  // namespace

TEST_CASE("law: the split is the stiffest that brute force finds, its seasons tile the year and pass until used up") {
  const auto stock = examples::stock();
  int splits = 0;
  for (const double mean : {-6.0, -2.0, 2.0, 6.0}) {
    for (const double carry : {20.0, 60.0, 120.0, 400.0}) {
      for (const bool limited : {false, true}) {
        const std::vector installations{examples::system(250, carry)};
        policy p;
        if (limited) p.softest_in_heat = heat_limit{"0", celsius(mean + 12.0)};
        const auto r = pick(monthly(examples::weather(mean, 16)), installations, stock, p).routes.front();
        CAPTURE(mean);
        CAPTURE(carry);
        CHECK(near(in_days(r.carry_over), carry, 1e-9));
        const double best = best_mean_penetration(r, stock);
        const double year = r.year ? stock[r.year->grease].stiff_penetration() : INFINITY;
        if (r.seasons.size() == 2) {
          ++splits;
          CHECK(near(mean_penetration(r.seasons, stock), best, 1e-12));
          CHECK(best < year);
          const fill& cold = r.seasons[0];
          const fill& warm = r.seasons[1];
          CHECK(warm.from_month == cold.to_month % 12 + 1);
          CHECK(cold.from_month == warm.to_month % 12 + 1);
          CHECK(stock[cold.grease].stiff_penetration() > stock[warm.grease].stiff_penetration());
          for (const fill& f : r.seasons) {
            const int length = (f.to_month - f.from_month + 12) % 12 + 1;
            CHECK(serves(r, f.grease, judged(f.from_month - 1, length, carry)));
            CHECK(f.chance >= 0.80);
          }
        } else {
          CHECK(best >= year);
          CHECK(r.seasons.empty() == !r.year.has_value());
        }
      }
    }
  }
  CHECK(splits >= 4);
}

TEST_CASE("law: a fill that lasts longer never makes a stiffer split possible") {
  const auto stock = examples::stock();
  const auto year = monthly(examples::weather(0, 16));
  double before = 0.0;
  for (const double carry : {20.0, 50.0, 80.0, 110.0, 150.0}) {
    const std::vector installations{examples::system(250, carry)};
    const auto r = pick(year, installations, stock).routes.front();
    const double now = r.seasons.empty() ? 1e9 : mean_penetration(r.seasons, stock);
    CHECK(now >= before);
    before = now;
  }
}

TEST_CASE("case: one season asked for, one given") {
  const auto stock = examples::stock();
  const std::vector installations{examples::system(250, 30)};
  const auto r = pick(monthly(examples::weather(2, 16)), installations, stock, {.seasons = 1}).routes.front();
  REQUIRE(r.year);
  REQUIRE(r.seasons.size() == 1);
  CHECK(r.seasons.front().grease == r.year->grease);
  CHECK(r.seasons.front().from_month == 1);
  CHECK(r.seasons.front().to_month == 12);
}
