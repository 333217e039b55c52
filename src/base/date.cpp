#include "coldgrease/base/date.hpp"

#include <array>

#include "base/format.hpp"

#include <chrono>

#include "base/decimal.hpp"

namespace coldgrease::inline v0 {

namespace {

std::chrono::year_month_day calendar(const date& d) {
  return std::chrono::year{d.year} / static_cast<int>(d.month) / static_cast<int>(d.day);
}

/// A few digits; below zero for anything else.
int digits(std::string_view text) {
  int value = 0;
  for (const char c : text) {
    if (!detail::is_digit(c)) return -1;
    value = 10 * value + (c - '0');
  }
  return value;
}

}  // namespace

int day_number(const date& d) {
  return static_cast<int>(std::chrono::sys_days{calendar(d)}.time_since_epoch().count());
}

date date_of(int day_number) {
  const std::chrono::year_month_day ymd{std::chrono::sys_days{std::chrono::days{day_number}}};
  return {static_cast<int>(ymd.year()), static_cast<int>(static_cast<unsigned>(ymd.month())),
          static_cast<int>(static_cast<unsigned>(ymd.day()))};
}

std::optional<date> valid_date(int year, int month, int day) {
  const date d{year, month, day};
  if (year < 1 || year > 9999 || month < 1 || month > 12 || day < 1 || !calendar(d).ok()) return std::nullopt;
  return d;
}

std::optional<date> parse_date(std::string_view text) {
  int year = -1, month = -1, day = -1;
  if (text.size() == 10 && (text[4] == '-' || text[4] == '/') && text[7] == text[4]) {
    year = digits(text.substr(0, 4));
    month = digits(text.substr(5, 2));
    day = digits(text.substr(8, 2));
  } else if (text.size() == 8) {
    year = digits(text.substr(0, 4));
    month = digits(text.substr(4, 2));
    day = digits(text.substr(6, 2));
  }
  return valid_date(year, month, day);
}

std::string text_of(const date& d) { return fmt::format("{:04}-{:02}-{:02}", d.year, d.month, d.day); }

int days_in_month(int year, int month) {
  const date first_of_next = month == 12 ? date{year + 1, 1, 1} : date{year, month + 1, 1};
  return day_number(first_of_next) - day_number({year, month, 1});
}

std::string_view name_of_month(int month) {
  static constexpr std::array<std::string_view, 12> names{"January",   "February", "March",    "April",
                                                          "May",       "June",     "July",     "August",
                                                          "September", "October",  "November", "December"};
  return names[static_cast<std::size_t>(month - 1)];
}

}  // namespace coldgrease::inline v0
