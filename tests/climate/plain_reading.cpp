// Laws: what a reader takes the plain way, it takes as the careful way does, in every text of the fuzz corpus.
#include <doctest/doctest.h>

#include <bit>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "base/decimal.hpp"
#include "base/local_dates.hpp"
#include "climate/reader.hpp"

using namespace coldgrease;

namespace {

/// Every piece of every text of the corpus that could be a field.
template <class Take>
void for_each_field(Take take) {
  for (const auto& file : std::filesystem::recursive_directory_iterator(COLDGREASE_TEST_DATA "/fuzz/corpus")) {
    if (!file.is_regular_file()) continue;
    std::ifstream in(file.path(), std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    constexpr std::string_view separators = ",;|\t\r\n\"[]{}: ";
    for (std::size_t begin = 0; begin <= text.size();) {
      const std::size_t end = std::min(text.find_first_of(separators, begin), text.size());
      const std::string_view field = std::string_view(text).substr(begin, end - begin);
      take(field);
      take(std::string(" ") + std::string(field));
      begin = end + 1;
    }
  }
}

}  // namespace

TEST_CASE("law: a whole number is read plainly as it is read with care") {
  std::size_t numbers = 0;
  const auto check = [&](std::string_view field) {
    const auto plain = detail::whole_number(field);
    numbers += plain.has_value();
    CHECK_MESSAGE(plain == detail::any_whole_number(field), field);
  };
  for_each_field(check);
  CHECK(numbers > 100);
  for (const char* field : {"", " ", "-", "--1", "+1", "-0", "007", "1 ", "1.", "999999999", "-999999999", "1234567890",
                            "2147483647", "2147483648", "-2147483648", "-2147483649", "00000000000001", "1e3", "\t1"})
    check(field);
}

TEST_CASE("law: a decimal is read plainly as it is read with care") {
  std::size_t plain = 0;
  for_each_field([&](std::string_view field) {
    double value = 0.0, careful = 0.0;
    if (!detail::plain_decimal(field, value)) return;
    ++plain;
    const auto [end, error] = detail::read_decimal(field.data(), field.data() + field.size(), careful);
    CHECK_MESSAGE((error == std::errc{} && end == field.data() + field.size()), field);
    CHECK_MESSAGE(std::bit_cast<std::uint64_t>(value) == std::bit_cast<std::uint64_t>(careful), field);
  });
  CHECK(plain > 100);
}

TEST_CASE("law: a date is read plainly as it is read with care") {
  std::size_t dates = 0;
  const auto check = [&](std::string_view field) {
    date plain;
    if (!detail::plain_date(field, plain)) return;
    ++dates;
    const auto careful = parse_date(field);
    REQUIRE_MESSAGE(careful, field);
    CHECK_MESSAGE(plain == *careful, field);
  };
  for_each_field(check);
  CHECK(dates > 20);
  // Every day of a leap year and of a common one, and every text that has one other character in it.
  dates = 0;
  for (int n = day_number({2023, 1, 1}); n < day_number({2025, 1, 1}); ++n) check(text_of(date_of(n)));
  CHECK(dates == 24 * 28);
  dates = 0;
  for (std::size_t at = 0; at < 10; ++at) {
    for (int c = 0; c < 256; ++c) {
      std::string text = "2015-01-26";
      text[at] = static_cast<char>(c);
      check(text);
    }
  }
  // Ten digits each for the year's four, "01" and "11", "01" to "09", "06" to "26", "20" to "28", and both marks.
  CHECK(dates == 40 + 2 + 9 + 3 + 9 + 2);
}
