// Fleet files: the records that only a fleet has, reading, writing, and what is said of their keys.
#include <algorithm>
#include <map>
#include <set>
#include <unordered_map>

#include "base/record.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/plan/fleet.hpp"
#include "grease/grease_json.hpp"
#include "line/installation_json.hpp"
#include "line/schedule.hpp"

namespace coldgrease::inline v0 {

namespace {

using namespace detail;

// --- ranges, as validate(policy) has them

struct confidence_range {
  static constexpr double least = least_confidence, most = most_confidence;
  static constexpr bool above = false;
  static constexpr std::string_view expected = "0.55 to 0.99";
};
struct month_share_range {
  static constexpr double least = 0.0, most = 0.1;
  static constexpr bool above = true;
  static constexpr std::string_view expected = "above 0 and at most 0.1";
};
struct years_range {
  static constexpr double least = 2.0, most = 100.0;
  static constexpr bool above = false;
  static constexpr std::string_view expected = "2 to 100";
};
struct risk_range {
  static constexpr double least = 0.0, most = 0.5;
  static constexpr bool above = true;
  static constexpr std::string_view expected = "above 0 and at most 0.5";
};
struct line_volumes_range {
  static constexpr double least = 1.0, most = 10.0;
  static constexpr bool above = false;
  static constexpr std::string_view expected = "1 to 10";
};
struct trip_hours_range {
  static constexpr double least = 0.0, most = 1e6;
  static constexpr bool above = true;
  static constexpr std::string_view expected = "above 0 and at most 1e6";
};

struct weather_format_text {
  static constexpr const char* name = "format of a weather file";
  static void check(std::string_view text) { check_weather_format(text, {}); }
};

// --- legs

struct station_key {
  static void read(const json_node& node, leg& into) { into.station = into.options.station = node.text(); }
  static void read_cell(std::string_view cell, leg& into) { into.station = into.options.station = cell; }
  static json write(const leg& l) { return l.station.empty() ? json() : json(l.station); }
};

struct weather_key {
  static void read(const json_node& node, leg& into) { into.weather = node.file(); }
  static json write(const leg& l) {
    const weather_options& o = l.options;
    if (o.station != l.station || o.year_from || o.year_to || o.accepted_codes != weather_options{}.accepted_codes)
      throw input_error("weather", "is read by options that have no key in a file",
                        "station, format, unit, utc_offset");
    if (l.series) throw input_error("weather", "is in memory", "a file of it, for a fleet file to name");
    return l.weather.empty() ? json() : json(l.weather.name());
  }
};

struct design_kind : text_kind {
  static type read(const json_node& node) {
    std::string station = node.text();
    node.at([&] { find_design_values(station); });
    return station;
  }
};

/// A field of a part of the leg: of the options its weather is read by, or of what grease makes of the air.
template <auto Part, auto Member, class Kind>
constexpr key<leg> part_key(std::string_view name, std::string_view meaning, std::string_view fallback) {
  return {.name = name,
          .needed = false,
          .fallback = fallback,
          .meaning = meaning,
          .words = &Kind::words,
          .read = [](const json_node& node, leg& into) { into.*Part.*Member = Kind::read(node); },
          .read_cell = [](std::string_view cell, leg& into) { into.*Part.*Member = Kind::read(cell); },
          .write = [](const leg& l) { return written_field<Member, Kind>(l.*Part); }};
}

const record_table<leg>& leg_table() {
  using r = leg;
  using height = quantity_kind<length, measure::height>;
  static constexpr std::array keys{
      key<r>{.name = "station",
             .needed = false,
             .fallback = "the one of the file",
             .meaning = "shown, and looked for in the file",
             .words = &text_kind::words,
             .read = &station_key::read,
             .read_cell = &station_key::read_cell,
             .write = &station_key::write},
      key<r>{.name = "weather",
             .needed = false,
             .fallback = {},
             .meaning = "a weather file, beside this file",
             .words = &text_kind::words,
             .read = &weather_key::read,
             .read_cell = nullptr,
             .write = &weather_key::write},
      field<r, &r::design, design_kind>("design", "a station of published design values, in place of a weather file"),
      part_key<&leg::options, &weather_options::format, checked_text<weather_format_text>>(
          "format", "one of dly, csv, epw, ghcnh, by-year, normals", "told from the content"),
      part_key<&leg::options, &weather_options::unit, text_kind>("unit", "of a CSV: C, F, K or 0.1 C",
                                                                 "that of the column's name"),
      part_key<&leg::options, &weather_options::utc_offset, quantity_kind<duration, measure::local_time>>(
          "utc_offset", "local time less UTC, of times in UTC", "the longitude by 15 degrees an hour"),
      part_key<&leg::options, &weather_options::duplicates, word_kind<duplicate_rule>>(
          "duplicates", "which of two values for one day or hour counts, if they are not the same", "refused"),
      part_key<&leg::soak, &soak::lag, quantity_kind<duration, measure::lag>>("lag", "of the grease behind the air",
                                                                              "0 h"),
      part_key<&leg::soak, &soak::night_sky, quantity_kind<temperature_step, measure::night_sky>>(
          "night_sky", "that a clear night cools parts below the air", "0 K"),
      field<r, &r::elevation, height>("elevation", "of the station"),
      field<r, &r::highest, height>("highest", "point of the road; 6.5 K colder a kilometre above the station"),
      field<r, &r::hours, number_kind<trip_hours_range>>("hours", "hours that a trip spends on this leg")};
  static constexpr std::array groups{key_group{group_rule::exactly_one, {"weather", "design"}},
                                     key_group{group_rule::all_or_none, {"elevation", "highest"}}};
  static constexpr record_table<r> table{"leg", "a part of a route, with its weather", keys, groups};
  return table;
}

struct leg_kind : record_kind<leg, &leg_table> {
  static type read(const json_node& node) {
    leg l;
    if (!read_record(node, leg_table(), l)) return l;
    if (!l.design.empty()) {
      for (const char* name : {"utc_offset", "lag", "night_sky"}) {
        if (const auto v = node.find(name)) v->refuse("a published design value has no hours", "a weather file for it");
      }
    }
    if (l.elevation && l.highest && *l.highest < *l.elevation)
      node.need("highest").refuse(exact_text(*l.highest) + " is below the station", "\"elevation\" or more");
    return l;
  }
};

// --- routes and pools, as a file has them

struct route_draft : route {
  std::vector<std::string> systems{};  // names of installations
  bool separate_fills = false;
};
struct pool_draft : route_draft {
  std::vector<std::string> visits{};
  std::optional<duration> rest{};
};

using names = list_kind<name_kind, list_rule::not_empty>;

const record_table<route_draft>& route_table() {
  using r = route_draft;
  using legs = list_kind<leg_kind, list_rule::not_empty>;
  static constexpr std::array keys{
      needed<r, &r::name, name_kind>("name", "by which the route is called; distinct"),
      field<r, &r::region, text_kind>("region", "for which the grease is bought"),
      needed<r, &r::legs, legs>("legs", "of the route; the coldest one governs"),
      needed<r, &r::systems, names>("installations", "on the vehicles of this route, by name"),
      field<r, &r::vehicles, whole_kind<0, 1000000>>("vehicles", "on this route", "1"),
      field<r, &r::separate_fills, yes_or_no_kind>("separate_fills", "each installation has a grease of its own",
                                                   "false")};
  static constexpr record_table<r> table{"route", "where vehicles go, and what is on them", keys};
  return table;
}

const record_table<pool_draft>& pool_table() {
  using r = pool_draft;
  static constexpr std::array keys{
      needed<r, &r::name, name_kind>("name", "by which the pool is called; distinct"),
      field<r, &r::region, text_kind>("region", "for which the grease is bought"),
      needed<r, &r::visits, names>("visits", "routes that its vehicles go on, by name"),
      needed<r, &r::systems, names>("installations", "on the vehicles of the pool, by name"),
      field<r, &r::vehicles, whole_kind<0, 1000000>>("vehicles", "of the pool", "1"),
      field<r, &r::rest, rest_kind>("rest", "before a start: units that stand for days", "that of the installations")};
  static constexpr record_table<r> table{"pool", "units that roam: the coldest leg of all their routes governs", keys};
  return table;
}

/// A tow by the names of its routes.
struct tow_draft {
  std::string name{};
  std::vector<std::string> routes{};
};

const record_table<tow_draft>& tow_table() {
  using r = tow_draft;
  static constexpr std::array keys{
      needed<r, &r::name, name_kind>("name", "by which the tow is called"),
      needed<r, &r::routes, names>("routes", "or pools, by name: the fills that are coupled on one road")};
  static constexpr record_table<r> table{
      "tow", "vehicles coupled on one road that hold fills of their own; pools and separate_fills make theirs", keys};
  return table;
}

// --- policy

const record_table<heat_limit>& heat_limit_table() {
  using r = heat_limit;
  static constexpr std::array keys{needed<r, &r::nlgi, checked_text<nlgi_text>>("nlgi", "softest class"),
                                   needed<r, &r::above, quantity_kind<temperature, measure::air_temperature>>(
                                       "above", "on days whose hottest hours are above this")};
  static constexpr record_table<r> table{"heat_limit", "the owner's own limit for summer", keys};
  return table;
}

const record_table<plan_costs>& costs_table() {
  using r = plan_costs;
  static constexpr std::array keys{
      field<r, &r::changeover, money_kind>("changeover", "labour of one vehicle's change", "not stated"),
      field<r, &r::starved, money_kind>("starved", "of a winter in which a point of one vehicle runs dry",
                                        "not stated: no risk in money")};
  static constexpr record_table<r> table{"costs", "in the currency of the prices", keys};
  return table;
}

const record_table<policy>& policy_table() {
  using r = policy;
  static constexpr std::array keys{
      field<r, &r::confidence, number_kind<confidence_range>>("confidence", "chance of flow that is asked for", "0.8"),
      field<r, &r::share, number_kind<month_share_range>>(
          "share", "of the hours of 31 days that may be colder than their middle is judged at", "0.01"),
      field<r, &r::return_years, number_kind<years_range>>("return_years", "of the minimum shown beside it", "10"),
      field<r, &r::fills, whole_kind<1, 4>>("fills", "most fills a year", "2"),
      field<r, &r::prefer, word_kind<preference>>("prefer", "of all that passes", "stiffest"),
      field<r, &r::carry_over, quantity_kind<duration, measure::carry_over>>(
          "carry_over", "how long old grease lasts where it is not known", "90 days"),
      field<r, &r::line_volumes, number_kind<line_volumes_range>>(
          "line_volumes", "of a line that must pass before its old grease counts as used up", "1"),
      field<r, &r::at_change, word_kind<change_practice>>("at_change", "what is done with the old grease",
                                                          "emptied, and purged where that gives no answer"),
      field<r, &r::softest_in_heat, record_kind<heat_limit, &heat_limit_table>>(
          "softest_in_heat", "the owner's own limit for summer", "none"),
      field<r, &r::risk, number_kind<risk_range>>("risk", "yearly, that cold comes before a change-over date", "0.1"),
      field<r, &r::costs, record_kind<plan_costs, &costs_table>>("costs", "beside the grease", "none")};
  static constexpr record_table<r> table{"policy", "how careful to be, and how a year is cut", keys};
  return table;
}

// --- the fleet

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

/// A fleet that is being read: its names in the order of hashes, as a fleet may have a hundred thousand of them.
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

/// Lets `take` have every record of a list, or of the table that stands in its place.
template <class Take>
void for_each_row(const json_node& node, fleet_draft& f, const table_shape& shape, Take take) {
  const auto take_all = [&](const json_node& list) {
    for (const json_node& item : list.items()) item.go_on_after([&] { take(item); });
  };
  if (!node.is_text()) return take_all(node);
  const json_document document(node.file(), shape, node.noted());
  f.files.push_back(document.read());
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
      f.files.push_back(document.read());
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
