// Which part of the page stands where, and on whose page.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

#include "demo_page.hpp"

using namespace coldgrease;
using namespace reading;

namespace {

using cells = std::vector<std::string>;

}  // namespace

TEST_CASE(
    "law: the page of a reader is the decision, the cautions and the reader's own parts, and all parts are "
    "somebody's") {
  const reported r = report_of(demo_fleet());
  const auto ids_of = [](const element& page) {
    cells ids;
    for (const element* s : all(page, "section")) ids.push_back(s->attribute("id"));
    return ids;
  };
  const cells whole = ids_of(r.page());
  REQUIRE(whole.size() > 2);
  cells theirs;
  for (const auto& reader : words_of<page_reader>::table) {
    CAPTURE(reader.text);
    const element page = read_page(to_html(r.d, r.f, r.stock, "coldgrease under test", unit_system::si, reader.value));
    cells own = ids_of(page);
    CHECK(own.size() > 2);
    CHECK(own.front() == "decision");
    CHECK(own.back() == "cautions");
    // Each part is what it is on the whole page.
    for (const std::string& id : own) CHECK(section_of(page, id).text == section_of(r.page(), id).text);
    CHECK(page.text.find("Winter greasing plan, for the " + std::string(reader.text)) != std::string::npos);
    CHECK(std::ranges::count_if(all(section_of(page, "decision"), "table"), [](const element* t) {
            return t->children.front().text.find("What to pump") != std::string::npos;
          }) == 1);
    CHECK(std::ranges::count(own, "order") == (reader.value == page_reader::buyer ? 1 : 0));
    theirs.insert(theirs.end(), own.begin() + 1, own.end() - 1);
  }
  std::ranges::sort(theirs);
  cells wanted(whole.begin() + 1, whole.end() - 1);
  std::ranges::sort(wanted);
  CHECK(theirs == wanted);
  // The order stands before what the engineer looks at.
  const auto at = [&](const char* id) { return std::ranges::find(whole, id) - whole.begin(); };
  CHECK(at("order") < at("purchase"));
  CHECK(at("purchase") < at("lines"));
}

TEST_CASE("law: greases outside the plan have their sheets in the appendix alone") {
  const reported r = report_of(demo_fleet());
  const element page = r.page();
  const auto headings = [&](std::string_view section) {
    cells names;
    for (const element* h : all(section_of(page, section), "h3")) names.push_back(h->text);
    return names;
  };
  cells planned, others;
  for (const grease_sheet& s : r.d.greases) (s.planned ? planned : others).push_back(r.stock[s.grease].name());
  REQUIRE_FALSE(planned.empty());
  REQUIRE_FALSE(others.empty());
  CHECK(headings("greases") == planned);
  CHECK(headings("others") == others);
}

TEST_CASE("law: there is a place to sign where something is ordered, and only there") {
  const auto signs = [](const element& page) { return page.text.find("Signed, date") != std::string::npos; };
  CHECK(signs(report_of(demo_fleet()).page()));
  fleet f = demo_fleet();
  std::erase_if(f.routes, [](const route& r) { return r.name == "Mild coast"; });
  f.greases.resize(1);
  const reported none = report_of(std::move(f));
  REQUIRE(none.d.plan.purchase.rows.empty());
  CHECK_FALSE(signs(none.page()));
  CHECK(section_of(none.page(), "order").text.find("nothing to sign") != std::string::npos);
}

TEST_CASE("case: the first sheet says how far each weather goes and of which files it was made, the oldest first") {
  fleet f = demo_fleet();
  for (route& r : f.routes)
    for (leg& l : r.legs) l.options.today = date{2026, 11, 27};
  const reported r = report_of(std::move(f));
  const std::string words = section_of(r.page(), "decision").text;
  CHECK(words.find("New York to 2015-12-31, plain depot to 2024-12-31") != std::string::npos);
  CHECK(words.find("(CRC-32), read on 2026-11-27") != std::string::npos);
  for (const input_file& file : r.d.inputs) {
    REQUIRE(file.checksum);
    CHECK(words.find(fmt::format("{} {:08x}", file.path.substr(file.path.rfind('/') + 1), *file.checksum)) !=
          std::string::npos);
  }
}
