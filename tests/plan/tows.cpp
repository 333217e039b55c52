// Fills coupled on one road: which they are, and that the weakest of them speaks for all.
#include <doctest/doctest.h>

#include <algorithm>

#include "coldgrease/report/text.hpp"
#include "examples.hpp"
#include "refusal.hpp"

using namespace coldgrease;

namespace {

/// A tractor and a trailer of another pressure and longer lines on one road, each with a fill of its own.
fleet coupled(double trailer_bar, double mean) {
  fleet f;
  for (const grease& g : examples::stock()) f.greases.push_back(g.known());
  f.installations = {examples::system(400), examples::system(trailer_bar)};
  f.installations[0].name = "tractor";
  f.installations[1].name = "trailer";
  const leg road{.station = "road", .series = examples::weather(mean, 15)};
  f.routes = {{.name = "north", .legs = {road}, .installations = {0}},
              {.name = "trailers", .legs = {road}, .installations = {1}}};
  f.tows = {{.name = "north with trailers", .routes = {0, 1}}};
  return f;
}

std::string fleet_text(const std::string& routes, const std::string& pools, const std::string& tows = "[]") {
  const std::string line =
      R"("available": "250 bar", "lines": [{"point": "p", "segments": [{"length": "1 m", "bore": "4 mm"}], "dose": "0.2 cm3", "in": "5 s"}]})";
  return R"({"greases": [{"name": "g", "nlgi": "1"}], "installations": [{"name": "tractor", )" + line +
         R"(, {"name": "trailer", )" + line + R"(, {"name": "dolly", )" + line + R"(], "routes": )" + routes +
         R"(, "pools": )" + pools + R"(, "tows": )" + tows + "}";
}
fleet read(const std::string& text) { return read_fleet(source::memory("f.json", text)); }

const std::string road = R"("legs": [{"weather": "w.csv"}])";

}  // namespace

TEST_CASE("law: a tow is as good as its weakest fill in every month, never a product") {
  int not_served = 0;
  for (const double bars : {400.0, 60.0, 17.0}) {
    for (const double mean : {10.0, -5.0}) {
      const fleet f = coupled(bars, mean);
      const auto stock = stock_of(f);
      const pick_answer a = pick(f, stock);
      REQUIRE(a.tows.size() == 1);
      const tow_pick& t = a.tows.front();
      CHECK(t.routes == std::vector<std::size_t>{0, 1});
      bool all = true;
      for (std::size_t m = 0; m < 12; ++m) {
        const month_pick& x = a.routes[0].months[m];
        const month_pick& y = a.routes[1].months[m];
        // A fill pumped in the month is judged on all its days: never better than its own line of the decision.
        const auto chance_of = [&](const route_pick& r) {
          auto least = r.months[m].greases[r.months[m].shown].chance;
          if (r.months[m].picked) least = 1.0;
          for (const fill& made : r.decided.fills) {
            if (days_by_month(made.days)[m] > 0) least = std::min(*least, made.chance);
          }
          return least;
        };
        const auto chance_x = chance_of(a.routes[0]), chance_y = chance_of(a.routes[1]);
        CHECK(t.months[m].chance == std::min(chance_x, chance_y));
        CHECK(t.months[m].served == (x.picked && y.picked));
        const month_pick& weakest = t.months[m].weakest == 0 ? x : y;
        if (x.picked == y.picked) CHECK((t.months[m].weakest == 0 ? chance_x : chance_y) == t.months[m].chance);
        if (x.picked != y.picked) CHECK_FALSE(weakest.picked);
        all = all && t.months[m].served;
      }
      CHECK(t.served == all);
      CHECK(t.served == (a.routes[0].decided.served() && a.routes[1].decided.served()));
      not_served += !t.served;
      const std::string text = to_text(a, f.installations, stock);
      CHECK(text.find("north with trailers") != std::string::npos);
    }
  }
  CHECK(not_served > 0);
  CHECK(not_served < 6);
}

TEST_CASE("case: separate fills are a tow, and so is a pool of trailers with each route that it visits") {
  const fleet f = read(
      fleet_text(R"([{"name": "north", )" + road + R"(, "installations": ["tractor", "dolly"], "separate_fills": true},
          {"name": "south", )" +
                     road + R"(, "installations": ["tractor"]}])",
                 R"([{"name": "trailers", "visits": ["north", "south"], "installations": ["trailer"]}])",
                 R"([{"name": "yard", "routes": ["south", "north: dolly"]}])"));
  REQUIRE(f.routes.size() == 4);  // north: tractor, north: dolly, south, trailers
  const std::vector<tow> wanted{
      {"north", {0, 1}}, {"north with trailers", {0, 1, 3}}, {"south with trailers", {2, 3}}, {"yard", {2, 1}}};
  CHECK(f.tows == wanted);
  CHECK(read(write_fleet(f)).tows == wanted);
}

TEST_CASE("case: a pool of vehicles that have a system of the route's own stands in for them and is not coupled") {
  const fleet f =
      read(fleet_text(R"([{"name": "south", )" + road + R"(, "installations": ["tractor"]}])",
                      R"([{"name": "spares", "visits": ["south"], "installations": ["tractor", "trailer"]}])"));
  CHECK(f.tows.empty());
}

TEST_CASE("case: a pool that stands in for the trailer of separate fills is coupled to the tractor that is left") {
  const std::string north =
      R"([{"name": "north", )" + road + R"(, "installations": ["tractor", "trailer"], "separate_fills": true}])";
  // north: tractor, north: trailer, trailers at rest.
  const fleet f = read(fleet_text(
      north, R"([{"name": "rested", "visits": ["north"], "installations": ["trailer"], "rest": "3 days"}])"));
  REQUIRE(f.routes.size() == 3);
  CHECK(f.installations[f.routes[2].installations.front()].rest == days(3));
  const std::vector<tow> wanted{{"north", {0, 1}}, {"north with rested", {0, 2}}};
  CHECK(f.tows == wanted);
  CHECK(read(write_fleet(f)).tows == wanted);
  // Whole vehicles stand in for both: nothing is left to couple them to.
  CHECK(read(fleet_text(north, R"([{"name": "spares", "visits": ["north"], "installations": ["tractor", "trailer"]}])"))
            .tows == std::vector<tow>{{"north", {0, 1}}});
}

TEST_CASE("case: two tows of one name, and a tow or a pool that names one route twice, are refused") {
  const auto refused = [](const std::string& pools, const std::string& tows) {
    return refusal([&] {
      read(fleet_text(
          R"([{"name": "north", )" + road + R"(, "installations": ["tractor", "dolly"], "separate_fills": true}])",
          pools, tows));
    });
  };
  CHECK(refused("[]", R"([{"name": "north", "routes": ["north"]}])") ==
        "f.json: /tows/0/name: the name \"north\" stands twice; expected distinct names");
  CHECK(refused("[]", R"([{"name": "t", "routes": ["north", "north: dolly"]}])") ==
        "f.json: /tows/0/routes/1: \"north: dolly\" stands twice; expected each route or pool once");
  CHECK(refused(R"([{"name": "p", "visits": ["north", "north"], "installations": ["trailer"]}])", "[]") ==
        "f.json: /pools/0/visits/1: \"north\" stands twice; expected each route once");
}

TEST_CASE("law: a row of a tow cuts no name and keeps to 80 columns") {
  fleet f = coupled(17.0, -5.0);  // the trailer is the weakest
  f.routes[1].name = "trailers that stand for three days between two long hauls to the far north";
  f.tows[0].name = "north with " + f.routes[1].name;
  const auto stock = stock_of(f);
  const std::string text = to_text(pick(f, stock), f.installations, stock);
  const std::string table = text.substr(text.find("Fills coupled"), text.find("====") - text.find("Fills coupled"));
  // Each column read on its own, from the head that it stands under.
  const std::size_t by = table.find("by the fill of") - table.rfind('\n', table.find("by the fill of")) - 1;
  const auto add = [](std::string& words, std::string_view part) {
    while (part.ends_with(' ')) part.remove_suffix(1);
    if (!part.empty()) words += std::string(words.empty() ? "" : " ") + std::string(part);
  };
  std::string tow, fill;
  for (std::size_t at = 0; at < table.size();) {
    const std::size_t end = table.find('\n', at);
    CHECK(end - at <= 80);
    const std::string_view row = std::string_view(table).substr(at, end - at);
    add(tow, row.substr(0, 28));
    if (row.size() > by) add(fill, row.substr(by));
    at = end + 1;
  }
  CHECK(tow.find(f.tows[0].name) != std::string::npos);
  CHECK(fill.find(f.routes[1].name) != std::string::npos);
}

TEST_CASE("case: a tow that names no route is refused") {
  CHECK(refusal([] {
          read(fleet_text(R"([{"name": "south", )" + road + R"(, "installations": ["tractor"]}])", "[]",
                          R"([{"name": "t", "routes": ["south", "moon"]}])"));
        }) == "f.json: /tows/0/routes/1: no route is called \"moon\"; expected a name from \"routes\" or \"pools\"");
}

TEST_CASE("case from users: a pool visits the route it names, and none whose name begins alike") {
  const fleet f = read(fleet_text(R"([{"name": "north", )" + road + R"(, "installations": ["tractor", "dolly"]},
          {"name": "north: by the lake", )" +
                                      road + R"(, "installations": ["tractor"]}])",
                                  R"([{"name": "trailers", "visits": ["north"], "installations": ["trailer"]}])"));
  REQUIRE(f.tows.size() == 1);
  CHECK(f.tows[0].routes == std::vector<std::size_t>{0, 2});
  CHECK(f.routes[2].legs.size() == 1);
}
