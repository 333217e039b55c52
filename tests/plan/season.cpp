// Laws of spans of days on the circle of the year.
#include "coldgrease/plan/season.hpp"

#include <doctest/doctest.h>

#include <numeric>
#include <set>
#include <vector>

using namespace coldgrease;

TEST_CASE("law: a day of the year and its place are each other's inverse") {
  for (int day = -400; day < 800; ++day) CHECK(ordinal(day_at(day)) == around_year(day));
  CHECK(day_at(0) == day_of_year{1, 1});
  CHECK(day_at(364) == day_of_year{12, 31});
  CHECK(day_at(ordinal({3, 1}) - 1) == day_of_year{2, 28});
}

TEST_CASE("law: two seasons that meet at both ends are the year, each day in one of them") {
  for (const int first : {0, 58, 200, 364}) {
    for (const int next : {1, 59, 180, 300}) {
      if (first == next) continue;
      const season a = season_between(first, next), b = season_between(next, first);
      CHECK(a.days + b.days == days_a_year);
      for (int day = 0; day < days_a_year; ++day) CHECK(a.contains(day) != b.contains(day));
      CHECK(ordinal(a.to()) == around_year(next - 1));
      CHECK(ordinal(a.from()) == first);
    }
  }
  CHECK(season_between(5, 5).whole_year());
}

TEST_CASE("law: the days of the months add up, and pentads are those of the days, each once") {
  for (const int first : {0, 3, 57, 183, 360, 364}) {
    for (const int days : {1, 5, 40, 182, 361, 363, 364, 365}) {
      const season s{first, days};
      const by_month<int> months = days_by_month(s);
      CHECK(std::accumulate(months.begin(), months.end(), 0) == days);
      std::vector<std::size_t> pentads;
      s.for_each_pentad([&](std::size_t p) { pentads.push_back(p); });
      std::set<std::size_t> of_days;
      s.for_each_day([&](int day) { of_days.insert(pentad_of(day_at(day))); });
      CHECK(pentads.size() == of_days.size());
      CHECK(std::set(pentads.begin(), pentads.end()) == of_days);
    }
  }
  CHECK(season{300, 100}.longer_by(400).days == days_a_year);
  CHECK(season{300, 100}.beginning(7) == season{300, 7});
  static_assert(days_by_month(season{})[1] == 28);
}
