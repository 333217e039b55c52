// EPW: a typical year, its head, and what neither may be used for. The head's numbers are those of Chicago O'Hare (EPW
// in the open repository ladybug-tools/ladybug, tests/assets/epw, quoting ASHRAE 2009); the hours are invented.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <string>
#include <string_view>

#include "climate/remarks.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/describe.hpp"
#include "coldgrease/climate/year_climate.hpp"
#include "near.hpp"
#include "reading.hpp"

using namespace coldgrease;
using reading::dropped_for;
using reading::holds;
using reading::noted;

namespace {

const reading::file_of<typical_year> epw{"w.epw"};

constexpr std::string_view location = "LOCATION,Chicago Ohare Intl Ap,IL,USA,TMY3,725300,41.98,-87.92,-6.0,201.0\n";
constexpr std::string_view heating = "Heating,1,-20,-16.6,-25.7,0.4,-19.2,-22.1,0.5,-15.7,12.4,-3.5,11.4,-3.2,4.9,270,";
constexpr std::string_view extremes_2009 =
    "Extremes,11.1,9.4,8.6,28.5,-23.7,35.9,4.5,1.9,-27,37.3,-29.6,38.4,-32.2,39.5,-35.5,40.9\n";

std::string design(std::string_view extremes, std::string_view title = "Climate Design Data 2009 ASHRAE Handbook,,") {
  return fmt::format("DESIGN CONDITIONS,1,{}{}Cooling,7,10.5,33.3,{}", title, heating, extremes);
}

std::string head(std::string_view conditions, std::string_view comment = "none") {
  return fmt::format(
      "{}{}TYPICAL/EXTREME PERIODS,1,Winter - Week Nearest Min Temperature For Period,Extreme,2015/07/20,2/ 2\n"
      "GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,\"text, with commas\"\nCOMMENTS "
      "2,{}\nDATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n",
      location, conditions, comment);
}

std::string hour_row(int year, int month, int day, int hour, std::string_view t) {
  return fmt::format("{},{},{},{},0,?9?9,{},-16.1,73,99500,0,0,218\n", year, month, day, hour, t);
}

/// All hours of a year; years change from month to month.
std::string hours(const std::function<std::string(int month, int day, int hour)>& of, int year_of_february = 1997) {
  std::string text;
  for (int month = 1; month <= 12; ++month) {
    const int year = month == 2 ? year_of_february : 2003 - month;
    for (int day = 1; day <= days_in_month(month == 2 ? year : 2001, month); ++day)
      for (int hour = 1; hour <= 24; ++hour) text += hour_row(year, month, day, hour, of(month, day, hour));
  }
  return text;
}

/// Cold enough for the head: its coldest 0.4 % of hours is -20 C.
std::string cold_january(int month, int day, int hour) {
  if (month != 1) return fmt::format("{}", 5 + (hour + day) % 10);
  return day < 4 ? "-20.0" : fmt::format("{}", -10 + hour % 3);
}

template <class Series>
concept tells_years = requires(const Series& s) {
  annual_minima(s);
};
template <class Series>
concept tells_seasons = requires(const Series& s) {
  dates_of_cold(s, celsius(0));
  winters_with_a_day_below(s, celsius(0));
};

typical_year read(std::string_view text, const weather_options& options = {}) { return epw.read(text, options); }

}  // namespace

TEST_CASE("case: hours 1 to 24 end at 01 h to midnight, years change month by month") {
  const typical_year y = read(head(design(extremes_2009)) + hours(cold_january));
  CHECK(y.station == "Chicago Ohare Intl Ap");
  CHECK(y.id == "725300");
  CHECK(near(y.latitude.value(), 41.98, 0.0, 1e-12));
  CHECK(y.days == 365);
  REQUIRE(y.hours.size() == 8760);
  for (int h = 0; h < 8760; ++h) CHECK(y.hours[static_cast<std::size_t>(h)].hour == h);
  CHECK(y.hours[24 * 59].celsius == 5 + (1 + 1) % 10);  // 1 March, first hour
  CHECK(noted(y, "a typical year of months from 1991 to 2002"));
  CHECK(y.dropped.empty());
}

TEST_CASE("case: a 29 February makes 8784 hours") {
  const typical_year y = read(head(design(extremes_2009)) + hours(cold_january, 1996));
  CHECK(y.days == 366);
  REQUIRE(y.hours.size() == 8784);
  CHECK(y.hours.back().hour == 8783);
}

TEST_CASE("published value: the head of Chicago O'Hare, whichever columns stand before its means") {
  // 2009 has the largest wet bulb before the means, later ones have not and may append a number.
  for (const std::string_view extremes :
       {extremes_2009,
        std::string_view("Extremes,11.1,9.4,8.6,-23.7,35.9,4.5,1.9,-27,37.3,-29.6,38.4,-32.2,39.5,-35.5,40.9\n"),
        std::string_view(
            "Extremes,11.1,9.4,8.6,-23.7,35.9,4.5,1.9,-27,37.3,-29.6,38.4,-32.2,39.5,-35.5,40.9,-12.4\n")}) {
    for (const std::string_view title :
         {"Climate Design Data 2009 ASHRAE Handbook,,", "Climate Design Data 2009 ASHRAE Handbook,"}) {
      const typical_year y = read(head(design(extremes, title)) + hours(cold_january));
      REQUIRE(y.published);
      CHECK(y.published->heating_99_6->in_celsius() == -20.0);
      CHECK(y.published->heating_99->in_celsius() == -16.6);
      REQUIRE(y.published->mean_annual_minimum);
      CHECK(y.published->mean_annual_minimum->in_celsius() == -23.7);
      CHECK(in_kelvins(*y.published->deviation) == 4.5);
      // As the head prints them, not as the formula has them: -29.57 and -35.37 C.
      CHECK(return_minimum(*y.published, 10)->in_celsius() == -29.6);
      CHECK(return_minimum(*y.published, 50)->in_celsius() == -35.5);
      CHECK(near(return_minimum(*y.published, 25)->in_celsius(), -23.7 - 4.5 * gumbel_factor(25), 0.0, 1e-9));
      CHECK(y.published->edition == "Climate Design Data 2009 ASHRAE Handbook");
    }
  }
}

TEST_CASE("case: a head whose n-year minima do not follow from its mean and deviation is not used for them") {
  const typical_year wrong =
      read(head(design("Extremes,11.1,9.4,8.6,28.5,-23.7,35.9,4.5,1.9,-27,37.3,-39.6,38.4,-32.2,39.5,-35.5,40.9\n")) +
           hours(cold_january));
  CHECK(!wrong.published->mean_annual_minimum);
  CHECK(noted(wrong, "do not follow from its mean and deviation: not used"));
  // Seven numbers, as in a text of 2025.
  const typical_year shortened = read(head(design("Extremes,11.1,9.4,8.6,-22.9,33.1,2.9,1.7\n")) + hours(cold_january));
  CHECK(shortened.published->heating_99->in_celsius() == -16.6);
  CHECK(!shortened.published->mean_annual_minimum);
  CHECK(noted(shortened, "quotes no n-year minima"));
  CHECK(!read(head("DESIGN CONDITIONS,0\n") + hours(cold_january)).published);
}

TEST_CASE("case: a head of another station: the hours count, and it is said (16 K off)") {
  const typical_year y =
      read(head(design(extremes_2009)) + hours([](int, int, int hour) { return fmt::format("{}", hour + 1); }));
  const climate_answer a = describe(y);
  CHECK(near(a.quantiles[0].temperature.in_celsius(), 2.0, 0.0, 1e-12));
  CHECK(std::ranges::any_of(a.notes, [](const std::string& n) {
    return holds(n, "quotes -20.0 C for the coldest 0.4 % of hours, its hours give 2.0 C");
  }));
  const climate_answer own = describe(read(head(design(extremes_2009)) + hours(cold_january)));
  CHECK(std::ranges::none_of(own.notes, [](const std::string& n) { return holds(n, "another station"); }));
}

TEST_CASE("law: a typical year has quantiles and spells, but no annual minima, no n-year minima, no seasons") {
  const weather w = read(head(design(extremes_2009)) + hours(cold_january));
  const climate_answer a = describe(w, celsius(-15));
  CHECK(a.kind == series_kind::typical_year);
  CHECK(!a.first);
  CHECK(a.count == 8760);
  CHECK(a.quantiles.size() == 9);
  CHECK(a.annual_minima.empty());
  CHECK(a.return_minima.empty());
  CHECK(!a.seasons);
  CHECK(!a.winters_with_a_day);
  CHECK(near(a.below->hours_a_year, 72.0, 1e-12));
  CHECK(a.below->longest.hours == 72);
  CHECK(a.below->longest.from == "01-01T00");
  CHECK(a.below->longest.to == "01-03T23");
  const year_climate m = year_of(w);
  CHECK(!m.years);
  for (const auto& minimum : m.return_minimum) CHECK(!minimum);
  CHECK(m.pentads[0].cold.in_celsius() == -20.0);
  // The type says the same to a compiler.
  static_assert(tells_years<daily_series> && tells_years<hourly_series> && !tells_years<typical_year>);
  static_assert(tells_seasons<daily_series> && tells_seasons<hourly_series> && !tells_seasons<typical_year>);
}

TEST_CASE("case: missing hours (99.9) and hours that stand twice are counted, a cut file says what it lacks") {
  const std::string all = head(design(extremes_2009)) + hours([](int month, int day, int hour) {
                            return month == 3 && day == 1 ? "99.9" : cold_january(month, day, hour);
                          });
  CHECK_THROWS_WITH_AS(read(all + hour_row(1999, 7, 4, 5, "1.0")), doctest::Contains("stands twice, with 14 C and 1 C"),
                       file_error);
  const typical_year y = read(all + hour_row(1999, 7, 4, 5, "1.0"), {.duplicates = duplicate_rule::coldest});
  CHECK(dropped_for(y, "temperature missing") == 24);
  CHECK(dropped_for(y, "hour stands twice") == 1);
  CHECK(y.hours.size() == 8736);
  CHECK(noted(y, "hours missing in the year: 24"));
  const auto lines_to_june = all.substr(0, all.find("1997,2,1,1,"));
  CHECK_THROWS_WITH_AS(year_of(read(lines_to_june)), doctest::Contains("has no days in February"), input_error);
}

TEST_CASE(
    "case: quoted commas, Latin-1 bytes and a comment that tells of a future climate are shown of the file, and "
    "a plan's note says only that there are some") {
  const typical_year y = read(head(design(extremes_2009), "\"Klima 2021-2050, Z\xfcrich\"") + hours(cold_january));
  const auto shown = [](const std::vector<std::string>& all, std::string_view words) {
    return std::ranges::any_of(all, [&](const std::string& one) { return one.find(words) != std::string::npos; });
  };
  for (const std::string_view words : {R"(Klima 2021-2050, Z\xfcrich)", "text, with commas"}) {  // one as an escape
    CHECK(shown(y.comments, words));
    CHECK(shown(describe(y).notes, words));
    CHECK_FALSE(noted(y, words));
    CHECK_FALSE(shown({detail::remarks_of(y)}, words));
  }
  CHECK(shown({detail::remarks_of(y)}, "its head has comments"));
}

TEST_CASE("case: what is refused") {
  const std::string ok = head(design(extremes_2009));
  CHECK(holds(epw.refusal(ok), "w.epw: holds no hour with a temperature"));
  CHECK(holds(epw.refusal(std::string(location)), "w.epw: has no line DATA PERIODS"));
  CHECK(holds(epw.refusal(ok + "1986,1,1,25,0,?,1.0\n"), R"(w.epw:9: date: "1986,1,1,25" is no hour)"));
  CHECK(holds(epw.refusal(ok + "1986,1,1,0,0,?,1.0\n"), "is no hour"));
  CHECK(holds(epw.refusal(ok + "1986,2,30,1,0,?,1.0\n"), "is no hour"));
  CHECK(holds(epw.refusal(ok + "1986,1,1,1,0\n"), "w.epw:9: has 5 fields; expected 35"));
  CHECK(holds(epw.refusal(ok + "1986,1,1,1,0,?,nan\n"), R"(dry bulb: "nan" is no number)"));
  CHECK(holds(epw.refusal(ok + "1986,1,1,1,0,?,1e400\n"), R"("1e400" is no number)"));
  CHECK(holds(epw.refusal(ok + "1986,1,1,1,0,?,-900\n"), "-900 C if the unit is C"));
  CHECK(holds(epw.refusal(ok, {.unit = "F"}), "the unit of an EPW file is degrees C"));
  CHECK(holds(epw.refusal(ok, {.year_from = 2000}),
              "holds a typical year, put together from several; expected no choice of years"));
  std::string quarters = ok;
  quarters.replace(quarters.find("DATA PERIODS,1,1"), 16, "DATA PERIODS,1,4");
  CHECK(holds(epw.refusal(quarters), "has not one record an hour"));
}

TEST_CASE("case: a quoted town loses its quotes, and a comma within them cuts nothing") {
  const auto named = [](std::string_view town) {
    std::string text = head(design(extremes_2009)) + hours(cold_january);
    return read(text.replace(text.find("Chicago Ohare Intl Ap"), 21, town));
  };
  for (const auto& [written, town] :
       std::vector<std::pair<std::string, std::string>>{{R"("Chicago, O'Hare")", "Chicago, O'Hare"},
                                                        {R"( "Chicago" )", "Chicago"},
                                                        {R"("The ""Hill""")", R"(The "Hill")"},
                                                        {R"(5" gauge)", R"(5" gauge)"},
                                                        {R"("Chicago)", R"("Chicago)"}}) {
    const typical_year y = named(written);
    CHECK(y.station == town);
    CHECK(near(y.latitude.value(), 41.98, 0.0, 1e-12));
  }
  CHECK(named("").station == "725300");
}

TEST_CASE("case: carriage returns, and the station by the name or the number that the head has") {
  std::string crlf = head(design(extremes_2009)) + hours(cold_january);
  for (std::size_t at = 0; (at = crlf.find('\n', at)) != std::string::npos; at += 2) crlf.insert(at, "\r");
  for (const char* asked : {"725300", "Chicago Ohare Intl Ap"}) {
    const typical_year y = read(crlf, {.station = asked});
    CHECK(y.hours.size() == 8760);
    CHECK(y.station == "Chicago Ohare Intl Ap");
    CHECK(y.published->mean_annual_minimum);
  }
  CHECK(holds(epw.refusal(crlf, {.station = "Depot"}),
              R"(w.epw: holds no station "Depot"; expected "725300" or "Chicago Ohare Intl Ap")"));
}
