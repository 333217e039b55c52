// A fleet whose greases, installations, lines and routes are tables (CSV): what they say is what JSON says.
#include <doctest/doctest.h>

#include <algorithm>
#include <map>

#include "coldgrease/plan/first_fleet.hpp"
#include "coldgrease/plan/pick.hpp"
#include "coldgrease/plan/proof.hpp"
#include "refusal.hpp"

using namespace coldgrease;

namespace {

/// Files that a test has at hand.
class shelf : public opener {
 public:
  explicit shelf(std::map<std::string, std::string> files) : files_(std::move(files)) {}
  std::optional<std::string> open(const std::string& name) const override {
    const auto found = files_.find(name);
    return found == files_.end() ? std::nullopt : std::optional(found->second);
  }

 private:
  std::map<std::string, std::string> files_;
};

fleet fleet_of(const std::map<std::string, std::string>& files, const std::string& name) {
  const shelf all(files);
  return read_fleet(source::from(all, name));
}

std::map<std::string, std::string> first_files() {
  std::map<std::string, std::string> files;
  for (const fleet_part& p : first_fleet()) files[p.name] = p.text;
  return files;
}

const std::string fleet_of_tables = R"({"greases": "g.csv", "installations": "i.csv", "routes": "r.csv"})";
const std::string greases =
    "name,nlgi,kv40 [mm2/s],vi,price,stock [kg]\nsoft,0,150,95,4.5 EUR/kg,\nstiff,2,150,95,,20\n";
const std::string installations =
    "name,type,available [bar],intervals,rest [h],lines_file\n"
    "a,multi-outlet,250,1 h & 2 h,none,l.csv\nb,progressive,200,,12,l.csv\n";
const std::string lines =
    "installation,point,length [m],bore [mm],dose [cm3],in [s]\na,left,4,4,0.2,10\na,left,0.5,3,,\nb,eye,2,4,0.3,10\n";
const std::string routes =
    "name,installations,vehicles,separate_fills,station,design,elevation [m],highest [m]\n"
    "north,a & b,7,yes,pass,Duluth,400,900\nnorth,,,,valley,Duluth,,\nsouth,a,,,,Duluth,,\n";

std::map<std::string, std::string> tables() {
  return {
      {"f.json", fleet_of_tables}, {"g.csv", greases}, {"i.csv", installations}, {"l.csv", lines}, {"r.csv", routes}};
}

/// What reading says with one file in the place of another.
std::string said_with(const std::string& name, const std::string& text) {
  auto files = tables();
  files[name] = text;
  return refusal([&] { fleet_of(files, "f.json"); });
}

}  // namespace

TEST_CASE("law: a fleet of tables is the fleet that the same words in JSON are") {
  const fleet f = fleet_of(tables(), "f.json");
  const std::string a_lines =
      R"([{"point": "left", "segments": [{"length": "4 m", "bore": "4 mm"}, {"length": "0.5 m", "bore": "3 mm"}],
          "dose": "0.2 cm3", "in": "10 s"}])";
  const std::string b_lines =
      R"([{"point": "eye", "segments": [{"length": "2 m", "bore": "4 mm"}], "dose": "0.3 cm3", "in": "10 s"}])";
  const fleet same = read_fleet(source::memory("f.json", R"({"greases": [
      {"name": "soft", "nlgi": "0", "kv40": "150 mm2/s", "vi": 95, "price": "4.5 EUR/kg"},
      {"name": "stiff", "nlgi": "2", "kv40": "150 mm2/s", "vi": 95, "stock": "20 kg"}],
    "installations": [
      {"name": "a", "type": "multi-outlet", "available": "250 bar", "intervals": ["1 h", "2 h"], "rest": "none",
       "lines": )" + a_lines + R"(},
      {"name": "b", "type": "progressive", "available": "200 bar", "rest": "12 h", "lines": )" +
                                                             b_lines + R"(}],
    "routes": [
      {"name": "north", "installations": ["a", "b"], "vehicles": 7, "separate_fills": true, "legs": [
        {"station": "pass", "design": "Duluth", "elevation": "400 m", "highest": "900 m"},
        {"station": "valley", "design": "Duluth"}]},
      {"name": "south", "installations": ["a"], "legs": [{"design": "Duluth"}]}]})"));
  CHECK(f.greases == same.greases);
  CHECK(f.installations == same.installations);
  CHECK(f.routes == same.routes);
  CHECK(f.tows == same.tows);
}

TEST_CASE("case from users: what is wrong in a table is said with its line and column") {
  CHECK(said_with("g.csv", "name,nlgi,kv40 [mm2/s]\nsoft,0,150\nhard,9,150\n").starts_with("g.csv:3: nlgi: \"9\""));
  CHECK(said_with("g.csv", "name,nlgi,kv40\nsoft,0,150\n").starts_with("g.csv:1: the column \"kv40\" has no unit"));
  CHECK(said_with("g.csv", "name,nlgi,kv40 [mm2/s]\nsoft,0,150 cSt\n") ==
        "g.csv:2: kv40 [mm2/s]: \"150 cSt\"; expected a number in mm2/s, as the column");
  CHECK(said_with("g.csv", "name,nlgi,colour\nsoft,0,red\n").starts_with("g.csv:1: unknown column \"colour\""));
  CHECK(said_with("g.csv", "nlgi\n0\n").starts_with("g.csv:1: no column name"));
  CHECK(said_with("g.csv", "name,nlgi\nsoft,0\nsoft,1\n").starts_with("g.csv:3: name: two greases are called"));
  CHECK(said_with("g.csv", "name,nlgi\nsoft\n").starts_with("g.csv:2: has 1 fields"));
  CHECK(said_with("i.csv", "name,available [bar],days_per_week,lines_file\na,250,9,l.csv\n")
            .starts_with("i.csv:2: days_per_week: 9"));
  CHECK(said_with("i.csv", "name,available [bar],days_per_week,lines_file\na,250,many,l.csv\n") ==
        "i.csv:2: days_per_week: \"many\"; expected a number with a decimal point");
  CHECK(said_with("i.csv", "name,available [bar],lines_file\nc,250,l.csv\n") ==
        "l.csv: holds no lines of \"c\"; expected rows below the header");
  CHECK(said_with("r.csv", "name,installations,design\nnorth,a & c,Duluth\n") ==
        "r.csv:2: installations: no installation is called \"c\"; expected a name from \"installations\"");
  CHECK(said_with("r.csv", "name,installations,design,separate_fills\nnorth,a & b,Duluth,maybe\n") ==
        "r.csv:2: separate_fills: \"maybe\"; expected yes or no");
  CHECK(said_with("r.csv", "name,installations,design,vehicles\nnorth,a,Duluth,3\nnorth,a,Duluth,4\n") ==
        "r.csv:3: vehicles: \"4\" differs from another row of this name; expected what belongs to all rows of a name "
        "in the first "
        "of them, or alike in each");
  CHECK(said_with("r.csv", "name,installations,design,elevation [m]\nnorth,a,Duluth,\nnorth,,Duluth,400\n")
            .starts_with("r.csv:3: \"elevation\" and \"highest\" go together"));
}

TEST_CASE("case from users: no row of a schedule for several installations vanishes") {
  const std::string head = "installation,point,length [m],bore [mm],dose [cm3],in [s]\n";
  const std::string b_row = "b,eye,2,4,0.3,10\n";
  CHECK(said_with("l.csv", head + "a,left,4,4,0.2,10\n,left,500,1,,\n" + b_row) ==
        "l.csv:3: installation: is empty; expected the name of one that does");
  CHECK(said_with("l.csv", head + "a,left,4,4,0.2,10\nA,left,500,1,,\n" + b_row) ==
        "l.csv:3: installation: \"A\" is no installation that takes its lines from here; expected the name of one that "
        "does");
}

TEST_CASE("case from users: a cell that is refused is the one refusal of its row, where it is read in its turn") {
  auto files = tables();
  files["r.csv"] =
      "name,installations,vehicles,design,hours\nnorth,a & b,7,Duluth,x\nnorth,,,Duluth,\nsouth,a,many,Duluth,\n";
  files["i.csv"] = "name,available [bar],lines_file\na,2x0,l.csv\nb,200,l.csv\n";
  const shelf all(files);
  const fleet_reading read = proofread_fleet(source::from(all, "f.json"));
  std::vector<std::string> said;
  for (const file_error& e : read.problems) said.emplace_back(e.what());
  CHECK(said == std::vector<std::string>{"i.csv:2: available [bar]: \"2x0\"; expected a number in bar, as the column",
                                         "r.csv:2: hours: \"x\"; expected a number with a decimal point",
                                         "r.csv:4: vehicles: \"many\"; expected a number with a decimal point"});
}

TEST_CASE("case from users: what a spreadsheet makes of rows and words") {
  auto files = tables();
  files["i.csv"] =
      "name,type,available [bar],lines_file,,\nR&D,multi-outlet,250,l.csv,,\n,,,,,\nb,progressive,200,l.csv,,\n,,,,,\n";
  files["l.csv"] =
      "installation,point,length [m],bore [mm],dose [cm3],in [s]\r\nR&D,left,4,4,0.2,10\r\nb,eye,2,4,0.3,10\r\n";
  files["r.csv"] = "name,installations,separate_fills,design\nnorth,R&D & b,TRUE,Duluth\nsouth,b,FALSE,Duluth\n";
  const fleet f = fleet_of(files, "f.json");
  REQUIRE(f.installations.size() == 2);
  CHECK(f.installations.front().name == "R&D");
  CHECK(f.routes.size() == 3);
  CHECK(said_with("g.csv", "name,nlgi,\nsoft,0,x\n") ==
        "g.csv:2: \"x\" stands in a column without a name; expected a name for it in the header");
  CHECK(said_with("g.csv", "") == "g.csv: is empty; expected a header line and rows");
  CHECK(said_with("g.csv", "name,nlgi\n") == "g.csv: holds no rows; expected rows below the header");
}

TEST_CASE("case from users: a row that is wrong costs no other row its own refusal") {
  auto files = tables();
  files["g.csv"] = "name,nlgi,kv40 [mm2/s]\nsoft,9,150\nhard,0,x1\nmild,1,150\n";
  files["r.csv"] = "name,installations,design\nnorth,a,Nowhere\nsouth,a,Duluth\n";
  const shelf all(files);
  const fleet_reading read = proofread_fleet(source::from(all, "f.json"));
  REQUIRE(read.problems.size() == 3);
  CHECK(read.problems[0].where().line == 2);
  CHECK(read.problems[1].where().line == 3);
  CHECK(read.problems[2].where().file == "r.csv");
}

TEST_CASE("law: the first fleet is read without a problem, has every column, and its pick is an answer") {
  const auto files = first_files();
  const shelf all(files);
  const fleet_proof proof = proof_of(source::from(all, "fleet.json"));
  for (const file_error& e : proof.problems) MESSAGE(e.what());
  CHECK(proof.problems.empty());
  const fleet f = read_fleet(source::from(all, "fleet.json"));
  REQUIRE(f.routes.size() == 1);
  CHECK(f.routes.front().vehicles == 5);
  CHECK(f.installations.front().lines.front().point == "brake cam left");
  const pick_answer a = pick(f, stock_of(f));
  CHECK(a.routes.front().decided.served());
  CHECK(in_second(*f.installations.front().interval) == 3600.0);
  CHECK(in_days(*f.greases.front().delivery) == 14.0);
  // Each column is explained, and each row is as wide as its head.
  for (const char* name : {"greases.csv", "installations.csv", "lines.csv", "routes.csv"}) {
    const std::string& text = files.at(name);
    const auto head = text.substr(0, text.find('\n'));
    const auto columns = static_cast<std::size_t>(std::ranges::count(head, ',')) + 1;
    std::size_t explained = 0;
    for (std::size_t at = 0;
         (at = files.at("columns.csv").find("\n" + std::string(name) + ",", at)) != std::string::npos; ++at)
      ++explained;
    CHECK(explained == columns);
  }
}
