// Published values: every row of published/*.csv against the library, in one loop.
//
// A row is: check, its inputs, what is expected, how far off it may be, and where the value comes from. The head of
// each file says what the inputs of its checks are. 'from memory' in a source means that the value was not read again;
// 'derived' that it was computed from the formula of the source named.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <functional>
#include <map>
#include <numbers>
#include <optional>
#include <variant>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/base/saybolt.hpp"
#include "coldgrease/grease/base_oil.hpp"
#include "coldgrease/grease/compatibility.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/designation.hpp"
#include "coldgrease/grease/grease.hpp"
#include "coldgrease/line/limits.hpp"
#include "coldgrease/line/tube_flow.hpp"
#include "published/rows.hpp"

using namespace coldgrease;

namespace {

// Tables with a reader of their own: line/tube_flow.cpp and climate/published_climate.cpp.
constexpr std::array<std::string_view, 2> read_elsewhere{"tube_flow.csv", "climate.csv"};
constexpr std::size_t most_inputs = 8;

/// The inputs of a row, counted from 1 as in the header.
class inputs {
 public:
  explicit inputs(std::vector<std::string> cells) : cells_(std::move(cells)) {}
  std::size_t count() const { return cells_.size(); }
  const std::string& text(std::size_t i) const { return cells_.at(i - 1); }
  double operator[](std::size_t i) const { return parse_number(text(i), "in" + std::to_string(i)); }

 private:
  std::vector<std::string> cells_;
};

/// A number, or a text such as a class; "none" where the library gives no answer.
using value = std::variant<double, std::string>;

value number_or_none(std::optional<double> v) {
  if (v) return *v;
  return "none";
}

kinematic_viscosity kv(double v) { return mm2_per_s(v); }

// Inputs 1 to 4 of every check on tubes: yield stress [Pa], consistency [Pa s^n], index, linear term [Pa s].
flow_curve curve_of(const inputs& in) { return {pascal(in[1]), in[2], in[3], pascal_second(in[4])}; }
// Inputs 5 and 6: bore [m] and length [m]; input 7: flow [m3/s], mean velocity [m/s] or pressure [Pa].
double loss_of(const inputs& in, double flow) {
  return in_pascal(pressure_loss(curve_of(in), metre(in[6]), metre(in[5]), m3_per_s(flow)));
}

/// Loss over segments written as "6 m x 8 mm + 3 m x 6 mm", through the line kernel.
double series_loss(const inputs& in) {
  detail::line_kernel line;
  std::string_view rest = in.text(5);
  while (!rest.empty()) {
    const std::string_view one = rest.substr(0, rest.find('+'));
    rest.remove_prefix(std::min(one.size() + 1, rest.size()));
    const auto cut = one.find('x');
    line.tubes.push_back({in_metre(parse<length>(one.substr(0, cut), "length")),
                          in_metre(parse<length>(one.substr(cut + 1), "bore")), 0.0});
  }
  detail::grease_model material;
  material.reference = detail::kernel(curve_of(in));
  const detail::belief exact{};
  return detail::loss(line, {material, nullptr, exact}, 25.0, 1.0, in[6], 1.0).pressure;
}

viscosity_line oil_line(const inputs& in) { return {{kv(in[1]), celsius(40.0)}, {kv(in[2]), celsius(100.0)}}; }

/// Grease of a worked penetration (input 1) on an oil of two viscosities (inputs 2 and 3).
grease grease_of(const inputs& in) { return estimate({.penetration = in[1], .kv40 = kv(in[2]), .kv100 = kv(in[3])}); }
double apparent(const grease& g, double t_c, double rate) {
  return in_pascal_second(apparent_viscosity(*g.at(celsius(t_c)), nominal_rate{per_second(rate)}));
}

double si_of(const std::string& kind, const std::string& text) {
  if (kind == "length") return in_metre(parse<length>(text, kind));
  if (kind == "volume") return in_m3(parse<volume>(text, kind));
  if (kind == "mass") return in_kilogram(parse<mass>(text, kind));
  if (kind == "pressure") return in_pascal(parse<pressure>(text, kind));
  if (kind == "flow") return in_m3_per_s(parse<volume_flow>(text, kind));
  if (kind == "dynamic viscosity") return in_pascal_second(parse<dynamic_viscosity>(text, kind));
  if (kind == "kinematic viscosity") return in_mm2_per_s(parse<kinematic_viscosity>(text, kind)) * 1e-6;
  if (kind == "temperature") return parse<temperature>(text, kind).in_celsius();
  throw std::runtime_error("unknown kind of quantity " + kind);
}

/// What one chart says of two thickeners: its word, or the counts of a review, best word first.
std::string word_of_chart(const inputs& in) {
  for (const auto& said : compatibility(in.text(1), in.text(2), compatibility_charts()).charts) {
    if (said.chart != in.text(3)) continue;
    const auto& [good, middling, bad] = said.votes;
    if (good + middling + bad > 1) return fmt::format("{}/{}/{}", good, middling, bad);
    return std::string(name_of(good > 0       ? mix_word::compatible
                               : middling > 0 ? mix_word::borderline
                                              : mix_word::incompatible));
  }
  return "none";
}

std::string word_of_charts(const inputs& in) {
  const auto answer = compatibility(in.text(1), in.text(2), compatibility_charts());
  return std::string(answer.word ? name_of(*answer.word) : name_of(answer.agreement));
}

struct check_of {
  std::size_t input_count;
  std::function<value(const inputs&)> compute;
};

const std::map<std::string, check_of>& checks() {
  static const std::map<std::string, check_of> all{
      // consistency
      {"class", {1, [](const inputs& in) -> value { return classify(in[1]).nlgi.value_or("none"); }}},
      {"between",
       {1,
        [](const inputs& in) -> value {
          const auto gap = classify(in[1]).between;
          return gap ? gap->first + "-" + gap->second : "none";
        }}},
      {"full_scale",
       {2,
        [](const inputs& in) {
          return full_scale(in[1], in.text(2) == "half" ? cone_scale::half : cone_scale::quarter);
        }}},
      {"lowest", {1, [](const inputs& in) { return parse_designation(in.text(1), "in1").lowest->in_celsius(); }}},
      {"highest", {1, [](const inputs& in) { return parse_designation(in.text(1), "in1").highest->in_celsius(); }}},
      {"open_ends",
       {1,
        [](const inputs& in) -> value {
          const designation d = parse_designation(in.text(1), "in1");
          return fmt::format("{}/{}", d.lowest_open ? "below" : "at", d.highest_open ? "over" : "at");
        }}},
      {"designated_class", {1, [](const inputs& in) -> value { return parse_designation(in.text(1), "in1").nlgi; }}},
      {"water", {1, [](const inputs& in) -> value { return parse_designation(in.text(1), "in1").water; }}},
      // thickeners
      {"chart", {3, [](const inputs& in) -> value { return word_of_chart(in); }}},
      {"charts", {2, [](const inputs& in) -> value { return word_of_charts(in); }}},
      // base oil
      {"vi", {2, [](const inputs& in) { return number_or_none(viscosity_index(kv(in[1]), kv(in[2]))); }}},
      {"vi_low", {1, [](const inputs& in) { return detail::vi_reference_at(in[1]).l; }}},
      {"vi_high", {1, [](const inputs& in) { return detail::vi_reference_at(in[1]).h; }}},
      {"kv100_of_vi", {2, [](const inputs& in) { return in_mm2_per_s(kv100_from_vi(kv(in[1]), in[2])); }}},
      {"d341", {3, [](const inputs& in) { return in_mm2_per_s(oil_line(in).at(celsius(in[3]))); }}},
      {"d341_where", {3, [](const inputs& in) { return oil_line(in).where(kv(in[3])).in_celsius(); }}},
      {"d341_a", {4, [](const inputs& in) { return detail::walther::through(in[1], in[2], in[3], in[4]).a; }}},
      {"d341_b", {4, [](const inputs& in) { return detail::walther::through(in[1], in[2], in[3], in[4]).b; }}},
      {"d341_kelvin",
       {5, [](const inputs& in) { return detail::walther::through(in[1], in[2], in[3], in[4]).mm2_per_s_at(in[5]); }}},
      {"d341_z", {1, [](const inputs& in) { return detail::walther::z_of(in[1]); }}},
      {"dynamic_of_two",
       {4,
        [](const inputs& in) {
          const auto density = [&](double t_c) { return in[1] - 0.65 * (t_c - 25.0); };
          const viscosity_line oil({kv(in[2] / density(30.0) * 1e3), celsius(30.0)},
                                   {kv(in[3] / density(100.0) * 1e3), celsius(100.0)});
          return in_mm2_per_s(oil.at(celsius(in[4]))) * density(in[4]) * 1e-3;
        }}},
      {"iso_vg",
       {1,
        [](const inputs& in) -> value {
          const auto grade = iso_vg(kv(in[1]));
          return grade ? std::to_string(*grade) : "none";
        }}},
      {"saybolt", {2, [](const inputs& in) { return to_saybolt(kv(in[1]), fahrenheit(in[2])); }}},
      {"kv_of_saybolt", {2, [](const inputs& in) { return in_mm2_per_s(from_saybolt(in[1], fahrenheit(in[2]))); }}},
      // units
      {"si", {2, [](const inputs& in) { return si_of(in.text(1), in.text(2)); }}},
      {"psi_of", {1, [](const inputs& in) { return in_psi(parse<pressure>(in.text(1), "in1")); }}},
      {"fahrenheit_of", {1, [](const inputs& in) { return parse<temperature>(in.text(1), "in1").in_fahrenheit(); }}},
      // tubes
      {"nominal_rate",
       {2,
        [](const inputs& in) { return in_per_second(nominal_rate_of(cm3_per_min(in[1]), millimetre(in[2])).value); }}},
      {"stress_at_nominal",
       {5, [](const inputs& in) { return in_pascal(stress(curve_of(in), nominal_rate{per_second(in[5])})); }}},
      {"pressure", {7, [](const inputs& in) { return loss_of(in, in[7]); }}},
      {"pressure_psi", {7, [](const inputs& in) { return in_psi(pascal(loss_of(in, in[7]))); }}},
      {"pressure_at_velocity",
       {7, [](const inputs& in) { return loss_of(in, in[7] * std::numbers::pi / 4.0 * in[5] * in[5]); }}},
      {"flow",
       {7,
        [](const inputs& in) {
          return in_m3_per_s(flow_at(curve_of(in), metre(in[6]), metre(in[5]), pascal(in[7])));
        }}},
      {"wall_rate",
       {7,
        [](const inputs& in) {
          return detail::rate_at_stress(detail::kernel(curve_of(in)), in[7] * in[5] / (4.0 * in[6]));
        }}},
      {"length",  // input 6: pressure [Pa] instead of the length
       {7,
        [](const inputs& in) {
          return in[6] / in_pascal(pressure_loss(curve_of(in), metre(1.0), metre(in[5]), m3_per_s(in[7])));
        }}},
      {"series", {6, series_loss}},
      {"s_f3",
       {6,
        [](const inputs& in) {
          const nominal_rate s = nominal_rate_of(m3_per_s(in[6]), metre(in[5]));
          return in_per_second(s.value) * std::pow(in_pascal(stress(curve_of(in), s)), 3);
        }}},
      // grease
      {"grease_apparent", {5, [](const inputs& in) { return apparent(grease_of(in), in[4], in[5]); }}},
      {"grease_yield", {4, [](const inputs& in) { return in_pascal(grease_of(in).at(celsius(in[4]))->yield); }}},
      {"grease_ratio",
       {6,
        [](const inputs& in) {
          const grease g = grease_of(in);
          return apparent(g, in[5], in[6]) / apparent(g, in[4], in[6]);
        }}},
  };
  return all;
}

constexpr std::array columns{"check", "in1", "in2",      "in3",     "in4",     "in5",   "in6",
                             "in7",   "in8", "expected", "abs_tol", "rel_tol", "bound", "source"};

/// What is wrong with a row; empty if it holds.
std::string fault_of(const std::vector<std::string>& cells) {
  const auto cell = [&](std::string_view name) -> const std::string& {
    const auto at = std::find(columns.begin(), columns.end(), name);
    return cells.at(static_cast<std::size_t>(at - columns.begin()));
  };
  if (cell("source").find_first_not_of(" .-") == std::string::npos) return "no source";
  const auto found = checks().find(cell("check"));
  if (found == checks().end()) return "unknown check " + cell("check");

  std::vector<std::string> given(cells.begin() + 1, cells.begin() + 1 + most_inputs);
  while (!given.empty() && given.back().empty()) given.pop_back();
  if (given.size() != found->second.input_count) return "wrong number of inputs";
  const inputs in(std::move(given));

  value actual;
  try {
    actual = found->second.compute(in);
  } catch (const std::exception& e) {
    return std::string("threw: ") + e.what();
  }
  const std::string& expected = cell("expected");
  const std::string& bound = cell("bound");
  if (const auto* text = std::get_if<std::string>(&actual))
    return bound == "equal" && *text == expected ? "" : "gives " + *text + ", expected " + expected;

  const double got = std::get<double>(actual);
  const auto want = to_number(expected);
  const auto absolute = to_number(cell("abs_tol"));
  const auto relative = to_number(cell("rel_tol"));
  const std::string shown = fmt::format("gives {}, {} {}", got, bound, expected);
  if (!want || !absolute || !relative) return "expected or tolerance is no number; " + shown;
  const double slack = *absolute + *relative * std::abs(*want);
  const bool high_enough = got >= *want - slack;
  const bool low_enough = got <= *want + slack;
  if (bound == "equal") return high_enough && low_enough ? "" : shown;
  if (bound == "at_most") return low_enough && std::isfinite(got) ? "" : shown;
  if (bound == "at_least") return high_enough && std::isfinite(got) ? "" : shown;
  return "unknown bound " + bound;
}

}  // namespace

TEST_CASE("published values: every row of every table") {
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(COLDGREASE_TEST_DATA "/published")) {
    const std::string name = entry.path().filename().string();
    if (entry.path().extension() != ".csv" ||
        std::find(read_elsewhere.begin(), read_elsewhere.end(), name) != read_elsewhere.end())
      continue;
    ++files;
    CAPTURE(name);
    const csv_table table = csv_file(entry.path().string());
    REQUIRE(std::equal(table.header.begin(), table.header.end(), columns.begin(), columns.end()));
    CHECK_FALSE(table.rows.empty());
    for (const csv_row& row : table.rows) {
      const std::string fault = fault_of(row.cells);
      const std::string place = name + ":" + std::to_string(row.line) + ": " + row.cells.front();
      INFO(place);
      CHECK(fault == "");
    }
  }
  CHECK(files >= 11);
}

TEST_CASE("published values: the reader refuses what cannot be checked (law)") {
  const auto fault = [](std::string_view line) { return fault_of(csv_cells(line)); };
  CHECK(fault("iso_vg,100,,,,,,,,100,0,0,equal,ISO 3448") == "");
  CHECK(fault("iso_vg,100,,,,,,,,100,0,0,equal,") == "no source");
  CHECK(fault("iso_vg,100,,,,,,,,100,0,0,equal, -") == "no source");
  CHECK(fault("iso_vgs,100,,,,,,,,100,0,0,equal,ISO 3448") == "unknown check iso_vgs");
  CHECK(fault("iso_vg,100,7,,,,,,,100,0,0,equal,ISO 3448") == "wrong number of inputs");
  CHECK(fault("iso_vg,100,,,,,,,,68,0,0,equal,ISO 3448") == "gives 100, expected 68");
  CHECK(fault("d341_z,1,,,,,,,,1.9,0,0,equal,ASTM D341") != "");
  CHECK(fault("d341_z,1,,,,,,,,1.9,0,0,at_least,ASTM D341") != "");
  CHECK(fault("d341_z,1,,,,,,,,1.9,0,0,at_most,ASTM D341") == "");
  CHECK(fault("d341_z,1,,,,,,,,1.5,0,0,at_most,ASTM D341") != "");
  CHECK(fault("d341_z,1,,,,,,,,1.9,,0,at_most,ASTM D341") != "");
  CHECK(fault("d341_z,1,,,,,,,,1.9,0,0,near,ASTM D341") != "");
  CHECK(fault("d341_z,one,,,,,,,,1.9,0,0,at_most,ASTM D341") != "");
  CHECK_THROWS(csv_cells("a,\"b"));
}
