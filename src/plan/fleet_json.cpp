// Fleet files: reading, writing, and what is said of their keys.
#include <algorithm>
#include <map>
#include <set>
#include <unordered_map>

#include "base/csv.hpp"
#include "base/record.hpp"
#include "coldgrease/plan/fleet.hpp"
#include "grease/grease_json.hpp"
#include "line/installation_json.hpp"
#include "line/schedule.hpp"
#include "plan/policy_json.hpp"
#include "plan/route_json.hpp"

namespace coldgrease::inline v0 {

namespace {

using namespace detail;

/// Where the record of a name stands in its list.
class name_index {
 public:
  /// Refuses a second record of a name; an empty name was refused where it was read.
  void add(const std::string& name, std::size_t position, const json_node& record) {
    if (!name.empty() && !positions_.try_emplace(name, position).second)
      record.need("name").refuse("the name " + in_quotes(name) + " stands twice", "distinct names");
  }
  std::optional<std::size_t> find(const std::string& name) const {
    const auto found = positions_.find(name);
    return found == positions_.end() ? std::nullopt : std::optional(found->second);
  }

 private:
  std::unordered_map<std::string, std::size_t> positions_;
};

/// A fleet that is being read: names are found by hash, as a fleet may have a hundred thousand of them.
struct fleet_draft : fleet {
  name_index installation_names{}, route_names{}, tow_names{};
  bool systems_are_well = true;  // no installation was refused: they can be computed with
};

void add_installation(const json_node& node, fleet_draft& f, installation i) {
  const std::string name = i.name;
  f.installations.push_back(std::move(i));
  f.installation_names.add(name, f.installations.size() - 1, node);
}

void add_tow(const json_node& node, fleet_draft& f, tow t) {
  const std::string name = t.name;
  f.tows.push_back(std::move(t));
  f.tow_names.add(name, f.tows.size() - 1, node);
}

void resolve_installations(const json_node& record, const fleet_draft& f, route_draft& r) {
  const auto nodes = record.need("installations").items();
  for (std::size_t i = 0; i < r.systems.size(); ++i) {
    if (r.systems[i].empty()) continue;  // refused already
    const auto found = f.installation_names.find(r.systems[i]);
    if (!found)
      nodes[i].refuse("no installation is called " + in_quotes(r.systems[i]), "a name from \"installations\"");
    r.installations.push_back(*found);
  }
}

void add_route(const json_node& node, fleet_draft& f, route_draft r) {
  const auto take = [&](route own) {
    const std::string name = own.name;
    f.routes.push_back(std::move(own));
    f.route_names.add(name, f.routes.size() - 1, node);
  };
  // A tractor and its trailer filled with greases of their own are two answers.
  const bool apart = r.separate_fills && r.installations.size() > 1;
  if (!apart) return take(std::move(r));
  tow coupled{.name = r.name};
  for (const std::size_t i : r.installations) {
    route own = r;
    own.name += ": " + f.installations[i].name;
    own.installations = {i};
    coupled.routes.push_back(f.routes.size());
    take(std::move(own));
  }
  add_tow(node, f, std::move(coupled));
}

/// The same system on units that stand longer: an installation of its own.
std::size_t with_rest(fleet_draft& f, std::size_t i, duration rest, const std::string& pool, const json_node& node) {
  installation own = f.installations[i];
  own.rest = rest;
  own.name += ", " + pool;
  add_installation(node, f, std::move(own));
  return f.installations.size() - 1;
}

/// The routes that a name stands for: one with separate fills stands as several, all over the same legs, coupled.
std::vector<std::size_t> routes_called(const fleet_draft& f, const std::string& name) {
  if (const auto whole = f.route_names.find(name)) return {*whole};
  const auto apart = f.tow_names.find(name);
  return apart ? f.tows[*apart].routes : std::vector<std::size_t>();
}

/// Units that roam: one route over the legs of all they visit, so that the coldest governs.
void add_pool(const json_node& node, fleet_draft& f, pool_draft p) {
  const auto visits = node.need("visits").items();
  std::vector<tow> coupled;
  std::set<std::string_view> visited;
  for (std::size_t v = 0; v < p.visits.size(); ++v) {
    const std::string& name = p.visits[v];
    std::vector<std::size_t> found = routes_called(f, name);
    if (found.empty()) visits[v].refuse("no route is called " + in_quotes(name), "a name from \"routes\"");
    if (!visited.insert(name).second) visits[v].refuse(in_quotes(name) + " stands twice", "each route once");
    const std::vector<leg>& legs = f.routes[found.front()].legs;
    p.legs.insert(p.legs.end(), legs.begin(), legs.end());
    // Units of a pool that have a system of the route's own stand in for the vehicles that hold it. They are coupled to
    // the fills that are left of that route: all where they stand in for none, the tractor's where for its trailer.
    const auto stands_in = [&](std::size_t r) {
      const auto& own = f.routes[r].installations;
      return std::ranges::find_first_of(own, p.installations) != own.end();
    };
    std::erase_if(found, stands_in);
    if (!found.empty()) coupled.push_back({.name = name + " with " + p.name, .routes = std::move(found)});
  }
  if (p.rest) {
    for (std::size_t& i : p.installations) i = with_rest(f, i, *p.rest, p.name, node);
  }
  const std::size_t pool = f.routes.size();
  add_route(node, f, std::move(p));
  for (tow& t : coupled) {
    t.routes.push_back(pool);
    add_tow(node, f, std::move(t));
  }
}

/// Installations as rows of a table: their lines stand in one of their own.
table_shape installation_shape() { return {.columns = cell_columns(installation_table())}; }
/// Routes as rows of a table, a row a leg.
table_shape route_shape() {
  return {.columns = cell_columns(route_table()), .parts = "legs", .part_columns = cell_columns(leg_table())};
}

/// The file of a table, and what it has that is no record.
void take_table(const json_document& table, fleet_draft& f) {
  f.files.push_back(table.read());
  for (std::string& text : lines_of(table.left_out())) f.left_out.push_back(std::move(text));
}

/// Lets `take` have every record of a list, or of the table that stands in its place.
template <class Take>
void for_each_row(const json_node& node, fleet_draft& f, const table_shape& shape, Take take) {
  const auto take_all = [&](const json_node& list) {
    for (const json_node& item : list.items()) item.go_on_after([&] { take(item); });
  };
  if (!node.is_text()) return take_all(node);
  const json_document document(node.file(), shape, node.noted());
  take_table(document, f);
  take_all(document.root());
}

struct fleet_keys {
  static kind_words list_words(std::string_view record) {
    const std::string ref = "#/$defs/" + std::string(record);
    return {"list of: " + std::string(record), {}, {{"type", "array"}, {"items", {{"$ref", ref}}}, {"minItems", 1}}};
  }
  static kind_words table_words(std::string_view record) {
    kind_words w = list_words(record);
    return {w.kind + ", or a file of it", {}, {{"anyOf", {w.schema, {{"type", "string"}}}}}};
  }

  static void read_greases(const json_node& node, fleet_draft& f) {
    if (node.is_text()) {
      const json_document document(node.file(), grease_shape(), node.noted());
      take_table(document, f);
      f.greases = read_grease_table(document.root());
    } else {
      f.greases = read_grease_list(node);
    }
    if (f.greases.empty()) node.refuse("is empty", "one grease or more");
  }
  static json write_greases(const fleet_draft& f) {
    json list = json::array();
    for (const evidence& e : f.greases) list.push_back(write_grease(e));
    return list;
  }
  static kind_words grease_words() { return table_words("grease"); }

  static void read_installations(const json_node& node, fleet_draft& f) {
    /// Installations that share a schedule, and the names in it.
    struct sharing {
      std::set<std::string, std::less<>> sharers{};
      std::map<std::string, place, std::less<>> owners{};
    };
    std::map<std::string, sharing> schedules;
    const bool clean = node.go_on_after([&] {
      for_each_row(node, f, installation_shape(), [&](const json_node& item) {
        installation_draft i = read_installation(item);
        if (i.schedule) {
          sharing& own = schedules[i.schedule_source.identity()];
          own.sharers.insert(i.name);
          own.owners.merge(i.owners);
          if (f.files.back() != *i.schedule) f.files.push_back(*i.schedule);
        }
        add_installation(item, f, std::move(i));
      });
    });
    f.systems_are_well = clean;
    if (!clean) return;  // rows of an installation that was refused belong to nobody
    for (const auto& [identity, own] : schedules) refuse_orphans(own.owners, own.sharers, node.noted());
  }
  static json write_installations(const fleet_draft& f) {
    json list = json::array();
    for (const installation& i : f.installations) list.push_back(write_installation(i));
    return list;
  }
  static kind_words installation_words() { return table_words("installation"); }

  static void read_routes(const json_node& node, fleet_draft& f) {
    for_each_row(node, f, route_shape(), [&](const json_node& item) {
      route_draft r;
      const bool clean = read_record(item, route_table(), r);
      if (clean && !f.installations.empty()) item.go_on_after([&] { resolve_installations(item, f, r); });
      add_route(item, f, std::move(r));
    });
  }
  static json write_routes(const fleet_draft& f) {
    json list = json::array();
    for (const route& r : f.routes) {
      route_draft draft{r, {}, false};
      for (const std::size_t i : r.installations) draft.systems.push_back(f.installations[i].name);
      list.push_back(write_record(draft, route_table()));
    }
    return list;
  }
  static kind_words route_words() { return table_words("route"); }

  static void read_pools(const json_node& node, fleet_draft& f) {
    for (const json_node& item : node.items()) {
      item.go_on_after([&] {
        pool_draft p;
        if (!read_record(item, pool_table(), p) || f.installations.empty()) return;
        resolve_installations(item, f, p);
        add_pool(item, f, std::move(p));
      });
    }
  }
  static void read_tows(const json_node& node, fleet_draft& f) {
    for (const json_node& item : node.items()) {
      item.go_on_after([&] {
        tow_draft draft;
        if (!read_record(item, tow_table(), draft) || f.routes.empty()) return;
        tow t{.name = draft.name};
        const auto nodes = item.need("routes").items();
        for (std::size_t i = 0; i < nodes.size(); ++i) {
          const auto found = routes_called(f, draft.routes[i]);
          if (found.empty())
            nodes[i].refuse("no route is called " + in_quotes(draft.routes[i]), "a name from \"routes\" or \"pools\"");
          if (std::ranges::find_first_of(t.routes, found) != t.routes.end())
            nodes[i].refuse(in_quotes(draft.routes[i]) + " stands twice", "each route or pool once");
          t.routes.insert(t.routes.end(), found.begin(), found.end());
        }
        add_tow(item, f, std::move(t));
      });
    }
  }
  static json write_tows(const fleet_draft& f) {
    json list = json::array();
    for (const tow& t : f.tows) {
      tow_draft draft{.name = t.name};
      for (const std::size_t r : t.routes) draft.routes.push_back(f.routes[r].name);
      list.push_back(write_record(draft, tow_table()));
    }
    return list.empty() ? json() : list;
  }
  static kind_words tow_words() {
    kind_words w = list_words("tow");
    w.schema.erase("minItems");
    return w;
  }

  /// A grease for all installations, or an object of installations and their greases.
  static void read_keep(const json_node& node, fleet_draft& f) {
    if (f.installations.empty() || f.greases.empty()) return;  // refused already
    const auto grease_of = [&](const json_node& name) {
      const auto found = std::ranges::find(f.greases, name.text(), &evidence::name);
      if (found == f.greases.end())
        name.refuse("no grease is called " + in_quotes(name.text()), "a name from \"greases\"");
      return static_cast<std::size_t>(found - f.greases.begin());
    };
    if (node.is_text()) {
      const std::size_t g = grease_of(node);
      for (std::size_t i = 0; i < f.installations.size(); ++i) f.keep.push_back({i, g});
      return;
    }
    for (const auto& [name, value] : node.members()) {
      const auto found = f.installation_names.find(name);
      if (!found) value.refuse("no installation is called " + in_quotes(name), "a name from \"installations\"");
      f.keep.push_back({*found, grease_of(value)});
    }
  }
  static json write_keep(const fleet_draft& f) {
    json kept = json::object();
    for (const kept_grease& k : f.keep) kept[f.installations[k.installation].name] = f.greases[k.grease].name;
    return kept.empty() ? json() : kept;
  }
  static kind_words keep_words() {
    json choices = json::array();
    choices.push_back({{"type", "string"}});
    choices.push_back({{"type", "object"}, {"additionalProperties", {{"type", "string"}}}});
    json schema = json::object();  // clang 14 leaks what a nested list of initializers holds
    schema["anyOf"] = std::move(choices);
    return {"name of a grease, or an object of installations and theirs", {}, std::move(schema)};
  }

  static void read_readings_of(const json_node& node, fleet_draft& f) {
    // What a gauge may show is computed from the systems; where one was refused, that comes first.
    if (f.systems_are_well && !f.installations.empty() && !f.greases.empty()) take_readings(f, node.file());
  }
  static json write_readings(const fleet_draft& f) { return f.readings.empty() ? json() : json(f.readings.name()); }

  static kind_words pool_words() {
    kind_words w = list_words("pool");
    w.schema.erase("minItems");
    return w;
  }
};

const record_table<fleet_draft>& fleet_table() {
  using r = fleet_draft;
  using own = fleet_keys;
  static constexpr std::array keys{
      field<r, &r::about, text_kind>("about", "shown above the answer"),
      key<r>{"greases", true, {}, "at hand", &own::grease_words, &own::read_greases, nullptr, &own::write_greases},
      key<r>{"installations",
             true,
             {},
             "grease systems, by kind of vehicle",
             &own::installation_words,
             &own::read_installations,
             nullptr,
             &own::write_installations},
      key<r>{
          "routes", true, {}, "with their weather", &own::route_words, &own::read_routes, nullptr, &own::write_routes},
      key<r>{"pools",
             false,
             {},
             "units that roam over several routes",
             &own::pool_words,
             &own::read_pools,
             nullptr,
             nullptr},
      key<r>{"tows",
             false,
             {},
             "fills that are coupled on one road, beside those of pools and separate_fills",
             &own::tow_words,
             &own::read_tows,
             nullptr,
             &own::write_tows},
      field<r, &r::policy, record_kind<policy, &policy_table>>("policy", "how careful to be"),
      key<r>{"keep",
             false,
             {},
             "what is in the lines already: what if it stays",
             &own::keep_words,
             &own::read_keep,
             nullptr,
             &own::write_keep},
      key<r>{"readings",
             false,
             {},
             "a CSV of readings on running systems: what the gauge showed on cold mornings",
             &text_kind::words,
             &own::read_readings_of,
             nullptr,
             &own::write_readings}};
  static constexpr record_table<r> table{"fleet", "a fleet: greases, grease systems, routes, and how careful to be",
                                         keys};
  return table;
}

fleet read_with(const source& file, const refusals& noted) {
  const json_document document(file, noted);
  const json_node root = document.root();
  fleet_draft f;
  f.files.push_back(document.read());
  const bool clean = read_record(root, fleet_table(), f);
  if (clean && f.routes.empty()) root.need("routes").refuse("is empty", "one route or more");
  if (clean) root.at([&] { validate(f.policy); });
  if (clean) root.go_on_after([&] { root.at([&] { currency_of(f.greases, f.policy); }); });
  if (clean && f.policy.prefer == preference::cheapest) {
    const json_node asked = root.need("policy");
    asked.go_on_after([&] { asked.at([&] { need_prices(f.greases, f.policy); }); });
  }
  return f;
}

/// Calls `take` with the table of every record, the fleet first.
template <class Take>
void for_each_record(Take take) {
  take(fleet_table());
  take(grease_table());
  take(curve_point_table());
  take(flow_pressure_table());
  take(installation_table());
  take(feed_table());
  take(line_table());
  take(segment_table());
  take(rules_table());
  take(class_window_table());
  take(route_table());
  take(leg_table());
  take(pool_table());
  take(tow_table());
  take(policy_table());
  take(heat_limit_table());
  take(costs_table());
}

}  // namespace

fleet read_fleet(const source& file) { return read_with(file, {}); }

void take_readings(fleet& f, const source& file) {
  std::vector<std::string> greases;
  for (const evidence& e : f.greases) greases.push_back(e.name);
  readings_file read = read_readings(file, f.installations, greases);
  f.readings = file;
  f.files.push_back(read.read);
  f.taken = std::move(read.readings);
  f.left_out.insert(f.left_out.end(), read.left_out.begin(), read.left_out.end());
}

fleet_reading proofread_fleet(const source& file) {
  fleet_reading out;
  const refusals noted(out.problems);
  noted.go_on_after([&] { out.fleet = read_with(file, noted); });
  // A schedule that several installations share is read for each of them.
  std::set<std::string> told;
  std::erase_if(out.problems, [&](const file_error& e) { return !told.insert(e.what()).second; });
  if (!out.problems.empty()) out.fleet.reset();
  return out;
}

std::string write_fleet(const fleet& f) {
  try {
    return write_record(fleet_draft{f}, fleet_table()).dump(2) + "\n";
  } catch (const json::exception&) {
    throw input_error("fleet", "holds a text that is no UTF-8", "UTF-8");
  }
}

std::vector<record_words> fleet_records() {
  std::vector<record_words> out;
  for_each_record([&](const auto& table) { out.push_back(words_of_record(table)); });
  return out;
}

std::string fleet_schema() {
  json schema = {{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"title", "coldgrease fleet"}};
  json records = json::object();
  for_each_record([&](const auto& table) { records[std::string(table.name)] = schema_of_record(table); });
  records["grease"] = grease_schema();
  schema.update(records["fleet"]);
  records.erase("fleet");
  schema["$defs"] = std::move(records);
  return schema.dump(2) + "\n";
}

}  // namespace coldgrease::inline v0
