#include "grease/grease_json.hpp"

#include "base/format.hpp"

#include <cmath>
#include <set>

#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/designation.hpp"
#include "coldgrease/grease/grease.hpp"

namespace coldgrease::inline v0 {

namespace detail {

namespace {

/// A member of a record, with the source that stands beside it noted down.
class datum_reader {
 public:
  datum_reader(const json_node& record, evidence& into) : record_(record), into_(into) {
    if (const auto source = record.find("source")) common_ = source->text();
  }

  std::optional<json_node> find(std::string_view key) {
    auto datum = record_.find(key);
    if (!datum) return std::nullopt;
    std::string source = common_;
    if (datum->is_object() && datum->find("value")) {
      datum->only({"value", "source"});
      if (const auto own = datum->find("source")) source = own->text();
      datum = datum->need("value");
    }
    if (!source.empty()) into_.sources.push_back({std::string(key), source});
    return datum;
  }

  template <class Quantity>
  void quantity(std::string_view key, std::optional<Quantity>& field, sign allowed = sign::positive) {
    if (const auto datum = find(key)) field = datum->quantity<Quantity>(allowed);
  }

  void text(std::string_view key, std::string& field) {
    if (const auto datum = find(key)) field = datum->text();
  }

 private:
  const json_node& record_;
  evidence& into_;
  std::string common_;
};

}  // namespace

namespace {

/// Points of a flow curve: [{"temperature", "rate", and "apparent_viscosity" or "stress"}].
void read_curve_points(const json_node& list, rate_kind kind, std::vector<measured_point>& into) {
  const auto read = [&](const json_node& node) {
    node.only({"temperature", "rate", "apparent_viscosity", "stress"});
    measured_point p;
    p.kind = kind;
    p.at = node.need("temperature").quantity<temperature>();
    p.rate = node.need("rate").quantity<shear_rate>(sign::positive);
    const auto apparent = node.find("apparent_viscosity");
    const auto stress = node.find("stress");
    if (apparent.has_value() == stress.has_value()) node.refuse("\"apparent_viscosity\" or \"stress\"", "one of them");
    p.stress =
        stress
            ? stress->quantity<pressure>(sign::positive)
            : pascal(in_pascal_second(apparent->quantity<dynamic_viscosity>(sign::positive)) * in_per_second(p.rate));
    if (!std::isfinite(in_pascal(p.stress)) || !(in_pascal(p.stress) > 0.0))
      node.refuse("the stress leaves the range of numbers", "a viscosity and a rate that grease has");
    into.push_back(p);
  };
  if (list.is_object()) {
    read(list);
  } else {
    for (const json_node& node : list.items()) read(node);
  }
}

/// {"temperature", "pressure"}; a pressure written "<= 1400 hPa" is a bound of the data sheet, no reading.
flow_pressure_point read_flow_pressure(const json_node& node) {
  node.only({"temperature", "pressure"});
  flow_pressure_point p;
  p.at = node.need("temperature").quantity<temperature>();
  const json_node needed = node.need("pressure");
  std::string text = needed.text();
  for (const std::string_view bound : {"<=", "<"}) {
    if (!text.starts_with(bound)) continue;
    p.at_most = true;
    text.erase(0, std::min(text.size(), text.find_first_not_of(' ', bound.size())));
    break;
  }
  p.needed = needed.at([&] { return parse<pressure>(text, {}, sign::positive); });
  return p;
}

}  // namespace

evidence read_grease(const json_node& record) {
  record.only({"name", "nlgi",  "penetration", "designation", "thickener", "kv40",           "kv100",          "kv",
               "vi",   "pour",  "oil_type",    "density",     "solids",    "dropping_point", "oil_separation", "price",
               "pack", "claim", "source",      "capillary",   "rheometer", "flow_pressure",  "mobility"});
  evidence e;
  datum_reader data(record, e);
  e.name = record.need("name").text();
  if (e.name.empty()) record.need("name").refuse("is empty", "a name");
  if (const auto label = data.find("nlgi")) {
    e.nlgi = label->text();
    label->at([&] { return parse_nlgi(e.nlgi, {}); });
  }
  if (const auto penetration = data.find("penetration")) {
    e.penetration = penetration->number();
    if (!(*e.penetration > 0.0 && *e.penetration <= 500.0))
      penetration->refuse(fmt::format("{}", *e.penetration), "above 0 and at most 500 (0.1 mm, worked)");
  }
  if (const auto code = data.find("designation")) {
    e.designation = code->text();
    code->at([&] { return parse_designation(e.designation, {}); });
  }
  if (const auto points = data.find("capillary")) read_curve_points(*points, rate_kind::nominal, e.points);
  if (const auto points = data.find("rheometer")) read_curve_points(*points, rate_kind::rheometer, e.points);
  if (e.nlgi.empty() && !e.penetration && e.designation.empty() && e.points.empty())
    record.refuse("neither \"nlgi\" nor \"penetration\" is given",
                  "one of them, \"designation\", or points of a flow curve");
  if (const auto pressures = data.find("flow_pressure")) {
    if (pressures->is_object()) {
      e.flow_pressures.push_back(read_flow_pressure(*pressures));
    } else {
      for (const json_node& p : pressures->items()) e.flow_pressures.push_back(read_flow_pressure(p));
    }
  }
  data.text("mobility", e.mobility);
  data.text("thickener", e.thickener);
  data.quantity("kv40", e.kv40);
  data.quantity("kv100", e.kv100);
  if (const auto kv = data.find("kv")) e.kv = kv->at([&] { return parse_viscosity_point(kv->text(), {}); });
  if (const auto vi = data.find("vi")) e.vi = vi->number();
  data.quantity("pour", e.pour, sign::any);
  if (const auto type = data.find("oil_type")) e.oil = type->at([&] { return parse_word<oil_type>(type->text(), {}); });
  data.quantity("density", e.density);
  if (const auto solids = data.find("solids")) {
    for (const auto& [kind, amount] : solids->members()) e.solids.push_back({kind, amount.share()});
  }
  data.quantity("dropping_point", e.dropping_point, sign::any);
  if (const auto separation = data.find("oil_separation")) e.oil_separation = separation->share();
  if (const auto price = data.find("price")) {
    e.price = price->number();
    if (!(*e.price >= 0.0 && *e.price <= 1e9)) price->refuse(fmt::format("{}", *e.price), "0 to 1e9, per kg");
  }
  data.quantity("pack", e.pack);
  data.text("claim", e.claim);
  e = with_designation(e).known;
  // Contradictions between data, such as a KV100 above KV40, show when the model is made: say so here, with the place.
  try {
    estimate(e);
  } catch (const input_error& error) {
    throw at(record.where(), error);
  }
  return e;
}

std::vector<evidence> read_grease_list(const json_node& list) {
  std::vector<evidence> greases;
  std::set<std::string> names;
  for (const json_node& record : list.items()) {
    greases.push_back(read_grease(record));
    if (!names.insert(greases.back().name).second)
      record.need("name").refuse("two greases are called " + in_quotes(greases.back().name), "distinct names");
  }
  return greases;
}

std::vector<evidence> read_grease_table(const json_node& root) {
  if (root.is_array()) return read_grease_list(root);
  root.only({"schema", "about", "source", "rows"});
  root.need("schema").whole_number(1, 1);
  return read_grease_list(root.need("rows"));
}

}  // namespace detail

std::vector<evidence> parse_greases(std::string_view json, std::string_view name) {
  const detail::json_document document(json, std::string(name));
  return detail::read_grease_table(document.root());
}

std::vector<evidence> read_greases(const std::string& path) { return parse_greases(detail::read_file(path), path); }

}  // namespace coldgrease::inline v0
