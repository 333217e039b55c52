// A program of somebody else, from which the README takes its lines: an engineer asks whether a grease reaches the last
// point. It sees the library as installed.
#include <coldgrease/coldgrease.hpp>
#include <cstdio>

using namespace coldgrease;

int main() {
  const grease g = estimate({.name = "house 1", .nlgi = "1", .kv40 = mm2_per_s(150), .kv100 = mm2_per_s(14.7)});
  const line rear{.point = "rear slack adjuster",
                  .segments = {{.length = metre(6), .bore = millimetre(4)}},
                  .outlet = bar(15),
                  .flow = cm3_per_min(1)};
  const conditions cold{.at = celsius(-15), .available = bar(250)};
  const line_answer a = check(rear, g, cold);  // a.chance, a.coldest, a.longest, ...

  const auto rear_of = [&rear](length run) {
    line other = rear;
    other.segments.front().length = run;
    return other;
  };
  std::printf("needed less start-up loss %.6f bar\n", in_bar(*a.needed - *a.start_loss));

  const line_answer twice = check(rear_of(metre(12)), g, cold);
  std::printf("twice the length, longest times %.6f\n", in_metre(*twice.longest) / in_metre(*a.longest));

  // At its longest a line passes at just the confidence asked for.
  const line_answer longest = check(rear_of(*a.longest), g, cold);
  std::printf("chance at the longest line %.6f\n", *longest.chance);

  const line_answer blocked = check(rear, g, {.at = celsius(-15), .available = bar(10)});
  const std::string_view verdict = name_of(blocked.verdict);
  std::printf("available below the outlet: %.*s\n", static_cast<int>(verdict.size()), verdict.data());

  // A pick needs no fleet file: a weather file, the lines and the greases at hand. A warm year passes in every month.
  if (std::FILE* file = std::fopen("station.csv", "w")) {
    std::fputs("date,tmin,tmax\n", file);
    for (int day = day_number({2023, 1, 1}); day <= day_number({2023, 12, 31}); ++day)
      std::fprintf(file, "%s,50,68\n", text_of(date_of(day)).c_str());
    std::fclose(file);
  }
  const auto year = year_of(read_weather("station.csv", {.unit = "F"}));
  std::remove("station.csv");
  const std::vector<installation> installations{{.name = "one line", .available = bar(250), .lines = {rear}}};
  const std::vector<grease> stock{g};
  const pick_answer p = pick(year, installations, stock);
  std::printf("picked for the whole year: %s\n", stock[p.routes.front().decided.fills.front().grease].name().c_str());

  // What the library throws is caught by its type, also across the boundary of a shared library.
  try {
    check(rear_of(metre(-6)), g, cold);
  } catch (const input_error& e) {
    std::puts("a negative length is refused");
    std::fputs(e.what(), stderr);
  }
  try {
    read_greases("no such folder/greases.json");
  } catch (const file_error& e) {
    std::puts("a missing file is refused");
    std::fputs(e.what(), stderr);
  }
}
