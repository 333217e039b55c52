// A fleet file proofread with the weather of its routes.
#include "coldgrease/plan/proof.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "coldgrease/line/dosing.hpp"
#include "coldgrease/plan/pick.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

const std::string demo = COLDGREASE_TABLES_SOURCE "/demo/";

std::string text_with(const std::string& greases, const std::string& legs) {
  return R"({"greases": [)" + greases +
         R"(], "installations": [{"name": "i", "type": "multi-outlet", "available": "250 bar", "interval": "1 h",
         "lines": [{"point": "p", "segments": [{"length": "6 m", "bore": "4 mm"}], "dose": "0.2 cm3", "in": "10 s"}]}],
         "routes": [{"name": "r", "vehicles": 3, "legs": [)" +
         legs + R"(], "installations": ["i"]}]})";
}
const std::string soft = R"({"name": "g", "nlgi": "0", "kv40": "150 mm2/s", "vi": 95})";
const std::string duluth = R"({"design": "Duluth"})";

fleet_proof proof_in_memory(const std::string& text) { return proof_of(source::memory("f.json", text)); }

}  // namespace

TEST_CASE("law: a fleet that is picked for is proofread without a problem, and lacks what its pick says") {
  const fleet_proof proof = proof_of(demo + "fleet.json");
  CHECK(proof.problems.empty());
  REQUIRE(proof.standing.has_value());
  const fleet f = read_fleet(demo + "fleet.json");
  const pick_answer picked = pick(f, stock_of(f));
  std::vector<std::string> missing = picked.missing;
  for (const route_pick& r : picked.routes)
    for (const std::string& text : r.missing) missing.push_back(r.route + ": " + text);
  CHECK(proof.missing == missing);
  CHECK(proof.standing->routes == f.routes.size());
  CHECK(proof.standing->greases == f.greases.size());
  std::size_t lines = 0;
  for (const installation& i : f.installations) lines += i.lines.size();
  CHECK(proof.standing->lines == lines);
  CHECK(proof.worth.size() <= f.routes.size());
}

TEST_CASE("law: of a fleet that is refused the first problem is the refusal, and nothing else is answered") {
  const std::string text = text_with(R"({"name": "g", "nlgi": "x"})", R"({"weather": "none.csv"})");
  const fleet_proof proof = proof_in_memory(text);
  REQUIRE_FALSE(proof.problems.empty());
  std::string refusal;
  try {
    read_fleet(source::memory("f.json", text));
  } catch (const file_error& e) {
    refusal = e.what();
  }
  CHECK(std::string(proof.problems.front().what()) == refusal);
  CHECK_FALSE(proof.standing.has_value());
  CHECK(proof.missing.empty());
  CHECK(proof.assumed.empty());
  CHECK(proof.worth.empty());
}

TEST_CASE("case from users: every weather file that cannot be read is named, not the first alone") {
  const fleet_proof proof =
      proof_in_memory(text_with(soft, R"({"weather": "a.csv"}, {"weather": "b.csv"}, {"weather": "a.csv"})"));
  REQUIRE(proof.problems.size() == 2);
  CHECK(proof.problems[0].where().pointer == "/routes/0/legs/0/weather");
  CHECK(proof.problems[1].where().pointer == "/routes/0/legs/1/weather");
}

TEST_CASE("case from users: what is wrong with a file is said once, however many legs name it") {
  const std::string folder = COLDGREASE_TABLES_SOURCE "/demo/";
  const fleet_proof proof = proof_of(source::memory(
      folder + "f.json", text_with(soft, R"({"weather": "fleet.json"}, {"weather": "fleet.json", "lag": "2 h"})")));
  CHECK(proof.problems.size() == 1);
}

TEST_CASE("case from users: what a day takes is of all vehicles, and not told where an interval is missing") {
  const fleet_proof proof = proof_in_memory(text_with(soft, duluth));
  REQUIRE(proof.standing.has_value());
  CHECK(proof.standing->vehicles == 3);
  CHECK(proof.standing->vehicle_lines == 3);
  CHECK(proof.standing->published_places == 1);
  CHECK(proof.standing->stations == 0);
  REQUIRE(proof.standing->daily.has_value());
  const fleet f = read_fleet(source::memory("f.json", text_with(soft, duluth)));
  CHECK(near(in_cm3(*proof.standing->daily), 3.0 * in_cm3(*daily_volume(f.installations.front())), 1e-12));
  std::string silent = text_with(soft, duluth);
  silent.erase(silent.find(R"("interval": "1 h",)"), 18);
  const fleet_proof unknown = proof_in_memory(silent);
  REQUIRE(unknown.standing.has_value());
  CHECK_FALSE(unknown.standing->daily.has_value());
}

TEST_CASE(
    "case from users: days are those of a file once, whatever grease makes of its air, and a place is counted once") {
  const std::string folder = COLDGREASE_TABLES_SOURCE "/demo/";
  const fleet_proof proof = proof_of(source::memory(
      folder + "f.json",
      text_with(soft,
                R"({"weather": "new_york.csv", "unit": "C"}, {"weather": "new_york.csv", "unit": "C", "lag": "2 h"},
                                            {"design": "Duluth"}, {"design": "Duluth"})")));
  REQUIRE(proof.standing.has_value());
  CHECK(proof.standing->stations == 1);
  CHECK(proof.standing->days_of_weather == 1461);
  CHECK(proof.standing->published_places == 1);
}
