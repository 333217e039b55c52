// Every reader at the bound of what it takes: seconds and the memory of a process that reads one such file, beside
// what it takes to bring the bytes of that file into memory with std::ifstream. Printed, not judged.
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>
#include <zlib.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <functional>
#include <string>

#include "coldgrease/climate/readers.hpp"
#include "coldgrease/grease/evidence.hpp"
#include "coldgrease/grease/measurement.hpp"
#include "coldgrease/line/readings.hpp"
#include "coldgrease/plan/fleet.hpp"

using namespace coldgrease;
namespace fs = std::filesystem;

namespace {

constexpr double mebibyte = 1024.0 * 1024.0;

struct cost {
  double seconds = 0.0;
  double mebibytes = 0.0;
};

/// Of a process that does this alone.
cost of(const std::function<void()>& work) {
  const auto begin = std::chrono::steady_clock::now();
  const pid_t child = ::fork();
  if (child == 0) {
    try {
      work();
    } catch (const input_error& refused) {
      fmt::print("  refused: {}\n", refused.what());
      std::fflush(stdout);
    }
    ::_exit(0);
  }
  int status = 0;
  struct ::rusage used {};
  ::wait4(child, &status, 0, &used);
  const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - begin;
  return {taken.count(), static_cast<double>(used.ru_maxrss) / 1024.0};
}

/// Writes a file: a head, then rows until the kind's bound is all but reached, then a tail.
struct maker {
  fs::path folder;
  fs::path make(const std::string& name, file_kind kind, const std::string& head,
                const std::function<std::string(std::size_t)>& row, const std::string& tail = {}) const {
    const fs::path path = folder / name;
    std::ofstream out(path, std::ios::binary);
    out << head;
    std::size_t bytes = head.size() + tail.size(), n = 0;
    for (std::string next = row(n); bytes + next.size() < most_bytes(kind); next = row(++n)) {
      out << next;
      bytes += next.size();
    }
    out << tail;
    return path;
  }
};

void plainly(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::string bytes(static_cast<std::size_t>(fs::file_size(path)), '\0');
  file.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

void packed(const fs::path& from, const fs::path& to) {
  std::ifstream file(from, std::ios::binary);
  gzFile out = gzopen(to.c_str(), "wb1");
  std::string block(1 << 20, '\0');
  while (file.read(block.data(), static_cast<std::streamsize>(block.size())) || file.gcount() > 0)
    gzwrite(out, block.data(), static_cast<unsigned>(file.gcount()));
  gzclose(out);
}

void measure_reader(const std::string& what, const fs::path& path, const std::function<void(const source&)>& read) {
  const cost bytes = of([&] { plainly(path); });
  const cost own = of([&] { read(source(path.string())); });
  fmt::print("{:<34}{:>8.1f}{:>9.2f}{:>9.0f}{:>12.2f}{:>9.0f}\n", what,
             static_cast<double>(fs::file_size(path)) / mebibyte, own.seconds, own.mebibytes, bytes.seconds,
             bytes.mebibytes);
  std::fflush(stdout);
  fs::remove(path);
}

std::string day_of(std::size_t n) {
  const std::size_t day =
      n % 45'000;  // the years over and over: a value that stands twice and says the same counts once
  return fmt::format("{}-{:02}-{:02}", 1900 + day / 336, day / 28 % 12 + 1, day % 28 + 1);
}

void weather_readers(const maker& m) {
  const auto weather_by = [](const weather_options& options) {
    return [options](const source& file) { read_weather(file, options); };
  };
  const auto days = [](std::size_t n) { return day_of(n) + ",-30.5,-12.25\n"; };
  const fs::path csv = m.make("days.csv", file_kind::weather, "date,tmin [C],tmax [C]\n", days);
  const fs::path gz = m.folder / "days.csv.gz";
  packed(csv, gz);
  measure_reader("days, CSV", csv, weather_by({}));
  measure_reader("the same packed", gz, weather_by({}));
  measure_reader("hours, CSV",
                 m.make("hours.csv", file_kind::weather, "date,temperature [C]\n",
                        [](std::size_t n) { return fmt::format("{}T{:02}:00,-30.5\n", day_of(n / 24), n % 24); }),
                 weather_by({}));
  measure_reader("GHCN-Daily, station file",
                 m.make("days.dly", file_kind::weather, "",
                        [](std::size_t n) {
                          std::string line = fmt::format("USW00014922{}{:02}{}", 1800 + n / 24 % 220, n / 2 % 12 + 1,
                                                         n % 2 == 0 ? "TMIN" : "TMAX");
                          for (int d = 0; d < 28; ++d) line += n % 2 == 0 ? " -305   " : " -122   ";
                          return line + "-9999   -9999   -9999   \n";
                        }),
                 weather_by({}));
  measure_reader("GHCN-Daily by year",
                 m.make("2020.csv", file_kind::weather, "",
                        [](std::size_t n) {
                          const std::size_t day = n / 2;
                          return fmt::format("USW00014922,{}{:02}{:02},{},{},,,W,2400\n", 1900 + day / 336 % 120,
                                             day / 28 % 12 + 1, day % 28 + 1, n % 2 == 0 ? "TMIN" : "TMAX",
                                             n % 2 == 0 ? -305 : -122);
                        }),
                 weather_by({.format = "by-year"}));
}

std::string grease_row(std::size_t n) {
  return fmt::format(R"({}{{"name": "grease {}", "nlgi": "1", "kv40": "150 mm2/s", "kv100": "15 mm2/s"}})",
                     n == 0 ? "" : ",\n", n);
}

void json_readers(const maker& m) {
  measure_reader("greases",
                 m.make("greases.json", file_kind::json, R"({"schema": 1, "about": "", "source": "", "rows": [)",
                        grease_row, "]}"),
                 [](const source& file) { read_greases(file); });
  measure_reader("fleet, of installations",
                 m.make(
                     "fleet.json", file_kind::json, "{\"greases\": [" + grease_row(0) + "], \"installations\": [",
                     [](std::size_t n) {
                       return fmt::format(
                           R"({}{{"name": "system {}", "type": "multi-outlet", "available": "200 bar", "lines": [)"
                           R"({{"point": "cam", "segments": [{{"length": "4 m", "bore": "4 mm"}}],)"
                           R"( "dose": "0.1 cm3", "in": "10 s"}}]}})",
                           n == 0 ? "" : ",\n", n);
                     },
                     R"(], "routes": [{"name": "north", "legs": [{"station": "x", "design": "Duluth"}],)"
                     R"( "installations": ["system 0"]}]})"),
                 [](const source& file) { read_fleet(file); });
  measure_reader(
      "fleet, refused: one list of numbers",
      m.make(
          "numbers.json", file_kind::json, "{\"greases\": [0", [](std::size_t) { return std::string(",1"); }, "]}"),
      [](const source& file) { read_fleet(file); });
  measure_reader("fleet, refused: objects of 1000 keys",
                 m.make(
                     "keys.json", file_kind::json, "[0",
                     [](std::size_t) {
                       std::string object = ",{\"k\":0";
                       for (int k = 1; k < 1000; ++k) object += fmt::format(",\"k{}\":{}", k, k);
                       return object + "}";
                     },
                     "]"),
                 [](const source& file) { read_fleet(file); });
}

void small_tables(const maker& m) {
  measure_reader("points of a flow curve",
                 m.make("points.csv", file_kind::points, "temperature [C],rate [1/s],stress [Pa]\n",
                        [](std::size_t n) { return fmt::format("-20,{},900\n", 1 + n % 1000); }),
                 [](const source& file) { read_points(file, rate_kind::nominal); });
  static const std::vector<installation> systems = [] {
    installation i{.name = "one", .available = bar(250)};
    i.lines = {{.point = "cam", .segments = {{.length = metre(6), .bore = millimetre(4)}}, .flow = cm3_per_min(1)}};
    return std::vector{i};
  }();
  static const std::vector<std::string> greases{"soft"};
  measure_reader("readings",
                 m.make("readings.csv", file_kind::schedule,
                        "date,vehicle,installation,point,grease,temperature [C],gauge [bar]\n",
                        [](std::size_t n) { return fmt::format("{},{},one,cam,soft,-15,120\n", day_of(n), n % 997); }),
                 [](const source& file) { read_readings(file, systems, greases); });
}

}  // namespace

int main() {
  const maker m{fs::temp_directory_path() / fmt::format("coldgrease_readers_{}", ::getpid())};
  fs::create_directories(m.folder);
  fmt::print("{:<34}{:>8}{:>9}{:>9}{:>12}{:>9}\n", "", "file", "reader", "", "bytes alone", "");
  fmt::print("{:<34}{:>8}{:>9}{:>9}{:>12}{:>9}\n", "", "MiB", "s", "MiB", "s", "MiB");
  weather_readers(m);
  json_readers(m);
  small_tables(m);
  fs::remove_all(m.folder);
}
