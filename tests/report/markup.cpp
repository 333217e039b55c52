// Text as markup: nothing that a file holds can become an element or an attribute.
#include "report/markup.hpp"

#include <doctest/doctest.h>

#include <stdexcept>
#include <string>

using coldgrease::detail::escaped;
using coldgrease::detail::markup;

TEST_CASE("law: the five characters of markup are written as entities, in texts and in values") {
  const std::string five = "<>&\"'", entities = "&lt;&gt;&amp;&quot;&#39;";
  CHECK(escaped(five) == entities);
  CHECK(escaped("&amp;") == "&amp;amp;");
  CHECK(markup().element("p", five).take() == "<p>" + entities + "</p>\n");
  CHECK(markup().shape("path", {{"d", five}}).take() == "<path d=\"" + entities + "\"/>\n");
  CHECK(markup().open("a", {{"href", five}, {"class", "x"}}).close().take() ==
        "<a href=\"" + entities + "\" class=\"x\"></a>");
}

TEST_CASE("law: control characters are left out, a new line is kept") {
  for (int c = 0; c < 0x20; ++c) {
    const std::string one(1, static_cast<char>(c));
    CAPTURE(c);
    CHECK(escaped("a" + one + "b") == (c == '\n' ? "a\nb" : "ab"));
  }
  CHECK(escaped("a\x7f"
                "b") == "ab");
  for (int c = 0x80; c < 0xa0; ++c) {
    CAPTURE(c);
    CHECK(escaped("a\xc2" + std::string(1, static_cast<char>(c)) + "b") == "ab");
  }
  CHECK(escaped("a\u00a0b") == "a\u00a0b");
}

TEST_CASE("law: what is no UTF-8, and no character of XML, is left out") {
  CHECK(escaped("a\xff\xfe"
                "b") == "ab");
  CHECK(escaped("a\xc3") == "a");  // cut short
  CHECK(escaped("a\x80"
                "b") == "ab");  // the end of nothing
  CHECK(escaped("a\xc0\xbc"
                "b") == "ab");  // an overlong <
  CHECK(escaped("a\xed\xa0\x80"
                "b") == "ab");  // half of a pair
  CHECK(escaped("a\xef\xbf\xbe\xef\xbf\xbf"
                "b") == "ab");
}

TEST_CASE("law: letters of any script, pictures and long names stay as they are") {
  std::string letters;
  for (int i = 0; i < 200; ++i) letters += "\u00e9";
  for (const std::string& s : {std::string(200, 'x'), letters, std::string("\u5317\u6d77\u9053 \U0001f69b"),
                               std::string("100 \u00b0C, 2 \u00b5m; 50 %"), std::string()})
    CHECK(escaped(s) == s);
}

TEST_CASE("law: words from right to left stand isolated, and nothing turns what is beside them") {
  const std::string hebrew = "\u05d0\u05d1", arabic = "\u0627\u0628";
  CHECK(markup().element("p", hebrew + " -12 C").take() == "<p><bdi>" + hebrew + "</bdi> -12 C</p>\n");
  CHECK(markup().element("p", "a " + arabic + " " + hebrew + ".").take() ==
        "<p>a <bdi>" + arabic + " " + hebrew + "</bdi>.</p>\n");
  const std::string isolated = "\u2068" + hebrew + "\u2069";
  CHECK(escaped(hebrew) == isolated);
  CHECK(markup().open("svg").element("text", hebrew).close().take().find(isolated) != std::string::npos);
  for (const char* turner :
       {"\u202a", "\u202b", "\u202c", "\u202d", "\u202e", "\u2066", "\u2067", "\u2068", "\u2069", "\u2028", "\u2029"})
    CHECK(escaped("a" + std::string(turner) + "b") == "ab");
}

TEST_CASE("law: nothing is written while an element is open, and nothing closes that is not") {
  markup m;
  m.open("p").open("b");
  CHECK_THROWS_AS(m.take(), std::logic_error);
  m.close();
  CHECK_THROWS_AS(m.take(), std::logic_error);
  m.close();
  CHECK(m.take() == "<p><b></b></p>\n");
  CHECK_THROWS_AS(m.close(), std::logic_error);
  CHECK(markup().take().empty());
}

TEST_CASE("law: elements close innermost first, and finished markup is added as it stands") {
  const std::string inner = markup().element("b", "x").take();
  CHECK(inner == "<b>x</b>");
  CHECK(markup().open("ul").open("li").add(inner).close().close().take() == "<ul><li><b>x</b></li>\n</ul>\n");
}
