// The checksums that a report prints are those of the very bytes that it was computed on.
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <set>

#include "coldgrease/report/html.hpp"
#include "coldgrease/report/json.hpp"

using namespace coldgrease;

namespace {

/// The files of the demo; each name gives its bytes once, and other bytes ever after, as if it were replaced meanwhile.
struct replaced_once_read : opener {
  std::map<std::string, std::string> files;
  mutable std::map<std::string, int> times;
  bool replaces = true;

  explicit replaced_once_read(bool replace) : replaces(replace) {
    for (const auto& entry : std::filesystem::directory_iterator(COLDGREASE_TABLES_SOURCE "/demo")) {
      std::ifstream in(entry.path(), std::ios::binary);
      files[entry.path().filename().string()] = {std::istreambuf_iterator<char>(in), {}};
    }
  }
  std::optional<std::string> open(const std::string& name) const override {
    const auto found = files.find(name);
    if (found == files.end()) return std::nullopt;
    return ++times[name] > 1 && replaces ? "replaced " + found->second : found->second;
  }
};

struct answers {
  std::vector<input_file> inputs;
  std::string json, page;
};

answers answers_of(const opener& names) {
  const fleet f = read_fleet(source::from(names, "fleet.json"));
  const std::vector<grease> stock = stock_of(f);
  const dossier d = dossier_of(f, stock, published_rules(), compatibility_charts());
  return {d.inputs, to_json(d, f, stock), to_html(d, f, stock, "coldgrease", unit_system::si)};
}

}  // namespace

TEST_CASE("law: a report is made of the bytes whose checksums it prints, though every file is replaced meanwhile") {
  const replaced_once_read steady(false), moving(true);
  const answers wanted = answers_of(steady), got = answers_of(moving);
  CHECK((got.json == wanted.json));
  CHECK((got.page == wanted.page));
  std::set<std::string> named;
  for (const input_file& file : got.inputs) {
    CAPTURE(file.path);
    named.insert(file.path);
    REQUIRE(file.checksum);
    const auto first = source::memory(file.path, moving.files.at(file.path)).read(file_kind::weather);
    CHECK(*file.checksum == first.checksum);
    char digits[9];
    std::snprintf(digits, sizeof digits, "%08x", *file.checksum);
    CHECK(got.json.find(digits) != std::string::npos);
    CHECK(got.page.find(digits) != std::string::npos);
  }
  // Every file that was read stands there, and none was read twice.
  for (const auto& read : moving.times) {
    CAPTURE(read.first);
    CHECK(read.second == 1);
    CHECK(named.contains(read.first));
  }
  CHECK(named.size() == moving.times.size());
  CHECK(named.size() >= 5);
}
