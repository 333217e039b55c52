// Rows of delimited text: columns are found by name (case).
#include "base/csv.hpp"

#include <doctest/doctest.h>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "refusal.hpp"

using namespace coldgrease;
using detail::csv_rows;
using detail::other_columns;
using detail::wanted_column;

namespace {

constexpr std::string_view expected = "point, length [m], bore [mm] or tube";

struct columns {
  std::optional<std::size_t> point, length, bore, tube;
};

columns find(std::string_view header, other_columns others) {
  csv_rows rows(header, "l.csv");
  columns c;
  rows.find({{.names = {"point"}, .found = &c.point, .needed = true},
             {.names = {"length", "run"}, .found = &c.length, .needed = true, .with_unit = true},
             {.names = {"bore"}, .found = &c.bore, .needed = true, .with_unit = true},
             {.names = {"tube"}, .found = &c.tube, .instead_of = "bore"}},
            others, expected);
  return c;
}
std::string refused(std::string_view header, other_columns others = other_columns::refused) {
  return refusal([&] { find(header, others); });
}

}  // namespace

TEST_CASE("case: columns are found in any order, in any of their spellings") {
  const columns c = find("Bore [mm]; RUN [ m ] ;point", other_columns::refused);
  CHECK(c.bore == 0);
  CHECK(c.length == 1);
  CHECK(c.point == 2);
  CHECK_FALSE(c.tube);
  CHECK(find("point,length [m],tube", other_columns::refused).tube == 2);
  CHECK(find("note,point,length [m],bore [mm]", other_columns::ignored).point == 1);
}

TEST_CASE("case: a list of columns is made at run time") {
  csv_rows rows("b [m],a\n", "l.csv");
  const std::vector<std::string> names{"a", "b"};
  std::vector<std::optional<std::size_t>> found(names.size());
  std::vector<wanted_column> wanted;
  for (std::size_t i = 0; i < names.size(); ++i)
    wanted.push_back({.names = {names[i]}, .found = &found[i], .needed = true, .with_unit = names[i] == "b"});
  rows.find(wanted, other_columns::refused, "a, b [m]");
  CHECK(found[0] == 1);
  CHECK(found[1] == 0);
  CHECK(rows.unit_of(*found[1]) == "m");
}

TEST_CASE("case: columns that cannot be used are refused with what is expected") {
  const std::string end = "; expected " + std::string(expected);
  CHECK(refused("point,length [m],bore [mm],colour") == "l.csv:1: unknown column \"colour\"" + end);
  CHECK(refused("point [m],length [m],bore [mm]") == "l.csv:1: unknown column \"point [m]\"" + end);
  CHECK(refused("point,length [m],run [m],bore [mm]") == "l.csv:1: the column \"run\" stands twice" + end);
  CHECK(refused("point,length [m],run [m],bore [mm]", other_columns::ignored) ==
        "l.csv:1: two columns could be \"run [m]\"; expected one of them");
  CHECK(refused("length [m],bore [mm]") == "l.csv:1: no column point" + end);
  CHECK(refused("point,length [m]") == "l.csv:1: no column bore or tube" + end);
  CHECK(refused("point,length,bore [mm]") == "l.csv:1: the column \"length\" has no unit" + end);
  CHECK(refused("# made by hand\n\npoint,length,bore [mm]") == "l.csv:3: the column \"length\" has no unit" + end);
}

TEST_CASE("case: several columns stand instead of one only where all of them are there") {
  const auto refused_date = [](std::string_view header) {
    return refusal([&] {
      csv_rows rows(header, "w.csv");
      std::optional<std::size_t> date, year, month;
      rows.find({{.names = {"date"}, .found = &date, .needed = true},
                 {.names = {"year"}, .found = &year, .instead_of = "date"},
                 {.names = {"month"}, .found = &month, .instead_of = "date"}},
                other_columns::ignored, "date, or year, month");
    });
  };
  CHECK(refused_date("date,tmin").empty());
  CHECK(refused_date("year,month").empty());
  CHECK(refused_date("date,year").empty());
  CHECK(refused_date("year,tmin") == "w.csv:1: no column date; expected date, or year, month");
}
