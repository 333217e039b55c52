// Rules of points, as makers write them.
#include "coldgrease/line/point_rules.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "coldgrease/grease/compatibility.hpp"
#include "coldgrease/line/installation_check.hpp"

using namespace coldgrease;

namespace {

const substance_names& thickeners() {
  static const substance_names names = thickener_names(compatibility_charts());
  return names;
}

grease with(std::optional<std::vector<solid>> solids, std::string thickener = "lithium", std::string nlgi = "2") {
  return estimate({.nlgi = std::move(nlgi), .thickener = std::move(thickener), .solids = std::move(solids)});
}
const std::vector<solid> none;

std::vector<breach> broken(const point_rules& rules, const grease& g, temperature at = celsius(0)) {
  return breaches(rules, g, at, thickeners());
}
std::vector<breach_kind> kinds(const point_rules& rules, const grease& g, temperature at = celsius(0)) {
  std::vector<breach_kind> out;
  for (const breach& b : broken(rules, g, at)) out.push_back(b.kind);
  return out;
}
using breach_kinds = std::vector<breach_kind>;

}  // namespace

TEST_CASE("case: a banned, a required and too much of a solid, by any of its names") {
  const grease moly = with(std::vector<solid>{{"MoS2", 0.03}});
  for (const char* ban :
       {"molybdenum disulfide", "Moly", "molybdenum disulphide", "MOS 2", "MoS\u2082", "molybdenum", "any", "Any"}) {
    CAPTURE(ban);
    CHECK(kinds({.banned_solids = {ban}}, moly) == breach_kinds{breach_kind::banned_solid});
  }
  CHECK(broken({.banned_solids = {"moly"}}, moly).front().words == "bans MoS2 (3 %)");
  CHECK(broken({.banned_solids = {"graphite"}}, moly).empty());
  CHECK(kinds({.banned_solids = {"moly"}}, with(std::vector<solid>{{"MoS\u2082", 0.03}})) ==
        breach_kinds{breach_kind::banned_solid});
  CHECK(broken({.banned_solids = {"moly"}}, with(std::vector<solid>{{"WS\u2082", 0.03}})).empty());
  CHECK(broken({.required_solids = {"Molybdenum Disulphide"}}, moly).empty());
  CHECK(kinds({.required_solids = {"MoS2"}}, with(none)) == breach_kinds{breach_kind::missing_solid});
  CHECK(kinds({.solids_max = 0.01}, moly) == breach_kinds{breach_kind::too_much_solid});
  CHECK(broken({.solids_max = 0.03}, moly).empty());
  CHECK(broken({.banned_solids = {"any"}, .solids_max = 0.0}, with(none)).empty());
}

TEST_CASE("case: solids that nobody states are not shown to keep a ban, a demand or a limit") {
  const grease silent = with(std::nullopt);
  for (const point_rules& rules : {point_rules{.banned_solids = {"graphite"}}, point_rules{.banned_solids = {"any"}},
                                   point_rules{.required_solids = {"MoS2"}}, point_rules{.solids_max = 0.03}}) {
    const auto found = broken(rules, silent);
    REQUIRE(found.size() == 1);
    CHECK(found.front().kind == breach_kind::solids_not_stated);
    CHECK(is_not_shown(found.front().kind));
    CHECK(found.front().words.find("not shown: the record does not state its solids") != std::string::npos);
  }
  CHECK(broken({.banned_thickeners = {"clay"}}, silent).empty());
}

TEST_CASE("case: a ban on a thickener holds for every name of it (a maker's ban that slipped through)") {
  const auto bars = [&](const char* ban, const char* thickener) {
    return kinds({.banned_thickeners = {ban}}, with(none, thickener)) == breach_kinds{breach_kind::banned_thickener};
  };
  CHECK(bars("clay", "Clay"));
  CHECK(bars("bentonite", "clay"));
  CHECK(bars("clay", "bentonite"));
  CHECK(bars("organoclay grease", "Bentonite"));
  CHECK(bars("lithium soap", "lithium"));
  CHECK(bars("Li", "lithium 12-hydroxystearate"));
  CHECK(bars("lithium complex grease", "lithium complex"));
  CHECK(bars("aluminum complex", "Aluminium Complex"));
  CHECK(bars("overbased calcium sulphonate", "calcium sulfonate complex"));
  CHECK(bars("moon dust", "Moon-dust"));
  CHECK_FALSE(bars("polyurea", "clay"));
  CHECK_FALSE(bars("moon dust", "clay"));
}

TEST_CASE("case: a ban on a family covers its kinds, and so does one on a word of a name (the safe side)") {
  const auto reach = [&](const char* ban, const char* thickener) { return thickeners().reach(ban, thickener); };
  CHECK(reach("lithium", "lithium complex") == ban_reach::covered);
  CHECK(reach("calcium", "calcium sulfonate complex") == ban_reach::covered);
  CHECK(reach("Ca", "anhydrous calcium") == ban_reach::covered);
  CHECK(reach("polyurea", "shear-stable polyurea") == ban_reach::covered);
  CHECK(reach("calcium", "lithium/calcium") == ban_reach::covered);  // a mixed soap, which no chart knows
  CHECK(reach("clay", "hectorite clay") == ban_reach::covered);
  CHECK(reach("sulfonate", "calcium sulphonate complex") == ban_reach::covered);
  // The record names the family only: it may be the kind that is banned.
  CHECK(reach("lithium complex", "lithium") == ban_reach::open);
  CHECK(reach("lithium complex", "Li soap") == ban_reach::open);
  CHECK(reach("shear-stable polyurea", "polyurea") == ban_reach::open);
  // A word for all of a sort may be any of them, on either side; "lithium soap" is no such word.
  for (const char* family : {"soap", "Soap grease", "grease", "metal soap", "complex"}) {
    CAPTURE(family);
    CHECK(reach(family, "lithium") == ban_reach::open);
    CHECK(reach("clay", family) == ban_reach::open);
    CHECK(reach(family, family) == ban_reach::covered);
  }
  CHECK(kinds({.banned_thickeners = {"soap"}}, with(none, "calcium")) ==
        breach_kinds{breach_kind::thickener_not_stated});
  CHECK(reach("lithium soap", "calcium soap") == ban_reach::spared);
  // It names another kind.
  CHECK(reach("lithium complex", "lithium 12-hydroxystearate") == ban_reach::spared);
  CHECK(reach("calcium complex", "anhydrous calcium") == ban_reach::spared);
  CHECK(reach("lithium", "calcium") == ban_reach::spared);
  CHECK(kinds({.banned_thickeners = {"lithium complex"}}, with(none, "lithium")) ==
        breach_kinds{breach_kind::thickener_not_stated});
  CHECK(broken({.banned_thickeners = {"lithium"}}, with(none, "lithium complex")).front().words ==
        "bans lithium as thickener, which is taken to cover lithium complex");
}

TEST_CASE("law: a ban on a thickener covers itself, and a demand for one is met by itself alone, under any names") {
  const compatibility_table table = compatibility_charts();
  for (const thickener_class& a : table.thickeners) {
    std::vector<std::string> names{a.name};
    names.insert(names.end(), a.also.begin(), a.also.end());
    for (const std::string& one : names) {
      for (const std::string& other : names) {
        CHECK(thickeners().same(one, other));
        CHECK(thickeners().reach(one, other) == ban_reach::covered);
      }
      for (const thickener_class& b : table.thickeners) CHECK(thickeners().same(one, b.name) == (a.name == b.name));
    }
  }
}

TEST_CASE("case: a thickener that is asked for, and one that the record does not name") {
  CHECK(broken({.required_thickeners = {"lithium", "lithium complex"}}, with(none, "Li complex")).empty());
  CHECK(kinds({.required_thickeners = {"lithium"}}, with(none, "polyurea")) ==
        breach_kinds{breach_kind::missing_thickener});
  // A kind of what is asked for is not it: the safe side.
  CHECK(kinds({.required_thickeners = {"lithium"}}, with(none, "lithium complex")) ==
        breach_kinds{breach_kind::missing_thickener});
  for (const char* nothing : {"", " - "}) {
    CHECK(kinds({.required_thickeners = {"lithium"}}, with(none, nothing)) ==
          breach_kinds{breach_kind::thickener_not_stated});
    CHECK(kinds({.banned_thickeners = {"lithium"}}, with(none, nothing)) ==
          breach_kinds{breach_kind::thickener_not_stated});
  }
}

TEST_CASE("case: class windows by temperature, as a slack adjuster's maker may write them") {
  // Above -40 C NLGI 1 or 2; colder NLGI 2 only.
  const point_rules rules{
      .classes = {{.above = celsius(-40), .nlgi = {"1", "2"}}, {.below = celsius(-40), .nlgi = {"2"}}}};
  CHECK(broken(rules, with(none, "", "1"), celsius(-10)).empty());
  CHECK(broken(rules, with(none, "", "1"), celsius(-40)).empty());
  CHECK(kinds(rules, with(none, "", "1"), celsius(-41)) == breach_kinds{breach_kind::wrong_class});
  CHECK(broken(rules, with(none, "", "2"), celsius(-41)).empty());
  CHECK(broken(rules, with(none, "", "0"), celsius(-10)).size() == 1);
  // A label that straddles two allowed classes is allowed, one that straddles out is not.
  CHECK(broken(rules, with(none, "", "1/2"), celsius(-10)).empty());
  CHECK(broken(rules, with(none, "", "0/1"), celsius(-10)).size() == 1);
  // Measured parameters without a class: which it is is not known.
  const grease measured_only = measured({pascal(500), 50.0, 0.5, pascal_second(1)}, celsius(-10));
  CHECK(kinds(rules, measured_only, celsius(-10)) == breach_kinds{breach_kind::class_not_known});
}

TEST_CASE("case: a point that must not be on the system, whatever the grease") {
  CHECK(broken({.excluded = "wheel end"}, with(none)).front().words.find("wheel end") != std::string::npos);
}

TEST_CASE("law: what is known to be broken stands before what is not shown") {
  const point_rules rules{.banned_solids = {"graphite"}, .banned_thickeners = {"clay"}, .classes = {{.nlgi = {"1"}}}};
  CHECK(kinds(rules, with(std::nullopt, "bentonite")) ==
        breach_kinds{breach_kind::banned_thickener, breach_kind::wrong_class, breach_kind::solids_not_stated});
}

TEST_CASE("law: over a range of temperatures every class window that some of it lies in counts") {
  const point_rules rules{.classes = {{.above = celsius(25), .nlgi = {"2"}}}};
  const auto over = [&](const grease& g, double coldest, double warmest) {
    return breaches(rules, g, celsius(coldest), celsius(warmest), thickeners()).size();
  };
  const grease soft = with(none, "", "1");
  CHECK(over(soft, -10, -10) == 0);
  CHECK(over(soft, -10, 24.9) == 0);
  CHECK(over(soft, -10, 35) == 1);
  CHECK(over(with(none, "", "2"), -10, 35) == 0);
}

TEST_CASE("case: past the end of the windows, and between them, no rule of the maker speaks") {
  // -40 to -10 C and from 0 C on: silent below -40 C and from -10 C to 0 C. A window holds its cold end, not its warm
  // one.
  const point_rules rules{
      .classes = {{.above = celsius(0), .nlgi = {"2"}}, {.above = celsius(-40), .below = celsius(-10), .nlgi = {"1"}}}};
  const auto silent = [&](double coldest, double warmest) {
    std::vector<std::string> out;
    for (const class_window& w : silent_spans(rules, celsius(coldest), celsius(warmest))) out.push_back(span_words(w));
    return out;
  };
  using spans = std::vector<std::string>;
  CHECK(silent(-50, -50) == spans{"below -40.0 C (-40.0 F)"});
  CHECK(silent(-40, -11).empty());
  CHECK(silent(-10, -10) == spans{"from -10.0 C (14.0 F) to 0.0 C (32.0 F)"});
  CHECK(silent(0, 40).empty());
  CHECK(silent(-41, 40) == spans{"below -40.0 C (-40.0 F)", "from -10.0 C (14.0 F) to 0.0 C (32.0 F)"});
  CHECK(silent_spans({}, celsius(-50), celsius(50)).empty());
  const auto warm = silent_spans({.classes = {{.below = celsius(10), .nlgi = {"1"}}}}, celsius(-50), celsius(50));
  REQUIRE(warm.size() == 1);
  CHECK(span_words(warm.front()) == "above 10.0 C (50.0 F)");
}

TEST_CASE("case: what no list of names knows, and where the maker is silent, is noted with its points") {
  installation i{.name = "i", .available = bar(250)};
  for (const char* point : {"near", "far"})
    i.lines.push_back({.point = point,
                       .segments = {{.length = metre(2), .bore = millimetre(4)}},
                       .dose = cm3(0.2),
                       .in = second(12),
                       .rules = {.banned_solids = {"stardust", "any", "MoS2"},
                                 .banned_thickeners = {"moon dust", "clay"},
                                 .classes = {{.above = celsius(-20), .nlgi = {"2"}}}}});
  const auto a = check(i, with(std::vector<solid>{{"Fullerene", 0.01}}, "selenite"), celsius(-30));
  const auto notes_with = [&](std::string_view words) {
    return std::ranges::count_if(a.notes, [&](const std::string& n) { return n.find(words) != std::string::npos; });
  };
  CHECK(notes_with("near, far: the solid \"stardust\" is known by no list of names") == 1);
  CHECK(notes_with("near, far: the thickener \"moon dust\" is known by no list of names") == 1);
  CHECK(notes_with("near, far: the thickener of the grease, \"selenite\" is known by no list of names") == 1);
  CHECK(notes_with("near, far: the solid of the grease, \"Fullerene\" is known by no list of names") == 1);
  CHECK(notes_with("\"clay\"") + notes_with("\"MoS2\"") + notes_with("\"any\"") == 0);
  CHECK(notes_with("near, far: the maker's classes end: no rule of its maker speaks below -20.0 C") == 1);
  CHECK(check(i, with(none, "clay"), celsius(-20)).notes.size() + 3 == a.notes.size());
}
