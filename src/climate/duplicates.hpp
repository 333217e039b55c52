// What is done where a day, an hour or a report stands twice.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0::detail {

inline bool agree(const daily_extremes& a, const daily_extremes& b) { return a.low == b.low && a.high == b.high; }
inline bool colder(const daily_extremes& a, const daily_extremes& b) {
  return a.low != b.low ? a.low < b.low : a.high < b.high;
}
std::string words_of(const daily_extremes& d);

/// Of hours and reports: whatever has a temperature.
template <class Value>
bool agree(const Value& a, const Value& b) {
  return a.celsius == b.celsius;
}
template <class Value>
bool colder(const Value& a, const Value& b) {
  return a.celsius < b.celsius;
}
std::string words_of(double celsius);
template <class Value>
std::string words_of(const Value& v) {
  return words_of(v.celsius);
}

/// How many were left out, and the name of the first.
struct left_out {
  int count = 0;
  std::string first{};
};

/// Leaves each time once. @param values  by time, equal times in the order of the file  @param name_of  of a time
/// @throws input_error where two disagree and no rule says which counts
template <class Value, class Time, class NameOf>
left_out take_once(std::vector<Value>& values, Time Value::*time, duplicate_rule rule, NameOf name_of) {
  left_out out;
  std::size_t kept = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (i == 0 || values[i].*time != values[kept - 1].*time) {
      values[kept++] = values[i];
      continue;
    }
    Value& before = values[kept - 1];
    if (out.count++ == 0) out.first = name_of(before);
    if (agree(before, values[i])) continue;
    if (rule == duplicate_rule::refused)
      throw input_error(name_of(before), "stands twice, with " + words_of(before) + " and " + words_of(values[i]),
                        "one value for it, or a rule which counts (duplicates: first, coldest)");
    if (rule == duplicate_rule::coldest && colder(values[i], before)) before = values[i];
  }
  values.resize(kept);
  return out;
}

}  // namespace coldgrease::inline v0::detail
