// Hours: GHCN-hourly as NOAA writes it, tables of hours as people have them, and the traps in both.
// Source of the layout: column names of the GHCN-hourly service; hours in UTC, degrees C, quality codes of several
// sources.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <string>
#include <string_view>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/describe.hpp"
#include "near.hpp"
#include "reading.hpp"

using namespace coldgrease;
using reading::dropped_for;
using reading::holds;
using reading::noted;

namespace {

const reading::file_of<hourly_series> psv{"s.psv"};

constexpr std::string_view old_header =
    "Station_ID|Station_name|Year|Month|Day|Hour|Minute|Latitude|Longitude|Elevation|temperature|"
    "temperature_Measurement_Code|temperature_Quality_Code|dew_point_temperature\n";
constexpr std::string_view new_header =
    "STATION|Station_name|DATE|LATITUDE|LONGITUDE|ELEVATION|temperature|temperature_Measurement_Code|"
    "temperature_Quality_Code|dew_point_temperature\n";

/// A report of a station at 87.9 W (6 h behind UTC).
std::string report(std::string_view time, std::string_view t, std::string_view code = "5",
                   std::string_view at = "41.98|-87.92|201.0") {
  return fmt::format("USW00094846|CHICAGO O'HARE|{}|{}|{}||{}|\n", time, at, t, code);
}

hourly_series read(std::string_view text, const weather_options& options = {}) { return psv.read(text, options); }

std::string times(const hourly_series& s) {
  std::string all;
  for (const hourly_value& v : s.hours) {
    const int hour = (v.hour % 24 + 24) % 24;
    all +=
        fmt::format("{}{}T{:02}={:g}", all.empty() ? "" : " ", text_of(date_of((v.hour - hour) / 24)), hour, v.celsius);
  }
  return all;
}

}  // namespace

TEST_CASE("case: both layouts of GHCN-hourly, bars or commas, and UTC becomes local time by the longitude") {
  const std::string wanted = "2015-01-25T22=-8 2015-01-25T23=-9.5";
  const std::string five = std::string(old_header) +
                           "USW00094846|CHICAGO O'HARE|2015|1|26|4|0|41.98|-87.92|201.0|-8.0||5|\n"
                           "USW00094846|CHICAGO O'HARE|2015|01|26|05|00|41.98|-87.92|201.0|-9.5||5|\n";
  const std::string one =
      std::string(new_header) + report("2015-01-26T04:00:00", "-8.0") + report("2015-01-26T05:00:00", "-9.5");
  std::string commas = one;
  for (char& c : commas) c = c == '|' ? ',' : c;
  for (const std::string& text : {five, one, commas}) {
    const hourly_series s = read(text);
    CHECK(times(s) == wanted);
    CHECK(s.station == "CHICAGO O'HARE");
    CHECK(s.id == "USW00094846");
    CHECK(near(s.latitude.value(), 41.98, 0.0, 1e-12));
    CHECK(noted(s, "times are UTC, moved by -6 h, the local time at longitude -87.92"));
    CHECK(s.dropped.empty());
  }
  // A file of carriage returns and a byte-order mark.
  std::string crlf = "\xef\xbb\xbf" + one;
  for (std::size_t at = 0; (at = crlf.find('\n', at)) != std::string::npos; at += 2) crlf.insert(at, "\r");
  CHECK(times(read(crlf)) == wanted);
}

TEST_CASE("case: a cold night lies on one local day, not on two UTC days") {
  std::string text(new_header);
  // Below 0 from 20 h to 06 h local: 02 h to 12 h UTC.
  for (int h = 0; h < 72; ++h)
    text +=
        report(fmt::format("2015-01-{:02}T{:02}:00:00", 20 + h / 24, h % 24), h % 24 >= 2 && h % 24 <= 12 ? "-5" : "5");
  const hourly_series local = read(text);
  const auto b = below(local, celsius(0));
  CHECK(b.longest.hours == 11);
  CHECK(b.longest.from == "2015-01-19T20");
  CHECK(b.longest.to == "2015-01-20T06");
  CHECK(below(read(text, {.utc_offset = second(0)}), celsius(0)).longest.from == "2015-01-20T02");
}

TEST_CASE("case: the offset from UTC may be given, and must be where there is no longitude") {
  const std::string text = std::string(new_header) + report("2015-01-26T04:00:00", "-8.0");
  CHECK(times(read(text, {.utc_offset = second(-5 * 3600)})) == "2015-01-25T23=-8");
  CHECK(times(read(text, {.utc_offset = second(5.5 * 3600)})) == "2015-01-26T10=-8");  // 09:30 belongs to 10 h
  const std::string lost = std::string(new_header) + report("2015-01-26T04:00:00", "-8.0", "5", "||");
  CHECK(holds(psv.refusal(lost), "s.psv: has times in UTC and no longitude; expected an offset from UTC"));
  CHECK(times(read(lost, {.utc_offset = second(0)})) == "2015-01-26T04=-8");
  CHECK_THROWS_AS(read(text, {.utc_offset = second(20 * 3600)}), input_error);
}

TEST_CASE("case: several reports an hour make one, the nearest to the full hour, a half-hour away is the farthest") {
  std::string text(new_header);
  for (const auto& [time, t] : {std::pair("03:51", "-1"), std::pair("04:02", "-2"), std::pair("04:20", "-3"),
                                std::pair("04:31", "-4"), std::pair("04:58", "-5"), std::pair("05:29", "-6")})
    text += report(fmt::format("2015-01-26T{}:00", time), t);
  const hourly_series s = read(text, {.utc_offset = second(0)});
  CHECK(times(s) == "2015-01-26T04=-2 2015-01-26T05=-5");
  CHECK(noted(s, "6 reports make 2 hours: the one nearest to the full hour counts"));
}

TEST_CASE("law: quantiles of hours do not depend on how often stormy hours were reported") {
  std::string plain(new_header), busy(new_header);
  for (int h = 0; h < 24; ++h) {
    const std::string t = fmt::format("{}", h < 6 ? -20 : 0);
    const auto line = report(fmt::format("2015-01-26T{:02}:00:00", h), t);
    plain += line;
    busy += line;
    for (int m = 5; m < 60 && h < 5; m += 5) busy += report(fmt::format("2015-01-26T{:02}:{:02}:00", h, m), t);
  }
  const weather_options utc{.utc_offset = second(0)};
  CHECK(times(read(plain, utc)) == times(read(busy, utc)));
}

TEST_CASE("case: quality codes: those accepted may be chosen, the others are counted one by one") {
  const std::string text = std::string(new_header) + report("2015-01-26T00:00:00", "-1", "") +
                           report("2015-01-26T01:00:00", "-2", "1") + report("2015-01-26T02:00:00", "-3", "3") +
                           report("2015-01-26T03:00:00", "-4", "3") + report("2015-01-26T04:00:00", "-5", "A") +
                           report("2015-01-26T05:00:00", "", "9") + report("2015-01-26T06:00:00", "-7", "9");
  const hourly_series s = read(text, {.utc_offset = second(0)});
  CHECK(dropped_for(s, "quality code 3") == 2);
  CHECK(dropped_for(s, "quality code A") == 1);
  CHECK(dropped_for(s, "temperature missing") == 1);
  CHECK(s.hours.size() == 3);
  CHECK(read(text, {.utc_offset = second(0), .accepted_codes = "0159A"}).hours.at(4).celsius == -5.0);
}

TEST_CASE("case: gaps of up to three hours between reports are filled and counted, longer ones are not") {
  const std::string text = std::string(new_header) + report("2015-01-26T00:00:00", "0") +
                           report("2015-01-26T03:00:00", "-6") + report("2015-01-26T07:00:00", "-6");
  const hourly_series s = read(text, {.utc_offset = second(0)});
  CHECK(times(s) == "2015-01-26T00=0 2015-01-26T01=-2 2015-01-26T02=-4 2015-01-26T03=-6 2015-01-26T07=-6");
  CHECK(noted(s, "hours filled between reports at most 3 h apart: 2"));
}

TEST_CASE("case: rows in any order, times that stand twice, hour 24") {
  const std::string text = std::string(new_header) + report("2015-01-26T05:00:00", "-5") +
                           report("2015-01-26T04:00:00", "-4") + report("2015-01-26T04:00:00", "-44") +
                           report("2015-01-26T24:00:00", "-24");
  CHECK(psv.refusal(text).find("2015-01-26T04:00: stands twice, with -4 C and -44 C") != std::string::npos);
  const hourly_series s = read(text, {.utc_offset = second(0), .duplicates = duplicate_rule::first});
  CHECK(times(s) == "2015-01-26T04=-4 2015-01-26T05=-5 2015-01-27T00=-24");
  CHECK(dropped_for(s, "time stands twice") == 1);
  CHECK(holds(psv.refusal(std::string(new_header) + report("2015-01-26T24:01:00", "1")), "is no date and time"));
  CHECK(holds(psv.refusal(std::string(new_header) + report("2015-01-26T25:00:00", "1")), "is no date and time"));
  CHECK(holds(psv.refusal(std::string(new_header) + report("2015-02-29T05:00:00", "1")), "is no date and time"));
  CHECK(holds(psv.refusal(std::string(new_header) + report("2015-01-26", "1")),
              R"(s.psv:2: DATE: "2015-01-26" is no date and time; expected 2015-01-26T03:00:00)"));
}

TEST_CASE("case: ways to write a time of day, and what is none") {
  const auto first = [](std::string_view time) {
    return times(read(std::string(new_header) + report(time, "1"), {.utc_offset = second(0)}));
  };
  for (const char* time : {"2015-01-26T03:00:00", "2015-01-26 03:00:00", "2015-01-26T03:00", "2015-01-26T03:00:00Z",
                           "2015-01-26T03:00Z", "2015-01-26T 3:00", "20150126T03:00", "2015/01/26 03:00"})
    CHECK_MESSAGE(first(time) == "2015-01-26T03=1", time);
  for (const char* time :
       {"2015-01-26T3:00", "2015-01-26T03:0", "2015-01-26T03:60", "2015-01-26T03:00:0x", "2015-01-26T03-00",
        "2015-01-26T0x:00", "2015-01-26T-1:00", "2015-01-26T  :00", "2015-01-26T03:00:", "2015-01-26T03:00:-1",
        "2015-01-26T03:-0", "2015-01-26TZ", "T03:00", "2015-01-26T"})
    CHECK_MESSAGE(holds(psv.refusal(std::string(new_header) + report(time, "1")), "is no date and time"), time);
}

TEST_CASE("case: a station that moves is said to") {
  const std::string text = std::string(new_header) + report("2014-01-26T00:00:00", "-1", "5", "41.98|-87.92|201.0") +
                           report("2015-01-26T00:00:00", "-2", "5", "41.980|-87.92|201.0") +
                           report("2016-01-26T00:00:00", "-2", "5", "41.980|-87.92|205.4");
  const hourly_series s = read(text);
  CHECK(noted(s, "the station moved: its elevation changes 1 time, first from 201 to 205.4 at 2016-01-26T00:00:00"));
  CHECK(!noted(s, "latitude"));
}

TEST_CASE("case: reports of 406 C without a flag are left out among thousands, and refused where they are many") {
  std::string text(new_header);
  for (int h = 0; h < 2400; ++h)
    text += report(fmt::format("{}T{:02}:00:00", text_of(date_of(day_number({2015, 1, 1}) + h / 24)), h % 24),
                   h == 1000   ? "406"
                   : h == 2000 ? "-9999"
                               : "1");
  const hourly_series s = read(text);
  CHECK(dropped_for(s, "outside -90 to 60 C") == 1);
  CHECK(dropped_for(s, "temperature missing") == 1);
  CHECK(
      holds(psv.refusal(std::string(new_header) + report("2015-01-26T04:00:00", "-9900")), "-9900 C if the unit is C"));
}

TEST_CASE("case: dates after today are no weather, and a record that ended is said to") {
  const std::string text = std::string(new_header) + report("2015-01-26T00:00:00", "-1") +
                           report("2015-02-05T00:00:00", "-2") + report("2015-02-06T00:00:00", "-3");
  const hourly_series s = read(text, {.utc_offset = second(0), .today = date{2015, 1, 26}});
  CHECK(times(s) == "2015-01-26T00=-1");
  CHECK(dropped_for(s, "dated after today") == 2);
  CHECK(noted(read(text, {.today = date{2017, 1, 1}}), "the last day is 2015-02-05, more than a year ago"));
  CHECK(!noted(read(text, {.today = date{2016, 1, 1}}), "more than a year ago"));
  CHECK(!noted(read(text, {.year_to = 2015, .today = date{2017, 1, 1}}), "more than a year ago"));
  CHECK(holds(psv.refusal(text, {.today = date{2014, 1, 1}}),
              "holds no hour with a temperature; left out: 3: dated after today"));
}

TEST_CASE("case: any table of hours: local time, and a unit that is declared") {
  const reading::file_of<hourly_series> table{"h.csv"};
  const hourly_series s = table.read("date,temp [F]\n2015-01-26 03:00,14\n2015-01-26 04:00,5\n");
  CHECK(times(s) == "2015-01-26T03=-10 2015-01-26T04=-15");
  CHECK(noted(s, "times are taken as local standard time"));
  CHECK(times(table.read("year,month,day,hour,temperature\n1840,12,31,24,-30\n", {.unit = "Re"})) ==
        "1841-01-01T00=-37.5");  // degrees Reaumur
  CHECK(holds(table.refusal("date,temp\n2015-01-26 03:00,14\n"), "no unit of temperature is declared"));
  CHECK(holds(table.refusal("temp [C],pressure\n1,2\n"), "no column date"));
  CHECK(holds(table.refusal("date,temp [C]\n2015-01-26 03:00,\"1,5,2\"\n"), R"("1,5,2" is no number)"));
  CHECK(holds(table.refusal("date,temp [C]\n2015-01-26 03:00,NaN\n"), R"("NaN" is no number)"));
  CHECK(holds(table.refusal("date,temp [C]\n"), "holds no hour with a temperature"));
  CHECK(holds(psv.refusal(std::string(new_header) + report("2015-01-26T04:00:00", "1"), {.unit = "F"}),
              "the unit of GHCN-hourly is degrees C"));
}

TEST_CASE("case: years are local years") {
  const std::string text =
      std::string(new_header) + report("2015-01-01T05:00:00", "-1") + report("2015-01-01T06:00:00", "-2");
  CHECK(times(read(text, {.year_from = 2015})) == "2015-01-01T00=-2");
  CHECK(times(read(text, {.year_to = 2014})) == "2014-12-31T23=-1");
}

TEST_CASE("law: days made of hours have their extremes, and a day of few hours is left out") {
  std::vector<hourly_value> hours;
  for (int h = 0; h < 24; ++h) hours.push_back({24 * 100 + h, h < 12 ? -1.0 * h : h - 20.0});
  for (int h = 0; h < 19; ++h) hours.push_back({24 * 101 + h, -50.0});
  const daily_series d = daily(make_hourly_series("s", hours));
  REQUIRE(d.days.size() == 1);
  CHECK(d.days[0].day == 100);
  CHECK(d.days[0].low == -11.0);
  CHECK(d.days[0].high == 3.0);
  CHECK(noted(d, "days with fewer than 20 of their hours, left out of daily minima: 1"));
}

TEST_CASE("law: what is told of days is told of their hours") {
  std::vector<daily_extremes> days;
  for (int d = day_number({2001, 1, 1}); d < day_number({2013, 1, 1}); ++d) {
    const int m = date_of(d).month;
    const double low = -2.0 * std::abs(m - 7) - (d * 7919 % 13) * 0.5;
    days.push_back({d, low, low + 6.0});
  }
  const daily_series by_day = make_daily_series("s", days);
  const climate_answer a = describe(by_day, celsius(-10)), b = describe(hourly(by_day), celsius(-10));
  CHECK(b.kind == series_kind::hourly);
  for (std::size_t i = 0; i < a.quantiles.size(); ++i) CHECK(a.quantiles[i].temperature == b.quantiles[i].temperature);
  CHECK(a.below->longest.hours == b.below->longest.hours);
  CHECK(a.below->longest.from == b.below->longest.from);
  CHECK(near(a.below->hours_a_year, b.below->hours_a_year, 1e-12));
  CHECK(a.winters_with_a_day.value() == b.winters_with_a_day.value());
  REQUIRE(a.months.size() == 12);
  for (std::size_t m = 0; m < 12; ++m) {
    CHECK(a.months[m].cold == b.months[m].cold);
    CHECK(a.months[m].hot == b.months[m].hot);
  }
  daily_limits limits;
  for (std::size_t day = 0; day < limits.size(); ++day) limits[day] = -3.0 - static_cast<double>(day % 3);
  const auto months = below_by_month(by_day, limits), hours = below_by_month(hourly(by_day), limits);
  for (std::size_t m = 0; m < 12; ++m) {
    CHECK(months[m].longest.hours == hours[m].longest.hours);
    CHECK(months[m].longest.from == hours[m].longest.from);
    CHECK(near(months[m].hours_a_year, hours[m].hours_a_year, 1e-12));
  }
}
