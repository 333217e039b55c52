// Random lines, installations, greases and conditions, for laws.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <string>

#include "coldgrease/line/installation.hpp"

namespace coldgrease {

class line_sampler {
 public:
  explicit line_sampler(unsigned seed) : random_(seed) {}
  double between(double low, double high) { return low + (high - low) * unit_(random_); }
  double decades(double low, double high) { return low * std::pow(high / low, unit_(random_)); }
  std::size_t one_of(std::size_t count) {
    return std::min(count - 1, static_cast<std::size_t>(unit_(random_) * double(count)));
  }

  line a_line() {
    line l{.point = "a point", .outlet = bar(between(0, 40)), .flow = cm3_per_min(decades(0.05, 20))};
    for (std::size_t i = 0, n = 1 + one_of(3); i < n; ++i)
      l.segments.push_back({.length = metre(decades(0.3, 20)),
                            .bore = millimetre(decades(2, 12)),
                            .offset = kelvins(one_of(2) ? between(0, 15) : 0.0)});
    return l;
  }
  installation an_installation() {
    installation i{.name = "random", .available = bar(between(60, 350)), .interval = hour(1)};
    for (std::size_t l = 0, n = 1 + one_of(3); l < n; ++l) {
      i.lines.push_back(a_line());
      i.lines.back().point = std::to_string(l);
    }
    return i;
  }
  evidence a_description() {
    static constexpr std::array labels{"000", "00", "0", "1", "2", "3", "1/2", "00/0"};
    static constexpr std::array<std::array<double, 2>, 7> oils{
        {{32, 5.4}, {46, 6.8}, {100, 11.4}, {150, 14.7}, {220, 19.0}, {460, 30.4}, {48, 8.0}}};
    const auto& oil = oils[one_of(oils.size())];
    evidence e{.nlgi = labels[one_of(labels.size())], .kv40 = mm2_per_s(oil[0]), .kv100 = mm2_per_s(oil[1])};
    if (one_of(2)) e.pour = celsius(between(-45, -5));
    return e;
  }
  grease an_estimate() { return estimate(a_description()); }
  flow_curve a_curve() {
    return {pascal(decades(1, 5000)), decades(0.1, 500), between(0.2, 1.0), pascal_second(decades(0.01, 100))};
  }
  conditions some(double t_c) {
    static constexpr std::array rests{0.0, 0.5, 12.0, 100.0};
    return {.at = celsius(t_c),
            .available = bar(between(50, 400)),
            .confidence = between(0.55, 0.99),
            .rest = hour(rests[one_of(rests.size())])};
  }

 private:
  std::mt19937_64 random_;
  std::uniform_real_distribution<double> unit_{0.0, 1.0};
};

}  // namespace coldgrease
