// CSV weather files as people have them, and what is wrong with those that are refused.
#include <doctest/doctest.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/describe.hpp"
#include "coldgrease/climate/readers.hpp"
#include "near.hpp"
#include "reading.hpp"

using namespace coldgrease;
using namespace std::string_view_literals;
using reading::dropped_for;
using reading::holds;

namespace {

daily_series read(std::string_view text, const weather_options& options = {}) {
  return reading::file{"w.csv"}.read(text, options);
}
std::string refusal(std::string_view text, const weather_options& options = {}) {
  return reading::file{"w.csv"}.refusal(text, options);
}

std::string dates(const daily_series& s) {
  std::string all;
  for (const daily_extremes& d : s.days) all += (all.empty() ? "" : " ") + text_of(date_of(d.day));
  return all;
}

/// Two days, 26 and 27 January 2015, -8 to -1.5 C and -9.4 to 0 C, whatever the dialect of the file.
void check_two_days(const daily_series& s) {
  CHECK(dates(s) == "2015-01-26 2015-01-27");
  REQUIRE(s.days.size() == 2);
  CHECK(near(s.days[0].low, -8.0, 0.0, 1e-12));
  CHECK(near(s.days[0].high, -1.5, 0.0, 1e-12));
  CHECK(near(s.days[1].low, -9.4, 0.0, 1e-12));
  CHECK(near(s.days[1].high, 0.0, 0.0, 1e-12));
  CHECK(s.dropped.empty());
  CHECK(s.notes.empty());
}

const std::string two_stations =
    "station,date,tmin [C],tmax [C]\nA,2015-01-26,-8,-1\nB,2015-01-26,-18,-11\nA,2015-01-27,-7,0\n";

}  // namespace

TEST_CASE("case: dialects of one file") {
  check_two_days(read("date,tmin [C],tmax [C]\n2015-01-26,-8.0,-1.5\n2015-01-27,-9.4,0\n"));
  check_two_days(read("date;tmin [C];tmax [C]\n2015-01-26;-8.0;-1.5\n2015-01-27;-9.4;0\n"));
  check_two_days(read("date\ttmin [C]\ttmax [C]\n2015-01-26\t-8.0\t-1.5\n2015-01-27\t-9.4\t0\n"));
  check_two_days(read("date|tmin [C]|tmax [C]\n2015-01-26|-8.0|-1.5\n2015-01-27|-9.4|0\n"));
  // Byte-order mark, carriage returns, comment lines, blank lines, no newline at the end.
  check_two_days(
      read("\xef\xbb\xbf# measured at the depot\r\ndate,tmin [C],tmax [C]\r\n\r\n2015-01-26,-8.0,-1.5\r\n# a "
           "comment\r\n2015-01-27,-9.4,0"));
  // Other columns and another order; any case; padded and quoted fields; a plus sign.
  check_two_days(read(R"("TMAX [C]","Wind","DATE","Tmin [C]","NAME"
"  -1.5","3","2015-01-26","  -8.0 ","SOMEWHERE, XX"
"+0.0","","2015-01-27"," -9.4","SOMEWHERE, XX"
)"));
  check_two_days(read("year,month,day,temp_min [C],temp_max [C]\n2015,1,26,-8.0,-1.5\n2015,01,27,-9.4,0\n"));
  check_two_days(read("date,tmin [C],tmax [C]\n20150126,-8.0,-1.5\n2015/01/27,-9.4,0\n"));
  check_two_days(read("date,tmin [C],tmax [C]\n2015-01-26T00:00:00,-8.0,-1.5\n2015-01-27 00:00,-9.4,0\n"));
}

TEST_CASE("case: the unit is declared in the column or as an option, and tenths are tenths") {
  check_two_days(read("date,tmin,tmax\n2015-01-26,-8.0,-1.5\n2015-01-27,-9.4,0\n", {.unit = "C"}));
  check_two_days(read("date,tmin,tmax\n2015-01-26,-80,-15\n2015-01-27,-94,0\n", {.unit = "0.1 C"}));
  check_two_days(read("date,tmin [0.1 C],tmax [0.1 C]\n2015-01-26,-80,-15\n2015-01-27,-94,0\n"));
  check_two_days(read("date,tmin [F],tmax [F]\n2015-01-26,17.6,29.3\n2015-01-27,15.08,32\n"));
  check_two_days(read("date,tmin [ K ],tmax [ K ]\n2015-01-26,265.15,271.65\n2015-01-27,263.75,273.15\n"));
  check_two_days(read("date,tmin [C],tmax [C]\n2015-01-26,-8.0,-1.5\n2015-01-27,-9.4,0\n", {.unit = "C"}));

  const std::string_view bare = "date,tmin,tmax\n2015-01-26,-8.0,-1.5\n";
  CHECK(holds(refusal(bare), "w.csv:1: no unit of temperature is declared; expected the unit C, F, K or 0.1 C"));
  CHECK(holds(refusal(bare, {.unit = "c"}), R"("c" is no unit of temperature)"));
  CHECK(holds(refusal("date,tmin [C],tmax [F]\n2015-01-26,-8.0,-1.5\n"),
              "w.csv:1: tmin and tmax declare different units"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,-8.0,-1.5\n", {.unit = "F"}),
              R"(the columns declare "C", the option "F")"));
}

TEST_CASE("case: a Fahrenheit file or a file of tenths declared as C is refused, not averaged") {
  std::string fahrenheit = "date,tmin [C],tmax [C]\n", tenths = fahrenheit;
  for (int d = 1; d <= 28; ++d) {
    const std::string day = "2015-07-" + std::string(d < 10 ? "0" : "") + std::to_string(d);
    fahrenheit += day + ",50,90\n";
    tenths += day + ",200,322\n";
  }
  CHECK(holds(refusal(fahrenheit),
              "w.csv:2: tmax [C]: 90 C if the unit is C; values outside -90 to 60 C: 28; expected another unit"));
  // The first value outside the range is named: the minimum of the same row.
  CHECK(holds(refusal(tenths), "w.csv:2: tmin [C]: 200 C if the unit is C"));
  CHECK(holds(refusal("date,tmin [F],tmax [F]\n2015-01-26,265,271\n"), "w.csv:2: tmin [F]: 129.4 C if the unit is F"));
}

TEST_CASE("case: one impossible value among thousands is left out and counted (a report of 406 C)") {
  std::string text = "date,tmin [C],tmax [C]\n";
  for (int d = day_number({2001, 1, 1}); d < day_number({2009, 1, 1}); ++d)
    text += text_of(date_of(d)) + (d == day_number({2004, 5, 6})   ? ",12.0,406\n"
                                   : d == day_number({2005, 5, 6}) ? ",-99.9,12\n"
                                                                   : ",-3.0,8\n");
  const daily_series s = read(text);
  CHECK(dropped_for(s, "outside -90 to 60 C") == 2);
  CHECK(s.days.size() == 2922 - 2);
  for (const daily_extremes& d : s.days) CHECK(d.high == 8.0);
}

TEST_CASE("case: missing values are counted by reason: blank, NA, -9999") {
  const daily_series s = read(
      "date,tmin [F],tmax "
      "[F]\n2015-01-26,,30\n2015-01-27,NA,30\n2015-01-28,-9999,30\n2015-01-29,10,-9999\n2015-01-30,10,\n2015-01-31,10,"
      "30\n");
  CHECK(dates(s) == "2015-01-31");
  CHECK(dropped_for(s, "missing") == 5);
  // Other codes are no missing value anyone declared: they are impossible temperatures.
  for (const std::string_view code : {"+9999", "-9900", "99.9", "9999"}) {
    CAPTURE(code);
    CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26," + std::string(code) + ",30\n2015-01-27,1,2\n"),
                "w.csv:2: tmin [C]: "));
  }
}

TEST_CASE("case: values with a quality flag are left out and counted, measurement and source flags do not matter") {
  const daily_series s = read(R"("STATION","DATE","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"
"USW00014735","2015-01-26","  28",",,W","  11",",,W,2400"
"USW00014735","2015-01-27","  28",",X,W","  11",",,W"
"USW00014735","2015-01-28","  28","H,,S","  11",",,W"
"USW00014735","2015-01-29","  28","","  11",",I,W,0700"
"USW00014735","2015-01-30","  28","H, ,S","  11",""
)",
                              {.unit = "F"});
  CHECK(dates(s) == "2015-01-26 2015-01-28 2015-01-30");
  CHECK(dropped_for(s, "quality flag") == 2);
  CHECK(s.station == "USW00014735");
}

TEST_CASE("case: rows in any order are sorted and counted, a day that stands twice is dropped and counted") {
  const daily_series s = read(
      "date,tmin [C],tmax "
      "[C]\n2015-01-28,-3,0\n2015-01-26,-1,0\n2015-01-27,-2,0\n2015-01-27,-22,0\n2015-01-29,-4,0\n2015-01-27,-23,0\n",
      {.duplicates = duplicate_rule::first});
  CHECK(dates(s) == "2015-01-26 2015-01-27 2015-01-28 2015-01-29");
  CHECK(s.days[1].low == -2.0);  // the first of the three
  CHECK(dropped_for(s, "day stands twice, first 2015-01-27") == 2);
  REQUIRE(s.notes.size() == 1);
  CHECK(s.notes[0] == "4 rows were not in the order of time: sorted");
  const daily_series one = read("date,tmin [C],tmax [C]\n2015-01-28,-3,0\n2015-01-26,-1,0\n");
  CHECK(one.notes.at(0) == "1 row was not in the order of time: sorted");
}

TEST_CASE(
    "case from users: two values for one day are refused unless a rule says which counts, equal ones count once") {
  const std::string head = "date,tmin [C],tmax [C]\n2015-01-26,-1,0\n2015-01-27,-2,0\n";
  const std::string differ = head + "2015-01-27,-22,0\n", equal = head + "2015-01-27,-2,0\n";
  CHECK(refusal(differ) ==
        "w.csv: 2015-01-27: stands twice, with -2 to 0 C and -22 to 0 C; expected one value for it, or a rule which "
        "counts (duplicates: first, coldest)");
  CHECK(read(differ, {.duplicates = duplicate_rule::first}).days[1].low == -2.0);
  CHECK(read(differ, {.duplicates = duplicate_rule::coldest}).days[1].low == -22.0);
  CHECK(read(equal).days.size() == 2);
  CHECK(dropped_for(read(equal), "day stands twice, first 2015-01-27") == 1);
}

TEST_CASE("case: a minimum above its maximum is left out and counted") {
  const daily_series s = read("date,tmin [C],tmax [C]\n2015-01-26,5,2\n2015-01-27,-2,-2\n");
  CHECK(dates(s) == "2015-01-27");
  CHECK(dropped_for(s, "minimum above maximum") == 1);
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,5,2\n"),
              "holds no day with a minimum and a maximum; left out: 1: minimum above maximum"));
}

TEST_CASE("case: two stations in one file") {
  CHECK(holds(refusal(two_stations),
              R"(w.csv:3: holds several stations, "A" and "B"; expected one of them, by its id or name)"));
  CHECK(holds(refusal(two_stations, {.station = "C"}), R"(w.csv: holds no station "C"; expected "A", "B")"));
  CHECK(holds(refusal(two_stations, {.station = "a"}), R"(holds no station "a")"));
  const daily_series a = read(two_stations, {.station = "A"});
  CHECK(a.station == "A");
  CHECK(dates(a) == "2015-01-26 2015-01-27");
  CHECK(read(two_stations, {.station = "B"}).days.at(0).low == -18.0);
  // A file without such a column takes the name it is given.
  CHECK(read("date,tmin [C],tmax [C]\n2015-01-26,-8,-1\n", {.station = "Depot"}).station == "Depot");
  CHECK(read("date,tmin [C],tmax [C]\n2015-01-26,-8,-1\n").station.empty());
  CHECK(read("name,date,tmin [C],tmax [C]\n\"Town, XX\",2015-01-26,-8,-1\n").station == "Town, XX");
}

TEST_CASE("law: a station is its name and beside it its id, whichever columns hold them, and is found by either") {
  const std::string row = "2015-01-26,-8,-1\n";
  for (const std::string head : {"name,station", "name,id", "station_name,station_id", "location,id", "station,id"}) {
    CAPTURE(head);
    const std::string text =
        head + ",date,tmin [C],tmax [C]\n\"Town, XX\",A1," + row + "\"Town, YY\",A2,2015-01-26,-18,-11\n";
    for (const std::string asked : {"A1", "Town, XX"}) {
      const daily_series s = read(text, {.station = asked});
      CHECK(s.station == "Town, XX");
      CHECK(s.id == "A1");
      CHECK(s.days.at(0).low == -8.0);
    }
    CHECK(holds(refusal(text), R"(holds several stations, "A1" and "A2")"));
    CHECK(holds(refusal(text, {.station = "A3"}),
                R"(holds no station "A3"; expected "A1" or "Town, XX", "A2" or "Town, YY")"));
  }
  // Two stations of one name are told apart by their ids.
  const std::string twins = "name,id,date,tmin [C],tmax [C]\nTown,A1," + row + "Town,A2," + row;
  CHECK(holds(refusal(twins, {.station = "Town"}), R"(w.csv:3: holds several stations called "Town", "A1" and "A2")"));
  CHECK(read(twins, {.station = "A2"}).id == "A2");
  const daily_series id_alone = read("id,date,tmin [C],tmax [C]\nA1," + row);
  CHECK(id_alone.station == "A1");
  CHECK(id_alone.id.empty());
}

TEST_CASE("case: years from and to, both included") {
  std::string text = "date,tmin [C],tmax [C]\n";
  for (int y = 2001; y <= 2006; ++y) text += std::to_string(y) + "-07-01,1,2\n";
  CHECK(dates(read(text, {.year_from = 2003})) == "2003-07-01 2004-07-01 2005-07-01 2006-07-01");
  CHECK(dates(read(text, {.year_to = 2002})) == "2001-07-01 2002-07-01");
  CHECK(dates(read(text, {.year_from = 2004, .year_to = 2004})) == "2004-07-01");
  CHECK(holds(refusal(text, {.year_from = 2007}), "in the years asked for"));
  CHECK(holds(refusal(text, {.year_from = 2004, .year_to = 2003}), "in the years asked for"));
}

TEST_CASE("case: what is refused names the line, the column, the value and what is expected") {
  CHECK(refusal("") == "w.csv: is empty; expected a weather file");
  CHECK(refusal(" \r\n\n") == "w.csv: is empty; expected a weather file");
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n"), "w.csv: holds no day"));
  CHECK(holds(refusal("date,tmin [C]\n2015-01-26,1\n"),
              "w.csv:1: no column tmax; expected date (or year, month, day), tmin, tmax"));
  CHECK(holds(refusal("tmin [C],tmax [C]\n1,2\n"), "w.csv:1: no column date"));
  CHECK(holds(refusal("date,tmin [C],tmin [C],tmax [C]\n2015-01-26,1,2,3\n"), "w.csv:1: two columns could be"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,x,2\n"),
              R"(w.csv:2: tmin [C]: "x" is no number; expected a finite number)"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,1,nan\n"), R"(w.csv:2: tmax [C]: "nan" is no number)"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,-inf,2\n"), R"(w.csv:2: tmin [C]: "-inf" is no number)"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,1e400,2\n"), R"(w.csv:2: tmin [C]: "1e400" is no number)"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,0x10,2\n"), R"("0x10" is no number)"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,10 C,20 C\n"), R"("10 C" is no number)"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,1\n"), "w.csv:2: has 2 fields; expected 3, as the header"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n\"2015-01-26,1,2\n"), "w.csv:2: a quote is not closed"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-02-29,1,2\n"),
              R"(w.csv:2: date: "2015-02-29" is no date; expected 2015-01-26)"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n06.01.2015,1,2\n"), R"("06.01.2015" may be 6 January 2015 or)"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n01/26/15,1,2\n"), R"("01/26/15" is no date)"));
  CHECK(holds(refusal("year,month,day,tmin [C],tmax [C]\n2015,1,26,1,2\n2015,2,30,1,2\n"),
              R"(w.csv:3: "2015, 2, 30" is no date)"));
  CHECK(holds(refusal("year,month,day,tmin [C],tmax [C]\n2015,1.5,26,1,2\n"), R"("2015, 1.5, 26" is no date)"));
  // Decimal commas beside points, and between commas.
  CHECK(holds(refusal("date;tmin [C];tmax [C]\n2015-01-26;-1,5;2.0\n"),
              R"(w.csv:2: tmin [C]: "-1,5" has a decimal comma, other numbers of the file a point)"));
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,-1,5,2,0\n"),
              "w.csv:2: has 5 fields; expected 3, as the header; decimal points, no decimal commas"));
  // Comment lines count, so that an editor goes to the right line.
  CHECK(holds(refusal("# a\n# b\n\ndate,tmin [C],tmax [C]\n# c\n2015-01-26,x,2\n"), "w.csv:6: "));
}

TEST_CASE("case: a spreadsheet's file is read as it writes it") {
  const daily_series ours = read("date,tmin [C],tmax [C]\n2015-01-26,-8.5,-1\n2015-02-03,-7,0.5\n");
  const daily_series s = read(
      "Depot,,\r\n;;\r\nDate;Min (\xc2\xb0"
      "C);Max (\xc2\xb0"
      "C)\r\n26.01.2015;-8,5;-1\r\n;;\r\n03.02.2015;-7;0,5\r\nAverage;-7,75;-0,25\r\n");
  CHECK(s.days == ours.days);
  REQUIRE(s.notes.size() == ours.notes.size() + 3);
  CHECK(holds(s.notes[ours.notes.size()], "dates are taken as day, month, year"));
  CHECK(s.notes[ours.notes.size() + 1] == "w.csv:1: titles down to line 2 are left out");
  CHECK(s.notes[ours.notes.size() + 2] == "w.csv:7: \"Average\", the last row, is left out");
}

TEST_CASE("case: binary text is refused, UTF-16 and Latin-1 are read") {
  CHECK(holds(refusal("date,tmin [C],tmax [C]\n2015-01-26,\0,2\n"sv), "holds zero bytes"));
  std::string wide = "\xff\xfe";
  for (const char c : "date,tmin [C],tmax [C]\n2015-01-26,-8,-1\n"sv) wide += {c, '\0'};
  CHECK(read(wide).days == read("date,tmin [C],tmax [C]\n2015-01-26,-8,-1\n").days);
  const daily_series s = read(
      "station,date,tmin [C],tmax [C]\nMontr\xe9"
      "al,2015-01-26,-8,-1\n");
  CHECK(s.station == "Montr\u00e9al");
  CHECK(s.notes.back() == "w.csv: is in Latin-1, and is taken so");
}

TEST_CASE("case: formats by name") {
  CHECK_THROWS_AS(read("date,tmin [C],tmax [C]\n2015-01-26,1,2\n", {.format = "grib"}), input_error);
  CHECK(read("date,tmin [C],tmax [C]\n2015-01-26,1,2\n", {.format = "csv"}).days.size() == 1);
  // What is forced to be read as another format is refused, and nothing is told of its lines.
  const std::string other = "root:a secret of somebody:0:0\nsecond:another one:1:1,,,\n";
  for (const char* format : {"dly", "by-year"}) {
    CHECK(refusal(other, {.format = format, .station = "x"}) ==
          std::string("w.csv: does not begin as a file of the format ") + format +
              "; expected that format, or no format named");
  }
}

TEST_CASE("case: read_weather names the file it cannot read") {
  CHECK_THROWS_WITH_AS(read_weather(COLDGREASE_TEST_DATA), COLDGREASE_TEST_DATA ": is a folder; expected a file",
                       file_error);
  CHECK_THROWS_AS(read_weather(COLDGREASE_TEST_DATA "/no such file.csv"), file_error);
}

TEST_CASE("case: a file of more than 512 MiB is refused before it is read, a pipe is read like a file") {
  const auto path = std::filesystem::temp_directory_path() / "coldgrease_large_or_pipe.csv";
  std::filesystem::remove(path);
  std::ofstream(path) << "date,tmin [C],tmax [C]\n";
  std::filesystem::resize_file(path, std::uintmax_t{513} << 20U);  // a hole: takes no room on the disk
  CHECK_THROWS_WITH_AS(read_weather(path.string()), doctest::Contains("holds more than 512 MiB; expected a smaller"),
                       file_error);
  std::filesystem::remove(path);
  REQUIRE(::mkfifo(path.c_str(), 0600) == 0);
  std::jthread writer([&] { std::ofstream(path) << "date,tmin [F],tmax [F]\n2015-01-26,14,32\n"; });
  const auto s = std::get<daily_series>(read_weather(path.string()));
  std::filesystem::remove(path);
  REQUIRE(s.days.size() == 1);
  CHECK(near(s.days[0].low, -10.0, 0.0, 1e-12));
  CHECK(s.unit == "F");
}
