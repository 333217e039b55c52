#include "grease/grease_json.hpp"

#include "base/format.hpp"

#include <set>

#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/designation.hpp"
#include "coldgrease/grease/grease.hpp"

namespace coldgrease {

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

evidence read_grease(const json_node& record) {
  for (const std::string_view key : {"capillary", "rheometer", "flow_pressure"}) {
    if (record.find(key))
      record.refuse(fmt::format("\"{}\" is not read by this version", key), "a label or penetration with oil data");
  }
  record.only({"name", "nlgi",  "penetration", "designation", "thickener", "kv40",           "kv100",          "kv",
               "vi",   "pour",  "oil_type",    "density",     "solids",    "dropping_point", "oil_separation", "price",
               "pack", "claim", "source",      "capillary",   "rheometer", "flow_pressure"});
  evidence e;
  datum_reader data(record, e);
  e.name = record.need("name").text();
  if (e.name.empty()) record.need("name").refuse("is empty", "a name");
  if (const auto label = data.find("nlgi")) {
    e.nlgi = label->text();
    in_file([&] { return parse_nlgi(e.nlgi, label->where()); });
  }
  if (const auto penetration = data.find("penetration")) {
    e.penetration = penetration->number();
    if (!(*e.penetration > 0.0 && *e.penetration <= 500.0))
      penetration->refuse(fmt::format("{}", *e.penetration), "above 0 and at most 500 (0.1 mm, worked)");
  }
  if (const auto code = data.find("designation")) {
    e.designation = code->text();
    in_file([&] { return parse_designation(e.designation, code->where()); });
  }
  if (e.nlgi.empty() && !e.penetration && e.designation.empty())
    record.refuse("neither \"nlgi\" nor \"penetration\" is given", "one of them, or \"designation\"");
  data.text("thickener", e.thickener);
  data.quantity("kv40", e.kv40);
  data.quantity("kv100", e.kv100);
  if (const auto kv = data.find("kv")) e.kv = in_file([&] { return parse_viscosity_point(kv->text(), kv->where()); });
  if (const auto vi = data.find("vi")) e.vi = vi->number();
  data.quantity("pour", e.pour, sign::any);
  if (const auto type = data.find("oil_type"))
    e.oil = in_file([&] { return parse_oil_type(type->text(), type->where()); });
  data.quantity("density", e.density);
  if (const auto solids = data.find("solids")) {
    for (const auto& [kind, amount] : solids->members()) e.solids.push_back({kind, amount.share()});
  }
  data.quantity("dropping_point", e.dropping_point, sign::any);
  if (const auto separation = data.find("oil_separation")) e.oil_separation = separation->share();
  if (const auto price = data.find("price")) {
    e.price = price->number();
    if (!(*e.price >= 0.0)) price->refuse(fmt::format("{}", *e.price), "0 or above, per kg");
  }
  data.quantity("pack", e.pack);
  data.text("claim", e.claim);
  e = with_designation(e).known;
  // Contradictions between data, such as a KV100 above KV40, show when the model is made: say so here, with the place.
  try {
    estimate(e);
  } catch (const input_error& error) {
    throw file_error(record.where(), error.what());
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

}  // namespace coldgrease
