// Points of a flow curve from CSV: what is read, and what is refused in one line (case).
#include "coldgrease/grease/measurement.hpp"

#include <doctest/doctest.h>

#include <string>
#include <string_view>

#include "near.hpp"

using namespace coldgrease;

namespace {

std::string refusal(std::string_view text) {
  try {
    read_points(source::memory("p.csv", std::string(text)), rate_kind::nominal);
  } catch (const file_error& e) {
    return e.what();
  }
  return "not refused";
}

bool begins(std::string_view text, std::string_view start) { return text.starts_with(start); }

}  // namespace

TEST_CASE("points: the same reading in other units, columns and forms (case)") {
  // 120 Pa s at 10 1/s is 1200 Pa; -4 F is -20 C.
  for (const std::string_view text :
       {"temperature [C],rate [1/s],stress [Pa]\n-20,10,1200\n", "temperature [F],rate [1/s],stress [kPa]\n-4,10,1.2\n",
        "temperature [K],rate [s-1],apparent viscosity [Pa s]\n253.15,10,120\n",
        "Apparent Viscosity [P],Rate [1/s],TEMPERATURE [C]\n1200,1e1,-20\n",
        "rate [1/s];temperature [C];apparent viscosity [cP]\n10;-20;120000\n",
        "# from the laboratory\nrate [1/s]\ttemperature [C]\tstress [bar]\n\n# the cold one\n10\t-20\t0.012\n",
        "\xef\xbb\xbftemperature [C],rate [1/s],stress [Pa]\r\n\"-20\", +10 ,1200\r\n"}) {
    INFO(text);
    const auto points = read_points(source::memory("p.csv", std::string(text)), rate_kind::true_rate);
    REQUIRE(points.size() == 1);
    CHECK(near(points[0].at.in_celsius(), -20, 1e-13));
    CHECK(near(in_per_second(points[0].rate), 10, 1e-15));
    CHECK(near(in_pascal(points[0].stress), 1200, 1e-13));
    CHECK(points[0].kind == rate_kind::true_rate);
  }
}

TEST_CASE("points: rows keep their order, repeated rows stay (case)") {
  const auto points =
      read_points(source::memory("p.csv", "temperature [C],rate [1/s],stress [Pa]\n-20,10,1\n20,1,2\n-20,10,1\n"),
                  rate_kind::nominal);
  REQUIRE(points.size() == 3);
  CHECK(points[1].at.in_celsius() == 20.0);
  CHECK(in_pascal(points[2].stress) == 1.0);
}

TEST_CASE("points: refusals name line, column, value and what is expected (case)") {
  const std::string head = "temperature [C],rate [1/s],stress [Pa]\n";
  CHECK(begins(refusal(""), "p.csv: is empty; expected"));
  CHECK(begins(refusal(head), "p.csv: holds no points; expected rows"));
  std::string endless = head;
  for (int row = 0; row <= 10'000; ++row) endless += "-20,10,1200\n";
  CHECK(begins(refusal(endless), "p.csv: holds more than 10000 points; expected"));
  CHECK(
      begins(refusal("temperature [C],rate [1/s],stress [Pa],speed\n"), "p.csv:1: unknown column \"speed\"; expected"));
  CHECK(begins(refusal("temperature [C],stress [Pa]\n"), "p.csv:1: no column rate; expected"));
  CHECK(begins(refusal("rate [1/s],stress [Pa]\n"), "p.csv:1: no column temperature; expected"));
  CHECK(begins(refusal("temperature [C],rate [1/s]\n"), "p.csv:1: no column apparent viscosity or stress; expected"));
  CHECK(begins(refusal("temperature [C],rate [1/s],stress [Pa],apparent viscosity [P]\n"),
               "p.csv:1: apparent viscosity and stress are both given; expected one of them"));
  CHECK(begins(refusal("rate [1/s],rate [1/s],stress [Pa],temperature [C]\n"),
               "p.csv:1: the column \"rate\" stands twice; expected"));
  CHECK(begins(refusal("temperature,rate [1/s],stress [Pa]\n1,1,1\n"),
               "p.csv:1: the column \"temperature\" has no unit; expected temperature [C]"));
  CHECK(begins(refusal("temperature [C],rate [1/s],stress [Pa s]\n1,1,1\n"),
               "p.csv:1: stress [Pa s]: \"1 Pa s\" has the "
               "unknown unit \"Pa s\"; expected a "
               "pressure in Pa"));
  CHECK(begins(refusal("temperature [C],rate [1/s],apparent viscosity [mm2/s]\n1,1,1\n"),
               "p.csv:1: apparent viscosity [mm2/s]: \"1 mm2/s\" has the unknown unit"));
  CHECK(begins(refusal(head + "-20,0,1200\n"), "p.csv:2: rate [1/s]: \"0 1/s\"; expected a value above 0"));
  CHECK(begins(refusal(head + "-20,-10,1200\n"), "p.csv:2: rate [1/s]: \"-10 1/s\"; expected a value above 0"));
  CHECK(begins(refusal(head + "-20,10,0\n"), "p.csv:2: stress [Pa]: \"0 Pa\"; expected a value above 0"));
  CHECK(
      begins(refusal(head + "-20,10,1200\n-20,NaN,1200\n"), "p.csv:3: rate [1/s]: \"NaN 1/s\" is not a finite number"));
  CHECK(begins(refusal(head + "-20,ten,1200\n"), "p.csv:2: rate [1/s]: \"ten 1/s\" does not begin with a number"));
  CHECK(begins(refusal(head + "-20,10,1e400\n"), "p.csv:2: stress [Pa]: \"1e400 Pa\" is not a finite number"));
  CHECK(begins(refusal(head + "-20,,1200\n"), "p.csv:2: rate [1/s]: is empty; expected"));
  CHECK(begins(refusal(head + "-20,10\n"), "p.csv:2: has 2 fields; expected 3"));
  CHECK(begins(refusal(head + "-20,1,5,1200\n"), "p.csv:2: has 4 fields; expected 3, as the header; decimal points"));
  CHECK(begins(refusal("temperature [C];rate [1/s];stress [Pa]\n-20;1,5;1200.5\n"),
               "p.csv:2: rate [1/s]: \"1,5\" has a decimal comma, other numbers of the file a point; expected one"));
  CHECK(begins(refusal(head + "-300,10,1200\n"), "p.csv:2: temperature [C]: \"-300 C\" is below absolute zero"));
  CHECK(begins(refusal("temperature [C],rate [1/s],apparent viscosity [Pa s]\n-20,1,1e200\n"),
               "p.csv:2: apparent viscosity [Pa s]: \"1e200 Pa s\" is no apparent viscosity"));
  CHECK(begins(refusal(head + "-20,10 1/s,1200\n"), "p.csv:2: rate [1/s]: "));
}
