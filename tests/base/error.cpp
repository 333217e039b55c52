// What an error keeps, and the one line that it shows.
#include "coldgrease/base/error.hpp"
#include "coldgrease/base/one_line.hpp"

#include <doctest/doctest.h>

#include "refusal.hpp"

using namespace coldgrease;

TEST_CASE("case: an error keeps where, problem and expectation apart, and shows them on one line") {
  const file_error e(place{.file = "l.csv", .line = 3, .pointer = {}, .field = "bore [mm]"}, "\"x\"", "a number");
  CHECK(e.where() == place{.file = "l.csv", .line = 3, .pointer = {}, .field = "bore [mm]"});
  CHECK(e.problem() == "\"x\"");
  CHECK(e.expected() == "a number");
  CHECK(std::string(e.what()) == "l.csv:3: bore [mm]: \"x\"; expected a number");
  CHECK(text_of({.file = "f.json", .pointer = ""}) == "f.json: /");
  CHECK(text_of({.file = "f.json", .pointer = "/a/0"}) == "f.json: /a/0");
  CHECK(text_of({.field = "--bore"}) == "--bore");
}

TEST_CASE("case: at() gives a refusal its place in a file and keeps the field behind it") {
  const input_error found("confidence", "0.3", "0.55 to 0.99");
  const file_error there = at({.file = "f.json", .pointer = "/policy"}, found);
  CHECK(std::string(there.what()) == "f.json: /policy: confidence: 0.3; expected 0.55 to 0.99");
  CHECK(there.problem() == found.problem());
  const auto nested = [&] {
    read_at([] { return place{.file = "outer"}; }, [&] { throw file_error("inner", "is a folder", "a file"); });
  };
  CHECK(refusal(nested) == "inner: is a folder; expected a file");
}

TEST_CASE("case: control characters and bytes that are no UTF-8 are shown as escapes") {
  CHECK(in_quotes("a\nb\x1b[2J\x7f") == R"("a\nb\x1b[2J\x7f")");
  CHECK(in_quotes("\xc3\xa9t\xe9") == "\"\xc3\xa9t\\xe9\"");                                   // Latin-1 after UTF-8
  CHECK(in_quotes("\xc2\x9b\x41") == R"("\xc2\x9bA")");                                        // a C1 control in UTF-8
  CHECK(in_quotes("\xed\xa0\x80\xc0\xaf\xf4\x90\x80\x80").find('\xed') == std::string::npos);  // surrogate, overlong
  const file_error e("a\nb.json", "has\r\nlines", "one\tline");
  CHECK(std::string(e.what()) == R"(a\nb.json: has\r\nlines; expected one\tline)");
}

TEST_CASE("law: what moves the cursor or turns a line is escaped or refused, all else is neither") {
  for (const char* bad : {"a\nb", "a\rb", "a\tb", "a\x1b[2Jb", "a\x7f", "a\u0085", "a\u009b", "a\u2028b", "a\u2029b",
                          "\u202ea", "\u202d", "\u202a", "\u2066", "\u2069", "\xe9", "\xe2\x80", "\xed\xa0\x80"}) {
    CHECK(on_one_line(bad) != bad);
    CHECK(on_one_line(bad).find('\\') != std::string::npos);
    CHECK_THROWS_AS(check_one_line(bad), input_error);
  }
  for (const char* good :
       {"", "north", "100 \u00b0C", "\u05d0\u05d1", "\u200e", "\u2027\u202f", "\u2065", "\U0001f69a"}) {
    CHECK(on_one_line(good) == good);
    CHECK_NOTHROW(check_one_line(good));
  }
  CHECK(refusal([] { check_one_line("a\nb", "name"); }) ==
        R"(name: "a\nb" holds a line break or another control character; expected plain text on one line)");
}

TEST_CASE("law: values are cut at 60 bytes and lines at 300, never within a character, the end of a path stays") {
  const std::string long_text(500, 'x');
  CHECK(in_quotes(long_text).size() == 60 + 3 + 2);
  for (std::size_t shift = 0; shift < 4; ++shift) {
    std::string text(shift, 'a');
    while (text.size() < 200) text += "\xf0\x9f\x9a\x9a";  // a lorry, four bytes
    const std::string quoted = in_quotes(text);
    CHECK(quoted.size() <= 60 + 3 + 2);
    CHECK(quoted.find("\\x") == std::string::npos);
    const input_error e(text, text, text);
    CHECK(std::string(e.what()).size() <= 300);
    CHECK(std::string(e.what()).find("\\x") == std::string::npos);
  }
  const file_error e(long_text + "/north.csv", long_text, long_text);
  CHECK(std::string(e.what()).size() <= 300);
  CHECK(std::string(e.what()).find("xx/north.csv: xx") != std::string::npos);
}
