#include "coldgrease/grease/compatibility.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <numeric>
#include <string>

using namespace coldgrease;

namespace {

bool says(const std::vector<std::string>& notes, std::string_view words) {
  return std::ranges::any_of(notes, [&](const std::string& n) { return n.find(words) != std::string::npos; });
}

std::string table_with(std::string_view rows,
                       std::string_view thickeners = R"({"name": "a", "also": ["x"]}, {"name": "b"})") {
  return R"({"schema": 1, "about": "a", "source": "s", "charts": [{"chart": "one", "source": "s"}, {"chart": "two", "source": "s"}],
    "thickeners": [)" +
         std::string(thickeners) + R"(], "rows": [)" + std::string(rows) + "]}";
}

std::string refusal(const std::string& table) {
  try {
    read_compatibility(source::memory("t.json", std::string(table)));
  } catch (const file_error& e) {
    return e.what();
  }
  return "read";
}

}  // namespace

TEST_CASE("law: the answer is the same in either order, for every two names of the table") {
  const compatibility_table table = compatibility_charts();
  for (const thickener_class& a : table.thickeners) {
    for (const thickener_class& b : table.thickeners) {
      const auto one = compatibility(a.name, b.name, table), other = compatibility(b.name, a.name, table);
      CAPTURE(a.name);
      CAPTURE(b.name);
      CHECK(one.agreement == other.agreement);
      CHECK(one.word == other.word);
      CHECK(one.notes == other.notes);
      CHECK(one.first_class == other.second_class);
      REQUIRE(one.charts.size() == other.charts.size());
      for (std::size_t i = 0; i < one.charts.size(); ++i) CHECK(one.charts[i].votes == other.charts[i].votes);
    }
  }
}

TEST_CASE("law: a word stands only where all charts say it, and every answer leaves the last word to ASTM D6185") {
  const compatibility_table table = compatibility_charts();
  for (const thickener_class& a : table.thickeners) {
    for (const thickener_class& b : table.thickeners) {
      const auto answer = compatibility(a.name, b.name, table);
      CHECK(answer.word.has_value() == (answer.agreement == chart_agreement::agree));
      CHECK(answer.charts.empty() == (answer.agreement == chart_agreement::unknown));
      CHECK(says(answer.notes, "ASTM D6185"));
      CHECK(says(answer.notes, "base oil and additives count"));
      for (const auto& s : answer.charts) {
        CHECK(!s.source.empty());
        CHECK(std::accumulate(s.votes.begin(), s.votes.end(), 0) > 0);
        for (std::size_t w = 0; w < s.votes.size(); ++w)
          if (answer.word && w != static_cast<std::size_t>(*answer.word)) CHECK(s.votes[w] == 0);
      }
    }
  }
}

TEST_CASE("law: a chart quoted from memory says so in its name") {
  for (const mixing_chart& c : compatibility_charts().charts)
    CHECK((c.name.find("from memory") != std::string::npos) == (c.source.find("from memory") != std::string::npos));
}

TEST_CASE("case: names as people write them") {
  const compatibility_table table = compatibility_charts();
  const auto name = [&](std::string_view text) {
    const auto at = thickener_of(text, table);
    return at ? table.thickeners[*at].name : std::string("unknown");
  };
  for (const char* lithium : {"lithium", "Lithium", "LITHIUM", "Li", "li soap", "lithium soap grease",
                              "lithium 12-hydroxystearate", "Lithium-12-hydroxystearate", "lithium grease"})
    CHECK(name(lithium) == "lithium");
  CHECK(name("Lithium complex") == "lithium complex");
  CHECK(name("lithium-complex") == "lithium complex");
  CHECK(name("aluminum complex") == "aluminium complex");
  CHECK(name("Aluminium Complex") == "aluminium complex");
  CHECK(name("bentonite") == "clay");
  CHECK(name("polyurea thickener") == "polyurea");
  CHECK(name("calcium sulphonate complex") == "calcium sulfonate complex");
  CHECK(name("aluminium") == "unknown");  // the charts speak of the complex only
  CHECK(name("lithium/calcium") == "unknown");
  CHECK(name("") == "unknown");
}

TEST_CASE("case: charts that disagree are shown, each with its source, and no word stands (C31)") {
  const auto answer = compatibility("lithium complex", "aluminum complex", compatibility_charts());
  CHECK(answer.agreement == chart_agreement::disagree);
  CHECK(!answer.word);
  REQUIRE(answer.charts.size() == 4);
  CHECK(answer.charts.back().votes == std::array{12, 4, 5});
  CHECK(says(answer.notes, "17 charts"));
  CHECK(says(answer.notes, "not compatible until it is tested"));
}

TEST_CASE("case: a reservoir topped with polyurea over lithium complex (C32)") {
  const auto answer = compatibility("lithium complex", "polyurea", compatibility_charts());
  REQUIRE(!answer.charts.empty());
  CHECK(answer.charts.front().chart == "government chart, 1990");
  CHECK(answer.charts.front().votes == std::array{0, 0, 1});
  CHECK(answer.agreement == chart_agreement::disagree);  // one chart of teaching material calls it compatible
  CHECK(says(answer.notes, "softens, sometimes hardens"));
}

TEST_CASE("case: what no chart speaks of is unknown, and a name nobody knows lists those that are") {
  const compatibility_table table = compatibility_charts();
  for (const char* other : {"lithium", "calcium sulfonate complex", "polyurea"}) {
    const auto answer = compatibility("calcium sulfonate complex", other, table);
    CHECK(answer.agreement == chart_agreement::unknown);
    CHECK(answer.first_class == "calcium sulfonate complex");
    CHECK(says(answer.notes, "no chart of the table speaks of"));
  }
  const auto odd = compatibility("moon dust", "lithium", table);
  CHECK(odd.agreement == chart_agreement::unknown);
  CHECK(odd.first_class.empty());
  CHECK(odd.second_class == "lithium");
  CHECK(says(odd.notes, "sodium, aluminium complex, barium"));
  CHECK(says(compatibility("", "lithium", table).notes, "whose thickener is not known"));
}

TEST_CASE("law: a table that contradicts itself is refused, with the place") {
  CHECK(refusal(table_with(R"({"pair": ["a", "b"], "says": {"one": "compatible"}})")) == "read");
  CHECK(
      refusal(
          table_with(
              R"({"pair": ["a", "b"], "says": {"one": "compatible"}}, {"pair": ["b", "a"], "says": {"one": "compatible"}})"))
          .starts_with("t.json: /rows/1/pair: stands twice"));
  CHECK(refusal(table_with(R"({"pair": ["a", "b"], "says": {"one": "good"}})"))
            .starts_with("t.json: /rows/0/says/one: \"good\" is no word of a chart; expected compatible"));
  CHECK(refusal(table_with(R"({"pair": ["a", "b"], "says": {"three": "compatible"}})")).find("/rows/0/says/three") !=
        std::string::npos);
  CHECK(refusal(table_with(R"({"pair": ["a", "c"], "says": {"one": "compatible"}})")).find("/rows/0/pair/1: \"c\"") !=
        std::string::npos);
  CHECK(refusal(table_with(R"({"pair": ["a"], "says": {"one": "compatible"}})")).find("names 1 thickeners") !=
        std::string::npos);
  CHECK(refusal(table_with(R"({"pair": ["a", "b"], "says": {}})")).find("is empty") != std::string::npos);
  CHECK(refusal(table_with(R"({"pair": ["a", "b"], "says": {"one": {"compatible": 0}}})")).find("counts no chart") !=
        std::string::npos);
  CHECK(refusal(table_with(R"({"pair": ["a", "b"], "says": {"one": {"good": 1}}})")).find("no word") !=
        std::string::npos);
  CHECK(refusal(table_with("", R"({"name": "a", "also": ["X"]}, {"name": "x"})")).find("stands for two thickeners") !=
        std::string::npos);
}

TEST_CASE("law: a review with votes for one word only agrees, with votes for two it does not") {
  const auto word = [&](std::string_view says_two) {
    const auto table = read_compatibility(source::memory(
        "t",
        table_with(R"({"pair": ["b", "a"], "says": {"one": "borderline", "two": )" + std::string(says_two) + "}}")));
    return compatibility("x", "b", table);
  };
  CHECK(word(R"({"borderline": 7})").word == mix_word::borderline);
  CHECK(word(R"({"borderline": 7, "compatible": 1})").agreement == chart_agreement::disagree);
  CHECK(word(R"({"compatible": 7})").agreement == chart_agreement::disagree);
}
