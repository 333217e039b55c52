// Every key of a fleet file taken away, doubled, retyped and set to what nobody means: it is answered or refused by one
// line that names the place, no answer holds what is no number, and none is better for a datum less.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <regex>

#include "bytes.hpp"
#include "coldgrease/plan/plan.hpp"
#include "coldgrease/report/json.hpp"
#include "coldgrease/report/text.hpp"

using namespace coldgrease;

namespace {

using json = nlohmann::ordered_json;

const std::string plan_folder = std::string(COLDGREASE_TEST_DATA) + "/plan/";
const std::string demo_folder = std::string(COLDGREASE_TABLES_SOURCE) + "/demo/";

/// The beginning of a table: two winters are enough to answer from, and thirty would take most of the time.
std::string first_rows(std::string text, int rows) {
  std::size_t end = 0;
  for (int i = 0; i < rows && end != std::string::npos; ++i) end = text.find('\n', end + 1);
  return text.substr(0, end) + "\n";
}

struct files_in_memory : opener {
  std::map<std::string, std::string> files{
      {"every_column.csv", bytes_of(plan_folder + "every_column.csv")},
      {"every_reading.csv", bytes_of(plan_folder + "every_reading.csv")},
      {"../../tables/demo/northern_plain.csv", first_rows(bytes_of(demo_folder + "northern_plain.csv"), 900)},
      {"../../tables/demo/new_york.csv", first_rows(bytes_of(demo_folder + "new_york.csv"), 900)}};
  std::optional<std::string> open(const std::string& name) const override {
    const auto found = files.find(name);
    return found == files.end() ? std::nullopt : std::optional(found->second);
  }
};

const std::vector<std::string> kinds{"deleted", "doubled", "retyped", "zero", "negative", "1e308",
                                     "nan",     "unit",    "null",    "list", "100 kB",   "line break"};

/// One place of the fleet file with one thing done to it.
struct mutation {
  std::string pointer;
  std::string kind;
};

/// Data that can only help: where nobody states them the worse case is assumed, or, of an oil, what is usual with a
/// spread, and the oils of this fleet are as good or better. What a point asks for, a rest or a point of a flow curve
/// may be bad news, and an answer may be better without.
const std::vector<std::string> only_help{"available", "heated_to", "kv",          "kv40", "kv100",
                                         "material",  "oil_type",  "pump_output", "vi"};

/// Of those, data of the oil: one of them less leaves more to what was measured, which may pull a chance up a little.
/// That is no favour to who states less as long as it is less than the answer shows.
constexpr double most_by_measurements = 2e-3;
const std::vector<std::string> of_the_oil{"kv", "kv40", "kv100", "oil_type", "vi"};

/// All places, in the order of the file, by all kinds.
std::vector<mutation> mutations_of(const json& fleet) {
  std::vector<mutation> all;
  const std::function<void(const json&, const std::string&)> walk = [&](const json& j, const std::string& pointer) {
    for (const std::string& kind : kinds)
      if (!pointer.empty()) all.push_back({pointer, kind});
    if (!j.is_structured()) return;
    std::size_t index = 0;
    for (const auto& [key, value] : j.items())
      walk(value, pointer + "/" + (j.is_array() ? std::to_string(index++) : key));
  };
  walk(fleet, "");
  return all;
}

/// "0.2 cm3" with another number; what holds none is that number.
json with_number(const json& value, const std::string& number) {
  static const std::regex digits("-?[0-9][0-9.]*");
  if (value.is_string() && std::regex_search(value.get<std::string>(), digits))
    return std::regex_replace(value.get<std::string>(), digits, number, std::regex_constants::format_first_only);
  return number == "nan" ? json(number) : json::parse(number);
}

json retyped(const json& value) {
  if (value.is_string()) return 7;
  if (value.is_array()) return json::object();
  return value.is_object() ? json::array({value}) : json(value.dump());
}

std::string text_of_mutant(const json& fleet, const mutation& m) {
  json mutant = fleet;
  const json::json_pointer place(m.pointer);
  const json value = mutant.at(place);
  json& parent = mutant.at(place.parent_pointer());
  if (m.kind == "deleted") {
    if (parent.is_array()) {
      parent.erase(std::stoul(place.back()));
    } else {
      parent.erase(place.back());
    }
    return mutant.dump();
  }
  if (m.kind == "doubled") {  // no document holds a key twice: it is written into the text
    mutant.at(place) = "<here>";
    std::string text = mutant.dump();
    const std::string again = parent.is_array() ? value.dump() : json(place.back()).dump() + ":" + value.dump();
    return text.replace(text.find("\"<here>\""), 8, value.dump() + "," + again);
  }
  mutant.at(place) = m.kind == "retyped"    ? retyped(value)
                     : m.kind == "zero"     ? with_number(value, "0")
                     : m.kind == "negative" ? with_number(value, "-1")
                     : m.kind == "1e308"    ? with_number(value, "1e308")
                     : m.kind == "nan"      ? with_number(value, "nan")
                     : m.kind == "null"     ? json(nullptr)
                     : m.kind == "list"     ? json::array()
                     : m.kind == "100 kB"   ? json(std::string(100'000, 'x'))
                     : m.kind == "line break"
                         ? json((value.is_string() ? value.get<std::string>() : "") + "\n\x1b[2Jnorth   flows")
                     : value.is_string() ? json(value.get<std::string>() + " furlong")
                                         : json("7 furlong");
  return mutant.dump();
}

/// What a command says of a fleet: as it was refused, or all answers.
struct outcome {
  std::optional<file_error> refused{};
  std::string texts{};
  std::vector<std::string> jsons{};
  std::vector<double> shares{};             // every chance that is said
  std::map<std::string, double> chances{};  // by route, month and grease
};

outcome outcome_of(const std::string& text) {
  files_in_memory names;
  names.files["fleet.json"] = text;
  outcome o;
  try {
    const fleet f = read_fleet(source::from(names, "fleet.json"));
    const auto stock = stock_of(f);
    const auto picked = pick(f, stock, published_rules());
    const auto planned = plan(f, stock, published_rules());
    o.texts = to_text(picked, f.installations, stock) + to_text(planned, f.installations, stock, unit_system::us);
    o.jsons = {to_json(picked, f.installations, stock), to_json(planned, f.installations, stock)};
    for (const route_pick& r : picked.routes) {
      for (const fill& part : r.decided.fills) o.shares.push_back(part.chance);
      for (const month_pick& month : r.months) {
        for (const grease_month& g : month.greases) {
          if (!g.chance) continue;
          o.shares.push_back(*g.chance);
          o.chances[fmt::format("{}, {}, {}", r.route, month.month, stock[g.grease].name())] = *g.chance;
        }
      }
    }
  } catch (const file_error& refused) {
    o.refused = refused;
  } catch (const input_error& refused) {  // the command says that it stands in the fleet file
    o.refused = at({.file = "fleet.json"}, refused);
  }
  return o;
}

/// What is wrong with an outcome, nothing if all is well. @param before  without the mutation
std::string fault_of(const outcome& o, const outcome& before, const mutation& m) {
  if (o.refused) {
    const std::string line = o.refused->what();
    const place& where = o.refused->where();
    if (line.size() > 400) return "a refusal of " + std::to_string(line.size()) + " bytes";
    if (line.find('\n') != std::string::npos) return "a refusal of two lines: " + line;
    if (where.file.empty()) return "a refusal without a file: " + line;
    if (!where.pointer && where.line == 0 && where.field.empty()) return "a refusal without a place: " + line;
    return {};
  }
  const auto moves_the_cursor = [](char c) { return (c >= 0 && c < ' ' && c != '\n') || c == '\x7f'; };
  if (std::ranges::any_of(o.texts, moves_the_cursor)) return "a control character in the text";
  if (m.kind == "line break") return "a line break within a text was taken";
  static const std::regex no_number("(^|[^a-z])(nan|inf|infinity)([^a-z]|$)");
  std::smatch found;
  if (m.kind != "nan" && std::regex_search(o.texts, found, no_number))
    return "what is no number: " +
           o.texts.substr(static_cast<std::size_t>(std::max<std::ptrdiff_t>(found.position() - 60, 0)), 120);
  for (const std::string& text : o.jsons)
    if (!json::accept(text)) return "what is no JSON";
  for (const double chance : o.shares)
    if (!(chance >= 0.0 && chance <= 1.0)) return fmt::format("a chance of {}", chance);
  const std::string key = json::json_pointer(m.pointer).back();
  if (m.kind != "deleted" || std::ranges::find(only_help, key) == only_help.end()) return {};
  const bool oil = std::ranges::find(of_the_oil, key) != of_the_oil.end();
  const double most = oil ? most_by_measurements : 1e-9;
  for (const auto& [what, chance] : o.chances) {
    const auto was = before.chances.find(what);
    if (was != before.chances.end() && chance > was->second + most)
      return fmt::format("a better chance for a datum less: {}: {:.6f}, was {:.6f}", what, chance, was->second);
  }
  return {};
}

void check_every(std::size_t step) {
  const json fleet = json::parse(bytes_of(plan_folder + "every_key.json"));
  const outcome before = outcome_of(fleet.dump());
  REQUIRE_FALSE(before.refused);
  REQUIRE(before.chances.size() > 20);
  const auto all = mutations_of(fleet);
  int refused = 0, answered = 0;
  for (std::size_t i = 0; i < all.size(); i += step) {
    const mutation& m = all[i];
    INFO("at ", m.pointer, ": ", m.kind);
    std::string fault;
    try {
      const outcome o = outcome_of(text_of_mutant(fleet, m));
      ++(o.refused ? refused : answered);
      fault = fault_of(o, before, m);
    } catch (const std::exception& e) {
      fault = std::string("neither answered nor refused: ") + e.what();
    }
    CHECK(fault == "");
  }
  MESSAGE(refused, " refused, ", answered, " answered");
  CHECK(refused > 0);
  CHECK(answered > 0);
}

}  // namespace

// 17 and the number of kinds have no common divisor: every kind comes up, at places all over the file.
TEST_CASE("law: every 17th mutation of a fleet is answered or refused") { check_every(17); }

// For tests/fuzz/run.sh: --no-skip.
TEST_CASE("law: every mutation of a fleet is answered or refused" * doctest::skip()) { check_every(1); }
