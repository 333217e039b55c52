// Dates of the first and the last cold day, winters with lasting cold.
#include "coldgrease/climate/seasons.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/describe.hpp"
#include "coldgrease/climate/statistics.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

constexpr int years = 30;

/// Seasons from 1 July that are warm but for one spell of each: from `first` to `last`, days since 1 July (below 0:
/// none).
daily_series winters(const std::vector<std::pair<int, int>>& spells, int first_month = 7, double low = -20.0) {
  std::vector<daily_extremes> days;
  int year = 1990;
  for (const auto& [first, last] : spells) {
    const int begin = day_number({year, first_month, 1}), end = day_number({++year, first_month, 1});
    for (int d = begin; d < end; ++d) {
      const bool cold = first >= 0 && d - begin >= first && d - begin <= last;
      days.push_back({d, cold ? low : 5.0, cold ? low + 2.0 : 12.0});
    }
  }
  return make_daily_series("s", std::move(days));
}

std::string text_of(const std::optional<day_of_year>& d) {
  return d ? std::to_string(d->month) + "-" + std::to_string(d->day) : "none";
}

/// Spells whose first days are 130 to 159 and whose last days are 240 to 269.
std::vector<std::pair<int, int>> spread(int count) {
  std::vector<std::pair<int, int>> spells;
  for (int i = 0; i < count; ++i) spells.push_back({130 + i % years, 240 + i * 7 % years});
  return spells;
}

}  // namespace

TEST_CASE("law: a winter runs through New Year and is not split, equal seasons have their own dates") {
  // Day 150 after 1 July is 28 November, day 250 is 8 March; no spread, so any risk gives the same.
  const daily_series s = winters(std::vector<std::pair<int, int>>(12, {150, 250}));
  for (const double risk : {0.02, 0.1, 0.5, 0.9}) {
    const season_dates d = dates_of_cold(s, celsius(-10), {.risk = risk});
    CHECK(d.seasons == 12);
    CHECK(d.without_event == 0);
    CHECK(text_of(d.first) == "11-28");
    CHECK(text_of(d.last) == "3-8");
  }
}

TEST_CASE("law: whole days lie on the side of the accepted risk") {
  const daily_series s = winters(spread(years));
  std::vector<double> firsts, lasts;
  for (const auto& [first, last] : spread(years)) {
    firsts.push_back(first);
    lasts.push_back(last);
  }
  const season_dates d = dates_of_cold(s, celsius(-10));
  const auto date_after = [](double days) {
    const date found = date_of(day_number({2001, 7, 1}) + static_cast<int>(days));
    return std::to_string(found.month) + "-" + std::to_string(found.day);
  };
  CHECK(text_of(d.first) == date_after(std::floor(first_crossing(firsts, years, 0.1).value())));
  CHECK(text_of(d.last) == date_after(std::ceil(last_crossing(lasts, years, 0.1).value())));
}

TEST_CASE("law: the smaller the risk, the longer the season, an even chance is the mean where no season fails") {
  const std::vector<double> days{140, 150, 160};
  double before_first = 1e9, before_last = -1e9;
  for (const double risk : {0.9, 0.5, 0.2, 0.1, 0.01}) {
    const double first = first_crossing(days, 3, risk).value(), last = last_crossing(days, 3, risk).value();
    CHECK(first < before_first);
    CHECK(last > before_last);
    CHECK(near(first + last, 300.0, 1e-12));  // mirrored about the mean
    before_first = first;
    before_last = last;
  }
  CHECK(near(first_crossing(days, 3, 0.5).value(), 150.0, 1e-12));
}

TEST_CASE("law: seasons without an event are counted and shorten the season, rarer than the risk there is none") {
  std::vector<std::pair<int, int>> spells = spread(20);
  const season_dates all = dates_of_cold(winters(spells), celsius(-10));
  for (std::size_t i = 0; i < 20; i += 2) spells[i] = {-1, -1};
  const season_dates half = dates_of_cold(winters(spells), celsius(-10));
  CHECK(half.seasons == 20);
  CHECK(half.without_event == 10);
  CHECK(half.first->month * 100 + half.first->day > all.first->month * 100 + all.first->day);
  const season_dates rare = dates_of_cold(winters(spells), celsius(-10), {.risk = 0.5});
  CHECK(text_of(rare.first) == "none");
  CHECK(text_of(rare.last) == "none");
  const season_dates never = dates_of_cold(winters(spells), celsius(-40));
  CHECK(never.without_event == 20);
  CHECK(text_of(never.first) == "none");
  CHECK(!first_crossing(std::vector<double>{140}, 1, 0.1));  // one date has no spread
}

TEST_CASE("case: under ten seasons there are no dates, under 25 a warning, from then on none") {
  const auto notes_say = [](const climate_answer& a, std::string_view part) {
    for (const std::string& note : a.notes) {
      if (note.find(part) != std::string::npos) return true;
    }
    return false;
  };
  const climate_answer nine = describe(winters(spread(9)), celsius(-10));
  CHECK(!nine.seasons);
  CHECK(nine.for_dates == date_grade::too_few);
  CHECK(nine.whole_seasons == 9);
  CHECK(nine.winters_with_a_day.value() == 9);
  const climate_answer ten = describe(winters(spread(10)), celsius(-10));
  CHECK(ten.seasons->first);
  CHECK(ten.for_dates == date_grade::rough);
  const climate_answer enough = describe(winters(spread(25)), celsius(-10));
  CHECK(enough.seasons->first);
  CHECK(enough.for_dates == date_grade::good);
  CHECK(!notes_say(enough, "cold day"));
  CHECK(notes_say(describe(winters(spread(25)), celsius(-40)), "0 of 25 seasons have one"));
}

TEST_CASE("law: whether a record is good enough for dates is said without a limit, and hangs on none") {
  for (const int count : {1, 9, 10, 24, 25}) {
    const daily_series s = winters(spread(count));
    CHECK(whole_seasons(s) == count);
    const climate_answer without = describe(s);
    CHECK(without.for_dates == grade_of(count));
    for (const double limit : {-40.0, -10.0, 8.0}) {
      const climate_answer with = describe(s, celsius(limit));
      CHECK(with.for_dates == without.for_dates);
      CHECK(with.whole_seasons == dates_of_cold(s, celsius(limit)).seasons);
    }
  }
  CHECK(grade_of(0) == date_grade::none);
  CHECK(whole_seasons(typical_year{}) == 0);
}

TEST_CASE("case: a season that misses more than 15 days does not count") {
  daily_series s = winters(std::vector<std::pair<int, int>>(12, {150, 250}));
  s.days.erase(s.days.begin() + 200, s.days.begin() + 216);
  CHECK(dates_of_cold(s, celsius(-10)).seasons == 11);
}

TEST_CASE("case: on the southern half seasons begin on 1 January, by the latitude or by choice") {
  // Cold from day 150 of the calendar year, 31 May, to day 250, 8 September.
  daily_series s = winters(std::vector<std::pair<int, int>>(12, {150, 250}), 1);
  const season_dates chosen = dates_of_cold(s, celsius(-10), {.starts = season_start::january});
  CHECK(text_of(chosen.first) == "5-31");
  CHECK(text_of(chosen.last) == "9-8");
  CHECK(chosen.seasons == 12);
  bool warned = false;
  for (const std::string& note : describe(s, celsius(-10)).notes)
    warned = warned || note.find("on the southern half cut them on 1 January") != std::string::npos;
  CHECK(warned);
  s.latitude = -45.0;
  CHECK(dates_of_cold(s, celsius(-10)).starts == season_start::january);
  CHECK(text_of(dates_of_cold(s, celsius(-10)).first) == "5-31");
  s.latitude = 45.0;
  CHECK(dates_of_cold(s, celsius(-10)).starts == season_start::july);
}

TEST_CASE("case: at or below the limit counts for dates, below it for hours") {
  const daily_series s = winters(std::vector<std::pair<int, int>>(12, {150, 250}), 7, -12.2);
  CHECK(dates_of_cold(s, celsius(-12.2)).without_event == 0);
  CHECK(dates_of_cold(s, fahrenheit(10)).without_event == 12);  // -12.2222 C
  CHECK(below(s, celsius(-12.2)).longest.hours == 0);
}

TEST_CASE("law: winters with a day below are those of a run of more than 24 hours") {
  const daily_series s = winters({{150, 150}, {150, 151}, {150, 160}, {-1, -1}});
  // One cold day: below 0 C from the evening before to its own night, less than a day; -20 to -18 C.
  CHECK(winters_with_a_day_below(s, celsius(-19.9)) == 0);
  CHECK(winters_with_a_day_below(s, celsius(-10)) == 2);
  CHECK(winters_with_a_day_below(hourly(s), celsius(-10)) == 2);
  CHECK(winters_with_a_day_below(s, celsius(30)) == 4);
}

TEST_CASE("case: a risk that is none") {
  const daily_series s = winters(spread(10));
  for (const double risk : {0.0, 1.0, -0.1, std::nan("")})
    CHECK_THROWS_AS(dates_of_cold(s, celsius(-10), {.risk = risk}), input_error);
}

TEST_CASE("law: the coldest hours of a season are those of all its hours in order") {
  // Winters of every kind: mild and even, one spell, and days that jump; days are missing in some.
  std::mt19937 random(7);
  std::uniform_real_distribution<double> noise(-1.0, 1.0);
  std::vector<daily_extremes> days;
  const auto first_of = [](int year) { return day_number({year, 7, 1}); };
  for (int year = 1990; year < 2000; ++year) {
    for (int d = first_of(year); d < first_of(year + 1); ++d) {
      const double since = d - first_of(year);
      const bool spell = year % 3 == 1 && since > 180 && since < 190;
      const double low = year % 3 == 0   ? -5.0 - std::cos(since / 58.0)
                         : year % 3 == 1 ? (spell ? -30.0 : 2.0) + noise(random)
                                         : std::round(15.0 * noise(random));
      if (year % 2 == 0 && std::lround(since) % 31 == 3) continue;
      days.push_back({d, low, low + 8.0 + 6.0 * noise(random)});
    }
  }
  const daily_series series = make_daily_series("s", std::move(days));
  const std::vector<double> hours = hours_of(series);
  std::vector<std::vector<double>> by_season;
  for (std::size_t i = 0, year = 1990; year < 2000; ++year) {
    std::vector<double>& own = by_season.emplace_back();
    for (; i < series.days.size() && series.days[i].day < first_of(static_cast<int>(year) + 1); ++i)
      own.insert(own.end(), hours.begin() + static_cast<std::ptrdiff_t>(24 * i),
                 hours.begin() + static_cast<std::ptrdiff_t>(24 * i + 24));
  }
  for (const double share : {0.0001, 0.004, 0.01, 0.1, 0.3, 0.49}) {
    const std::vector<temperature> quantiles = season_quantiles(series, share, {.starts = season_start::july});
    REQUIRE(quantiles.size() == by_season.size());
    for (std::size_t s = 0; s < quantiles.size(); ++s) {
      std::vector<double> sorted = by_season[s];
      CHECK_MESSAGE(quantiles[s] == celsius(quantile(sorted, share)), share << " of season " << s);
    }
  }
}
