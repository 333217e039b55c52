// Requests a second of a batch, beside the general-purpose way: a loop that starts the command for each. One run, the
// same requests.
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <span>

#include "cli/run.hpp"

namespace {

struct kind {
  const char* name;
  std::vector<std::string> args;
  int count;
};

std::string request(int id, std::span<const std::string> args) {
  std::string line = "{\"id\": " + std::to_string(id) + ", \"args\": [";
  for (const std::string& a : args) line += (&a == args.data() ? "\"" : ", \"") + a + "\"";
  return line + "]}\n";
}

/// The fastest of three.
template <class Work>
double seconds(Work work) {
  double best = 1e9;
  for (int pass = 0; pass < 3; ++pass) {
    const auto start = std::chrono::steady_clock::now();
    work();
    best = std::min(best, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
  }
  return best;
}

void expect_answered(const run_result& r) {
  if (r.exit != 0) throw std::runtime_error("exit " + std::to_string(r.exit) + ": " + r.err);
}

}  // namespace

int main() {
  const std::vector<kind> kinds{
      {"class", {"class", "280"}, 50000},
      {"line",
       {"line", "--nlgi", "1", "--kv40", "150 mm2/s", "--kv100", "14.7 mm2/s", "--length", "6 m", "--bore", "4 mm",
        "--outlet", "15 bar", "--available", "250 bar", "--flow", "1 cm3/min", "--at", "-15 C"},
       10000}};
  constexpr int alone = 200;
  const scratch_folder folder;
  run_options options;
  options.folder = folder.path();
  options.stdout_to = "/dev/null";
  std::printf("requests a second      one process each");
  for (const char* jobs : {"1", "2", "4"}) std::printf("   batch --jobs %s", jobs);
  std::printf("\n");
  for (const kind& k : kinds) {
    std::string requests;
    for (int i = 0; i < k.count; ++i) requests += request(i, k.args);
    write_file(folder.path() / "requests", requests);
    std::vector<std::string> words = k.args;
    words.emplace_back("--json");
    options.stdin_from = "/dev/null";
    const double loop = seconds([&] {
      for (int i = 0; i < alone; ++i) expect_answered(run(COLDGREASE_TOOL, words, options));
    });
    std::printf("%-22s %16.0f", k.name, alone / loop);
    options.stdin_from = "requests";
    for (const char* jobs : {"1", "2", "4"}) {
      const double spent = seconds([&] { expect_answered(run(COLDGREASE_TOOL, {"batch", "--jobs", jobs}, options)); });
      std::printf(" %16.0f", k.count / spent);
    }
    std::printf("\n");
  }
  return 0;
}
