#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "coldgrease/plan/pick.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

const std::string demo = std::string(COLDGREASE_TABLES_SOURCE) + "/demo/";

std::string fleet_text(std::string_view legs, std::string_view more = "") {
  return std::string(R"({"greases": [{"name": "g", "nlgi": "0", "kv40": "150 mm2/s", "vi": 95}],
    "installations": [{"name": "i", "available": "250 bar", "pump_output": "1.2 cm3/min", "lines": [
      {"point": "p", "segments": [{"length": "6 m", "bore": "4 mm"}], "dose": "0.2 cm3"}]}],
    "routes": [{"name": "r", "legs": [)") +
         std::string(legs) + R"(], "installations": ["i"]}])" + std::string(more) + "}";
}

route_pick route_of(std::string_view legs) {
  const fleet f = parse_fleet(fleet_text(legs), demo + "test.json");
  return pick(f, stock_of(f)).routes.front();
}

}  // namespace

TEST_CASE("case: the time of a dose follows from the pump's output") {
  const fleet f = parse_fleet(fleet_text(R"({"weather": "northern_plain.csv"})"), "f.json");
  const line& l = f.installations.front().lines.front();
  REQUIRE(l.in);
  CHECK(near(in_second(*l.in), 10.0, 1e-12));
  CHECK(near(in_cm3_per_min(flow_of(l)), 1.2, 1e-12));
}

TEST_CASE("law: a road above its station is 6.5 K/km colder, a road below it is not warmer") {
  const auto flat = route_of(R"({"weather": "northern_plain.csv"})");
  const auto pass = route_of(R"({"weather": "northern_plain.csv", "elevation": "200 m", "highest": "1200 m"})");
  const auto valley = route_of(R"({"weather": "northern_plain.csv", "elevation": "1200 m", "highest": "200 m"})");
  for (std::size_t m = 0; m < 12; ++m) {
    CHECK(near(flat.months[m].design.in_celsius() - pass.months[m].design.in_celsius(), 6.5, 1e-12));
    CHECK(valley.months[m].design == flat.months[m].design);
    CHECK(pass.months[m].hours_below.value_or(0.0) >= flat.months[m].hours_below.value_or(0.0));
  }
}

TEST_CASE("law: the coldest leg governs every month, and is named") {
  const auto both = route_of(
      R"({"station": "south", "weather": "northern_plain.csv"}, {"station": "north", "weather": "far_north.csv"})");
  const auto south = route_of(R"({"station": "south", "weather": "northern_plain.csv"})");
  const auto north = route_of(R"({"station": "north", "weather": "far_north.csv"})");
  for (std::size_t m = 0; m < 12; ++m) {
    CHECK(both.months[m].design == std::min(south.months[m].design, north.months[m].design));
    CHECK(both.months[m].hot == std::max(south.months[m].hot, north.months[m].hot));
    CHECK(both.months[m].governing_station == (north.months[m].design < south.months[m].design ? "north" : "south"));
  }
}

TEST_CASE("case: the demo fleet is read whole and every route gets an answer") {
  const fleet f = read_fleet(demo + "fleet.json");
  CHECK(f.greases.size() == 8);
  REQUIRE(f.installations.size() == 3);
  for (const std::size_t i : {0U, 1U}) {
    CHECK(f.installations[i].lines.size() >= 10);
    CHECK(f.installations[i].lines.size() <= 16);
  }
  CHECK(f.installations[2].type == system_type::progressive);
  CHECK(near(in_bar(available_pressure(f.installations[0])), 250.0, 1e-12));  // relief below the pump's capability
  CHECK(near(in_bar(available_pressure(f.installations[1])), 100.0, 1e-12));
  CHECK(f.about.find("INVENTED") != std::string::npos);
  for (const evidence& g : f.greases) {
    REQUIRE(!g.sources.empty());
    for (const datum_source& s : g.sources) CHECK(s.source.find("invented") != std::string::npos);
  }
  const pick_answer answer = pick(f, stock_of(f), published_rules());
  REQUIRE(answer.routes.size() == 3);
  for (const route_pick& r : answer.routes) CHECK(!r.seasons.empty());
}

TEST_CASE("case: the schedule of lines says where it is wrong") {
  const fleet f = read_fleet(demo + "fleet.json");
  const installation& trailer = f.installations[1];
  CHECK(trailer.lines[0].point == "brake cam axle 1 left");
  CHECK(near(in_millimetre(trailer.lines[0].segments[0].bore), 4.0, 1e-9));
  CHECK(trailer.lines[0].segments[0].bore_from_tube);
}

namespace {

/// A file of hours of one year, cold from December to February, that is gone again.
class weather_file {
 public:
  weather_file(std::string name, std::string_view head, std::string (*row)(const date&, int hour, double celsius))
      : name_(std::move(name)) {
    std::ofstream out(path());
    out << head;
    for (int d = day_number({2001, 1, 1}); d < day_number({2002, 1, 1}); ++d) {
      const date day = date_of(d);
      for (int h = 0; h < 24; ++h)
        out << row(day, h, (day.month <= 2 || day.month == 12 ? -20.0 : 10.0) + (h < 12 ? 0.0 : 4.0));
    }
  }
  ~weather_file() { std::filesystem::remove(path()); }
  weather_file(const weather_file&) = delete;
  weather_file& operator=(const weather_file&) = delete;
  std::filesystem::path path() const { return std::filesystem::temp_directory_path() / name_; }

 private:
  std::string name_;
};

bool noted(const route_pick& r, std::string_view part) {
  return std::ranges::any_of(r.notes, [&](const std::string& n) { return n.find(part) != std::string::npos; });
}

}  // namespace

TEST_CASE("case: a leg may be a typical year or hours; both say what they cannot tell") {
  const weather_file epw("coldgrease_leg.epw",
                         "LOCATION,Town,XX,YYY,TMY,1,45,-90,-6,200\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n",
                         [](const date& d, int h, double t) {
                           return fmt::format("{},{},{},{},0,?9,{}\n", d.year, d.month, d.day, h + 1, t);
                         });
  const weather_file hours("coldgrease_leg.csv", "date,temp [F]\n", [](const date& d, int h, double t) {
    return fmt::format("{} {:02}:00,{}\n", text_of(d), h, t * 1.8 + 32.0);
  });
  const auto leg = [](const weather_file& file, std::string_view more) {
    return fmt::format(R"({{"station": "Depot", "weather": "{}"{}}})", file.path().string(), more);
  };
  const route_pick typical = route_of(leg(epw, R"(, "format": "epw")")), real = route_of(leg(hours, ""));
  for (const route_pick* r : {&typical, &real}) {
    CHECK(near(r->months[0].design.in_celsius(), -20.0, 0.0, 1e-9));
    CHECK(near(r->months[6].design.in_celsius(), 10.0, 0.0, 1e-9));
    CHECK(r->months[0].governing_station == "Depot");
    CHECK(!r->months[0].return_minimum);
  }
  CHECK(noted(typical, "Depot: a typical year: it leaves out the extremes of real ones"));
  CHECK(noted(real, "Depot: only 1 whole years of weather"));
}
