#include "grease_options.hpp"

#include "coldgrease/base/tables.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/designation.hpp"
#include "named.hpp"

namespace coldgrease::tools {

std::vector<option> joined(std::initializer_list<std::vector<option>> lists) {
  std::vector<option> all;
  for (const auto& list : lists) all.insert(all.end(), list.begin(), list.end());
  return all;
}

std::vector<option> oil_options() {
  return {{"--kv40", "oil viscosity at 40 C: 150 mm2/s"},
          {"--kv100", "oil viscosity at 100 C: 14.7 mm2/s"},
          {"--kv", "at another temperature: 700 SUS at 100 F"},
          {"--vi", "viscosity index"}};
}

oil_data oil_from(const arguments& given) {
  oil_data data{given.quantity<kinematic_viscosity>("--kv40", measure::oil_viscosity),
                given.quantity<kinematic_viscosity>("--kv100", measure::oil_viscosity), std::nullopt,
                given.number("--vi")};
  if (const auto text = given.find("--kv")) data.kv = parse_viscosity_point(*text, "--kv");
  if (data.kv40 && data.kv100 && !(*data.kv100 < *data.kv40))
    throw input_error("--kv100", text_of(*data.kv100, "mm2/s") + " is not below --kv40",
                      "less than " + text_of(*data.kv40, "mm2/s"));
  if (data.kv100 && data.vi && in_mm2_per_s(*data.kv100) < least_kv100_of_index)
    throw input_error("--vi", "stands beside a KV100 below 2 mm2/s, where ASTM D2270 defines no index",
                      "two viscosities instead");
  return data;
}

std::vector<option> grease_options() {
  return joined({{{"--grease", "a grease by name, from the table"},
                  {"--greases", "a file of greases instead of the table"},
                  {"--nlgi", "NLGI class or label: 2, 1/2, 000"},
                  {"--penetration", "worked penetration, 0.1 mm"},
                  {"--designation", "code of DIN 51502 or ISO 6743-9: KP2K-30"},
                  {"--capillary", "CSV of measured points, ASTM D1092"},
                  {"--rheometer", "CSV of measured points, true rates"}},
                 oil_options(),
                 {{"--pour", "pour point of the oil: -24 C"},
                  {"--oil-type", "mineral naphthenic pao ester pag silicone vegetable"},
                  {"--thickener", "thickener, kept for the record"},
                  {"--yield", "measured at --at: yield stress, 500 Pa"},
                  {"--consistency", "measured: K, a bare number in Pa s^n"},
                  {"--index", "measured: n"},
                  {"--linear", "measured: viscosity of the linear term, 0 Pa s"}}});
}

namespace {

evidence by_name(const arguments& given, const std::string& name) {
  std::vector<evidence> greases;
  if (const auto file = given.find("--greases")) {
    greases = read_greases(given.file(*file));
  } else {
    const table_file table = find_table("greases.json");
    greases = read_greases(table.file);
  }
  return named(greases, name, "--grease");
}

void refuse_together(const arguments& given, std::string_view with, std::initializer_list<std::string_view> others) {
  for (const std::string_view other : others) {
    if (given.find(other)) throw input_error(other, "stands beside " + std::string(with), "one of them");
  }
}

}  // namespace

grease grease_from(const arguments& given, temperature at) {
  if (const auto name = given.find("--grease")) {
    refuse_together(given, "--grease",
                    {"--nlgi", "--penetration", "--designation", "--capillary", "--rheometer", "--kv40", "--kv100",
                     "--kv", "--vi", "--pour", "--oil-type", "--yield", "--consistency", "--index", "--linear"});
    return estimate(by_name(given, *name));
  }
  if (given.find("--greases")) throw input_error("--greases", "names a file, but no grease", "--grease NAME beside it");
  evidence e;
  if (const auto label = given.find("--nlgi")) {
    parse_nlgi(*label, "--nlgi");
    e.nlgi = *label;
  }
  e.penetration = given.number("--penetration");
  if (e.penetration && !(*e.penetration > 0.0 && *e.penetration <= largest_penetration))
    throw input_error("--penetration", in_quotes(*given.find("--penetration")), "above 0 and at most 500 (0.1 mm)");
  if (const auto code = given.find("--designation")) {
    parse_designation(*code, "--designation");
    e.designation = *code;
  }
  if (const auto file = given.find("--capillary")) e.points = read_points(given.file(*file), rate_kind::nominal);
  if (const auto file = given.find("--rheometer")) {
    const auto points = read_points(given.file(*file), rate_kind::true_rate);
    e.points.insert(e.points.end(), points.begin(), points.end());
  }
  const oil_data oil = oil_from(given);
  e.kv40 = oil.kv40;
  e.kv100 = oil.kv100;
  e.kv = oil.kv;
  e.vi = oil.vi;
  e.pour = given.quantity<temperature>("--pour", measure::pour_point);
  if (const auto type = given.find("--oil-type")) e.oil = parse_word<oil_type>(*type, "--oil-type");
  e.thickener = given.find("--thickener").value_or("");

  const auto yield = given.quantity<pressure>("--yield", measure::yield_stress);
  const auto consistency = given.number("--consistency");
  const auto index = given.number("--index");
  const auto linear = given.quantity<dynamic_viscosity>("--linear", measure::linear_viscosity);
  if (yield || consistency || index || linear) {
    refuse_together(given, "measured parameters", {"--capillary", "--rheometer"});
    const flow_curve curve{yield.value_or(pascal(0)), consistency.value_or(0.0), index.value_or(0.5),
                           linear.value_or(pascal_second(0))};
    try {
      validate(curve);
    } catch (const input_error& error) {
      throw input_error("--" + error.where().field, error.problem(),
                        error.expected());  // the fields are called as the options are
    }
    return measured(curve, at, e);
  }
  if (e.nlgi.empty() && !e.penetration && e.designation.empty() && e.points.empty())
    throw input_error("--nlgi", "no grease is given", "--grease, --nlgi, --penetration or measured parameters");
  return estimate(e);
}

}  // namespace coldgrease::tools
