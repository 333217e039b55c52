// Oils of which something is not said, held against what they may be: the law of a test and the figures of a bench.
#pragma once

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/line/limits.hpp"
#include "line/random_lines.hpp"

namespace coldgrease {

/// A description, and the same with what it leaves out stated at a share of its band, 0 to 1.
struct unstated_oil {
  std::string name;
  evidence less;
  std::function<evidence(double)> stated;
};

/// A pour point 5 K above the coldest air of hold_against_band: wax stiffens there, and all is known still.
inline constexpr double coldest_c = -25.0, pour_c = coldest_c + 5.0;

inline std::vector<unstated_oil> unstated_oils() {
  std::vector<unstated_oil> all;
  // KV40 with a median of 150 and a 95 % quantile of 460 mm2/s, of the index that is usual for its type.
  const auto add_unknown = [&](std::string name, const evidence& less, double index) {
    all.push_back({"no viscosity, " + std::move(name), less, [less, index](double share) {
                     const double z = (share < 0.5 ? -1.0 : 1.0) * normal_quantile(std::max(share, 1.0 - share));
                     evidence stated = less;
                     stated.kv40 = mm2_per_s(150.0 * std::exp(z * std::log(460.0 / 150.0) / 1.645));
                     stated.vi = index;
                     return stated;
                   }});
  };
  for (const char* label : {"2", "0", "000"}) add_unknown(std::string("NLGI ") + label, {.nlgi = label}, 95.0);
  add_unknown("pour point", {.nlgi = "1", .pour = celsius(pour_c)}, 95.0);
  const struct {
    oil_type type;
    double index;  // middle of what is usual, from memory
  } middles[]{
      {oil_type::naphthenic, 30.0}, {oil_type::pao, 137.5}, {oil_type::ester, 125.0}, {oil_type::vegetable, 185.0}};
  for (const auto& m : middles) {
    const std::string name(name_of(m.type));
    add_unknown(name, {.nlgi = "1", .oil = m.type}, m.index);
    add_unknown(name + ", pour point", {.nlgi = "1", .pour = celsius(pour_c), .oil = m.type}, m.index);
  }
  const struct {
    oil_type type;
    double low, high;  // index, from memory
  } bands[]{{oil_type::mineral, 80, 110},
            {oil_type::naphthenic, 20, 60},
            {oil_type::pao, 125, 150},
            {oil_type::ester, 90, 160},
            {oil_type::vegetable, 150, 220}};
  for (const auto& band : bands) {
    const auto add = [&](std::string name, const evidence& less) {
      all.push_back({std::string(name_of(band.type)) + ", " + name, less, [less, band](double share) {
                       evidence stated = less;
                       stated.vi = band.low + share * (band.high - band.low);
                       return stated;
                     }});
    };
    add("KV40 alone", {.nlgi = "1", .kv40 = mm2_per_s(150), .oil = band.type});
    add("KV100 alone", {.nlgi = "1", .kv100 = mm2_per_s(14.7), .oil = band.type});
  }
  return all;
}

struct held_against_band {
  int above_half = 0;             // installations whose chance is above one half
  double most_over_median = 0.0;  // of the chance over the median of the draws, among those
};

/// The chances of random installations, each beside the median of 50 draws at equal shares of the band.
inline held_against_band hold_against_band(const unstated_oil& u, unsigned seed, int installations) {
  constexpr int draws = 50;
  line_sampler s(seed);
  held_against_band held{.above_half = 0, .most_over_median = -1.0};
  for (int n = 0; n < installations; ++n) {
    const installation i = s.an_installation();
    const temperature at = celsius(s.between(coldest_c, 15));
    const auto chance = [&](const evidence& e) { return *outcome_of(i, estimate(e), at, usual_confidence).chance; };
    const double without = chance(u.less);
    if (!(without > 0.5)) continue;
    ++held.above_half;
    std::vector<double> stated;
    for (int d = 0; d < draws; ++d) stated.push_back(chance(u.stated((d + 0.5) / draws)));
    std::ranges::sort(stated);
    held.most_over_median =
        std::max(held.most_over_median, without - 0.5 * (stated[draws / 2 - 1] + stated[draws / 2]));
  }
  return held;
}

}  // namespace coldgrease
