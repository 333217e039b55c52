// Dates of a column in the order of a country.
#include "base/local_dates.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <string>
#include <vector>

#include "refusal.hpp"

using namespace coldgrease;

namespace {

/// All dates of a column, or what is refused.
std::string dates_of(const std::vector<std::string>& cells) {
  std::string text = "date,x\n";
  for (const std::string& cell : cells) text += cell + ",1\n";
  std::string out;
  out += refusal([&] {
    const detail::csv_rows rows(text, "w.csv");
    const detail::column_dates dates(rows, 0);
    for (const std::string& cell : cells) {
      date day;
      out += (dates.read(cell, day) ? text_of(day) : std::string("none")) + " ";
    }
    out += dates.note();
  });
  return out;
}

}  // namespace

TEST_CASE("case: the order of dates is the one that all of a column leave") {
  CHECK(dates_of({"2015-01-26", "20150127"}) == "2015-01-26 2015-01-27 ");
  CHECK(dates_of({"01.02.2015", "26.01.2015"}) ==
        "2015-02-01 2015-01-26 dates are taken as day, month, year: no other order fits all of them");
  CHECK(
      dates_of({"1/2/2015", "", "1/26/2015"}).starts_with("2015-01-02 none 2015-01-26 dates are taken as month, day"));
  CHECK(dates_of({"26-01-2015 03:00", "27-01-2015T04:00"}).starts_with("2015-01-26 2015-01-27 "));
}

TEST_CASE("case: a column that leaves both orders, or none, is refused") {
  CHECK(dates_of({"01/02/2015", "02/03/2015"}) ==
        "w.csv:2: date: \"01/02/2015\" may be 1 February 2015 or 2 January 2015, and so may all of the column; "
        "expected dates such as 2015-01-26");
  CHECK(dates_of({"26/01/2015", "01/27/2015"}) ==
        "w.csv:3: date: \"01/27/2015\" has the month first, \"26/01/2015\" in line 2 the day; expected one order of "
        "dates, or 2015-01-26");
}

TEST_CASE("case: what is no date in any order stays none") {
  CHECK(dates_of({"26.13.2015", "x", "32.01.2015"}) == "none none none ");
  CHECK(dates_of({"26.01.2015", "30.02.2015", "2015-01-26"}).starts_with("2015-01-26 none none "));
  CHECK(dates_of({"1.1.15"}) == "none ");
}

// Every date that has a day above 12 leaves one order; no other does, but for those whose day is their month.
TEST_CASE("law: a lone date is read exactly where its day tells it from its month") {
  for (int day = 1; day <= 28; ++day) {
    for (int month = 1; month <= 12; ++month) {
      const std::string told = dates_of({fmt::format("{}.{}.2015", day, month)});
      const std::string expected = fmt::format("2015-{:02}-{:02} ", month, day);
      if (day > 12) CHECK(told.starts_with(expected));
      if (day <= 12 && day != month) CHECK(told.find(" may be ") != std::string::npos);
    }
  }
}
