#include "coldgrease/plan/fleet.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <filesystem>

#include "base/json_node.hpp"
#include "coldgrease/grease/consistency.hpp"
#include "grease/grease_json.hpp"
#include "line/installation_json.hpp"

namespace coldgrease::inline v0 {

namespace {

using detail::json_node;

std::string beside(const std::string& folder, const std::string& file) {
  return (std::filesystem::path(folder) / file).string();
}

leg read_leg(const json_node& node, const std::string& folder) {
  node.only({"station", "weather", "design", "format", "unit", "utc_offset", "lag", "night_sky", "elevation", "highest",
             "hours"});
  leg l;
  if (const auto station = node.find("station")) l.station = l.options.station = station->text();
  const auto design = node.find("design");
  if (design) {
    if (node.find("weather")) node.refuse("\"weather\" and \"design\" are both given", "one of them");
    for (const char* key : {"utc_offset", "lag", "night_sky"}) {
      if (const auto v = node.find(key)) v->refuse("a published design value has no hours", "a weather file for it");
    }
    l.design = design->text();
    design->at([&] { return find_design_values(l.design); });
  } else {
    l.weather = beside(folder, node.need("weather").text());
  }
  if (const auto format = node.find("format")) {
    l.options.format = format->text();
    format->at([&] { check_weather_format(l.options.format, {}); });
  }
  if (const auto unit = node.find("unit")) l.options.unit = unit->text();
  if (const auto offset = node.find("utc_offset")) {
    l.options.utc_offset = offset->quantity<duration>();
    offset->at([&] { check_utc_offset(*l.options.utc_offset, {}); });
  }
  if (const auto lag = node.find("lag")) l.soak.lag = lag->quantity<duration>(sign::not_negative);
  if (const auto sky = node.find("night_sky")) {
    l.soak.night_sky = sky->quantity<temperature_step>(sign::not_negative);
    sky->at([&] { validate(l.soak, "lag", {}); });
  }
  if (const auto elevation = node.find("elevation")) l.elevation = elevation->quantity<length>();
  if (const auto highest = node.find("highest")) l.highest = highest->quantity<length>();
  if (l.elevation.has_value() != l.highest.has_value())
    node.refuse("\"elevation\" and \"highest\" go together", "both or neither");
  if (const auto hours = node.find("hours")) {
    l.hours = hours->number();
    if (!(*l.hours > 0.0)) hours->refuse(fmt::format("{}", *l.hours), "above 0");
  }
  return l;
}

policy read_policy(const json_node& node) {
  node.only({"confidence", "share", "return_years", "seasons", "carry_over", "softest_in_heat", "risk", "costs"});
  policy p;
  if (const auto v = node.find("confidence")) p.confidence = v->number();
  if (const auto v = node.find("share")) p.share = v->number();
  if (const auto v = node.find("return_years")) p.return_years = v->number();
  if (const auto v = node.find("seasons")) p.seasons = v->whole_number(1, 4);
  if (const auto v = node.find("carry_over")) p.carry_over = v->quantity<duration>(sign::positive);
  if (const auto v = node.find("softest_in_heat")) {
    v->only({"nlgi", "above"});
    p.softest_in_heat = heat_limit{v->need("nlgi").text(), v->need("above").quantity<temperature>()};
    v->need("nlgi").at([&] { return parse_nlgi(p.softest_in_heat->nlgi, {}); });
  }
  if (const auto v = node.find("risk")) p.risk = v->number();
  if (const auto v = node.find("costs")) {
    v->only({"changeover", "starved"});
    if (const auto cost = v->find("changeover")) p.costs.changeover = cost->number();
    if (const auto cost = v->find("starved")) p.costs.starved = cost->number();
  }
  try {
    validate(p);
  } catch (const input_error& error) {
    throw at(node.where(), error);
  }
  return p;
}

std::vector<std::size_t> read_installation_names(const json_node& list, const fleet& f) {
  std::vector<std::size_t> indices;
  for (const json_node& i : list.items()) {
    const auto found = std::ranges::find(f.installations, i.text(), &installation::name);
    if (found == f.installations.end())
      i.refuse("no installation is called " + in_quotes(i.text()), "a name from \"installations\"");
    indices.push_back(static_cast<std::size_t>(found - f.installations.begin()));
  }
  if (indices.empty()) list.refuse("is empty", "one installation or more");
  return indices;
}

/// Units that roam: one route over the legs of all they visit, so that the coldest governs.
route read_pool(const json_node& node, const fleet& f) {
  node.only({"name", "region", "visits", "installations", "vehicles"});
  route r;
  r.name = node.need("name").text();
  if (const auto region = node.find("region")) r.region = region->text();
  for (const json_node& visit : node.need("visits").items()) {
    const std::string name = visit.text();
    // A route with separate fills stands as several, all over the same legs.
    const auto found = std::ranges::find_if(
        f.routes, [&](const route& known) { return known.name == name || known.name.starts_with(name + ": "); });
    if (found == f.routes.end())
      visit.refuse("no route is called " + in_quotes(visit.text()), "a name from \"routes\"");
    r.legs.insert(r.legs.end(), found->legs.begin(), found->legs.end());
  }
  if (r.legs.empty()) node.need("visits").refuse("is empty", "one route or more");
  r.installations = read_installation_names(node.need("installations"), f);
  if (const auto vehicles = node.find("vehicles")) r.vehicles = vehicles->whole_number(0, 1000000);
  return r;
}

/// Refuses two records of one name.
template <class Record>
void distinct(const std::vector<Record>& records, const json_node& node) {
  const auto& name = records.back().name;
  if (std::ranges::count(records, name, &Record::name) > 1)
    node.need("name").refuse("the name " + in_quotes(name) + " stands twice", "distinct names");
}

}  // namespace

void validate(const policy& p) {
  constexpr double most_money = 1e9;  // sums of a fleet stay numbers
  check_confidence(p.confidence, "confidence");
  if (!(p.share > 0.0 && p.share <= 0.1))
    throw input_error("share", fmt::format("{}", p.share), "above 0 and at most 0.1");
  if (!(p.return_years >= 2.0 && p.return_years <= 100.0))
    throw input_error("return_years", fmt::format("{}", p.return_years), "2 to 100");
  if (p.seasons < 1 || p.seasons > 4) throw input_error("seasons", fmt::format("{}", p.seasons), "1 to 4");
  if (!(p.risk > 0.0 && p.risk <= 0.5)) throw input_error("risk", fmt::format("{}", p.risk), "above 0 and at most 0.5");
  for (const double cost : {p.costs.changeover, p.costs.starved}) {
    if (!(cost >= 0.0 && cost <= most_money)) throw input_error("costs", fmt::format("{}", cost), "0 to 1e9");
  }
  if (!(in_days(p.carry_over) > 0.0)) throw input_error("carry_over", "is not above 0", "a time");
  if (p.softest_in_heat) parse_nlgi(p.softest_in_heat->nlgi, "softest_in_heat");
}

fleet parse_fleet(std::string_view json, std::string_view name) {
  const detail::json_document document(json, std::string(name));
  const json_node root = document.root();
  root.only({"about", "greases", "installations", "routes", "pools", "policy"});
  const std::string folder = std::filesystem::path(name).parent_path().string();

  fleet f;
  if (const auto about = root.find("about")) f.about = about->text();
  const json_node greases = root.need("greases");
  if (greases.is_text()) f.files.push_back(beside(folder, greases.text()));
  f.greases = greases.is_text() ? read_greases(f.files.back()) : detail::read_grease_list(greases);
  if (f.greases.empty()) greases.refuse("is empty", "one grease or more");
  for (const json_node& node : root.need("installations").items()) {
    f.installations.push_back(detail::read_installation(node, folder));
    if (const auto lines = node.find("lines_file")) f.files.push_back(beside(folder, lines->text()));
    distinct(f.installations, node);
  }
  for (const json_node& node : root.need("routes").items()) {
    node.only({"name", "region", "legs", "installations", "vehicles", "separate_fills"});
    route r;
    r.name = node.need("name").text();
    if (const auto region = node.find("region")) r.region = region->text();
    for (const json_node& l : node.need("legs").items()) r.legs.push_back(read_leg(l, folder));
    if (r.legs.empty()) node.need("legs").refuse("is empty", "one leg or more");
    r.installations = read_installation_names(node.need("installations"), f);
    if (const auto vehicles = node.find("vehicles")) r.vehicles = vehicles->whole_number(0, 1000000);
    const auto separate = node.find("separate_fills");
    if (separate && separate->yes_or_no() && r.installations.size() > 1) {
      // A tractor and its trailer filled with greases of their own are two answers.
      for (const std::size_t i : r.installations) {
        route own = r;
        own.name += ": " + f.installations[i].name;
        own.installations = {i};
        f.routes.push_back(std::move(own));
        distinct(f.routes, node);
      }
      continue;
    }
    f.routes.push_back(std::move(r));
    distinct(f.routes, node);
  }
  if (const auto pools = root.find("pools")) {
    for (const json_node& node : pools->items()) {
      f.routes.push_back(read_pool(node, f));
      distinct(f.routes, node);
    }
  }
  if (f.routes.empty()) root.need("routes").refuse("is empty", "one route or more");
  if (const auto p = root.find("policy")) f.policy = read_policy(*p);
  return f;
}

fleet read_fleet(const std::string& path) {
  fleet f = parse_fleet(detail::read_file(path), path);
  f.files.insert(f.files.begin(), path);
  return f;
}

}  // namespace coldgrease::inline v0
