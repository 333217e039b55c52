// Makes the invented weather of tables/demo: 30 years of daily minima and maxima at a station that does not exist.
//
//   coldgrease_demo_weather plain  > tables/demo/northern_plain.csv
//   coldgrease_demo_weather north  > tables/demo/far_north.csv
//
// Daily mean = yearly cosine + first-order autoregressive noise, stronger in winter; half the daily range is noise
// about 5 K. The four numbers of a station are set so that 30 years of it come near published heating design values
// ("Heating and Wind Design Conditions" tables of a handbook's companion disc): 99.6 % and 99 % of hours, mean and
// standard deviation of annual minima. The seed is fixed, std::mt19937_64 is the same everywhere, normal deviates are
// made here.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <numbers>
#include <random>
#include <string_view>

#include "coldgrease/base/date.hpp"

namespace {

struct station {
  std::string_view name;
  std::string_view like;
  double mean, amplitude;             // of the daily mean over the year [K]
  double winter_noise, summer_noise;  // standard deviation [K]
  std::uint64_t seed;
};

constexpr station stations[] = {
    {"plain", "design values -26.5, -23.7, -30.2, 3.0 C (Minneapolis-St. Paul)", 6.9, 18.4, 7.4, 3.6, 20240117},
    {"north", "design values -38.9, -36.8, -44.6, 2.4 C (Thompson, Manitoba)", -3.9, 22.4, 6.3, 4.2, 20240118}};

/// Box-Muller on exact uniforms, so that the file does not depend on a standard library's distributions.
class normal {
 public:
  explicit normal(std::uint64_t seed) : source_(seed) {}
  double operator()() {
    const double u = uniform(), v = uniform();
    return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
  }

 private:
  double uniform() { return (static_cast<double>(source_() >> 11U) + 0.5) * 0x1p-53; }
  std::mt19937_64 source_;
};

void write(const station& s) {
  constexpr double memory = 0.75;  // of the noise, from day to day
  constexpr double half_range = 5.0, half_range_noise = 1.5, least_half_range = 1.0;
  constexpr int coldest_day = 17;  // of the year
  std::printf("# INVENTED weather of a station that does not exist, made by tools/demo_weather.cpp, seed %llu\n",
              static_cast<unsigned long long>(s.seed));
  std::printf("# shaped after published %.*s\n", static_cast<int>(s.like.size()), s.like.data());
  std::printf("date,tmin [C],tmax [C]\n");
  normal next(s.seed);
  double noise = 0.0;
  const int first = coldgrease::day_number({1995, 1, 1}), last = coldgrease::day_number({2024, 12, 31});
  for (int day = first; day <= last; ++day) {
    const coldgrease::date d = coldgrease::date_of(day);
    const double phase = 2.0 * std::numbers::pi * (day - coldgrease::day_number({d.year, 1, 1}) - coldest_day) / 365.25;
    const double winter = 0.5 + 0.5 * std::cos(phase);
    const double spread = s.summer_noise + winter * (s.winter_noise - s.summer_noise);
    noise = memory * noise + std::sqrt(1.0 - memory * memory) * next();
    const double mean = s.mean - s.amplitude * std::cos(phase) + spread * noise;
    const double half = std::max(least_half_range, half_range + half_range_noise * next());
    std::printf("%s,%.1f,%.1f\n", coldgrease::text_of(d).c_str(), mean - half, mean + half);
  }
}

}  // namespace

int main(int count, char** words) {
  for (const station& s : stations) {
    if (count == 2 && s.name == words[1]) {
      write(s);
      return 0;
    }
  }
  std::fprintf(stderr, "usage: coldgrease_demo_weather plain | north\n");
  return 2;
}
