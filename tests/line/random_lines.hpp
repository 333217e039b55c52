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
  /// Of any type, with everything that a default could stand for stated, and its mains joined.
  installation an_installation() {
    static constexpr std::array types{system_type::multi_outlet, system_type::progressive, system_type::single_line};
    static constexpr std::array feeds{feed_kind::stirred, feed_kind::stirred, feed_kind::follower_plate,
                                      feed_kind::gravity};
    installation i{.name = "random",
                   .type = types[one_of(types.size())],
                   .available = bar(between(60, 350)),
                   .feed = inlet{.kind = feeds[one_of(feeds.size())]},
                   .rest = a_rest(),
                   .interval = hour(1)};
    if (i.type == system_type::progressive) i.divider_loss = bar(between(1, 8));
    if (i.type == system_type::single_line) i.reset = bar(decades(3, 60));
    if (i.type == system_type::single_line && one_of(2)) i.pump_output = cm3_per_min(decades(1, 50));
    const bool shares = i.type != system_type::multi_outlet && one_of(4);
    const segment main = with_wall(
        {.length = metre(decades(0.3, 10)), .bore = millimetre(decades(4, 12)), .offset = kelvins(5), .main = "main"});
    const volume_flow of_pump = cm3_per_min(decades(0.05, 20));
    for (std::size_t l = 0, n = 1 + one_of(3); l < n; ++l) {
      i.lines.push_back(a_line());
      line& own = i.lines.back();
      own.point = std::to_string(l);
      own.stages = static_cast<int>(1 + one_of(3));
      for (segment& s : own.segments) s = with_wall(s);
      if (shares) own.segments.insert(own.segments.begin(), main);
      // A dose in a time, in a progressive system by the flow of its one pump.
      const volume_flow flow = i.type == system_type::progressive ? of_pump : *own.flow;
      own.dose = cm3(decades(0.02, 2));
      own.in = second(in_m3(*own.dose) / in_m3_per_s(flow));
      own.flow.reset();
    }
    join_mains(i);
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
  /// A description of which one viscosity of the oil, or both, may be left out.
  evidence a_partial_description() {
    evidence e = a_description();
    const std::size_t left_out = one_of(4);
    if (left_out == 0 || left_out == 1) e.kv40.reset();
    if (left_out == 0 || left_out == 2) e.kv100.reset();
    return e;
  }
  /// A description that points of a flow curve belong to: of the same class but of another oil, batch and laboratory.
  evidence a_measured_description() {
    evidence e = a_partial_description(), other = a_description();
    other.nlgi = e.nlgi;
    const grease truth = estimate(other);
    for (std::size_t i = 0, n = 1 + one_of(3); i < n; ++i) {
      const temperature at = celsius(between(-35, 25));
      const shear_rate rate = per_second(decades(0.5, 50));
      if (!truth.knows(at)) continue;
      e.points.push_back({at, rate,
                          pascal(detail::wall_stress(truth.kernel(), at.in_celsius(), in_per_second(rate)).stress *
                                 decades(0.4, 2.5))});
    }
    return e;
  }
  grease an_estimate() { return estimate(a_description()); }
  flow_curve a_curve() {
    return {pascal(decades(1, 5000)), decades(0.1, 500), between(0.2, 1.0), pascal_second(decades(0.01, 100))};
  }
  conditions some(double t_c) {
    return {
        .at = celsius(t_c), .available = bar(between(50, 400)), .confidence = between(0.55, 0.99), .rest = a_rest()};
  }

 private:
  duration a_rest() {
    static constexpr std::array rests{0.0, 0.5, 12.0, 100.0};
    return hour(rests[one_of(rests.size())]);
  }
  segment with_wall(segment s) {
    static constexpr std::array materials{tube_material::polyamide, tube_material::steel, tube_material::copper};
    s.wall = millimetre(between(0.7, 2));
    s.material = materials[one_of(materials.size())];
    return s;
  }
  std::mt19937_64 random_;
  std::uniform_real_distribution<double> unit_{0.0, 1.0};
};

}  // namespace coldgrease
