#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <utility>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/plan/pick.hpp"
#include "coldgrease/plan/plan.hpp"
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
  const fleet f = read_fleet(source::memory(demo + "test.json", fleet_text(legs)));
  return pick(f, stock_of(f)).routes.front();
}

}  // namespace

TEST_CASE("case: the time of a dose follows from the pump's output") {
  const fleet f = read_fleet(source::memory("f.json", fleet_text(R"({"weather": "northern_plain.csv"})")));
  const line& l = f.installations.front().lines.front();
  REQUIRE(l.in);
  CHECK(near(in_second(*l.in), 10.0, 1e-12));
  CHECK(near(in_cm3_per_min(flow_of(l)), 1.2, 1e-12));
}

TEST_CASE("law: a road above its station is 6.5 K/km colder, one below it is refused, as heights that are swapped") {
  const auto flat = route_of(R"({"weather": "northern_plain.csv"})");
  const auto pass = route_of(R"({"weather": "northern_plain.csv", "elevation": "200 m", "highest": "1200 m"})");
  CHECK_THROWS_WITH_AS(route_of(R"({"weather": "northern_plain.csv", "elevation": "1200 m", "highest": "200 m"})"),
                       doctest::Contains("/routes/0/legs/0/highest: 200 m is below the station"), input_error);
  for (std::size_t m = 0; m < 12; ++m) {
    CHECK(near(flat.months[m].design.in_celsius() - pass.months[m].design.in_celsius(), 6.5, 1e-12));
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
  for (const route_pick& r : answer.routes) CHECK(r.decided.served());
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

TEST_CASE("case: a leg may be a typical year or hours, both say what they cannot tell") {
  const weather_file epw("coldgrease_leg.epw",
                         "LOCATION,Depot,XX,YYY,TMY,1,45,-90,-6,200\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n",
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

TEST_CASE("case: what a reader left out and assumed stands with the first route that names the file, once") {
  const weather_file hours("coldgrease_gaps.csv", "date,temp [F]\n", [](const date& d, int h, double t) {
    if (d.month == 3 && d.day == 5) return std::string();                                 // a day missing
    if (d.month == 3 && d.day == 6) return fmt::format("{} {:02}:00,\n", text_of(d), h);  // a day of blanks
    return fmt::format("{} {:02}:00,{}\n", text_of(d), h, t * 1.8 + 32.0);
  });
  fleet f = read_fleet(
      source::memory(demo + "test.json",
                     fleet_text(fmt::format(R"({{"station": "Depot", "weather": "{}"}})", hours.path().string()))));
  f.routes.push_back(f.routes[0]);
  f.routes[0].legs[0].options.today = f.routes[1].legs[0].options.today = date{2001, 12, 1};
  const auto routes = pick(f, stock_of(f)).routes;
  const std::string file = "Depot (coldgrease_gaps.csv): ";
  for (const char* part : {"read in F", "left out: 24 (temperature missing)", "times are taken as local standard time",
                           "left out: 696 (dated after today", "hours missing between the first and the last: 48"}) {
    CAPTURE(part);
    CHECK(std::ranges::any_of(routes[0].notes, [&](const std::string& n) {
      return n.starts_with(file) && n.find(part) != std::string::npos;
    }));
  }
  CHECK(std::ranges::count_if(routes[0].notes, [&](const std::string& n) { return n.starts_with(file); }) == 1);
  CHECK(!noted(routes[1], file));
}

TEST_CASE("law: a leg's night sky lowers its nights by as much, a lag warms its coldest hours") {
  const weather_file hours("coldgrease_soak.csv", "date,temp [C]\n", [](const date& d, int h, double t) {
    return fmt::format("{} {:02}:00,{}\n", text_of(d), h, t);
  });
  const auto leg = [&](std::string_view more) {
    return fmt::format(R"({{"station": "Depot", "weather": "{}"{}}})", hours.path().string(), more);
  };
  fleet f = read_fleet(source::memory(demo + "test.json", fleet_text(leg(""))));
  for (const char* more : {R"(, "night_sky": "2 K")", R"(, "lag": "3 h")"})
    f.routes.push_back(read_fleet(source::memory(demo + "test.json", fleet_text(leg(more)))).routes[0]);
  const auto routes = pick(f, stock_of(f)).routes;
  CHECK(near(routes[0].months[0].design.in_celsius(), -20.0, 0.0, 1e-9));
  CHECK(near(routes[1].months[0].design.in_celsius(), -22.0, 0.0, 1e-9));
  CHECK(routes[2].months[1].design.in_celsius() > -19.99);
  CHECK(routes[2].months[1].design.in_celsius() < -19.0);
  CHECK(noted(routes[1], "2 K below the air from 18 h to 6 h"));
  CHECK(noted(routes[2], "a time constant of 3 h: for a reservoir, not for lines"));
}

TEST_CASE("case: hours in UTC without a longitude need the leg's offset") {
  const weather_file hours(
      "coldgrease_utc.psv", "DATE|temperature|temperature_Quality_Code\n",
      [](const date& d, int h, double t) { return fmt::format("{}T{:02}:00:00|{}|1\n", text_of(d), h, t); });
  const auto leg = [&](std::string_view more) {
    return fmt::format(R"({{"station": "Depot", "weather": "{}"{}}})", hours.path().string(), more);
  };
  CHECK_THROWS_WITH_AS(route_of(leg("")), doctest::Contains("utc_offset in a fleet"), file_error);
  CHECK(noted(route_of(leg(R"(, "utc_offset": "-6 h")")), "moved by -6 h, as given"));
}

TEST_CASE("law: a listener hears of every step once, in order, the last one last") {
  const fleet f = read_fleet(demo + "fleet.json");
  using heard = std::vector<std::pair<std::size_t, std::size_t>>;
  const auto listen = [](heard& to) {
    return progress{[](void* listener, std::size_t done, std::size_t all) {
                      static_cast<heard*>(listener)->emplace_back(done, all);
                    },
                    &to};
  };
  heard picked, planned;
  pick(f, stock_of(f), {}, listen(picked));
  plan(f, stock_of(f), {}, listen(planned));
  CHECK(picked.size() == 3);
  CHECK(planned.size() == 3);
  for (const heard* h : {&picked, &planned}) {
    for (std::size_t i = 0; i < h->size(); ++i) CHECK((*h)[i] == std::pair(i + 1, h->size()));
  }
}
