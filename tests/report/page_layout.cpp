// The page of any fleet is well-formed, and names in it stay words.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "demo_page.hpp"

using namespace coldgrease;
using namespace reading;

namespace {

/// What a browser or a screen reader would stumble over.
std::vector<std::string> faults_of(const element& page) {
  std::vector<std::string> faults;
  std::set<std::string> ids;
  each(page, [&](const element& e) {
    const std::string id = e.attribute("id");
    if (e.attributes.contains("id") && (id.empty() || !ids.insert(id).second))
      faults.push_back(fmt::format("{} with the id \"{}\" of another", e.name, id));
  });
  each(page, [&](const element& e) {
    if (const std::string link = e.attribute("href"); !link.empty() && !ids.contains(link.substr(1)))
      faults.push_back("a link to nowhere: " + link);
    const std::string names = e.attribute("aria-labelledby") + " ";
    for (std::size_t at = 0, end = names.find(' '); end != std::string::npos; at = end + 1, end = names.find(' ', at)) {
      if (end > at && !ids.contains(names.substr(at, end - at)))
        faults.push_back("named by what is not there: " + names.substr(at, end - at));
    }
    if (const std::string cut = e.attribute("clip-path");
        !cut.empty() && !(cut.starts_with("url(#") && ids.contains(cut.substr(5, cut.size() - 6))))
      faults.push_back("cut by what is not there: " + cut);
    const auto has = [&](std::string_view name) {
      return std::ranges::any_of(e.children, [&](const element& c) { return c.name == name && !c.text.empty(); });
    };
    if (e.name == "svg" && e.attribute("aria-label").empty() &&
        !(has("title") && has("desc") && e.attributes.contains("aria-labelledby")))
      faults.push_back("a picture without title and description");
    if (e.name == "th" && e.attribute("scope") != "col" && e.attribute("scope") != "row")
      faults.push_back("a heading of neither row nor column: " + e.text);
    if (e.name == "table" && (e.children.empty() || e.children.front().name != "caption"))
      faults.push_back("a table without a caption");
    if (e.name == "ul" && e.children.empty()) faults.push_back("a list of nothing");
  });
  for (const std::string_view needed : {"h1", "main", "title"}) {
    if (all(page, needed).empty()) faults.push_back(fmt::format("no {}", needed));
  }
  std::size_t column = 0;
  for (const element* table : all(page, "table")) {
    for (const element* row : all(*table, "tr")) {
      if (row == all(*table, "tr").front()) {
        column = row->children.size();
      } else if (row->children.size() != column) {
        faults.push_back(fmt::format("{}: a row of {} cells under {} headings", table->children.front().text,
                                     row->children.size(), column));
      }
    }
  }
  return faults;
}

void check_sound(const reported& r) {
  for (const std::string& fault : faults_of(r.page())) FAIL_CHECK(fault);
}

std::set<std::string> element_names(const element& page) {
  std::set<std::string> names;
  each(page, [&](const element& e) { names.insert(e.name); });
  return names;
}

/// The demo with a name put behind every name that a file gives.
reported named(const std::string& name) {
  fleet f = demo_fleet();
  f.about += name;
  for (evidence& e : f.greases) e.name += name;
  for (installation& i : f.installations) {
    i.name += name;
    for (line& l : i.lines) l.point += name;
  }
  for (route& r : f.routes) {
    r.name += name;
    r.region += name;
  }
  reported r = report_of(std::move(f));
  for (input_file& file : r.d.inputs) file.path += name;
  for (season_sheet& s : r.d.seasons) s.station += name;
  r.d.flags.push_back({name, name});
  r.d.plan.notes.push_back(name);
  return r;
}

}  // namespace

TEST_CASE("law: no name becomes markup, and each is shown as it is written") {
  const std::set<std::string> plain = element_names(named("plain").page());
  CHECK_FALSE(plain.contains("script"));
  for (const std::string& name :
       {std::string("<script>alert(1)</script>"), std::string("&amp;"), std::string("\""), std::string("'"),
        std::string("--></style>"), std::string("\" onload=\"alert(1)"), std::string("' onclick='alert(1)"),
        std::string("</title></svg></table>"), std::string("]]><![CDATA["), std::string("<!--"),
        std::string("\U0001f69b\u2744\ufe0f"), std::string(200, 'x'), std::string("\x01\x7f\xff")}) {
    CAPTURE(name);
    const reported r = named(name);
    const std::string html = r.html();
    const element page = read_page(html);
    CHECK(element_names(page) == plain);
    CHECK(html.find("<script") == std::string::npos);
    CHECK(html.find("</style>") == html.rfind("</style>"));
    each(page, [](const element& e) {
      for (const auto& [key, value] : e.attributes) CHECK_FALSE(key.starts_with("on"));
    });
    for (const std::string& fault : faults_of(page)) FAIL_CHECK(fault);
    // Control characters and what is no UTF-8 are left out.
    const std::string shown = name.front() == '\x01' ? "" : name;
    const std::vector<const element*> headings = all(page, "h3");
    CHECK(std::ranges::any_of(headings, [&](const element* h) { return h->text == "Mild coast" + shown; }));
    CHECK(page.text.find("Mineral 2" + shown) != std::string::npos);
    CHECK(page.text.find("fifth wheel left" + shown) != std::string::npos);
  }
}

TEST_CASE("law: the page of the demo is well-formed and says what its pictures are") {
  check_sound(report_of(demo_fleet()));
}

TEST_CASE("law: faults of a page are found") {
  CHECK(faults_of(read_page("<html><title>t</title><h1>x</h1><main></main></html>")).empty());
  for (const std::string_view wrong :
       {"<p id=\"a\"></p><p id=\"a\"></p>", "<a href=\"#b\">b</a>", "<svg><title>x</title></svg>",
        "<svg aria-labelledby=\"b\"><title>x</title><desc>x</desc></svg>", "<path clip-path=\"url(#b)\"/>",
        "<table><caption>x</caption><tr><th>x</th></tr></table>", "<table><tr></tr></table>", "<ul></ul>",
        "<table><caption>x</caption><tr><td>x</td></tr><tr><td>x</td><td>x</td></tr></table>"}) {
    CAPTURE(wrong);
    CHECK(faults_of(read_page(fmt::format("<html><title>t</title><h1>x</h1><main>{}</main></html>", wrong))).size() ==
          1);
  }
  for (const std::string_view wrong : {"<p>", "<p></b>", "<p a=b></p>", "<p>&</p>", "<p>></p>",
                                       "<p a=\"1\" a=\"2\"></p>", "<p></p><p></p>", "x", "<p a=\"<\"></p>"}) {
    CAPTURE(wrong);
    CHECK_THROWS_AS(read_page(wrong), std::runtime_error);
  }
}

TEST_CASE("law: an empty dossier makes a page") {
  const reported r;
  check_sound(r);
  CHECK(r.page().text.find("No installation is on a route.") != std::string::npos);
}

TEST_CASE("law: pages of one route, of routes alone, and of a fleet without names lay out") {
  fleet f = demo_fleet();
  f.routes.resize(1);
  check_sound(report_of(f));
  f.routes.front().name.clear();
  f.routes.front().region.clear();
  f.about.clear();
  for (installation& i : f.installations) i.name.clear();
  check_sound(report_of(f));
}

TEST_CASE("law: a page of 200 routes lays out, with a row for every fill") {
  reported r = report_of(demo_fleet());
  const auto routes = r.d.plan.routes;
  const auto seasons = r.d.seasons;
  r.d.plan.routes.clear();
  r.d.seasons.clear();
  std::size_t fills = 0;
  for (std::size_t n = 0; n < 200; ++n) {
    r.d.plan.routes.push_back(routes[n % routes.size()]);
    r.d.plan.routes.back().pick.route += fmt::format(" {}", n);
    r.d.seasons.push_back(seasons[n % seasons.size()]);
    fills += routes[n % routes.size()].pick.decided.fills.size();
  }
  check_sound(r);
  const element page = r.page();
  const element decision = *all(page, "table").front();
  CHECK(all(*all(decision, "tbody").front(), "tr").size() == fills);
  std::size_t pictures = 0;
  each(page,
       [&](const element& e) { pictures += e.name == "svg" && e.attribute("aria-labelledby").starts_with("season-"); });
  CHECK(pictures == 200);
}

TEST_CASE("law: sixteen lines of one installation lay out, each with its row and its mark") {
  fleet f = demo_fleet();
  f.routes.resize(1);
  installation& i = f.installations.front();
  const auto lines = i.lines;
  while (i.lines.size() < 16) {
    i.lines.push_back(lines[i.lines.size() % lines.size()]);
    i.lines.back().point += " again";
  }
  const reported r = report_of(std::move(f));
  check_sound(r);
  const element page = r.page();
  int tables = 0;
  for (const element* table : all(page, "table")) {
    const std::string& caption = table->children.front().text;
    // The card of what its gauge shows has a row a temperature.
    if (!caption.starts_with("tractor, 250 bar with") || caption.find(": gauge") != std::string::npos) continue;
    CHECK(all(*all(*table, "tbody").front(), "tr").size() == 16);
    ++tables;
  }
  CHECK(tables > 0);
}
