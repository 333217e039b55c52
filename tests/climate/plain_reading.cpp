// Laws: what a reader takes the plain way, it takes as the careful way does, in every text of the fuzz corpus.
#include <doctest/doctest.h>

#include <array>
#include <bit>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "base/decimal.hpp"
#include "base/local_dates.hpp"
#include "climate/plain_rows.hpp"
#include "climate/reader.hpp"

using namespace coldgrease;

namespace {

/// Every piece of every text of the corpus that could be a field.
template <class Take>
void for_each_field(Take take) {
  for (const auto& file : std::filesystem::recursive_directory_iterator(COLDGREASE_TEST_DATA "/fuzz/corpus")) {
    if (!file.is_regular_file()) continue;
    std::ifstream in(file.path(), std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    constexpr std::string_view separators = ",;|\t\r\n\"[]{}: ";
    for (std::size_t begin = 0; begin <= text.size();) {
      const std::size_t end = std::min(text.find_first_of(separators, begin), text.size());
      const std::string_view field = std::string_view(text).substr(begin, end - begin);
      take(field);
      take(std::string(" ") + std::string(field));
      begin = end + 1;
    }
  }
}

}  // namespace

TEST_CASE("law: a whole number is read plainly as it is read with care") {
  std::size_t numbers = 0;
  const auto check = [&](std::string_view field) {
    const auto plain = detail::whole_number(field);
    numbers += plain.has_value();
    CHECK_MESSAGE(plain == detail::any_whole_number(field), field);
  };
  for_each_field(check);
  CHECK(numbers > 100);
  for (const char* field : {"", " ", "-", "--1", "+1", "-0", "007", "1 ", "1.", "999999999", "-999999999", "1234567890",
                            "2147483647", "2147483648", "-2147483648", "-2147483649", "00000000000001", "1e3", "\t1"})
    check(field);
}

TEST_CASE("law: a decimal is read plainly as it is read with care") {
  std::size_t plain = 0;
  for_each_field([&](std::string_view field) {
    double value = 0.0, careful = 0.0;
    if (!detail::plain_decimal(field, value)) return;
    ++plain;
    const auto [end, error] = detail::read_decimal(field.data(), field.data() + field.size(), careful);
    CHECK_MESSAGE((error == std::errc{} && end == field.data() + field.size()), field);
    CHECK_MESSAGE(std::bit_cast<std::uint64_t>(value) == std::bit_cast<std::uint64_t>(careful), field);
  });
  CHECK(plain > 100);
}

TEST_CASE("law: a date is read plainly as it is read with care") {
  std::size_t dates = 0;
  const auto check = [&](std::string_view field) {
    date plain;
    if (!detail::plain_date(field, plain)) return;
    ++dates;
    const auto careful = parse_date(field);
    REQUIRE_MESSAGE(careful, field);
    CHECK_MESSAGE(plain == *careful, field);
  };
  for_each_field(check);
  CHECK(dates > 20);
  // Every day of a leap year and of a common one, and every text that has one other character in it.
  dates = 0;
  for (int n = day_number({2023, 1, 1}); n < day_number({2025, 1, 1}); ++n) check(text_of(date_of(n)));
  CHECK(dates == 365 + 366);
  dates = 0;
  for (std::size_t at = 0; at < 10; ++at) {
    for (int c = 0; c < 256; ++c) {
      std::string text = "2015-01-26";
      text[at] = static_cast<char>(c);
      check(text);
    }
  }
  // Ten digits each for the year's four, "01" and "11", "01" to "09", "06" to "26", "20" to "29", and both marks.
  CHECK(dates == 40 + 2 + 9 + 3 + 10 + 2);
  for (const char* none : {"2015-02-29", "2015-04-31", "2015-01-32", "0000-01-01"}) {
    date day;
    CHECK_MESSAGE(!detail::plain_date(none, day), none);
  }
}

namespace {

/// What a table of days is read as, or the line of its refusal.
std::variant<weather, std::string> days_of(std::string_view text, const weather_options& options) {
  try {
    return detail::parse_daily_csv(detail::csv_rows(text, "days.csv"), text.size(), "days.csv", options);
  } catch (const file_error& e) {
    return std::string(e.what());
  }
}
/// The same of a table of hours.
std::variant<weather, std::string> hours_of(std::string_view text, const weather_options& options) {
  try {
    return detail::parse_hourly_csv(detail::csv_rows(text, "hours.csv"), text.size(), false, "hours.csv", options);
  } catch (const file_error& e) {
    return std::string(e.what());
  }
}

/// The same text with no row that is plain: a blank before every one, which is no part of its first cell.
std::string with_blanks(std::string_view text) {
  std::string out;
  bool at_start = true;
  for (const char c : text) {
    // Behind a blank a comment would be none.
    if (at_start && c != '#' && c != '\n' && c != '\r') out += ' ';
    out += c;
    at_start = c == '\n';
  }
  return out;
}

void check_days(std::string_view text, const weather_options& options = {.unit = "C"}) {
  CHECK_MESSAGE(days_of(text, options) == days_of(with_blanks(text), options), text);
}

void check_hours(std::string_view text, const weather_options& options = {.unit = "C"}) {
  CHECK_MESSAGE(hours_of(text, options) == hours_of(with_blanks(text), options), text);
}

constexpr std::string_view plain_table =
    "date,tmin,tmax\n2015-01-30,-12.5,-3\n2015-01-31,-9999,1.25\n2015-02-28,-7.0,0.5\n";
constexpr std::string_view plain_hours =
    "date,temperature\n2015-01-30T22:00:00,-12.5\n2015-01-30T23:00:00,-9999\n2015-01-31T00:40:00,0.5\n";

}  // namespace

TEST_CASE("law: a table of plain rows is read as the same table with a blank before every row") {
  for (const auto& file : std::filesystem::recursive_directory_iterator(COLDGREASE_TEST_DATA "/fuzz/corpus")) {
    if (!file.is_regular_file()) continue;
    std::ifstream in(file.path(), std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    check_days(text);
    check_hours(text);
  }
  check_days(plain_table, {.unit = "F", .year_from = 2015});
  check_days(plain_table, {.unit = "C", .year_to = 2014});
  check_days(plain_table, {});
  for (const char* text : {
           "tmax;extra;date;tmin\r\n1;;2015-01-30;-3\r\n2;\"a;b\";2015-01-31;1\r\n3;c;2015-02-01;1,5",
           "date\ttmin\ttmax\n2015-01-30\t1\t2\n2015-01-31\t1\t2\t\n",
           "date,tmin,tmax,prcp\n2015-01-30,1,2,\n2015-01-31,1,2\n",
           "date,tmin,tmax\n2015-01-30,1,2\n# said\n\n,,\n2015-01-31,1,2\ntotal,2,4\n",
           "tmin,tmax,date\r\n1,2,2015-01-30\r\n1,2,2015-01-31\r\n1,2,2015-02-01 00:00\r\n99,100,2015-02-02",
           "which,date,tmin,tmax\na,2015-01-30,1,2\ntotal,2015-01-31,1,2\n",
           "date,tmin,tmax\n30.01.2015,1,2\n2015-01-31,1,2\n",
           "date,tmin,tmax\n2015-01-30,1,2\n2015-01-30,1,2\n2015-01-29,1,2\n2015-01-31,3,2\n",
           "date,tmin,tmax\n2015-01-30,1,2\n2015-02-30,1,2\n",
           "date,tmin,tmax\n2015-01-30,1,2\n2015-01-31,99,100\n",
           "date,tmin,tmax,station\n2015-01-30,1,2,a\n2015-01-31,1,2,b\n",
           "date,tmin,tmax,latitude\n2015-01-30,1,2,60\n2015-01-31,1,2,61\n",
           "date,tmin,tmax,tmin_attributes\n2015-01-30,1,2,\",X,\"\n2015-01-31,1,2,\",,\"\n",
           "title\ndate,tmin,tmax\n2015-01-30,1,2\n",
           "date,tmin,tmax\n",
           "date,tmin,tmax\n2015-01-30,1,2\r",
           "date,tmin,tmax\n2015-01-30,1,2\r\r\n",
           "date,tmin,tmax\n2015-01-30,1234567890.12345,2\n",
       })
    check_days(text);
  check_hours(plain_hours, {.unit = "F", .year_from = 2015});
  check_hours(plain_hours, {});
  for (const char* text : {
           "temp;date\r\n1;2015-01-30 03:00\r\n2;2015-01-30T04:00:00Z\r\n1,5;2015-01-30 05:00\r\n",
           "date\ttemp\tsky\n30.01.2015 03:00\t1\t\n31.01.2015 03:00\t2\t\"a\tb\"\n",
           "date,temp\n2015-01-30T03:00:00,1\n2015-01-30T03:00:00,2\n",
           "date,temp\n2015-01-30T 3:00:00,1\n2015-01-30T24:00:00,2\n2015-01-30T25:00:00,2\n",
           "date,temp\n2015-01-30T03:00:00,99\n2015-01-30T04:00:00,1\n",
           "temp,date\n1,2015-01-30T03:00:00\n2,2015-01-30T04:00:00\n99,2015-01-30T05:00:00",
           "date,temp,station\n2015-01-30T03:00:00,1,a\n2015-01-30T04:00:00,2,b\n",
           "date,temp,temperature_quality_code\n2015-01-30T03:00:00,1,3\n2015-01-30T04:00:00,2,1\n",
           "year,month,day,hour,temp\n2015,1,30,3,1\n2015,1,30,4,2\n",
       })
    check_hours(text);
}

TEST_CASE("law: so is one with any other character at any place" * doctest::test_suite("long")) {
  constexpr std::string_view characters = "0149-+. \t,;:|\"\n\r#tTeZ/\xe9";
  const auto for_each_change = [&](std::string_view table, auto check) {
    for (std::size_t at = 0; at < table.size(); ++at) {
      for (const char c : characters) {
        std::string text(table);
        text[at] = c;
        check(text);
        text.insert(at, 1, table[at]);
        check(text);
      }
    }
  };
  for_each_change(plain_table, [](std::string_view text) { check_days(text); });
  for_each_change(plain_hours, [](std::string_view text) { check_hours(text); });
}

TEST_CASE("law: plain rows are taken one by one, and any other is left alone") {
  const auto taken = [](std::string_view text) {
    detail::csv_rows rows(text, "days.csv");
    const detail::plain_rows plain(rows, 0, {1, 2});
    date day;
    const auto read_date = [&](std::string_view rest) { return detail::plain_date_at_start(rest, day); };
    int days = 0;
    for (std::array<double, 2> numbers; plain.next(rows, read_date, numbers);) ++days;
    return std::pair(days, rows.rest().size());
  };
  CHECK(taken("date,tmin,tmax,prcp\n2015-01-30,-1.5,2,a\r\n2015-01-31,1,2,") == std::pair(2, std::size_t{0}));
  for (const std::string row :
       {" 2015-01-31,1,2", "2015-01-31,1, 2", "2015-01-31,1,2 ", "2015-01-31,1", "2015-01-31,1,2,3", "2015-01-31,1,",
        "2015-01-31,1,-9999", "2015-01-31,1,\"2\"", "20150131,1,2", "#", ""})
    CHECK(taken("date,tmin,tmax\n2015-01-30,1,2\n" + row + "\n") == std::pair(1, row.size() + 1));
}
