// Writes the manual pages, the completions and the schema of fleet files when the command is built. Usage:
// coldgrease_manual FOLDER, which has folders man1, man5, man7 and completions
#include <cstdio>
#include <exception>

#include "completion.hpp"
#include "manual.hpp"
#include "output_file.hpp"

int main(int count, char** words) {
  using namespace coldgrease::tools;
  if (count != 2) {
    std::fprintf(stderr, "usage: coldgrease_manual FOLDER\n");
    return 2;
  }
  try {
    const std::string folder = std::string(words[1]) + "/";
    for (const command& c : commands())
      write_file(folder + "man1/coldgrease-" + std::string(c.name) + ".1", manual_page(c));
    write_file(folder + "man5/coldgrease-fleet.5", manual_of_fleet(coldgrease::fleet_records()));
    write_file(folder + "man7/coldgrease-weather.7", manual_of_weather(coldgrease::weather_guide()));
    write_file(folder + "fleet.schema.json", coldgrease::fleet_schema());
    write_file(folder + "completions/coldgrease", bash_completion(commands()));
    write_file(folder + "completions/_coldgrease", zsh_completion(commands()));
    write_file(folder + "man1/coldgrease.1", manual_overview(commands()));
    return 0;
  } catch (const std::exception& e) {
    std::fprintf(stderr, "coldgrease_manual: %s\n", e.what());
    return 1;
  }
}
