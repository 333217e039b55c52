// A fleet of 1,000 routes, 12 lines, 12 greases and a 30-year file each, picked and planned on one core, reading
// included; beside it the obvious general-purpose way for one route: all hours sorted for their quantiles, the physics
// hour by hour (on a sample, scaled). Prints seconds and the ratio; never passes or fails.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <random>

#include "coldgrease/climate/statistics.hpp"
#include "coldgrease/plan/plan.hpp"

using namespace coldgrease;

namespace {

constexpr int routes = 1000, files = 10, lines = 12, greases = 12, first_year = 1991, last_year = 2020;

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}
/// Of this process, whatever else the machine does.
double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

/// Thirty years of DATE,TMIN,TMAX.
std::string weather_text(int seed) {
  std::mt19937 random(static_cast<unsigned>(seed));
  std::normal_distribution<double> noise(0.0, 4.0);
  std::string text = "DATE,TMIN,TMAX\n";
  for (int day = day_number({first_year, 1, 1}); day <= day_number({last_year, 12, 31}); ++day) {
    const double t = 6.0 - seed - 15.0 * std::cos(2.0 * std::numbers::pi * (day % 365 - 15) / 365.0) + noise(random);
    text += fmt::format("{},{:.1f},{:.1f}\n", text_of(date_of(day)), t - 5.0, t + 5.0);
  }
  return text;
}

fleet make_fleet(const std::filesystem::path& folder) {
  fleet f;
  for (int g = 0; g < greases; ++g)
    f.greases.push_back({.name = fmt::format("grease {}", g),
                         .penetration = 250.0 + 18.0 * g,
                         .kv40 = mm2_per_s(g % 2 == 0 ? 150 : 48),
                         .kv100 = mm2_per_s(g % 2 == 0 ? 14.7 : 8.0),
                         .pour = celsius(g % 2 == 0 ? -24 : -54),
                         .oil = g % 2 == 0 ? oil_type::mineral : oil_type::pao,
                         .price = mass_price{3.0 + g % 5, "EUR"}});
  installation i{.name = "system", .available = bar(250), .reservoir = litre(1), .interval = hour(1)};
  for (int l = 0; l < lines; ++l)
    i.lines.push_back({.point = fmt::format("point {}", l),
                       .segments = {{.length = metre(1.5 + 0.4 * l), .bore = millimetre(4)}},
                       .outlet = bar(15),
                       .dose = cm3(0.2),
                       .in = second(12)});
  f.installations = {i};
  for (int r = 0; r < routes; ++r)
    f.routes.push_back({.name = fmt::format("route {}", r),
                        .legs = {{.weather = (folder / fmt::format("{}.csv", r)).string(), .options = {.unit = "C"}}},
                        .installations = {0}});
  return f;
}

long peak_kb() {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (line.starts_with("VmHWM:")) return std::atol(line.c_str() + 6);
  }
  return 0;
}

/// Every hour of one route through every line and grease, on a sample of the hours; months by sorting.
double general_way(const fleet& f, const std::vector<grease>& stock, double& checksum) {
  const auto start = std::chrono::steady_clock::now();
  const auto series = std::get<daily_series>(read_weather(f.routes.front().legs.front().weather, {.unit = "C"}));
  std::vector<double> hours = hours_of(series);
  std::ranges::sort(hours);
  const double sorted = seconds_since(start);
  constexpr std::size_t sample = 500;
  const auto physics = std::chrono::steady_clock::now();
  for (std::size_t h = 0; h < sample; ++h) {
    const temperature at = celsius(hours[h * hours.size() / sample]);
    const conditions c = conditions_of(f.installations.front(), at, 0.80);
    for (const grease& g : stock) {
      for (const line& l : f.installations.front().lines) checksum += outcome_of(l, g, c).chance.value_or(0.0);
    }
  }
  return sorted + seconds_since(physics) * static_cast<double>(hours.size()) / sample;
}

}  // namespace

int main() {
  const auto folder = std::filesystem::temp_directory_path() / "coldgrease_bench_fleet";
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  double megabytes = 0.0;
  for (int i = 0; i < files; ++i) {
    const std::string text = weather_text(i);
    megabytes += static_cast<double>(text.size()) * routes / files / 1e6;
    std::ofstream(folder / fmt::format("weather_{}", i)) << text;
  }
  for (int r = 0; r < routes; ++r)
    std::filesystem::create_symlink(folder / fmt::format("weather_{}", r % files), folder / fmt::format("{}.csv", r));

  const fleet f = make_fleet(folder);
  const std::vector<grease> stock = stock_of(f);
  const long before = peak_kb();
  auto start = std::chrono::steady_clock::now();
  double processor = processor_seconds();
  const pick_answer picked = pick(f, stock);
  const double pick_s = seconds_since(start), pick_cpu = processor_seconds() - processor;
  const long after = peak_kb();
  start = std::chrono::steady_clock::now();
  processor = processor_seconds();
  const plan_answer planned = plan(f, stock);
  const double plan_s = seconds_since(start), plan_cpu = processor_seconds() - processor;
  double checksum = 0.0;
  const double general = general_way(f, stock, checksum);
  fmt::print("{} routes x {} lines x {} greases, {:.0f} MB of daily weather ({} files under {} names)\n", routes, lines,
             greases, megabytes, files, routes);
  fmt::print("pick            {:8.2f} s, {:.2f} s of a processor, peak memory {} -> {} kB\n", pick_s, pick_cpu, before,
             after);
  fmt::print("plan            {:8.2f} s, {:.2f} s of a processor, best sets of kinds {}\n", plan_s, plan_cpu,
             planned.kinds.size());
  fmt::print("general way     {:8.1f} s for all routes (one route, scaled; checksum {:.1f}), {:.0f} times pick\n",
             general * routes, checksum, general * routes / pick_s);
  std::size_t served = 0;
  for (const route_pick& r : picked.routes) served += r.decided.served();
  fmt::print("routes served   {}\n", served);
  std::filesystem::remove_all(folder);
}
