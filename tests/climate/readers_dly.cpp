// GHCN-Daily .dly: fixed columns, tenths of a degree, flags that touch the numbers.
// Source of the layout: NOAA GHCN-Daily readme.txt (269 columns; value I5, three flags; -9999 missing, also 30
// February).
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <functional>
#include <string>
#include <string_view>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/readers.hpp"
#include "near.hpp"
#include "reading.hpp"

using namespace coldgrease;
using reading::dropped_for;
using reading::holds;

namespace {

struct cell {
  int tenths = -9999;
  std::string flags = "   ";  // measurement, quality, source
};

/// A line of 269 columns and its newline; days that the month has not are missing values, as NOAA writes them.
std::string line(std::string_view station, int year, int month, std::string_view element,
                 const std::function<cell(int day)>& of) {
  std::string text = fmt::format("{:11}{:04}{:02}{}", station, year, month, element);
  for (int day = 1; day <= 31; ++day) {
    const cell c = day <= days_in_month(year, month) ? of(day) : cell{};
    text += fmt::format("{:5}{}", c.tenths, c.flags);
  }
  return text + "\n";
}

std::string month(std::string_view station, int year, int month, int low, int high) {
  return line(station, year, month, "TMAX",
              [=](int) {
                return cell{high, "  W"};
              }) +
         line(station, year, month, "TMIN", [=](int day) {
           return cell{low - day, "  W"};
         });
}

daily_series read(std::string_view text, const weather_options& options = {}) {
  return reading::file{"s.dly"}.read(text, options);
}
std::string refusal(std::string_view text, const weather_options& options = {}) {
  return reading::file{"s.dly"}.refusal(text, options);
}

const std::string station = "USW00014735";

}  // namespace

TEST_CASE("published value: values are tenths of a degree C (GHCN-Daily readme)") {
  const daily_series s = read(month(station, 2015, 1, -117, 28));
  CHECK(s.station == station);
  REQUIRE(s.days.size() == 31);
  CHECK(text_of(date_of(s.days[0].day)) == "2015-01-01");
  CHECK(near(s.days[0].low, -11.8, 1e-15));
  CHECK(near(s.days[0].high, 2.8, 1e-15));
  CHECK(near(s.days[30].low, -14.8, 1e-15));
  CHECK(s.notes.empty());
  // Declaring what the format says anyway is no error, another unit is.
  CHECK(read(month(station, 2015, 1, -117, 28), {.unit = "0.1 C"}).days.size() == 31);
  CHECK(holds(refusal(month(station, 2015, 1, -117, 28), {.unit = "F"}),
              "s.dly: the unit of a .dly file is tenths of a degree C"));
}

TEST_CASE("case: numbers that touch their flags and each other") {
  const std::string text = line(station, 2015, 1, "TMAX",
                                [](int) {
                                  return cell{-222, "H W"};
                                }) +
                           line(station, 2015, 1, "TMIN", [](int) {
                             return cell{-322, "HIS"};
                           });
  CHECK(holds(refusal(text), "holds no day"));  // the quality flag I stands in every minimum
  const daily_series s = read(line(station, 2015, 1, "TMAX",
                                   [](int) {
                                     return cell{-222, "H W"};
                                   }) +
                              line(station, 2015, 1, "TMIN", [](int d) {
                                return cell{-322, d == 7 ? "HIS" : "H S"};
                              }));
  CHECK(s.days.size() == 30);
  CHECK(dropped_for(s, "quality flag") == 1);
  CHECK(near(s.days[0].low, -32.2, 1e-15));
}

TEST_CASE("case: February has 31 columns") {
  const daily_series common = read(month(station, 2015, 2, -100, 20)), leap = read(month(station, 2016, 2, -100, 20));
  CHECK(common.days.size() == 28);
  CHECK(leap.days.size() == 29);
  CHECK(common.dropped.empty());  // the days that do not exist are not missing
  CHECK(text_of(date_of(leap.days.back().day)) == "2016-02-29");
  CHECK(near(leap.days.back().low, -12.9, 1e-15));
}

TEST_CASE("case: missing and flagged values are counted, a minimum without its maximum too") {
  const daily_series s =
      read(line(station, 2015, 1, "TMAX", [](int d) { return d == 3 ? cell{} : cell{d == 5 ? -200 : 20}; }) +
           line(station, 2015, 1, "TMIN", [](int d) {
             return d == 9 ? cell{-90, " D "} : cell{-90};
           }));
  CHECK(dropped_for(s, "missing value") == 1);
  CHECK(dropped_for(s, "quality flag") == 1);
  CHECK(dropped_for(s, "minimum without maximum, or the reverse") == 2);  // the partners of both
  CHECK(dropped_for(s, "minimum above maximum") == 1);
  CHECK(s.days.size() == 28);
  const daily_series more_lows =
      read(month(station, 2015, 1, -90, 20) + line(station, 2015, 2, "TMIN", [](int) { return cell{-50}; }));
  CHECK(more_lows.days.size() == 31);
  CHECK(dropped_for(more_lows, "minimum without maximum, or the reverse") == 28);
}

TEST_CASE("case: other elements stand between the lines, in any order of months") {
  const auto other = [](std::string_view element) {
    return line(station, 2015, 1, element, [](int) { return cell{33, "P N"}; });
  };
  const std::string january = other("PRCP") + other("SNOW") + month(station, 2015, 1, -90, 20) + other("WT01");
  CHECK(read(january).days.size() == 31);
  const daily_series s = read(month(station, 2015, 3, -90, 20) + january);
  CHECK(s.days.size() == 62);
  CHECK(text_of(date_of(s.days.front().day)) == "2015-01-01");
  REQUIRE(s.notes.size() == 1);
  CHECK(s.notes[0] == "2 lines were not in the order of time: sorted");
}

TEST_CASE("case: a line that stands twice counts once") {
  const daily_series s = read(month(station, 2015, 1, -90, 20) + month(station, 2015, 1, -90, 20));
  REQUIRE(s.days.size() == 31);
  CHECK(near(s.days[0].low, -9.1, 1e-15));
  CHECK(dropped_for(s, "day stands twice, first 2015-01-01") == 31);
}

TEST_CASE("case: carriage returns, trimmed blanks, no newline at the end, blank lines") {
  const auto blank_flags = [](int high) { return [high](int) { return cell{high}; }; };
  std::string high = line(station, 2015, 4, "TMAX", blank_flags(120)),
              low = line(station, 2015, 4, "TMIN", blank_flags(-3));
  const daily_series whole = read(high + low);
  REQUIRE(whole.days.size() == 30);
  // April ends in column 21 + 29 * 8 + 5: the 31st day and the last flags may be gone.
  for (const std::size_t width : {std::size_t{269}, std::size_t{261}, std::size_t{258}}) {
    CAPTURE(width);
    const std::string text = high.substr(0, width) + "\r\n\r\n" + low.substr(0, width);
    const daily_series s = read(text);
    REQUIRE(s.days.size() == 30);
    for (std::size_t i = 0; i < 30; ++i) CHECK(s.days[i].low == whole.days[i].low);
  }
}

TEST_CASE("case: a truncated line is refused with its number") {
  const std::string january = month(station, 2015, 1, -90, 20), february = month(station, 2015, 2, -90, 20);
  for (const std::size_t width : {std::size_t{30}, std::size_t{120}, std::size_t{241}}) {
    CAPTURE(width);
    CHECK(holds(refusal(january + february.substr(0, width)),
                "s.dly:3: is cut after " + std::to_string(width) + " characters; expected 269"));
  }
  CHECK(holds(refusal(january + february.substr(0, 12)), "s.dly:3: has 12 characters"));
  // 242 columns hold the whole of February.
  const std::string high = february.substr(0, 270), low = february.substr(270);
  CHECK(read(high.substr(0, 242) + "\n" + low.substr(0, 242) + "\n").days.size() == 28);
}

TEST_CASE("case: text where a number is due names line and day") {
  std::string text = month(station, 2015, 1, -90, 20);
  text.replace(270 + 21 + 8 * 4, 5, "  x12");
  CHECK(holds(refusal(text), R"(s.dly:2: "  x12" for day 5 is no number; expected tenths of a degree C)"));
  text = month(station, 2015, 1, -90, 20);
  text.replace(15, 2, "13");
  CHECK(holds(refusal(text), R"(s.dly:1: "201513" is no year and month)"));
}

TEST_CASE("case: two stations in one .dly file") {
  const std::string text = month("USW00014735", 2015, 1, -90, 20) + month("CAN05023222", 2015, 1, -290, -120);
  CHECK(holds(refusal(text), R"(s.dly:3: holds several stations, "USW00014735" and "CAN05023222")"));
  CHECK(near(read(text, {.station = "CAN05023222"}).days.at(0).low, -29.1, 1e-15));
  CHECK(holds(refusal(text, {.station = "CA005023222"}),
              R"(holds no station "CA005023222"; expected "USW00014735", "CAN05023222")"));
}

TEST_CASE("case: years from and to") {
  std::string text;
  for (int y = 2011; y <= 2015; ++y) text += month(station, y, 1, -90, 20);
  CHECK(read(text, {.year_from = 2013, .year_to = 2014}).days.size() == 62);
  CHECK(holds(refusal(text, {.year_from = 2016}), "in the years asked for"));
}

TEST_CASE("case: values that tenths cannot mean are refused") {
  CHECK(holds(refusal(month(station, 2015, 7, 680, 900)), "s.dly:1: 90 C if the unit is 0.1 C"));
}
