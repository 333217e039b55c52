// How often the 50, 80 and 95 % intervals of ln(stress) hold the truth, for greases drawn from their description and
// readings simulated with their stated errors: 2,000 greases a row. Printed, not judged; the law is a test of 400.
#include <chrono>
#include <cstdio>

#include "line/hidden_grease.hpp"

int main() {
  using namespace coldgrease;
  using hidden::reads;
  const grease g = estimate({.name = "house 1",
                             .nlgi = "1",
                             .kv40 = mm2_per_s(100),
                             .kv100 = mm2_per_s(11),
                             .pour = celsius(-40),
                             .oil = oil_type::naphthenic});
  installation i{.name = "truck", .available = bar(150)};
  for (const double metres : {2.0, 4.0, 6.0, 8.0})
    i.lines.push_back({.point = std::to_string(i.lines.size()),
                       .segments = {{.length = metre(metres), .bore = millimetre(4)}},
                       .outlet = bar(15),
                       .flow = cm3_per_min(1)});
  constexpr int greases = 2000;
  std::printf("%-16s%9s%9s%8s   %-24s%-24s%10s\n", "kind", "readings", "vehicles", "batches", "next batch 50 80 95 %",
              "batch read 50 80 95 %", "us a learn");
  const struct {
    reads kind;
    const char* name;
  } kinds[]{{reads::gauge, "gauge, running"},
            {reads::gauge_at_start, "gauge, at start"},
            {reads::reached, "reached or not"},
            {reads::mixed, "mixed"}};
  for (const auto& kind : kinds) {
    for (const int readings : {0, 1, 3, 20}) {
      for (const int vehicles : {1, 5}) {
        if (vehicles > 1 && readings < 3) continue;
        const hidden::plan p{readings, vehicles, readings > 3 ? 2 : 1, kind.kind};
        const auto start = std::chrono::steady_clock::now();
        const hidden::calibration c = hidden::calibrate(g, i, p, greases, 5);
        const std::chrono::duration<double, std::micro> took = std::chrono::steady_clock::now() - start;
        std::printf("%-16s%9d%9d%8d   %6.1f%7.1f%7.1f    ", kind.name, readings, vehicles, p.batches,
                    100.0 * c.next.share(0), 100.0 * c.next.share(1), 100.0 * c.next.share(2));
        if (readings > 0) {
          std::printf("%6.1f%7.1f%7.1f    ", 100.0 * c.read.share(0), 100.0 * c.read.share(1), 100.0 * c.read.share(2));
        } else {
          std::printf("%24s", "");
        }
        std::printf("%10.0f\n", took.count() / greases);
        std::fflush(stdout);
      }
    }
  }
  constexpr int stiff = 3000;
  const hidden::finding f = hidden::find_out_twice_as_stiff(g, i, stiff);
  std::printf(
      "%d greases twice as stiff as described, ten readings: median error %.2f K, %.1f %% flow less cold than told\n",
      stiff, f.median_error(), 100.0 * f.less_cold / static_cast<double>(f.errors.size()));
}
