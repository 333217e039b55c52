// The calendar: laws of the proleptic Gregorian calendar, and what is no date.
#include "coldgrease/base/date.hpp"

#include <doctest/doctest.h>

using namespace coldgrease;

TEST_CASE("date: day numbers return to their dates and rise by one (law)" * doctest::test_suite("long")) {
  // From 0001-01-01 to 9999-12-31, every day.
  const int first = day_number({1, 1, 1}), last = day_number({9999, 12, 31});
  CHECK(last - first + 1 == 3652059);  // published value: the largest ordinal of Python's datetime
  date before = date_of(first - 1);
  for (int n = first; n <= last; ++n) {
    const date d = date_of(n);
    if (day_number(d) != n || !(before < d)) FAIL("day " << n);
    before = d;
  }
  CHECK(day_number({1970, 1, 1}) == 0);
  CHECK(day_number({2000, 3, 1}) == 11017);  // published value: Unix time 951868800 / 86400
  CHECK(day_number({1969, 12, 31}) == -1);
}

TEST_CASE("date: leap years and lengths of months (law)" * doctest::test_suite("long")) {
  CHECK(days_in_month(2000, 2) == 29);
  CHECK(days_in_month(1900, 2) == 28);
  CHECK(days_in_month(2100, 2) == 28);
  CHECK(days_in_month(2024, 2) == 29);
  CHECK(days_in_month(2023, 2) == 28);
  for (int year = 1890; year < 2110; ++year) {
    int days = 0;
    for (int month = 1; month <= 12; ++month) {
      const int length = days_in_month(year, month);
      CHECK(valid_date(year, month, length).has_value());
      CHECK_FALSE(valid_date(year, month, length + 1).has_value());
      days += length;
    }
    const bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    CHECK(days == (leap ? 366 : 365));
  }
}

TEST_CASE("date: reads the three ways it is written") {
  for (const char* text : {"2015-01-26", "2015/01/26", "20150126"}) {
    CAPTURE(text);
    CHECK(parse_date(text) == date{2015, 1, 26});
  }
  CHECK(parse_date("2024-02-29") == date{2024, 2, 29});
  CHECK(text_of({2015, 1, 26}) == "2015-01-26");
  CHECK(text_of({987, 6, 5}) == "0987-06-05");
}

TEST_CASE("date: what is written is read back (law)" * doctest::test_suite("long")) {
  for (int n = -200000; n < 200000; n += 97) CHECK(parse_date(text_of(date_of(n))) == date_of(n));
}

TEST_CASE("date: refuses what is no day") {
  for (const char* text : {"",           "2015",        "2015-1-26",   "2015-01-2",     "26-01-2015", "2015-02-30",
                           "2015-02-29", "2015-13-01",  "2015-00-10",  "2015-01-00",    "2015-04-31", "2015-01/26",
                           "2015.01.26", "2015-01-26 ", " 2015-01-26", "2015-01-26T00", "201501260",  "2015012",
                           "2015-+1-26", "2015--1-26",  "-015-01-26",  "2015-01--6",    "2015 01 26", "abcd-ef-gh",
                           "20150230",   "0000-01-01",  "00000101",    "2015-01-2a"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_date(text).has_value());
  }
  CHECK_FALSE(valid_date(0, 1, 1).has_value());
  CHECK_FALSE(valid_date(10000, 1, 1).has_value());
  CHECK_FALSE(valid_date(2015, 2, -1).has_value());
  CHECK_FALSE(valid_date(2015, -1, 1).has_value());
}
