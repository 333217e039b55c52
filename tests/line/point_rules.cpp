// Rules of points, as makers write them.
#include "coldgrease/line/point_rules.hpp"

#include <doctest/doctest.h>

using namespace coldgrease;

namespace {

grease with(std::vector<solid> solids, std::string thickener = "lithium", std::string nlgi = "2") {
  return estimate({.nlgi = std::move(nlgi), .thickener = std::move(thickener), .solids = std::move(solids)});
}

}  // namespace

TEST_CASE("case: a banned, a required and too much of a solid, by any of its names") {
  const grease moly = with({{"MoS2", 0.03}});
  CHECK(breaches({.banned_solids = {"molybdenum disulfide"}}, moly, celsius(0)) ==
        std::vector<std::string>{"bans MoS2 (3 %)"});
  CHECK(breaches({.banned_solids = {"any"}}, moly, celsius(0)).size() == 1);
  CHECK(breaches({.banned_solids = {"graphite"}}, moly, celsius(0)).empty());
  CHECK(breaches({.required_solids = {"Molybdenum Disulphide"}}, moly, celsius(0)).empty());
  CHECK(breaches({.required_solids = {"MoS2"}}, with({}), celsius(0)) == std::vector<std::string>{"asks for MoS2"});
  CHECK(breaches({.solids_max = 0.01}, moly, celsius(0)).size() == 1);
  CHECK(breaches({.solids_max = 0.03}, moly, celsius(0)).empty());
}

TEST_CASE("case: thickeners") {
  CHECK(breaches({.banned_thickeners = {"clay"}}, with({}, "Clay"), celsius(0)).size() == 1);
  CHECK(breaches({.required_thickeners = {"lithium", "lithium complex"}}, with({}, "lithium complex"), celsius(0))
            .empty());
  CHECK(breaches({.required_thickeners = {"lithium"}}, with({}, "polyurea"), celsius(0)).size() == 1);
  CHECK(
      breaches({.required_thickeners = {"lithium"}}, with({}, ""), celsius(0)).front().find("the record names none") !=
      std::string::npos);
  CHECK(same_substance("aluminum complex", "Aluminium Complex"));
}

TEST_CASE("case: class windows by temperature, as a slack adjuster's maker may write them") {
  // Above -40 C NLGI 1 or 2; colder NLGI 2 only.
  const point_rules rules{
      .classes = {{.above = celsius(-40), .nlgi = {"1", "2"}}, {.below = celsius(-40), .nlgi = {"2"}}}};
  CHECK(breaches(rules, with({}, "", "1"), celsius(-10)).empty());
  CHECK(breaches(rules, with({}, "", "1"), celsius(-40)).empty());
  CHECK(breaches(rules, with({}, "", "1"), celsius(-41)).size() == 1);
  CHECK(breaches(rules, with({}, "", "2"), celsius(-41)).empty());
  CHECK(breaches(rules, with({}, "", "0"), celsius(-10)).size() == 1);
  // A label that straddles two allowed classes is allowed, one that straddles out is not.
  CHECK(breaches(rules, with({}, "", "1/2"), celsius(-10)).empty());
  CHECK(breaches(rules, with({}, "", "0/1"), celsius(-10)).size() == 1);
}

TEST_CASE("case: a point that must not be on the system, whatever the grease") {
  CHECK(breaches({.excluded = "wheel end"}, with({}), celsius(0)).front().find("wheel end") != std::string::npos);
}

TEST_CASE("law: over a range of temperatures every class window that some of it lies in counts") {
  const point_rules rules{.classes = {{.above = celsius(25), .nlgi = {"2"}}}};
  const grease soft = with({}, "", "1");
  CHECK(breaches(rules, soft, celsius(-10)).empty());
  CHECK(breaches(rules, soft, celsius(-10), celsius(24.9)).empty());
  CHECK(breaches(rules, soft, celsius(-10), celsius(35)).size() == 1);
  CHECK(breaches(rules, with({}, "", "2"), celsius(-10), celsius(35)).empty());
}
