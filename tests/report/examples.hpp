// Answers for the tests of this stage, plain and extreme.
#pragma once

#include <cmath>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

#include "coldgrease/plan/pick.hpp"
#include "coldgrease/report/text.hpp"

namespace examples {

using namespace coldgrease;

/// Columns of the widest line; UTF-8 characters count as one.
inline std::size_t widest(std::string_view text) {
  std::size_t most = 0, n = 0;
  for (const char c : text) {
    n = c == '\n' ? 0 : n + ((static_cast<unsigned char>(c) & 0xc0U) != 0x80U);
    most = std::max(most, n);
  }
  return most;
}

/// Names that files hold: long, without a blank, in other scripts, with quotes.
inline std::vector<std::string> awkward_names() {
  std::string letters;
  for (int i = 0; i < 100; ++i) letters += "\xc3\xa9";
  return {"plain",
          std::string(200, 'x'),
          std::string(100, 'a') + " " + std::string(99, 'b'),
          letters + letters,
          "\xe5\x8c\x97\xe6\xb5\xb7\xe9\x81\x93 \xf0\x9f\x9a\x9b \"quoted\" \\ <b>&amp;</b>",
          ""};
}

inline grease mineral(std::string name, std::string nlgi) {
  return estimate({.name = std::move(name), .nlgi = std::move(nlgi), .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)});
}

inline line one_line(std::string point, double metres, double bore_mm) {
  return {.point = std::move(point),
          .segments = {{.length = metre(metres), .bore = millimetre(bore_mm)}},
          .outlet = bar(15),
          .dose = cm3(0.2),
          .in = second(10)};
}

/// Fifteen years of a cosine with its coldest day in mid January.
inline daily_series weather(std::string station, double mean, double amplitude) {
  std::vector<daily_extremes> days;
  const int first = day_number({2001, 1, 1}), last = day_number({2015, 12, 31});
  for (int day = first; day <= last; ++day) {
    const double t =
        mean - amplitude * std::cos(2.0 * std::numbers::pi * (day - first - 15) / 365.25) - (day % 7 == 0 ? 5.0 : 0.0);
    days.push_back({day, t - 5.0, t + 5.0});
  }
  return make_daily_series(std::move(station), std::move(days));
}

/// A pick in which every name is `name`.
struct named_pick {
  std::vector<installation> installations;
  std::vector<grease> stock;
  pick_answer answer;
};
inline named_pick pick_named(const std::string& name, double mean, double amplitude,
                             std::span<const published_rule> rules) {
  named_pick p;
  p.installations = {
      {.name = name, .available = bar(250), .lines = {one_line(name, 2.0, 3.9), one_line(name + "2", 6.0, 3.9)}}};
  p.stock = {mineral(name, "2"), mineral(name + " 1", "1"), mineral(name + " 00", "00"), mineral(name + " 4", "4")};
  p.answer = pick(year_of(weather(name, mean, amplitude)), p.installations, p.stock, {}, rules);
  p.answer.about = name;
  for (route_pick& r : p.answer.routes) {
    r.route = name;
    r.region = name;
  }
  return p;
}

}  // namespace examples
