// Two weather files side by side.
#include "coldgrease/climate/two_records.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>
#include <numbers>
#include <string>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/year_climate.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

/// Years of a wave with its trough on 15 January at `trough`, its crest half a year later at `crest`; the maximum 8 K
/// above the minimum.
daily_series wave(const std::string& name, double trough, double crest, int years, int from = 1991) {
  std::vector<daily_extremes> days;
  for (int d = day_number({from, 1, 1}); d < day_number({from + years, 1, 1}); ++d) {
    const double angle = 2.0 * std::numbers::pi * (d - day_number({from, 1, 15})) / 365.25;
    const double low = 0.5 * (trough + crest) - 0.5 * (crest - trough) * std::cos(angle);
    days.push_back({d, low, low + 8.0});
  }
  return make_daily_series(name, std::move(days));
}

typical_year typical(const std::string& name, double trough, double crest) {
  typical_year year;
  year.station = name;
  for (const hourly_value& v : hourly(wave(name, trough, crest, 1, 2001)).hours)
    year.hours.push_back({v.hour - 24 * day_number({2001, 1, 1}), v.celsius});
  return year;
}

bool notes_say(const record_comparison& c, std::string_view part) {
  for (const std::string& note : c.notes) {
    if (note.find(part) != std::string::npos) return true;
  }
  return false;
}

}  // namespace

TEST_CASE("law: the colder in winter is the safer, by what a plan judges the coldest days at, in either order") {
  const daily_series mild = wave("hill", -20.0, 16.0, 12), cold = wave("valley", -26.0, 14.0, 12);
  const record_comparison c = compare_records(mild, cold), turned = compare_records(cold, mild);
  CHECK(c.safer == safer_record::second);
  CHECK(turned.safer == safer_record::first);
  const auto coldest = [](const weather& w) {
    return std::ranges::min(year_of(w).pentads, {}, &judged_pentad::cold).cold;
  };
  CHECK(c.first.coldest == coldest(mild));
  CHECK(c.second.coldest == coldest(cold));
  CHECK(near(in_kelvins(*c.step), coldest(cold).in_celsius() - coldest(mild).in_celsius(), 0.0, 1e-9));
  CHECK(near(in_kelvins(*turned.step), -in_kelvins(*c.step), 0.0, 1e-9));
  CHECK(c.second.called == "valley");
  REQUIRE(c.months.size() == 12);
  for (const month_pair& m : c.months) {
    const climate_answer alone = describe(mild);
    CHECK(m.first == alone.months.at(static_cast<std::size_t>(m.month - 1)).cold);
  }
  CHECK(notes_say(c, "in the heat hill is the safer: its hottest days are judged 2.0 K higher"));
  CHECK(notes_say(c, "both as legs"));
  CHECK(notes_say(turned, "in the heat hill is the safer"));
}

TEST_CASE("law: a record beside itself is alike, on all days, and nothing speaks for one of them") {
  const daily_series s = wave("s", -20.0, 16.0, 12);
  const record_comparison c = compare_records(s, s);
  CHECK(c.safer == safer_record::alike);
  CHECK(in_kelvins(*c.step) == 0.0);
  REQUIRE(c.common);
  CHECK(c.common->days == static_cast<int>(s.days.size()));
  CHECK(in_kelvins(c.common->mean) == 0.0);
  CHECK(c.first.called == "first");
  CHECK(c.notes.size() == 1);  // that both may be legs
}

TEST_CASE("law: days that both have tell the place apart, and the coldest tenth of them the cold") {
  const daily_series first = wave("a", -20.0, 16.0, 3);
  daily_series second = first;
  second.station = "b";
  for (daily_extremes& d : second.days) d.low -= d.low < -15.0 ? 6.0 : 1.0;
  second.days.erase(second.days.begin(), second.days.begin() + 400);
  const record_comparison c = compare_records(first, second);
  REQUIRE(c.common);
  CHECK(c.common->days == static_cast<int>(second.days.size()));
  CHECK(near(in_kelvins(c.common->coldest_tenth), -6.0, 0.0, 1e-9));
  CHECK(in_kelvins(c.common->mean) < -1.0);
  CHECK(in_kelvins(c.common->mean) > -6.0);
  // Gaps are gaps of the record, and years that differ are said.
  CHECK(c.second.missing == 0.0);
  CHECK(notes_say(c, "not of the same years, 1991 to 1993 and 1992 to 1993"));
  CHECK(!compare_records(first, wave("c", -20.0, 16.0, 2, 2001)).common);
}

TEST_CASE("case: what speaks for the other is said: months, dates, a typical year, few years") {
  const daily_series long_record = wave("long", -20.0, 10.0, 30);
  // A deeper winter and a warmer summer.
  const record_comparison c = compare_records(long_record, wave("short", -24.0, 20.0, 5, 2016));
  CHECK(c.safer == safer_record::second);
  CHECK(notes_say(c, "long is the colder in "));
  CHECK(notes_say(c, "July"));
  CHECK(!notes_say(c, "January"));
  CHECK(notes_say(c, "long is the better for dates: good, the other too few"));
  CHECK(notes_say(c, "short: 5 whole years, fewer than 10: it may have missed the cold ones"));
  CHECK(!notes_say(c, "long: "));
  const record_comparison t = compare_records(typical("made up", -24.0, 20.0), long_record);
  CHECK(t.safer == safer_record::first);
  CHECK(!t.common);
  CHECK(notes_say(t, "made up is a typical year, which leaves out the extremes"));
  CHECK(t.first.missing == 0.0);
}

TEST_CASE("case: a record without a month is never the safer: no plan can be made by it") {
  daily_series cold = wave("no July", -40.0, 0.0, 12);
  std::erase_if(cold.days, [](const daily_extremes& d) { return date_of(d.day).month == 7; });
  const daily_series mild = wave("whole", -10.0, 16.0, 12);
  const record_comparison c = compare_records(cold, mild);
  CHECK(c.safer == safer_record::second);
  CHECK(!c.first.coldest);
  CHECK(!c.step);
  CHECK(c.months.size() == 11);
  CHECK(c.first.missing > 0.05);
  CHECK(compare_records(cold, cold).safer == safer_record::alike);
  CHECK_THROWS_AS(compare_records(daily_series{}, mild), input_error);
}
