// GHCN-Daily by year and by station, normals, and packed files.
#include <doctest/doctest.h>
#include <zlib.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/describe.hpp"
#include "coldgrease/climate/normals.hpp"
#include "near.hpp"
#include "reading.hpp"

using namespace coldgrease;
using reading::dropped_for;
using reading::holds;

namespace {

const reading::file by_year{"2015.csv"};

const std::string rows =
    "USW00014735,20150126,TMAX,28,,,W,2400\n"
    "USW00014735,20150126,PRCP,0,T,,W,2400\n"
    "USW00014735,20150127,TMIN,-200,,,W,\n"
    "USW00014735,20150126,TMIN,-117,,,W,2400\n"
    "USW00014735,20150127,TMAX,11,,,W,\n";

std::string packed(std::string_view text) {
  z_stream s{};
  REQUIRE(deflateInit2(&s, 9, Z_DEFLATED, 16 + MAX_WBITS, 8, Z_DEFAULT_STRATEGY) == Z_OK);
  std::string in(text), out(deflateBound(&s, text.size()) + 64, '\0');
  s.next_in = reinterpret_cast<Bytef*>(in.data());
  s.avail_in = static_cast<uInt>(in.size());
  s.next_out = reinterpret_cast<Bytef*>(out.data());
  s.avail_out = static_cast<uInt>(out.size());
  REQUIRE(deflate(&s, Z_FINISH) == Z_STREAM_END);
  out.resize(s.total_out);
  deflateEnd(&s);
  return out;
}

/// A file that is gone again.
class scratch {
 public:
  explicit scratch(std::string_view bytes) : path_(std::filesystem::temp_directory_path() / name()) {
    std::ofstream(path_, std::ios::binary) << bytes;
  }
  ~scratch() { std::filesystem::remove(path_); }
  scratch(const scratch&) = delete;
  scratch& operator=(const scratch&) = delete;
  std::string path() const { return path_.string(); }
  std::string refusal() const {
    try {
      read_weather(path());
    } catch (const file_error& e) {
      return e.what();
    }
    return "not refused";
  }

 private:
  static std::string name() {
    static int count = 0;
    return "coldgrease_weather_" + std::to_string(reinterpret_cast<std::uintptr_t>(&count)) + "_" +
           std::to_string(++count);
  }
  std::filesystem::path path_;
};

constexpr std::string_view normals_header =
    "STATION,NAME,DJF-TMIN-NORMAL,ANN-TMIN-PRBLST-T32FP10,meas_flag_ANN-TMIN-PRBLST-T32FP10,ANN-TMIN-PRBFST-T16FP50\n";

}  // namespace

TEST_CASE("case: rows of a day stand apart, in tenths of a degree, in any order, with or without a header") {
  for (const std::string& text : {rows, "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" + rows}) {
    const daily_series s = by_year.read(text);
    CHECK(s.station == "USW00014735");
    REQUIRE(s.days.size() == 2);
    CHECK(near(s.days[0].low, -11.7, 0.0, 1e-12));
    CHECK(near(s.days[0].high, 2.8, 0.0, 1e-12));
    CHECK(near(s.days[1].low, -20.0, 0.0, 1e-12));
    CHECK(s.dropped.empty());
  }
}

TEST_CASE("case: a file of all stations needs the name of one") {
  const std::string two = rows + "CA003013961,20150126,TMAX,-28,,,C,\nCA003013961,20150126,TMIN,-317,,,C,\n";
  CHECK(holds(by_year.refusal(two), R"(2015.csv:6: holds several stations, "USW00014735" and "CA003013961")"));
  CHECK(near(by_year.read(two, {.station = "CA003013961"}).days.at(0).low, -31.7, 0.0, 1e-12));
  CHECK(holds(by_year.refusal(two, {.station = "CAN03013961"}),
              R"(holds no station "CAN03013961"; expected "USW00014735", "CA003013961")"));
}

TEST_CASE("case: missing values, quality flags and lonely minima are counted") {
  const daily_series s = by_year.read(rows +
                                      "USW00014735,20150128,TMAX,-9999,,,W,\nUSW00014735,20150128,TMIN,-50,,,W,\n"
                                      "USW00014735,20150129,TMAX,20,,,W,\nUSW00014735,20150129,TMIN,-300,,O,W,\n");
  CHECK(s.days.size() == 2);
  CHECK(dropped_for(s, "missing value") == 1);
  CHECK(dropped_for(s, "quality flag") == 1);
  CHECK(dropped_for(s, "minimum without maximum") == 2);
}

TEST_CASE("case: what is refused of by-year rows") {
  CHECK(holds(by_year.refusal(rows + "USW00014735,20150230,TMIN,1,,,W,\n"), R"(2015.csv:6: "20150230" is no date)"));
  CHECK(holds(by_year.refusal(rows + "USW00014735,20150128,TMIN,1.5,,,W,\n"), R"(2015.csv:6: "1.5" is no number)"));
  CHECK(holds(by_year.refusal(rows + "USW00014735,2015\n"), "2015.csv:6: is cut short"));
  CHECK(holds(by_year.refusal(rows, {.unit = "C"}), "the unit of by-year rows is tenths of a degree C"));
  CHECK(by_year.read(rows, {.format = "by-year"}).days.size() == 2);
}

TEST_CASE("case: normals are no weather: asking them for quantiles is refused with what they hold") {
  const std::string text = std::string(normals_header) + "USW00014735,\"ALBANY, NY\", 18.7,05/11,S,11/28\n";
  CHECK(by_year.refusal(text) ==
        "2015.csv: holds climate normals of ALBANY, NY: chances of a first and last freeze of 16 to 32 F, no quantiles "
        "and no minima; expected days or hours of real years, or the format normals for the dates alone");
  CHECK(holds(by_year.refusal("STATION,DATE,HLY-TEMP-NORMAL\nUSW00014735,01-01T01:00:00,20.1\n"),
              "holds climate normals without freeze dates"));
  const freeze_normals n = read_normals(source::memory("n.csv", text));
  CHECK(n.station == "ALBANY, NY");
  CHECK(n.id == "USW00014735");
  CHECK(read_normals(source::memory("n.csv", text), "ALBANY, NY").dates.size() == 2);
  REQUIRE(n.dates.size() == 2);
  CHECK(n.dates[0].first);
  CHECK(near(n.dates[0].limit.in_celsius(), -8.8889, 0.0, 1e-4));
  CHECK(!n.dates[1].first);
  CHECK(n.dates[1].month == 5);
  const freeze_normals flagged = read_normals(
      source::memory("n.csv", std::string(normals_header) + "USW00014735,\"ALBANY, NY\", 18.7,05/11,M,11/28\n"));
  CHECK(flagged.dates.size() == 1);
  CHECK(flagged.dropped.at(0).count == 1);
  CHECK_THROWS_AS(read_normals(source::memory("n.csv", std::string(normals_header) + "A,a,1,-9999,S,-8888\n")),
                  file_error);
}

TEST_CASE("law: dates of a last freeze fall with the share of years, dates of a first freeze rise") {
  const freeze_normals n = read_normals(source::memory(
      "n.csv",
      "STATION,ANN-TMIN-PRBLST-T32FP10,ANN-TMIN-PRBLST-T32FP90,ANN-TMIN-PRBFST-T32FP90,ANN-TMIN-PRBFST-T32FP10\n"
      "USW00014735,05/11,04/16,11/01,10/03\n"));
  REQUIRE(n.dates.size() == 4);
  CHECK((n.dates[0].first && n.dates[1].first && !n.dates[2].first));
  CHECK(n.dates[0].month < n.dates[1].month);
  CHECK(n.dates[2].month > n.dates[3].month);
}

TEST_CASE("case: packed files are read as they are, whatever their name, also of several members") {
  const scratch one(packed(rows)), two(packed(rows.substr(0, 100)) + packed(rows.substr(100))), plain(rows),
      padded(packed(rows) + std::string(512, '\0'));
  for (const scratch* file : {&one, &two, &plain, &padded})
    CHECK(std::get<daily_series>(read_weather(file->path())).days.size() == 2);
}

TEST_CASE("case: packed files that are cut short, damaged, empty or something else") {
  const std::string whole = packed(rows);
  CHECK(holds(scratch(whole.substr(0, whole.size() - 9)).refusal(),
              "is packed by gzip and cut short; expected a whole gzip file"));
  CHECK(holds(scratch(whole.substr(0, 2)).refusal(), "is packed by gzip and cut short"));
  std::string damaged = whole;
  damaged[whole.size() - 6] = static_cast<char>(damaged[whole.size() - 6] ^ 0x55);  // the check sum
  CHECK(holds(scratch(damaged).refusal(), "is packed by gzip and damaged"));
  CHECK(holds(scratch("\x1f\x8b no gzip at all").refusal(), "is packed by gzip and damaged"));
  CHECK(holds(scratch(whole + "more").refusal(), "is packed by gzip and damaged"));
  CHECK(holds(scratch(packed("")).refusal(), "is empty; expected a weather file"));
  CHECK(holds(scratch("").refusal(), "is empty; expected a weather file"));
}
