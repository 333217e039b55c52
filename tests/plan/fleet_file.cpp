// A fleet file as a whole: every refusal at once, what is read written back, the words of its keys, no disk.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <map>
#include <nlohmann/json.hpp>

#include "bytes.hpp"
#include "coldgrease/plan/dossier.hpp"
#include "coldgrease/report/html.hpp"
#include "coldgrease/report/json.hpp"
#include "refusal.hpp"

using namespace coldgrease;

namespace {

const std::string demo = std::string(COLDGREASE_TABLES_SOURCE) + "/demo/";
const std::string data = std::string(COLDGREASE_TEST_DATA) + "/plan/";

struct files_in_memory : opener {
  std::map<std::string, std::string> files;
  mutable int opened = 0;
  std::optional<std::string> open(const std::string& name) const override {
    ++opened;
    const auto found = files.find(name);
    return found == files.end() ? std::nullopt : std::optional(found->second);
  }
};

void check_equal(const fleet& a, const fleet& b) {
  CHECK(a.about == b.about);
  CHECK(a.greases == b.greases);
  CHECK(a.installations == b.installations);
  CHECK(a.routes == b.routes);
  CHECK(a.tows == b.tows);
  CHECK(a.policy == b.policy);
}

std::vector<std::string> problems_of(const source& file) {
  std::vector<std::string> lines;
  for (const file_error& e : proofread_fleet(file).problems) lines.emplace_back(e.what());
  return lines;
}

}  // namespace

TEST_CASE("law: what is read is written back equal") {
  for (const std::string& path : {demo + "fleet.json", data + "every_key.json"}) {
    CAPTURE(path);
    const fleet f = read_fleet(path);
    const std::string text = write_fleet(f);
    check_equal(read_fleet(source::memory("written.json", text)), f);
    CHECK(write_fleet(read_fleet(source::memory("written.json", text))) == text);
  }
}

TEST_CASE("law: the file of every key has every key that there is, and all but those of expanded records come back") {
  using nlohmann::json;
  const json read = json::parse(bytes_of(data + "every_key.json"));
  const json written = json::parse(write_fleet(read_fleet(data + "every_key.json")));
  const auto has = [](const json& tree, const std::string& wanted) {
    const json flat = tree.flatten();
    for (const auto& [pointer, ignored] : flat.items()) {
      if ((pointer + "/").find("/" + wanted + "/") != std::string::npos) return true;
    }
    return false;
  };
  for (const record_words& record : fleet_records()) {
    for (const key_words& k : record.keys) {
      CAPTURE(record.name);
      CAPTURE(k.key);
      CHECK(has(read, std::string(k.key)));
      // Written as something else: a pool and separate fills as routes, a schedule as lines, viscosity times rate as
      // stress.
      const bool expanded = k.key == "pools" || k.key == "visits" || k.key == "separate_fills" ||
                            k.key == "lines_file" || k.key == "apparent_viscosity";
      CHECK((has(written, std::string(k.key)) || expanded));
    }
  }
}

TEST_CASE("case from users: a fleet with seven faults lists seven, in its nested files as well") {
  files_in_memory names;
  names.files["f/fleet.json"] = R"({"greases": "g.json",
    "installations": [
      {"name": "i", "available": "250", "lines": [
        {"point": "p", "segments": [{"length": "6 m", "bore": "4 mm", "wall": "thick"}], "dose": "0.2 cm3", "in": "5 s"}]},
      {"name": "j", "available": "250 bar", "interval": "0.1 s", "lines_file": "lines.csv"}],
    "routes": [{"name": "r", "legs": [{"weather": "w.csv", "colour": "red"}], "installations": ["i", "j"]}],
    "policy": {"confidence": 0.3}})";
  names.files["f/g.json"] = R"([{"name": "a", "nlgi": "9"}, {"name": "b", "nlgi": "1"}])";
  names.files["f/lines.csv"] = "point,length [m],bore [mm],dose [cm3],in [s]\nq,x,4,0.2,5\ns,3,4,0.2,5\n";
  const auto problems = problems_of(source::from(names, "f/fleet.json"));
  REQUIRE(problems.size() == 7);
  CHECK(problems[0].find("f/g.json: /0/nlgi: \"9\"") == 0);
  CHECK(problems[1].find("f/fleet.json: /installations/0/available: \"250\" has no unit") == 0);
  CHECK(problems[2].find("f/fleet.json: /installations/0/lines/0/segments/0/wall: \"thick\"") == 0);
  CHECK(problems[3].find(
            "f/fleet.json: /installations/1/interval: \"0.1 s\" is no interval between cycles; expected 1 to ") == 0);
  CHECK(problems[4].find("f/lines.csv:2: length [m]: \"x") == 0);
  CHECK(problems[5].find("f/fleet.json: /routes/0/legs/0: unknown key \"colour\"") == 0);
  CHECK(problems[6].find("f/fleet.json: /policy/confidence: 0.3; expected 0.55 to 0.99") == 0);
}

TEST_CASE("law: reading throws the first of what proofreading lists, and a good fleet has no problem") {
  const std::string text = R"({"greases": [], "installations": [], "routes": []})";
  const auto problems = problems_of(source::memory("f.json", text));
  REQUIRE_FALSE(problems.empty());
  CHECK(refusal([&] { read_fleet(source::memory("f.json", text)); }) == problems.front());
  CHECK_FALSE(proofread_fleet(source::memory("f.json", text)).fleet);
  const fleet_reading good = proofread_fleet(demo + "fleet.json");
  CHECK(good.problems.empty());
  REQUIRE(good.fleet);
  check_equal(*good.fleet, read_fleet(demo + "fleet.json"));
}

TEST_CASE("case from users: files that a fleet names and that are missing are refused with its pointer") {
  const auto fleet_with = [](const std::string& greases, const std::string& lines, const std::string& weather) {
    return source::memory(demo + "f.json", fmt::format(R"({{"greases": {}, "installations": [{{"name": "i",
      "available": "250 bar", {}}}], "routes": [{{"name": "r", "legs": [{{"weather": "{}"}}], "installations": ["i"]}}]}})",
                                                       greases, lines, weather));
  };
  const std::string grease = R"([{"name": "g", "nlgi": "1"}])";
  const std::string line =
      R"("lines": [{"point": "p", "segments": [{"length": "6 m", "bore": "4 mm"}], "dose": "0.2 cm3", "in": "5 s"}])";
  const std::string missing = "No such file or directory; expected a file that can be read";
  const auto said = [&](const std::string& refused, const std::string& pointer) {
    return refused.find("f.json: " + pointer + ": ") != std::string::npos && refused.ends_with(missing);
  };
  CHECK(said(refusal([&] { read_fleet(fleet_with("\"none.json\"", line, "northern_plain.csv")); }), "/greases"));
  CHECK(said(refusal([&] { read_fleet(fleet_with(grease, R"("lines_file": "none.csv")", "northern_plain.csv")); }),
             "/installations/0/lines_file"));
  const fleet f = read_fleet(fleet_with(grease, line, "none.csv"));
  CHECK(said(refusal([&] { pick(f, stock_of(f)); }), "/routes/0/legs/0/weather"));
}

TEST_CASE("case from users: a program plans a fleet with every file in memory, and gets the same page") {
  files_in_memory names;
  for (const char* file : {"fleet.json", "greases.json", "trailer_lines.csv", "synthetic_1_points.csv", "readings.csv",
                           "northern_plain.csv", "far_north.csv", "new_york.csv"})
    names.files[demo + file] = bytes_of(demo + file);
  const fleet on_disk = read_fleet(demo + "fleet.json");
  const fleet in_memory = read_fleet(source::from(names, demo + "fleet.json"));
  CHECK(names.opened >= 3);
  const auto stock = stock_of(on_disk);
  const auto charts = compatibility_charts();
  const dossier d = dossier_of(on_disk, stock, {}, charts), m = dossier_of(in_memory, stock, {}, charts);
  CHECK(names.opened >= 6);
  CHECK(to_html(m, in_memory, stock, "test", unit_system::si) == to_html(d, on_disk, stock, "test", unit_system::si));
  CHECK(to_json(m, in_memory, stock) == to_json(d, on_disk, stock));
}

TEST_CASE("case: a leg may hold its weather in memory") {
  fleet f = read_fleet(demo + "fleet.json");
  const auto picked = to_json(pick(f, stock_of(f)), f.installations, stock_of(f));
  for (route& r : f.routes) {
    for (leg& l : r.legs) {
      if (l.weather.empty()) continue;
      weather series = read_weather(l.weather, l.options);
      std::visit([](series_origin& s) { s.file.reset(); }, series);
      l.series = std::move(series);
      l.weather = {};
    }
  }
  auto read = nlohmann::json::parse(picked);
  auto at_hand = nlohmann::json::parse(to_json(pick(f, stock_of(f)), f.installations, stock_of(f)));
  for (auto* answer : {&read, &at_hand}) {
    for (auto& r : answer->at("routes")) r.at("notes") = nullptr;  // they name the files
  }
  CHECK(read == at_hand);
  CHECK(dossier_of(f, stock_of(f), {}, compatibility_charts()).inputs.size() == f.files.size());
  CHECK(refusal([&] { write_fleet(f); }).find("is in memory") != std::string::npos);
}

TEST_CASE("case: what has no key in a fleet file is refused by the writer, not left out") {
  const fleet f = read_fleet(demo + "fleet.json");
  const auto refused = [&](auto change) {
    fleet changed = f;
    change(changed);
    return refusal([&] { write_fleet(changed); });
  };
  CHECK(refused([](fleet& c) { c.installations[0].lines[0].flow = cm3_per_min(1); }).find("flow: has no key") == 0);
  CHECK(refused([](fleet& c) { c.routes[0].legs[0].options.year_from = 2000; }).find("no key") != std::string::npos);
  CHECK(refused([](fleet& c) { c.about = "\xe9"; }).find("no UTF-8") != std::string::npos);
}

TEST_CASE("case: proofreading lists each line's fault, and no fault that only follows from another") {
  const std::string text = R"({"greases": [1, {"name": "g", "nlgi": "1"}],
    "installations": [{"name": "i", "available": "250 bar", "reset": "5 bar", "lines": [
      {"point": "p", "segments": [{"length": "6 m", "bore": "4 mm"}], "dose": "0.2 cm3"},
      {"point": "p", "segments": [{"length": "6 m", "bore": "4 mm"}], "dose": "0.2 cm3"}]}],
    "routes": [{"name": "r", "legs": [{"weather": "w.csv"}], "installations": ["i", "none"]}],
    "pools": [{"name": "q", "visits": ["r"], "installations": ["i"]}]})";
  const auto problems = problems_of(source::memory("f.json", text));
  REQUIRE(problems.size() == 6);
  CHECK(problems[0] == "f.json: /greases/0: is no object; expected {...}");
  CHECK(problems[1].find("f.json: /installations/0/reset: belongs to a single-line system") == 0);
  CHECK(problems[2].find("f.json: /installations/0/lines/0: neither \"in\"") == 0);
  CHECK(problems[3].find("f.json: /installations/0/lines/1: neither \"in\"") == 0);
  CHECK(problems[4].find("f.json: /installations/0/lines/1/point: two lines are called \"p\"") == 0);
  CHECK(problems[5].find("f.json: /routes/0/installations/1: no installation is called \"none\"") == 0);
}

TEST_CASE("case: readings of a system that was refused are not looked at: what its gauge may show is not known") {
  const source file = source::memory(demo + "f.json", R"({"greases": "greases.json", "readings": "readings.csv",
    "installations": [{"name": "tractor, 250 bar", "available": "250 bap", "lines": [
      {"point": "p", "segments": [{"length": "6 m", "bore": "4 mm"}], "dose": "0.2 cm3", "in": "5 s"}]}],
    "routes": [{"name": "r", "legs": [{"weather": "far_north.csv"}], "installations": ["tractor, 250 bar"]}]})");
  const auto problems = problems_of(file);
  REQUIRE(problems.size() == 1);
  CHECK(problems.front().find("f.json: /installations/0/available") != std::string::npos);
}
