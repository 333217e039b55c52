// The command's main answer: its JSON is consistent with itself, and a stricter owner never gets more.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include "cli/run.hpp"
#include "near.hpp"

namespace {

using nlohmann::json;

json pick(const std::vector<std::string>& more = {}) {
  const scratch_folder folder;
  std::vector<std::string> args{"pick", COLDGREASE_TABLES_SOURCE "/demo/fleet.json", "--json"};
  args.insert(args.end(), more.begin(), more.end());
  const run_result r = run(COLDGREASE_TOOL, args, {.folder = folder.path(), .environment = {}, .stdout_to = {}});
  REQUIRE_MESSAGE(r.exit == 0, r.err);
  return json::parse(r.out);
}

bool has(const json& object, std::initializer_list<const char*> keys) {
  for (const char* key : keys) {
    if (!object.contains(key)) {
      MESSAGE("no key " << key);
      return false;
    }
  }
  return true;
}

const json& grease_of(const json& month, const std::string& name) {
  for (const json& g : month.at("greases")) {
    if (g.at("grease") == name) return g;
  }
  throw std::runtime_error("no grease " + name);
}

bool passes(const json& g) { return g.at("verdict") == "flows" && !g.at("excluded").get<bool>(); }

const std::set<std::string> verdicts{"flows", "doubtful", "stalls", "not shown"};

}  // namespace

TEST_CASE("law: pick --json has the keys of the contract, with values in range") {
  const json answer = pick();
  REQUIRE(answer.at("routes").size() == 3);
  CHECK(near(answer.at("confidence").get<double>(), 0.8, 1e-15));
  for (const json& r : answer.at("routes")) {
    CHECK(has(r, {"route", "year", "fills", "otherwise", "money", "months", "would_help"}));
    if (!r.at("year").is_null()) CHECK(has(r.at("year"), {"grease", "nlgi", "chance"}));
    for (const json& s : r.at("fills")) CHECK(has(s, {"from", "to", "days", "grease", "nlgi", "chance", "margin_K"}));
    for (const json& help : r.at("would_help")) {
      CHECK(has(help, {"about", "ways"}));
      CHECK(!help.at("ways").empty());
    }
    REQUIRE(r.at("months").size() == 12);
    for (std::size_t m = 0; m < 12; ++m) {
      const json& month = r.at("months")[m];
      CHECK(has(month, {"month", "design_C", "return_minimum_C", "hours_below", "longest_spell_h", "governing_line",
                        "governing_station", "greases", "published_rules"}));
      CHECK(month.at("month") == m + 1);
      CHECK(month.at("design_C").is_number());
      CHECK(month.at("greases").size() == 8);
      for (const json& g : month.at("greases")) {
        CHECK(has(g, {"grease", "nlgi", "chance", "verdict", "coldest_C", "why"}));
        CHECK(verdicts.contains(g.at("verdict").get<std::string>()));
        CHECK_FALSE(g.at("why").get<std::string>().empty());
        CHECK(g.at("chance").is_null() == (g.at("verdict") == "not shown"));
        if (g.at("chance").is_null()) continue;
        CHECK(g.at("chance").get<double>() >= 0.0);
        CHECK(g.at("chance").get<double>() <= 1.0);
      }
      for (const json& rule : month.at("published_rules")) {
        CHECK(has(rule, {"rule", "says", "source"}));
        CHECK_FALSE(rule.at("source").get<std::string>().empty());
      }
    }
  }
}

TEST_CASE("law: the fills of a route are the year, and a month that is one fill's passes with it") {
  int fills = 0;
  for (const char* confidence : {"0.6", "0.8", "0.95"}) {
    const json answer = pick({"--confidence", confidence});
    for (const json& r : answer.at("routes")) {
      CAPTURE(r.at("route").get<std::string>());
      int days = 0;
      for (const json& s : r.at("fills")) {
        days += s.at("days").get<int>();
        CHECK(s.at("chance").get<double>() >= answer.at("confidence").get<double>());
        CHECK(s.at("margin_K").get<double>() >= 0.0);
        ++fills;
        for (const json& month : r.at("months")) {
          const json& pumped = month.at("pumped");
          if (pumped.size() != 1 || pumped.at(0) != s.at("grease")) continue;
          const json& g = grease_of(month, s.at("grease"));
          CHECK(passes(g));
          CHECK(g.at("nlgi") == s.at("nlgi"));
          CHECK(g.at("chance").get<double>() >= s.at("chance").get<double>() - 1e-12);
        }
      }
      if (!r.at("fills").empty()) CHECK(days == 365);
      CHECK(r.at("year").is_null() == (r.at("fills").size() != 1));
      // Where nothing serves, the answer says what would help, or why no sequence does.
      if (r.at("fills").empty()) CHECK((!r.at("would_help").empty() || !r.at("notes").empty()));
    }
  }
  CHECK(fills > 0);
}

TEST_CASE("law: a higher confidence never makes a month pass that did not, nor a coldest temperature colder") {
  json before = pick({"--confidence", "0.55"});
  for (const std::string confidence : {"0.65", "0.8", "0.9", "0.99"}) {
    const json after = pick({"--confidence", confidence});
    int changed = 0;
    for (std::size_t r = 0; r < 3; ++r) {
      for (std::size_t m = 0; m < 12; ++m) {
        const json& less = before.at("routes")[r].at("months")[m];
        const json& more = after.at("routes")[r].at("months")[m];
        CHECK(less.at("design_C") == more.at("design_C"));
        for (std::size_t g = 0; g < less.at("greases").size(); ++g) {
          const json &a = less.at("greases")[g], &b = more.at("greases")[g];
          CHECK(a.at("chance") == b.at("chance"));
          if (passes(b)) CHECK(passes(a));
          changed += passes(a) && !passes(b);
          if (b.at("coldest_C").is_null()) continue;
          REQUIRE(a.at("coldest_C").is_number());
          CHECK(a.at("coldest_C").get<double>() <= b.at("coldest_C").get<double>() + 1e-9);
        }
      }
    }
    MESSAGE("confidence " << confidence << ": " << changed << " month verdicts fall");
    before = after;
  }
}

TEST_CASE("law: within a month a pass means that the design temperature is not below the grease's coldest") {
  const json answer = pick();
  for (const json& r : answer.at("routes")) {
    for (const json& month : r.at("months")) {
      for (const json& g : month.at("greases")) {
        if (g.at("coldest_C").is_null()) continue;
        const double margin = month.at("design_C").get<double>() - g.at("coldest_C").get<double>();
        if (g.at("verdict") == "flows") CHECK(margin >= -1e-6);
        if (margin > 1e-6) CHECK(g.at("verdict") == "flows");
      }
    }
  }
}

TEST_CASE("law: the text answers the same as the JSON") {
  const scratch_folder folder;
  const run_result text = run(COLDGREASE_TOOL, {"pick", COLDGREASE_TABLES_SOURCE "/demo/fleet.json"},
                              {.folder = folder.path(), .environment = {}, .stdout_to = {}});
  REQUIRE(text.exit == 0);
  const json answer = pick();
  for (const json& r : answer.at("routes")) {
    CHECK(text.out.find(r.at("route").get<std::string>()) != std::string::npos);
    for (const json& s : r.at("fills")) CHECK(text.out.find(s.at("grease").get<std::string>()) != std::string::npos);
    for (const json& month : r.at("months"))
      CHECK(text.out.find(fmt::format("{:.1f} C (", month.at("design_C").get<double>())) != std::string::npos);
  }
  CHECK(text.out.find("Cautions") != std::string::npos);
  CHECK(text.out.find("INVENTED") != std::string::npos);
}

TEST_CASE("case: a file that the command line names may be a pipe") {
  const scratch_folder folder;
  const auto piped = [&](const std::string& words) {
    const std::string line = "cat \"$1\" | \"$0\" " + words;
    return run("/bin/sh", {"-c", line, COLDGREASE_TOOL, COLDGREASE_TABLES_SOURCE "/demo/new_york.csv"},
               {.folder = folder.path(), .environment = {}, .stdout_to = {}});
  };
  const run_result direct = piped("climate \"$1\" --unit C --json");
  REQUIRE_MESSAGE(direct.exit == 0, direct.err);
  const run_result r = piped("climate /dev/stdin --unit C --json");
  CHECK_MESSAGE(r.exit == 0, r.err);
  CHECK(r.out == direct.out);
}

TEST_SUITE_BEGIN("batch");  // under ThreadSanitizer too

TEST_CASE("law: a fleet is answered in the same bytes on any number of threads, a refusal too") {
  const scratch_folder folder;
  std::filesystem::copy(COLDGREASE_TABLES_SOURCE "/demo", folder.path(), std::filesystem::copy_options::recursive);
  json fleet = json::parse(std::ifstream(folder.path() / "fleet.json"));
  // Routes that ask the same, and the same of other vehicles.
  const json routes = fleet.at("routes");
  for (const int vehicles : {1, 2}) {
    for (json r : routes) {
      r["name"] = fmt::format("{} {}", r.at("name").get<std::string>(), vehicles);
      r["vehicles"] = vehicles;
      fleet["routes"].push_back(r);
    }
  }
  json refused = fleet;
  for (const std::size_t r : {4U, 5U, 7U}) refused["routes"][r]["legs"][0]["weather"] = fmt::format("none_{}.csv", r);
  write_file(folder.path() / "fleet.json", fleet.dump());
  write_file(folder.path() / "refused.json", refused.dump());
  const auto answer = [&](const std::string& file, const std::string& jobs) {
    return run(COLDGREASE_TOOL, {"plan", file, "--json", "--jobs", jobs},
               {.folder = folder.path(), .environment = {}, .stdout_to = {}});
  };
  const run_result one = answer("fleet.json", "1"), refusal = answer("refused.json", "1");
  REQUIRE_MESSAGE(one.exit == 0, one.err);
  CHECK(json::parse(one.out).at("routes").size() == 3 * routes.size());
  CHECK(refusal.exit == 1);
  CHECK(refusal.err.find("none_4.csv") != std::string::npos);
  CHECK(answer("fleet.json", "5").out == one.out);
  CHECK(answer("refused.json", "5").err == refusal.err);
  const auto printed = [&](const std::string& command, const std::string& jobs) {
    return run(COLDGREASE_TOOL, {command, "fleet.json", "--jobs", jobs},
               {.folder = folder.path(), .environment = {}, .stdout_to = {}})
        .out;
  };
  const std::string page = printed("report", "1"), text = printed("pick", "1");
  CHECK(page.ends_with("</html>\n"));
  CHECK(printed("report", "5") == page);
  CHECK(text.find("What to put in, and when.") != std::string::npos);
  CHECK(printed("pick", "5") == text);
}

TEST_SUITE_END();
