// A plain calendar date (proleptic Gregorian), without clock or time zone.
#pragma once

#include <compare>
#include <optional>
#include <string>
#include <string_view>

namespace coldgrease::inline v0 {

struct date {
  int year = 1970;
  int month = 1;  // 1 to 12
  int day = 1;    // 1 to 31
  friend constexpr auto operator<=>(const date&, const date&) = default;
};

/// Days since 1970-01-01, negative before.
int day_number(const date& d);
/// Inverse of day_number.
date date_of(int day_number);
/// The date if it exists in the calendar (no 30 February), nothing otherwise.
std::optional<date> valid_date(int year, int month, int day);
/// Reads `2015-01-26`, `2015/01/26` or `20150126`; nothing if it is none of these or no such day exists.
std::optional<date> parse_date(std::string_view text);
/// `2015-01-26`.
std::string text_of(const date& d);
/// "January", of 1 to 12.
std::string_view name_of_month(int month);
/// Days of a month, 28 to 31.
int days_in_month(int year, int month);

}  // namespace coldgrease::inline v0
