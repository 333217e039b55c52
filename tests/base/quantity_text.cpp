// Quantities as text: what is written is read back (law), units are exact (published value), bad text is refused by
// name with what was expected (case from users).
#include "coldgrease/base/quantity_text.hpp"

#include <doctest/doctest.h>

#include <clocale>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "coldgrease/base/saybolt.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

template <class Quantity>
std::string refusal(std::string_view text, sign allowed = sign::any) {
  try {
    parse<Quantity>(text, "--option", allowed);
  } catch (const input_error& e) {
    const std::string message = e.what();
    CHECK(message.find("--option: ") == 0);
    CHECK(message.find('\n') == std::string::npos);
    CHECK(message.size() < 400);
    return message;
  }
  return {};
}
bool has(const std::string& text, std::string_view words) { return text.find(words) != std::string::npos; }

/// Every unit of a quantity, over many decades and both signs.
template <class Quantity>
void round_trips(const std::vector<std::string>& units) {
  std::mt19937_64 random(11);
  std::uniform_real_distribution<double> decade(-8.0, 8.0);
  for (const std::string& unit : units) {
    CAPTURE(unit);
    for (int i = 0; i < 500; ++i) {
      const double si = (i % 2 ? -1.0 : 1.0) * std::pow(10.0, decade(random));
      const auto quantity = detail::from_si<Quantity>(si);
      const std::string text = text_of(quantity, unit);
      CHECK(near(detail::to_si(parse<Quantity>(text, "law")), si, 1e-15));
      // Without the blank, and with more of it; "10 1/s" without it would be 101 of something.
      if (unit == "1/s") continue;
      std::string tight = text;
      tight.erase(tight.find(' '), 1);
      CHECK(detail::to_si(parse<Quantity>(tight, "law")) == detail::to_si(parse<Quantity>("  " + text + "\t", "law")));
    }
    CHECK(refusal<Quantity>("1 " + unit).empty());
    CHECK_FALSE(refusal<Quantity>("1 " + unit + "x").empty());
  }
}

}  // namespace

TEST_CASE("quantity text: what is written is read back, in every unit (law)" * doctest::test_suite("long")) {
  round_trips<length>({"mm", "cm", "m", "in", "ft"});
  round_trips<volume>({"cm3", "ml", "mL", "L", "l", "in3", "m3", "gal"});
  round_trips<duration>({"s", "min", "h", "days", "day"});
  round_trips<mass>({"kg", "g", "lb"});
  round_trips<pressure>({"Pa", "hPa", "mbar", "kPa", "MPa", "bar", "psi"});
  round_trips<volume_flow>({"cm3/min", "ml/min", "in3/min", "m3/s"});
  round_trips<shear_rate>({"1/s", "s-1"});
  round_trips<dynamic_viscosity>({"Pa s", "Pa.s", "mPa s", "P", "cP"});
  round_trips<kinematic_viscosity>({"mm2/s", "cSt", "m2/s"});
  round_trips<density>({"kg/m3", "g/cm3"});
  round_trips<temperature_step>({"K"});
}

TEST_CASE("quantity text: temperatures are read back on every scale (law)" * doctest::test_suite("long")) {
  std::mt19937_64 random(12);
  std::uniform_real_distribution<double> degrees(-270.0, 400.0);
  for (const char* unit : {"C", "F", "K", "\xc2\xb0\x43", "\xc2\xb0\x46"}) {
    CAPTURE(unit);
    for (int i = 0; i < 500; ++i) {
      const temperature t = celsius(degrees(random));
      // Absolute: the offset between the scales takes the last digits of a small number.
      CHECK(near(parse<temperature>(text_of(t, unit), "law").in_celsius(), t.in_celsius(), 0.0, 2e-13));
    }
  }
}

TEST_CASE("quantity text: numbers as people write them") {
  CHECK(in_metre(parse<length>("4 mm", "bore")) == 4e-3);
  CHECK(in_metre(parse<length>("4mm", "bore")) == 4e-3);
  CHECK(in_metre(parse<length>("+4 mm", "bore")) == 4e-3);
  CHECK(in_metre(parse<length>(".5 m", "run")) == 0.5);
  CHECK(in_metre(parse<length>("5. m", "run")) == 5.0);
  CHECK(in_metre(parse<length>("1e-3 m", "run")) == 1e-3);
  CHECK(in_metre(parse<length>("1E+1 m", "run")) == 10.0);
  CHECK(parse<temperature>("-12 C", "at").in_celsius() == -12.0);
  CHECK(near(parse<temperature>("10F", "at").in_celsius(), -110.0 / 9.0, 1e-15));
  CHECK(near(in_pascal(parse<pressure>("1740 psi", "available")), 1740 * 6894.757293168361, 1e-15));
  CHECK(near(in_cm3_per_min(parse<volume_flow>("1 cm3/min", "flow")), 1.0, 1e-15));
  CHECK(in_per_second(parse<shear_rate>("10 1/s", "rate")) == 10.0);
  CHECK(in_pascal_second(parse<dynamic_viscosity>("120 P", "linear")) == 12.0);
}

TEST_CASE("quantity text: lengths may be fractions") {
  CHECK(near(in_inch(parse<length>("1/4 in", "bore")), 0.25, 1e-15));
  CHECK(near(in_inch(parse<length>("1/4in", "bore")), 0.25, 1e-15));
  CHECK(near(in_inch(parse<length>("1 1/4 in", "bore")), 1.25, 1e-15));
  CHECK(near(in_inch(parse<length>("3/16 in", "bore")), 0.1875, 1e-15));
  CHECK(near(in_inch(parse<length>("-1 1/2 in", "bore")), -1.5, 1e-15));
  CHECK(near(in_foot(parse<length>("2 1/2 ft", "run")), 2.5, 1e-15));
  for (const char* bad : {"1/0 in", "1/ in", "/4 in", "1/-4 in", "1 1/0 in", "1/4", "1 1/4", "1/4/2 in", "1 2 in",
                          "1/inf in", "1/nan in", "inf/4 in", "1 inf/4 in"}) {
    CAPTURE(bad);
    CHECK_FALSE(refusal<length>(bad).empty());
  }
  // Pressures are not written so.
  CHECK_FALSE(refusal<pressure>("1/4 bar").empty());
}

TEST_CASE("quantity text: a bare number is refused with both likely readings (case from users)") {
  const std::string t = refusal<temperature>("-10");
  CHECK(has(t, "no unit"));
  CHECK(has(t, "14 F"));
  CHECK(has(t, "-23.3"));
  CHECK(has(t, "-10 C"));
  CHECK(has(t, "-10 F"));
  const std::string l = refusal<length>("4");
  CHECK(has(l, "no unit"));
  CHECK(has(l, "4 mm"));
  CHECK(has(l, "4 in"));
  CHECK(has(l, "0.1575 in"));
  CHECK(has(l, "101.6 mm"));
  CHECK(has(refusal<pressure>("250"), "3626 psi"));
  CHECK(has(refusal<volume_flow>("1"), "in3/min"));
  CHECK(has(refusal<kinematic_viscosity>("150"), "no unit"));
  CHECK(has(refusal<shear_rate>("10"), "no unit"));
}

TEST_CASE("quantity text: bad text is refused, naming what was expected") {
  CHECK(has(refusal<length>(""), "is empty"));
  CHECK(has(refusal<length>("   "), "is empty"));
  CHECK(has(refusal<length>("4,5 mm"), "decimal comma"));
  CHECK(has(refusal<temperature>("-12,5 C"), "decimal point"));
  CHECK(has(refusal<length>("4 km"), "unknown unit"));
  CHECK(has(refusal<length>("4 km"), "mm, cm, m, in, ft"));
  CHECK(has(refusal<length>("4 MM"), "unknown unit"));
  CHECK(has(refusal<temperature>("4 c"), "unknown unit"));
  CHECK(has(refusal<pressure>("4 PSI"), "unknown unit"));
  CHECK(has(refusal<pressure>("4 pa"), "unknown unit"));
  CHECK(has(refusal<pressure>("4 mm"), "unknown unit"));
  CHECK(has(refusal<length>("0x10 mm"), "unknown unit"));
  CHECK(has(refusal<length>("4 mm 5"), "unknown unit"));
  CHECK(has(refusal<length>("mm"), "does not begin with a number"));
  CHECK(has(refusal<length>("four mm"), "does not begin with a number"));
  CHECK(has(refusal<length>("+-4 mm"), "does not begin with a number"));
  CHECK(has(refusal<length>("--4 mm"), "does not begin with a number"));
  CHECK(has(refusal<length>("- 4 mm"), "does not begin with a number"));
  for (const char* bad : {"nan mm", "NaN mm", "inf mm", "-inf mm", "infinity m", "1e400 m", "-1e400 m",
                          "1e999999999999 m", "1e308 ft", "nan", "-nan(ind) m"}) {
    CAPTURE(bad);
    const std::string message = refusal<length>(bad);
    if (std::string(bad) == "1e308 ft") {
      CHECK(message.empty());  // finite in SI units as well
    } else {
      CHECK(has(message, "expected"));
    }
  }
  CHECK(has(refusal<duration>("1e308 days"), "not finite in SI units"));
  CHECK(has(refusal<pressure>("1e308 bar"), "not finite in SI units"));
}

TEST_CASE("quantity text: signs and absolute zero") {
  CHECK(has(refusal<length>("0 mm", sign::positive), "above 0"));
  CHECK(has(refusal<length>("-4 mm", sign::positive), "above 0"));
  CHECK(has(refusal<length>("-4 mm", sign::not_negative), "0 or above"));
  CHECK(refusal<length>("0 mm", sign::not_negative).empty());
  CHECK(refusal<length>("-4 mm").empty());
  CHECK(has(refusal<length>("1/inf in", sign::positive), "expected"));
  CHECK(has(refusal<temperature>("-273.16 C"), "below absolute zero"));
  CHECK(has(refusal<temperature>("-460 F"), "below absolute zero"));
  CHECK(has(refusal<temperature>("-0.01 K"), "below absolute zero"));
  CHECK(refusal<temperature>("-273.15 C").empty());
  CHECK(refusal<temperature>("0 K").empty());
  CHECK(refusal<temperature_step>("-300 K").empty());
}

TEST_CASE("quantity text: huge, binary and foreign text gives one short line") {
  using namespace std::string_literals;
  const std::vector<std::string> bad_texts{std::string(100000, '9'),
                                           std::string(100000, 'x'),
                                           "4 " + std::string(100000, 'm'),
                                           "4 mm\n5 mm",
                                           "4\0mm"s,
                                           "4 mm\0"s,
                                           "4 \xb5m",
                                           "\xff\xfe",
                                           "10 \xb0\x43",
                                           "4 " + std::string(200, '\x80'),
                                           std::string(200, '\xc3')};
  for (const std::string& bad : bad_texts) {
    CHECK_FALSE(refusal<length>(bad).empty());
  }
  // Latin-1 degree sign: the UTF-8 one is read.
  CHECK_FALSE(refusal<temperature>("10 \xb0\x43").empty());
  CHECK(parse<temperature>("10 \xc2\xb0\x43", "at").in_celsius() == 10.0);
}

TEST_CASE("quantity text: the decimal sign is a point in any locale") {
  const char* const german = std::setlocale(LC_ALL, "de_DE.UTF-8");
  if (german == nullptr) MESSAGE("locale de_DE.UTF-8 is not installed: tested in the one that is set");
  CHECK(near(in_metre(parse<length>("4.5 mm", "bore")), 4.5e-3, 1e-15));
  CHECK(has(refusal<length>("4,5 mm"), "decimal comma"));
  CHECK(text_of(millimetre(4.5), "mm") == "4.5 mm");
  CHECK(both_scales(celsius(-12.5)) == "-12.5 C (9.5 F)");
  std::setlocale(LC_ALL, "C");
}

TEST_CASE("quantity text: writing in a unit of another quantity is refused") {
  CHECK_THROWS_AS(text_of(metre(1), "bar"), input_error);
  CHECK_THROWS_AS(text_of(metre(1), ""), input_error);
  CHECK(text_of(millimetre(4), "mm") == "4 mm");
  CHECK(text_of(bar(250), "bar") == "250 bar");
  CHECK(text_of(cm3_per_min(1), "cm3/min") == "1 cm3/min");
}

TEST_CASE("quantity text: numbers without a unit") {
  CHECK(parse_number("287", "penetration") == 287.0);
  CHECK(parse_number(" 1e-3 ", "x") == 1e-3);
  CHECK(to_number("-0.5") == -0.5);
  for (const char* bad :
       {"", " ", "1,5", "1.5 mm", "1.5x", "nan", "inf", "1e400", "0x10", "1 2", "+-1", "--1", "one"}) {
    CAPTURE(bad);
    CHECK_FALSE(to_number(bad).has_value());
    CHECK_THROWS_AS(parse_number(bad, "x"), input_error);
  }
  try {
    parse_number("1,5", "--consistency");
    FAIL("read");
  } catch (const input_error& e) {
    CHECK(has(e.what(), "--consistency"));
    CHECK(has(e.what(), "decimal point"));
  }
}

TEST_CASE("Saybolt seconds: there and back (law), refused below the scale") {
  for (double v = 1.82; v < 5000.0; v *= 1.1) {
    for (const double t_f : {0.0, 100.0, 210.0}) {
      const double seconds = to_saybolt(mm2_per_s(v), fahrenheit(t_f));
      if (seconds < saybolt_least) continue;
      CHECK(near(in_mm2_per_s(from_saybolt(seconds, fahrenheit(t_f))), v, 1e-12));
    }
  }
  CHECK(near(in_mm2_per_s(parse<kinematic_viscosity>("700 SUS", "kv")), 151.08914751515542, 1e-13));
  CHECK(has(refusal<kinematic_viscosity>("31.9 SUS"), "D2161"));
  CHECK(refusal<kinematic_viscosity>("32 SUS").empty());
  CHECK_THROWS_AS(from_saybolt(31.9, fahrenheit(100)), input_error);
  CHECK_THROWS_AS(from_saybolt(std::nan(""), fahrenheit(100)), input_error);
  // Far outside the standard it is refused, or answered by the formula, but nothing else is thrown.
  for (const double t_f : {-459.0, 1000.0, 2000.0, 1e5}) {
    try {
      from_saybolt(700.0, fahrenheit(t_f));
      from_saybolt(32.0, fahrenheit(t_f));
    } catch (const input_error&) {
      CHECK(t_f > 1000.0);
    }
  }
}
