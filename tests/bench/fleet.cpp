// A fleet of 1,000 routes (or as many as the first word says), 12 lines, 12 greases and a 30-year file each: picked,
// planned and put on paper, reading included. Beside it, in the same run, the floor: a bare loop that takes the same
// bytes apart and does nothing else; and the obvious general-purpose way of the whole for one route: all hours sorted
// for their quantiles, the physics hour by hour (on a sample, scaled). Then every weather format by the megabyte.
// Prints the least seconds of the processor of four rounds, memory and ratios; never passes or fails.
#include <fmt/format.h>
#include <malloc.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <functional>
#include <numbers>
#include <random>

#include "coldgrease/climate/statistics.hpp"
#include "coldgrease/plan/dossier.hpp"
#include "coldgrease/plan/plan.hpp"
#include "coldgrease/report/html.hpp"
#include "coldgrease/report/json.hpp"
#include "coldgrease/report/text.hpp"

using namespace coldgrease;
namespace fs = std::filesystem;

namespace {

constexpr int rounds = 4, most_files = 1000, lines = 12, greases = 12, first_year = 1991, last_year = 2020;

/// Thirty years of minima, each file's own; a maximum is 10 K above.
template <class TakeDay>
void for_each_day(int file, TakeDay take) {
  std::mt19937 random(static_cast<unsigned>(file));
  std::normal_distribution<double> noise(0.0, 4.0);
  for (int day = day_number({first_year, 1, 1}); day <= day_number({last_year, 12, 31}); ++day)
    take(day, 1.0 - file % 10 - 15.0 * std::cos(2.0 * std::numbers::pi * (day % 365 - 15) / 365.0) + noise(random));
}

std::string daily_text(int file) {
  std::string text = "DATE,TMIN,TMAX\n";
  for_each_day(file, [&](int day, double low) {
    text += fmt::format("{},{:.1f},{:.1f}\n", text_of(date_of(day)), low, low + 10.0);
  });
  return text;
}

fleet make_fleet(const fs::path& folder, int routes) {
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

double seconds_of(const ::timeval& t) { return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) / 1e6; }

struct cost {
  double seconds = 0.0;  // of the processor, whatever else the machine does
  double wall = 0.0;
  double kilobytes = 0.0;  // at most, of which `printed` are the answer's text
  double printed = 0.0;
};

/// Of a process that does this alone. @param work  gives the bytes of what it would print
cost of(const std::function<std::size_t()>& work) {
  ::timespec begin{}, end{};
  ::clock_gettime(CLOCK_MONOTONIC, &begin);
  int ends[2];
  if (::pipe(ends) != 0) return {};
  const pid_t child = ::fork();
  if (child == 0) {
    const std::size_t bytes = work();
    ::_exit(::write(ends[1], &bytes, sizeof bytes) == sizeof bytes ? 0 : 1);
  }
  std::size_t bytes = 0;
  ::close(ends[1]);
  if (::read(ends[0], &bytes, sizeof bytes) != sizeof bytes) bytes = 0;
  ::close(ends[0]);
  int status = 0;
  struct ::rusage used {};
  ::wait4(child, &status, 0, &used);
  ::clock_gettime(CLOCK_MONOTONIC, &end);
  return {seconds_of(used.ru_utime) + seconds_of(used.ru_stime),
          static_cast<double>(end.tv_sec - begin.tv_sec) + static_cast<double>(end.tv_nsec - begin.tv_nsec) / 1e9,
          static_cast<double>(used.ru_maxrss), static_cast<double>(bytes) / 1024.0};
}

/// One string a file, lines by memchr, numbers by std::from_chars, nothing kept.
double bare_loop(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::string bytes(static_cast<std::size_t>(fs::file_size(path)), '\0');
  file.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  double sum = 0.0;
  const char *at = bytes.data(), *const end = at + bytes.size();
  const auto next_line = [&] {
    const void* const found = std::memchr(at, '\n', static_cast<std::size_t>(end - at));
    return found ? static_cast<const char*>(found) : end;
  };
  for (at = next_line() + 1; at < end;) {
    const char* const line_end = next_line();
    int year = 0, month = 0, day = 0;
    double low = 0.0, high = 0.0;
    at = std::from_chars(at, line_end, year).ptr + 1;
    at = std::from_chars(at, line_end, month).ptr + 1;
    at = std::from_chars(at, line_end, day).ptr + 1;
    at = std::from_chars(at, line_end, low).ptr + 1;
    std::from_chars(at, line_end, high);
    sum += year + month + day + low + high;
    at = line_end + 1;
  }
  return sum;
}

/// Every hour of one route through every line and grease, on a sample of the hours; months by sorting. Seconds.
double general_way(const fleet& f, const std::vector<grease>& stock) {
  constexpr std::size_t sample = 500;
  std::size_t all = 0;
  const cost sorted = of([&] {
    const auto series = std::get<daily_series>(read_weather(f.routes.front().legs.front().weather, {.unit = "C"}));
    std::vector<double> hours = hours_of(series);
    std::ranges::sort(hours);
    return hours.size();
  });
  all = static_cast<std::size_t>(sorted.printed * 1024.0);
  const cost physics = of([&] {
    double chances = 0.0;
    for (std::size_t h = 0; h < sample; ++h) {
      const conditions c =
          conditions_of(f.installations.front(), celsius(-30.0 + 60.0 * static_cast<double>(h) / sample), 0.80);
      for (const grease& g : stock) {
        for (const line& l : f.installations.front().lines) chances += outcome_of(l, g, c).chance.value_or(0.0);
      }
    }
    return static_cast<std::size_t>(chances);
  });
  return sorted.seconds + physics.seconds * static_cast<double>(all) / sample;
}

void compare_with_floor(const fleet& f, const std::vector<grease>& stock) {
  const auto count = static_cast<double>(f.routes.size());
  double sum = 0.0;
  const auto papers = [&] { return dossier_of(f, stock, published_rules(), compatibility_charts()); };
  fleet shared = f;
  for (route& r : shared.routes) r.legs.front().weather = f.routes.front().legs.front().weather;
  struct measured {
    std::string_view what;
    std::function<std::size_t()> work;
    cost least{.seconds = INFINITY};
  };
  std::vector<measured> all{
      {"nothing", [] { return std::size_t{0}; }},
      {"floor",
       [&] {
         for (const route& r : f.routes) sum += bare_loop(r.legs.front().weather.name());
         return static_cast<std::size_t>(sum > 0.0) * 0;
       }},
      {"pick", [&] { return pick(f, stock).routes.size() * 0; }},
      {"plan", [&] { return plan(f, stock).routes.size() * 0; }},
      {"pick, text", [&] { return to_text(pick(f, stock), f.installations, stock).size(); }},
      {"pick, JSON", [&] { return to_json(pick(f, stock), f.installations, stock).size(); }},
      {"plan, text", [&] { return to_text(plan(f, stock), f.installations, stock).size(); }},
      {"plan, JSON", [&] { return to_json(plan(f, stock), f.installations, stock).size(); }},
      {"report, page", [&] { return to_html(papers(), f, stock, "bench").size(); }},
      {"report, JSON", [&] { return to_json(papers(), f, stock).size(); }},
      {"pick, one shared file", [&] { return pick(shared, stock).routes.size() * 0; }},
  };
  // In turn, and the least counts: the first round brings the files into memory, and another program may run in one.
  for (int round = 0; round < rounds; ++round) {
    for (measured& m : all) {
      const cost now = of(m.work);
      if (now.seconds < m.least.seconds) m.least = now;
    }
  }
  const auto seconds = [&](std::string_view what) {
    return std::ranges::find(all, what, &measured::what)->least.seconds;
  };
  fmt::print("{:<24}{:>8}{:>9}{:>9}{:>12}{:>16}\n", "", "s (cpu)", "s (wall)", "x floor", "kB a route", "kB printed");
  for (const auto& [what, work, c] : all) {
    if (what == "nothing") continue;
    fmt::print("{:<24}{:>8.2f}{:>9.2f}{:>9.1f}{:>12.1f}{:>16.1f}\n", what, c.seconds, c.wall,
               c.seconds / seconds("floor"), (c.kilobytes - all.front().least.kilobytes - c.printed) / count,
               c.printed / count);
  }
  fmt::print("plan over pick {:.2f}\n", seconds("plan") / seconds("pick"));
  const double general = general_way(f, stock) * count;
  fmt::print("general way {:.0f} s for all routes (one route, scaled), {:.0f} times pick\n", general,
             general / seconds("pick"));
  std::fflush(stdout);
}

// --- formats

/// The hours of thirty years, from days by half-cosines.
template <class TakeHour>
void for_each_hour(TakeHour take) {
  daily_series days;
  for_each_day(0, [&](int day, double low) { days.days.push_back({day, low, low + 10.0}); });
  for (const hourly_value& v : hourly(days).hours) take(v);
}

std::string noaa_text() {
  std::string text =
      R"("STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","SNOW","SNOW_ATTRIBUTES",)"
      R"("TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES","WT01","WT01_ATTRIBUTES")"
      "\n";
  for_each_day(0, [&](int day, double low) {
    text += fmt::format(
        R"("USW00094728","{}","40.77898","-73.96925","42.7","A STATION, NY US","    0",",,W,2400","    0",",,W,2400",)"
        R"("{:5.0f}",",,W,2400","{:5.0f}",",,W,2400","",)"
        "\n",
        text_of(date_of(day)), 10.0 * low + 100.0, 10.0 * low);
  });
  return text;
}

std::string dly_text() {
  std::string text;
  std::string minima, maxima;
  int month = 0;
  const auto end_lines = [&] {
    for (std::string* line : {&minima, &maxima}) {
      while (!line->empty() && line->size() < 269) *line += "-9999   ";
      if (!line->empty()) text += *line + "\n";
      line->clear();
    }
  };
  for_each_day(0, [&](int day, double low) {
    const date d = date_of(day);
    if (d.month != month) {
      end_lines();
      month = d.month;
      minima = fmt::format("USW00014922{:04}{:02}TMIN", d.year, d.month);
      maxima = fmt::format("USW00014922{:04}{:02}TMAX", d.year, d.month);
    }
    minima += fmt::format("{:5.0f}  W", 10.0 * low);
    maxima += fmt::format("{:5.0f}  W", 10.0 * low + 100.0);
  });
  end_lines();
  return text;
}

std::string by_year_text() {
  std::string text;
  for_each_day(0, [&](int day, double low) {
    const date d = date_of(day);
    for (const bool minimum : {true, false})
      text += fmt::format("USW00014922,{:04}{:02}{:02},{},{:.0f},,,W,2400\n", d.year, d.month, d.day,
                          minimum ? "TMIN" : "TMAX", minimum ? 10.0 * low : 10.0 * low + 100.0);
  });
  return text;
}

std::string hourly_text() {
  std::string text = "DATE,TEMPERATURE\n";
  for_each_hour([&](const hourly_value& v) {
    const int day = (v.hour - v.hour % 24) / 24;
    text += fmt::format("{}T{:02}:00:00,{:.1f}\n", text_of(date_of(day)), v.hour % 24, v.celsius);
  });
  return text;
}

std::string epw_text() {
  std::string text =
      "LOCATION,A Place,MN,USA,TMY,727450,46.8,-92.1,-6.0,432.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n"
      "GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,-\nCOMMENTS 2,-\n"
      "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n";
  for_each_hour([&](const hourly_value& v) {
    const date d = date_of((v.hour - v.hour % 24) / 24);
    if (d.year != first_year) return;
    text += fmt::format(
        "{},{},{},{},0,?9?9?9?9E0?9?9?9?9?9?9?9?9?9?9?9?9?9?9?9*9*9?9?9?9,{:.1f},-6.1,81,102100,0,0,271,"
        "0,0,0,0,0,0,0,230,4.6,10,10,16.1,1524,0,999999999,89,0.0000,0,88,999.000,999.0,99.0\n",
        d.year, d.month, d.day, v.hour % 24 + 1, v.celsius);
  });
  return text;
}

void measure_formats() {
  const auto measure = [](std::string_view what, const std::string& text, const weather_options& options) {
    const source file = source::memory("bytes", text);
    const int times = std::max(1, static_cast<int>(5e7 / static_cast<double>(text.size())));
    cost c{.seconds = INFINITY};
    for (int round = 0; round < rounds; ++round) {
      const cost now = of([&] {
        for (int i = 0; i < times; ++i) read_weather(file, options);
        return std::size_t{0};
      });
      if (now.seconds < c.seconds) c = now;
    }
    fmt::print("reading {:<22}{:>8.1f} MB{:>8.0f} MB/s\n", what, static_cast<double>(text.size()) / 1e6,
               static_cast<double>(text.size()) * times / 1e6 / c.seconds);
    std::fflush(stdout);
  };
  measure("daily CSV", daily_text(0), {.unit = "C"});
  measure(".dly", dly_text(), {});
  measure("wide NOAA CSV", noaa_text(), {.unit = "0.1 C"});
  measure("GHCN-Daily by year", by_year_text(), {});
  measure("hourly CSV", hourly_text(), {.unit = "C"});
  measure("EPW", epw_text(), {});
}

}  // namespace

int main(int count, char** words) {
  ::mallopt(M_TRIM_THRESHOLD, 64 << 20);  // as the command does
  ::mallopt(M_MMAP_THRESHOLD, 8 << 20);
  const int routes = count > 1 ? std::max(1, std::atoi(words[1])) : 1000, files = std::min(routes, most_files);
  const auto folder = fs::temp_directory_path() / fmt::format("coldgrease_bench_fleet_{}", ::getpid());
  fs::create_directories(folder);
  double megabytes = 0.0;
  for (int r = 0; r < files; ++r) {
    const std::string text = daily_text(r);
    megabytes += static_cast<double>(text.size()) / 1e6 * routes / files;
    std::ofstream(folder / fmt::format("{}.csv", r)) << text;
  }
  for (int r = files; r < routes; ++r)
    fs::create_symlink(folder / fmt::format("{}.csv", r % files), folder / fmt::format("{}.csv", r));
  const fleet f = make_fleet(folder, routes);
  fmt::print("{} routes x {} lines x {} greases, {:.0f} MB of daily weather ({} files)\n", routes, lines, greases,
             megabytes, files);
  compare_with_floor(f, stock_of(f));
  measure_formats();
  fs::remove_all(folder);
}
