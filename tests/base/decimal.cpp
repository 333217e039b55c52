// Decimals in text: read as the standard library reads them (law).
#include "base/decimal.hpp"

#include <doctest/doctest.h>

#include <bit>
#include <charconv>
#include <cstdint>
#include <limits>
#include <random>
#include <string>
#include <string_view>
#include <system_error>

using namespace coldgrease;

namespace {

/// Bits of the value, error, end: the same as of std::from_chars, and the value untouched by either where it fails.
void check_as_standard(const std::string& text) {
  CAPTURE(text);
  const char *const first = text.data(), *const last = first + text.size();
  double value = 7.0, standard_value = 7.0;
  const auto [end, error] = detail::read_decimal(first, last, value);
  const auto [standard_end, standard_error] = std::from_chars(first, last, standard_value);
  CHECK(error == standard_error);
  CHECK(end - first == standard_end - first);
  CHECK(std::bit_cast<std::uint64_t>(value) == std::bit_cast<std::uint64_t>(standard_value));
  // What is taken for plain is so as a whole.
  double plain = 7.0;
  const bool is_plain = detail::plain_decimal(text, plain);
  CHECK((!is_plain || (error == std::errc{} && end == last)));
  CHECK(std::bit_cast<std::uint64_t>(plain) == std::bit_cast<std::uint64_t>(is_plain ? value : 7.0));
}
/// With both signs, an exponent of any case, and something behind it.
void check_variants(const std::string& text) {
  for (const char* sign : {"", "-"}) {
    for (const char* behind : {"", " C", ",5", "e", "E-", "e+x", "1/2", "x10"}) check_as_standard(sign + text + behind);
  }
}

const std::string zeros(800, '0'), nines(800, '9');

/// All its digits.
std::string exact(double value) {
  std::string text(1200, ' ');
  const auto [end, error] =
      std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed, 1074);
  REQUIRE(error == std::errc{});
  text.resize(static_cast<std::size_t>(end - text.data()));
  return text;
}

/// Of a decimal number without an exponent, one digit more.
std::string half(std::string text) {
  int carry = 0;
  text += '0';
  for (char& c : text) {
    if (c == '.') continue;
    const int digit = carry * 10 + (c - '0');
    c = static_cast<char>('0' + digit / 2);
    carry = digit % 2;
  }
  return text;
}

}  // namespace

TEST_CASE("law: a decimal is read as by std::from_chars, to the bit, the error and the end") {
  for (const char* text : {"",
                           " ",
                           "\t",
                           " 1",
                           "+1",
                           "+-1",
                           "--1",
                           "-",
                           ".",
                           "-.",
                           "-.e1",
                           "e1",
                           ".5",
                           "5.",
                           "5.e2",
                           ".5e-1",
                           "1e",
                           "1e+",
                           "1e-",
                           "1ee1",
                           "1e+-1",
                           "1e5.5",
                           "1E5",
                           "0x10",
                           "0x1p3",
                           "1p3",
                           "1d3",
                           "1,5",
                           "1'000",
                           "1_000",
                           "00012",
                           "-0",
                           "0e400",
                           "0.000e-400",
                           "0e99999999999999999999",
                           "inf",
                           "INF",
                           "iNf",
                           "infinity",
                           "Infinity",
                           "infinit",
                           "in",
                           "nan",
                           "NaN",
                           "nan(1)",
                           "nan(a_1)",
                           "nan(",
                           "nan(-)",
                           "na",
                           "1e400",
                           "1e-400",
                           "1e308",
                           "1e309",
                           "1e-323",
                           "1e-324",
                           "4e-324",
                           "2.4703282292062327e-324",
                           "2.4703282292062328e-324",
                           "2.2250738585072011e-308",
                           "2.2250738585072012e-308",
                           "2.2250738585072014e-308",
                           "1.7976931348623157e308",
                           "1.7976931348623158e308",
                           "1.7976931348623159e308",
                           "179769313486231580793e289",
                           "9007199254740993",
                           "9007199254740992.5",
                           "9007199254740993.0000000000000000000000000000000000001",
                           "1e99999999999999999999",
                           "1e-99999999999999999999",
                           "123456789012345678901234567890",
                           "0.1",
                           "8.5e-5",
                           "1e22",
                           "1e23",
                           "7.2057594037927933e16"})
    check_variants(text);
  check_as_standard(std::string("1\0", 2));
}

TEST_CASE("law: a long decimal is read as by std::from_chars") {
  for (const std::string& text :
       {zeros, nines, zeros + "1", "1" + zeros, "0." + zeros + "1", "0." + zeros + "1e801", "1" + zeros + "e-800",
        nines + "." + nines, nines + "e-800", "0." + nines, "1." + zeros + "1", "0." + zeros, "." + nines + "e-322"})
    check_variants(text);
  // Halfway between two doubles, and a hair beside it: among the smallest of all, and where doubles are whole numbers.
  std::mt19937_64 random(1074);
  const auto check_around = [](const std::string& text) {
    check_variants(text);
    check_variants(text + zeros + "1");
    check_variants(text.substr(0, text.size() - 1) + "4" + nines);  // the last digit is a 5
  };
  for (int i = 0; i < 50; ++i) {
    const auto odd = static_cast<double>(random() % 10'000U * 2U + 1U);
    check_around(half(exact(odd * std::numeric_limits<double>::denorm_min())));
    constexpr std::uint64_t least = 1ULL << 52U;  // from here on doubles are 1 apart, to twice that
    check_around(std::to_string(least + random() % least) + ".5");
  }
}

TEST_CASE("law: random decimals are read as by std::from_chars") {
  std::mt19937_64 random(308);
  const auto up_to = [&](std::size_t most) { return static_cast<std::size_t>(random() % (most + 1)); };
  const auto digits = [&](std::size_t most) {
    std::string text;
    for (std::size_t n = up_to(most); n > 0; --n) text += static_cast<char>('0' + up_to(9));
    return text;
  };
  for (int i = 0; i < 5000; ++i) {
    std::string text = (i % 2 ? "-" : "") + digits(i % 3 ? 4 : 25);
    if (up_to(3) > 0) text += "." + digits(i % 5 ? 3 : 25);
    if (up_to(1) > 0) text += (up_to(1) > 0 ? "e" : "E") + std::string(up_to(1) > 0 ? "-" : "") + digits(3);
    check_as_standard(text);
  }
  // Every bit pattern, as the shortest text that is read back to it.
  for (int i = 0; i < 5000; ++i) {
    char text[64];
    const auto [end, error] = std::to_chars(text, text + sizeof text, std::bit_cast<double>(random()));
    REQUIRE(error == std::errc{});
    check_as_standard(std::string(text, end));
  }
  // Letters that numbers are made of, in any order.
  constexpr std::string_view letters = "0159.-+eEinfaxp( ";
  for (int i = 0; i < 5000; ++i) {
    std::string text;
    for (std::size_t n = up_to(9); n > 0; --n) text += letters[up_to(letters.size() - 1)];
    check_as_standard(text);
  }
}

TEST_CASE("law: digits with a minus and a point are plain, all else is not") {
  for (const char* text :
       {"0", "-0", "-0.0", "7", "007", "-12.5", "12.50", "0.1", "123456789012345", "1.2345678901234"}) {
    double value = 0.0;
    CHECK(detail::plain_decimal(text, value));
    check_as_standard(text);
  }
  for (const char* text :
       {"", "-", ".", "5.", ".5", "--5", "+5", "5 ", " 5", "1e3", "1,5", "5.5.", "inf", "nan", "1234567890123456"}) {
    double value = 7.0;
    CHECK(!detail::plain_decimal(text, value));
    CHECK(value == 7.0);
  }
}
