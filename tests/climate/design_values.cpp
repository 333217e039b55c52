// The table of published design values; its numbers stand in published/climate.csv.
#include "coldgrease/climate/design_values.hpp"

#include <doctest/doctest.h>

#include <string>

#include "coldgrease/base/error.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

std::string table(const std::string& row) {
  return R"({"schema": 1, "about": "a", "source": "s", "rows": [)" + row + "]}";
}

}  // namespace

TEST_CASE("law: every row is in order, and names source and edition") {
  const auto rows = published_design_values();
  CHECK(rows.size() >= 20);
  for (const design_values& v : rows) {
    CAPTURE(v.station);
    CHECK(!v.source.empty());
    CHECK(!v.edition.empty());
    REQUIRE((v.heating_99_6 && v.heating_99));
    CHECK(*v.heating_99_6 < *v.heating_99);
    if (v.mean_annual_minimum) CHECK(*v.mean_annual_minimum < *v.heating_99_6);
    CHECK(find_design_values(v.station).station == v.station);
  }
}

TEST_CASE("case: a station is found by its name, capitals or not, and a wrong one lists the right ones") {
  CHECK(find_design_values("winnipeg").station == "Winnipeg");
  CHECK_THROWS_WITH_AS(find_design_values("Atlantis"),
                       doctest::Contains(R"(no design values of "Atlantis"; expected one of )"), input_error);
}

TEST_CASE("published value: n-year minima follow from mean and deviation (Montreal, ASHRAE 2009)") {
  const design_values v = find_design_values("Montreal");
  CHECK(near(return_minimum(v, 10).value().in_celsius(), -30.4, 0.0, 0.17));
  CHECK(!return_minimum(find_design_values("Boston Logan"), 10));
}

TEST_CASE("case: rows that are refused") {
  const std::string good = R"("station": "A", "edition": "e", "source": "s", "heating_99.6": "-20 C", "heating_99": )";
  CHECK(read_design_values(source::memory("t", table("{" + good + R"("0 F"})"))).size() == 1);
  CHECK_THROWS_AS(read_design_values(source::memory("t", table("{" + good + R"("-21 C"})"))), file_error);
  CHECK_THROWS_AS(read_design_values(source::memory("t", table("{" + good + "-15}"))), file_error);
  CHECK_THROWS_AS(read_design_values(source::memory("t", table("{" + good + R"("-15 C", "x": 1})"))), file_error);
  CHECK_THROWS_AS(read_design_values(source::memory("t", table("{" + good + R"("-15 C"}, {)" + good + R"("-15 C"})"))),
                  file_error);
  CHECK_THROWS_AS(read_design_values(source::memory("t", table(R"({"station": "A", "edition": "e"})"))), file_error);
}
