// The invented weather of tables/demo is what the program beside it prints, byte for byte.
#include <doctest/doctest.h>

#include "cli/run.hpp"

namespace {

void check_same(const char* station, const char* file) {
  const scratch_folder folder;
  const run_result r =
      run(COLDGREASE_DEMO_WEATHER, {station}, {.folder = folder.path(), .environment = {}, .stdout_to = {}});
  REQUIRE(r.exit == 0);
  const std::string stored = bytes_of_file(std::string(COLDGREASE_TABLES_SOURCE) + "/demo/" + file);
  CHECK(stored.size() > 200000);
  CHECK((r.out == stored));
}

}  // namespace

TEST_CASE("law: northern_plain.csv and far_north.csv can be made again") {
  check_same("plain", "northern_plain.csv");
  check_same("north", "far_north.csv");
}

TEST_CASE("case: both files say that they are invented") {
  for (const char* file : {"northern_plain.csv", "far_north.csv"})
    CHECK(bytes_of_file(std::string(COLDGREASE_TABLES_SOURCE) + "/demo/" + file).starts_with("# INVENTED"));
}

TEST_CASE("case: an unknown station is refused") {
  const scratch_folder folder;
  const run_result r =
      run(COLDGREASE_DEMO_WEATHER, {"moon"}, {.folder = folder.path(), .environment = {}, .stdout_to = {}});
  CHECK(r.exit == 2);
  CHECK(r.out == "");
}
