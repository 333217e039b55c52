// Wrapping, columns and numbers of the text reports: laws.
#include "report/layout.hpp"
#include "report/words.hpp"

#include <doctest/doctest.h>

#include <random>

#include "examples.hpp"
#include "near.hpp"

using namespace coldgrease;
using namespace coldgrease::detail;
using examples::widest;

namespace {

/// The text without its line breaks and indents.
std::string joined(std::string_view text) {
  std::string out;
  bool fresh = false;
  for (const char c : text) {
    if (c == '\n') {
      fresh = true;
    } else if (!(fresh && c == ' ')) {
      if (fresh) out += ' ';
      fresh = false;
      out += c;
    }
  }
  return out;
}

bool is_utf8(std::string_view text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    const std::size_t more = c < 0x80               ? 0
                             : (c & 0xe0U) == 0xc0U ? 1
                             : (c & 0xf0U) == 0xe0U ? 2
                             : (c & 0xf8U) == 0xf0U ? 3
                                                    : 9;
    if (i + more >= text.size() + (more == 9)) return false;
    for (std::size_t k = 1; k <= more; ++k) {
      if ((static_cast<unsigned char>(text[i + k]) & 0xc0U) != 0x80U) return false;
    }
    i += more;
  }
  return true;
}

}  // namespace

TEST_CASE("law: wrapped text keeps its words in their order and no line is wider than the page" *
          doctest::test_suite("long")) {
  std::mt19937 source(3);
  for (int round = 0; round < 300; ++round) {
    std::string text;
    const int words = 1 + static_cast<int>(source() % 60U);
    for (int w = 0; w < words; ++w) {
      if (w > 0) text += ' ';
      for (auto n = 1 + source() % 12U; n > 0; --n) text += source() % 5U == 0 ? "\xc3\xa4" : "w";
    }
    const std::size_t indent = source() % 20U;
    const std::string out = wrapped(text, indent);
    CHECK(widest(out) <= page_width);
    CHECK(joined(out) == text);
    CHECK(is_utf8(out));
    // Every further line begins with the indent and holds something.
    for (auto at = out.find('\n'); at != std::string::npos; at = out.find('\n', at + 1)) {
      CHECK(out.substr(at + 1, indent) == std::string(indent, ' '));
      CHECK(out.at(at + 1 + indent) != ' ');
    }
  }
  CHECK(wrapped("") == "");
  CHECK(wrapped("one") == "one");
}

TEST_CASE("law: eighty columns fit and eighty-one do not") {
  const std::string forty(40, 'a'), rest(39, 'b');
  CHECK(wrapped(forty + " " + rest) == forty + " " + rest);
  CHECK(wrapped(forty + " " + rest + "b") == forty + "\n" + rest + "b");
  CHECK(wrapped(forty + " " + rest + "b", 2) == forty + "\n  " + rest + "b");
}

TEST_CASE("law: a word that no line can hold is cut between characters") {
  const std::string name(200, 'x');
  CHECK(widest(wrapped(name)) == page_width);
  CHECK(widest(wrapped("- " + name, 2)) <= page_width);
  std::string accents;
  for (int i = 0; i < 200; ++i) accents += "\xc3\xa9";
  const std::string out = wrapped(accents, 14);
  CHECK(widest(out) <= page_width);
  CHECK(is_utf8(out));
  std::size_t kept = 0;
  for (const char c : out) kept += c != '\n' && c != ' ';
  CHECK(kept == accents.size());
}

TEST_CASE("law: fitted gives exactly the width and cuts between characters") {
  for (const std::string& name : examples::awkward_names()) {
    for (const std::size_t width : {std::size_t{1}, std::size_t{5}, std::size_t{13}, std::size_t{26}}) {
      const std::string out = fitted(name, width);
      CHECK(widest(out) == width);
      CHECK(is_utf8(out));
    }
  }
  CHECK(fitted("", 3) == "   ");
  CHECK(fitted("ab", 3) == "ab ");
  CHECK(fitted("abcd", 3) == "abc");
  CHECK(fitted("\xc3\xa4\xc3\xb6\xc3\xbc\xc3\x9f", 3) == "\xc3\xa4\xc3\xb6\xc3\xbc");
}

TEST_CASE("law: a row has its label in 13 columns and its value beside it, on every line") {
  CHECK(row("NLGI class", "2") == "NLGI class    2\n");
  CHECK(row("", "2") == "              2\n");
  for (const std::string& name : examples::awkward_names()) {
    const std::string out = row(name, name);
    CHECK(widest(out) <= page_width);
    CHECK(out.ends_with('\n'));
    for (auto at = out.find('\n'); at + 1 < out.size(); at = out.find('\n', at + 1))
      CHECK(out.substr(at + 1, 14) == std::string(14, ' '));
  }
}

TEST_CASE("law: bullets are one a sentence, none is nothing") {
  CHECK(bullets("Notes", {}) == "");
  CHECK(bullets("Notes", {"a", "b"}) == "Notes\n- a\n- b\n");
  CHECK(widest(bullets("Notes", examples::awkward_names())) <= page_width);
  CHECK(rule() == std::string(page_width, '-') + "\n");
}

TEST_CASE("law: numbers have four digits and no exponent within what a grease is described by") {
  CHECK(number_words(0.0) == "0");
  CHECK(number_words(22.454) == "22.45");
  CHECK(number_words(999.94) == "999.9");
  CHECK(number_words(17854.0) == "17850");
  CHECK(number_words(-17854.0) == "-17850");
  CHECK(number_words(123456789.0) == "123500000");
  CHECK(number_words(1.5e12) == "1.5e+12");
  CHECK(number_words(1e-7) == "1e-07");
  for (double v = 1e-12; v < 1e15; v *= 3.7) CHECK(number_words(v).size() <= 11);
}

TEST_CASE("law: quantities in both systems, and no number runs over the page") {
  CHECK(words(bar(250), unit_system::si) == "250 bar");
  CHECK(words(psi(3600), unit_system::us) == "3600 psi");
  CHECK(run_words(metre(6), unit_system::si) == "6.0 m");
  CHECK(run_words(foot(20), unit_system::us) == "20.0 ft");
  CHECK(bore_words(millimetre(4), unit_system::si) == "4.00 mm");
  CHECK(bore_words(inch(0.25), unit_system::us) == "0.250 in");
  CHECK(words(cm3_per_min(1), unit_system::si) == "1.00 cm3/min");
  CHECK(words(cm3(16.387064), unit_system::us) == "1.00 in3");
  for (const unit_system u : {unit_system::si, unit_system::us}) {
    for (const double v : {1e-300, 1e-9, 1e9, 1e30, 1e300}) {
      CHECK(words(bar(v), u).size() <= 20);
      CHECK(run_words(metre(v), u).size() <= 20);
      CHECK(bore_words(metre(v), u).size() <= 20);
      CHECK(words(cm3_per_min(v), u).size() <= 24);
      CHECK(words(cm3(v), u).size() <= 24);
    }
  }
}

TEST_CASE("law: a row of a table keeps every word, in its column and within the page") {
  const std::string rows = table_row({{"a name of several words, longer than its column is wide", 18},
                                      {"4 Sep to 5 Apr", 16},
                                      {"Donaudampfschifffahrtsgesellschaft No. 2", 19},
                                      {"  0.99        4.8 (10.6)"}});
  CHECK(widest(rows) <= page_width);
  std::string left, right;
  for (std::size_t at = 0; at < rows.size();) {
    const std::size_t end = rows.find('\n', at);
    const std::string line = rows.substr(at, end - at);
    at = end + 1;
    std::string first = line.substr(0, 18), third = line.size() > 36 ? line.substr(36, 19) : "";
    while (first.ends_with(' ')) first.pop_back();
    left += (left.empty() || first.empty() ? "" : " ") + first;
    std::erase(third, ' ');
    right += third;
  }
  CHECK(left == "a name of several words, longer than its column is wide");
  CHECK(right == "DonaudampfschifffahrtsgesellschaftNo.2");
  CHECK(rows.substr(0, rows.find('\n')).find("(10.6)") != std::string::npos);
  CHECK(table_row({{"short", 10}, {"x"}}) == "short      x\n");
}
