// What is said of a text that is nearly JSON.
#include <doctest/doctest.h>

#include <string>

#include "base/json_node.hpp"
#include "refusal.hpp"

using namespace coldgrease;

namespace {

std::string refused(const std::string& text) {
  return refusal([&] { detail::json_document document(source::memory("f.json", text)); });
}
/// The words behind the place.
std::string cause(const std::string& text) {
  const std::string line = refused(text), end = "; expected a JSON text in UTF-8";
  REQUIRE(line.ends_with(end));
  const auto begin = line.find("): ");
  return begin == std::string::npos ? "" : line.substr(begin + 3, line.size() - end.size() - begin - 3);
}

}  // namespace

TEST_CASE("case: the slips of an editor are named with their line") {
  CHECK(refused("{\n  \"a\": 1,\n}\n") ==
        "f.json:3: is no JSON (line 3, column 1): a comma before the closing }; expected a JSON text in UTF-8");
  CHECK(cause("[1, 2,\n ]") == "a comma before the closing ]");
  CHECK(cause("{\n\u201ca\u201d: 1}") == "a curly quote, where a text begins with \"");
  CHECK(cause("{\n\"a\": \"b\u201d\n}") == "a curly quote, where a text ends with \"");
  CHECK(cause("{\"a\": \"b\n}") == "a quote is not closed on its line");
  CHECK(cause("{'a': 1}") == "a single quote, where a text begins with \"");
  CHECK(cause("{ // first\n\"a\": 1}") == "a comment, and JSON has none");
  CHECK(cause("{\n\"a\": [1, 2\n") == "the [ of line 2 is not closed");
  CHECK(cause("{\n\"a\": [1, 2],\n\"b\": {\"c\": \"[\"}\n") == "the { of line 1 is not closed");
  CHECK(cause("{\n\"a\": [1, 2\n}") == "} closes the [ of line 2");
  CHECK(cause("{\n\"a\": 1\n\"b\": 2}") == "a comma is missing behind line 2");
  CHECK(cause("[\"a\" \"b\"]") == "a comma is missing behind line 1");
  CHECK(cause("[{}\n{}]") == "a comma is missing behind line 1");
}

TEST_CASE("case: what no slip explains is told by its place alone") {
  CHECK(refused("[1, x]") == "f.json:1: is no JSON (line 1, column 5); expected a JSON text in UTF-8");
  CHECK(cause("{\"a\" 1}").empty());
  CHECK(cause("]").empty());
  CHECK(refused("") == "f.json:1: is empty; expected a JSON text in UTF-8");
}

// A parser that gives up anywhere in a text must not take the words for it out of bounds.
TEST_CASE("law: every beginning of a fleet that is no JSON is refused by one line") {
  const std::string text =
      "{\n  \"greases\": [{ \"name\": \"g\\\"\", \"nlgi\": 1 }, { \"name\": \"h\" }],\n  \"routes\": [-1.5e3, true, "
      "null]\n}\n";
  for (std::size_t size = 1; size + 2 < text.size(); ++size) {
    for (const char* end : {"", "}", "]", "\"", "'", "/", ",", "\xe2\x80\x9c", "{"}) {
      const std::string line = refused(text.substr(0, size) + end);
      CHECK(line.find('\n') == std::string::npos);
      if (std::string(end).empty()) CHECK(line.find(" not closed") != std::string::npos);
    }
  }
}
