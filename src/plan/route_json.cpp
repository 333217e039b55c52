#include "plan/route_json.hpp"

#include "line/installation_json.hpp"

namespace coldgrease::inline v0::detail {

namespace {

struct trip_hours_range {
  static constexpr double least = 0.0, most = 1e6;
  static constexpr bool above = true;
  static constexpr std::string_view expected = "above 0 and at most 1e6";
};

struct weather_format_text {
  static constexpr const char* name = "format of a weather file";
  static void check(std::string_view text) { check_weather_format(text, {}); }
};

struct station_key {
  static void read(const json_node& node, leg& into) { into.station = into.options.station = node.text(); }
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
          .read_cell = nullptr,
          .write = [](const leg& l) { return written_field<Member, Kind>(l.*Part); }};
}

}  // namespace

const record_table<leg>& leg_table() {
  using r = leg;
  using height = quantity_kind<length, measure::height>;
  static constexpr std::array keys{
      key<r>{.name = "station",
             .needed = false,
             .fallback = "the one of the file",
             .meaning = "shown, and looked for in the file by its id or its name there",
             .words = &text_kind::words,
             .read = &station_key::read,
             .read_cell = nullptr,
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

namespace {

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

}  // namespace

const record_table<route_draft>& route_table() {
  using r = route_draft;
  using names = list_kind<name_kind, list_rule::not_empty>;
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
  using names = list_kind<name_kind, list_rule::not_empty>;
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

const record_table<tow_draft>& tow_table() {
  using r = tow_draft;
  using names = list_kind<name_kind, list_rule::not_empty>;
  static constexpr std::array keys{
      needed<r, &r::name, name_kind>("name", "by which the tow is called"),
      needed<r, &r::routes, names>("routes", "or pools, by name: the fills that are coupled on one road")};
  static constexpr record_table<r> table{
      "tow", "vehicles coupled on one road that hold fills of their own; pools and separate_fills make theirs", keys};
  return table;
}

}  // namespace coldgrease::inline v0::detail
