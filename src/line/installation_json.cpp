#include "line/installation_json.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "grease/grease_json.hpp"
#include "line/schedule.hpp"

namespace coldgrease::inline v0::detail {

namespace {

struct hours_range {
  static constexpr double least = 0.0, most = 24.0;
  static constexpr bool above = true;
  static constexpr std::string_view expected = "above 0 and at most 24";
};

struct days_range {
  static constexpr double least = 0.0, most = days_a_week;
  static constexpr bool above = true;
  static constexpr std::string_view expected = "above 0 and at most 7";
};
struct movements_range {
  static constexpr double least = 0.0, most = 1e6;
  static constexpr bool above = true;
  static constexpr std::string_view expected = "above 0 and at most 1e6";
};

/// "45 mm x 50 mm": diameter x length of a plain bearing.
struct bearing_kind {
  using type = bearing_size;
  static type read(const json_node& node) {
    const std::string text = node.text();
    return node.at([&] { return read(text); });
  }
  static type read(std::string_view text) {
    const auto cut = text.find('x');
    if (cut == std::string_view::npos)
      throw input_error("", in_quotes(text) + " is no bearing", "diameter x length: \"45 mm x 50 mm\"");
    return {parse<length>(text.substr(0, cut), {}, measure::bearing_size),
            parse<length>(text.substr(cut + 1), {}, measure::bearing_size)};
  }
  static json write(const type& b) { return exact_text(b.diameter) + " x " + exact_text(b.length); }
  static kind_words words() {
    return {"diameter x length", quantity_words_of<length>().units, {{"type", "string"}, {"pattern", "x"}}};
  }
};

/// "0.8 cm3" on a day in service, or "0.1 cm3 per 100 movements".
struct need_kind {
  using type = point_need;
  static constexpr std::string_view per = " per ", counted = " movements";
  static type read(const json_node& node) {
    const std::string text = node.text();
    return node.at([&] { return read(text); });
  }
  static type read(std::string_view text) {
    const auto cut = text.find(per);
    point_need n{parse<volume>(text.substr(0, cut), {}, measure::point_need)};
    if (cut == std::string_view::npos) return n;
    const std::string_view rest = text.substr(cut + per.size());
    if (!rest.ends_with(counted))
      throw input_error("", in_quotes(text) + " is no need of a point",
                        R"("0.8 cm3" on a day in service, or "0.1 cm3 per 100 movements")");
    n.movements = number_kind<movements_range>::checked(parse_number(rest.substr(0, rest.size() - counted.size()), {}));
    return n;
  }
  static json write(const type& n) {
    const std::string text = exact_text(n.volume);
    return n.movements ? fmt::format("{}{}{}{}", text, per, *n.movements, counted) : text;
  }
  static kind_words words() {
    std::string pattern = pattern_of<volume>(sign::positive);
    pattern.insert(pattern.size() - 1, "( per .+ movements)?");  // before its end
    return {"volume, or volume per so many movements",
            quantity_words_of<volume>().units,
            {{"type", "string"}, {"pattern", pattern}}};
  }
};

/// "6 mm x 1 mm": outside diameter x wall, kept as bore and wall.
struct tube_key {
  static void read(const json_node& node, segment& into) {
    const std::string text = node.text();
    node.at([&] { set_tube(into, text, {}); });
  }
  static void read_cell(std::string_view cell, segment& into) { set_tube(into, cell, {}); }
  static json write(const segment& s) {
    if (!s.bore_from_tube || !s.wall) return {};
    // The sum may be off by the last bit; what reads back to the same bore is written.
    const double outside = in_metre(s.bore) + 2.0 * in_metre(*s.wall);
    std::string text;
    for (const double near : {outside, std::nextafter(outside, 0.0), std::nextafter(outside, 1.0)}) {
      text = exact_text(metre(near)) + " x " + exact_text(*s.wall);
      segment again;
      set_tube(again, text, {});
      if (again.bore == s.bore) break;
    }
    return text;
  }
  static kind_words words() {
    return {"outside diameter x wall", quantity_words_of<length>().units, {{"type", "string"}, {"pattern", "x"}}};
  }
};

/// "gravity", or {"kind", "height", "heated_to"}.
struct feed_value {
  using type = inlet;
  static type read(const json_node& node) {
    if (node.is_text()) return {.kind = word_kind<feed_kind>::read(node), .height = {}, .heated_to = {}};
    return record_kind<inlet, &feed_table>::read(node);
  }
  static json write(const type& feed) { return write_record(feed, feed_table()); }
  static kind_words words() {
    const kind_words word = word_kind<feed_kind>::words(), record = record_kind<inlet, &feed_table>::words();
    return {"one of " + word.kind + ", or a feed", {}, {{"anyOf", {word.schema, record.schema}}}};
  }
};

/// "1.2 L", or what it holds by mass: "4 kg".
struct reservoir_key {
  static void read(const json_node& node, installation_draft& into) {
    const std::string text = node.text();
    // No unit of volume ends as those of mass do: kg, g, lb.
    const std::string_view whole = std::string_view(text).substr(0, text.find_last_not_of(" \t") + 1);
    node.at([&] {
      if (whole.ends_with('g') || whole.ends_with("lb")) {
        into.reservoir_mass = parse<mass>(whole, {}, measure::reservoir_mass);
      } else {
        into.reservoir = parse<volume>(whole, {}, measure::reservoir_volume);
      }
    });
  }
  static json write(const installation_draft& i) {
    if (i.reservoir_mass) return exact_text(*i.reservoir_mass);
    return i.reservoir ? json(exact_text(*i.reservoir)) : json();
  }
  static kind_words words() {
    const kind_words by_volume = quantity_kind<volume, measure::reservoir_volume>::words(),
                     by_mass = quantity_kind<mass, measure::reservoir_mass>::words();
    json schema = json::object();
    json alternatives = {by_volume.schema, by_mass.schema};
    schema["anyOf"] = std::move(alternatives);
    return {by_volume.kind + " or " + by_mass.kind, by_volume.unit + ", " + by_mass.unit, schema};
  }
};

using interval_kind = quantity_kind<duration, measure::interval>;
using texts = list_kind<text_kind>;
using bore_kind = quantity_kind<length, measure::bore>;
using wall_kind = quantity_kind<length, measure::tube_wall>;
using rating_kind = quantity_kind<pressure, measure::part_rating>;
using pump_kind = quantity_kind<pressure, measure::pump_pressure>;

void read_schedule(const json_node& node, installation_draft& into) {
  const source file = node.file();
  into.schedule_source = file;
  scheduled_lines found = read_lines(file, into.name, node.noted());
  into.lines = std::move(found.lines);
  into.left_out = std::move(found.left_out);
  into.schedule = std::move(found.read);
  into.owners = std::move(found.owners);
}

}  // namespace

const record_table<segment>& segment_table() {
  using r = segment;
  static constexpr std::array keys{
      needed<r, &r::length, quantity_kind<length, measure::line_length>>("length", "of the tube"),
      key<r>{.name = "bore",
             .needed = false,
             .fallback = {},
             .meaning = "inner diameter",
             .words = &bore_kind::words,
             .read = [](const json_node& node, r& into) { into.bore = bore_kind::read(node); },
             .read_cell = [](std::string_view cell, r& into) { into.bore = bore_kind::read(cell); },
             .write = [](const r& s) { return s.bore_from_tube && s.wall ? json() : json(exact_text(s.bore)); }},
      key<r>{.name = "tube",
             .needed = false,
             .fallback = {},
             .meaning = "outside diameter and wall, as tube is sold: 6 mm x 1 mm",
             .words = &tube_key::words,
             .read = &tube_key::read,
             .read_cell = &tube_key::read_cell,
             .write = &tube_key::write},
      field<r, &r::offset, quantity_kind<temperature_step, measure::warmer_than_air>>("offset", "warmer than the air",
                                                                                      "0 K"),
      field<r, &r::rating, rating_kind>("rating", "what tube and fittings are rated for"),
      field<r, &r::main, name_kind>("main", "the shared main that it is a part of", "the point's own tube"),
      key<r>{.name = "wall",
             .needed = false,
             .fallback = {},
             .meaning = "thickness of the wall, for the swelling",
             .words = &wall_kind::words,
             .read = [](const json_node& node, r& into) { into.wall = wall_kind::read(node); },
             .read_cell = [](std::string_view cell, r& into) { into.wall = wall_kind::read(cell); },
             .write = [](const r& s) { return s.wall && !s.bore_from_tube ? json(exact_text(*s.wall)) : json(); }},
      field<r, &r::material, word_kind<tube_material>>("material", "of the tube, for the swelling", "polyamide")};
  static constexpr std::array groups{key_group{group_rule::exactly_one, {"bore", "tube"}},
                                     key_group{group_rule::at_most_one, {"wall", "tube"}}};
  static constexpr record_table<r> table{"segment", "a length of tube of one bore, from pump to point", keys, groups};
  return table;
}

const record_table<class_window>& class_window_table() {
  using r = class_window;
  using degrees = quantity_kind<temperature, measure::air_temperature>;
  static constexpr std::array keys{
      field<r, &r::above, degrees>("above", "the air is warmer than this"),
      field<r, &r::below, degrees>("below", "the air is colder than this"),
      needed<r, &r::nlgi, list_kind<nlgi_kind, list_rule::not_empty>>("nlgi", "classes allowed there")};
  static constexpr record_table<r> table{"class_window", "classes that a maker allows between two temperatures", keys};
  return table;
}

const record_table<point_rules>& rules_table() {
  using r = point_rules;
  using windows = list_kind<record_kind<class_window, &class_window_table>>;
  static constexpr std::array keys{
      field<r, &r::excluded, text_kind>("excluded", "why the point must not be on the system"),
      field<r, &r::banned_solids, texts>("ban_solids", "solid lubricants that the maker bans; \"any\" for all"),
      field<r, &r::required_solids, texts>("require_solids", "solid lubricants that the maker asks for"),
      field<r, &r::solids_max, share_kind>("solids_max", "most solids"),
      field<r, &r::banned_thickeners, texts>("ban_thickeners", "thickeners that the maker bans"),
      field<r, &r::required_thickeners, texts>("require_thickeners", "thickeners of which the maker asks for one"),
      field<r, &r::classes, windows>("classes", "classes that the maker allows, by temperature")};
  static constexpr record_table<r> table{"rules", "what the maker of a part allows at its point", keys};
  return table;
}

const record_table<inlet>& feed_table() {
  using r = inlet;
  static constexpr std::array keys{needed<r, &r::kind, word_kind<feed_kind>>("kind", "how grease comes to the pump"),
                                   field<r, &r::height, quantity_kind<length, measure::feed_height>>(
                                       "height", "of the grease over the pump", "0.2 m"),
                                   field<r, &r::heated_to, quantity_kind<temperature, measure::grease_temperature>>(
                                       "heated_to", "a heated reservoir is never colder")};
  static constexpr record_table<r> table{"feed", "how grease comes to the pump", keys};
  return table;
}

const record_table<line>& line_table() {
  using r = line;
  using segments = list_kind<record_kind<segment, &segment_table>, list_rule::not_empty>;
  static constexpr std::array keys{
      needed<r, &r::point, name_kind>("point", "that the line feeds; distinct"),
      needed<r, &r::segments, segments>("segments", "from pump to point"),
      field<r, &r::outlet, quantity_kind<pressure, measure::point_pressure>>(
          "outlet", "pressure that the point asks for", "15 bar"),
      field<r, &r::outlet_at, quantity_kind<temperature, measure::grease_temperature>>(
          "outlet_at", "where outlet was found: it rises in the cold as the yield stress does", "it holds in any cold"),
      needed<r, &r::dose, quantity_kind<volume, measure::dose>>("dose", "a cycle"),
      field<r, &r::in, quantity_kind<duration, measure::dose_time>>("in", "time that the dose is delivered in",
                                                                    "dose over pump_output"),
      field<r, &r::stages, whole_kind<0, 100>>("stages", "dividers between pump and point, progressive", "1"),
      field<r, &r::bearing, bearing_kind>("bearing", "plain bearing at the point, for the volume it asks for"),
      field<r, &r::needs, need_kind>("needs", "what the point asks for on a day in service, or by movements",
                                     "by its bearing"),
      field<r, &r::movements, number_kind<movements_range>>("movements",
                                                            "on a day in service, of an arm or a lift, for needs"),
      field<r, &r::rules, record_kind<point_rules, &rules_table>>("rules", "what the maker of the point allows")};
  static constexpr record_table<r> table{"line", "one line, from the pump to one point", keys};
  return table;
}

const record_table<installation_draft>& installation_table() {
  using r = installation_draft;
  using lines = list_kind<record_kind<line, &line_table>, list_rule::not_empty>;
  static constexpr std::array keys{
      needed<r, &r::name, name_kind>("name", "by which the installation is called; distinct"),
      field<r, &r::type, word_kind<system_type>>("type", "how the pump reaches the points", "multi-outlet"),
      field<r, &r::available, pump_kind>("available", "pressure that the pump can give"),
      field<r, &r::relief, pump_kind>("relief", "setting of the relief valve"),
      field<r, &r::ratings, list_kind<rating_kind>>("ratings", "of parts common to all lines"),
      field<r, &r::pump_output, quantity_kind<volume_flow, measure::pump_flow>>("pump_output", "while it delivers"),
      field<r, &r::stiffest, nlgi_kind>("stiffest", "class that the maker of the system allows"),
      field<r, &r::solids_max, share_kind>("solids_max", "most solids that the maker of the system allows"),
      field<r, &r::divider_loss, quantity_kind<pressure, measure::divider_loss>>(
          "divider_loss", "of each stage of a progressive system", "0 bar"),
      field<r, &r::reset, quantity_kind<pressure, measure::reset_pressure>>(
          "reset", "at or below which the meters of a single-line system recharge"),
      field<r, &r::feed, feed_value>("feed", "how grease comes to the pump",
                                     "stirred; gravity for a single-line system"),
      field<r, &r::rest, rest_kind>("rest", "before a start; none: it always runs", "12 h, parked overnight"),
      key<r>{.name = "reservoir",
             .needed = false,
             .fallback = {},
             .meaning = "what it holds, by volume or by mass of grease",
             .words = &reservoir_key::words,
             .read = &reservoir_key::read,
             .read_cell = nullptr,
             .write = &reservoir_key::write},
      field<r, &r::interval, interval_kind>("interval", "between cycles"),
      field<r, &r::hours_per_day, number_kind<hours_range>>("hours_per_day", "in service", "10"),
      field<r, &r::days_per_week, number_kind<days_range>>("days_per_week", "in service", "5"),
      field<r, &r::elements, list_kind<quantity_kind<volume, measure::dose>>>(
          "elements", "volumes a cycle that its elements are made for"),
      field<r, &r::intervals, list_kind<interval_kind>>("intervals", "settings of the timer"),
      field<r, &r::service, quantity_kind<duration, measure::service_time>>(
          "service", "from one refill of the reservoir to the next"),
      field<r, &r::lines, lines>("lines", "of the system"),
      key<r>{.name = "lines_file",
             .needed = false,
             .fallback = {},
             .meaning = "a schedule of the lines (CSV), beside this file; with a column installation it may hold those "
                        "of several",
             .words = &text_kind::words,
             .read = &read_schedule,
             .read_cell = nullptr,
             .write = nullptr}};
  static constexpr std::array groups{key_group{group_rule::at_least_one, {"available", "relief"}},
                                     key_group{group_rule::exactly_one, {"lines", "lines_file"}}};
  static constexpr record_table<r> table{"installation", "a grease system on one kind of vehicle", keys, groups};
  return table;
}

namespace {

void check_windows(const json_node& line_node, const line& l) {
  for (std::size_t w = 0; w < l.rules.classes.size(); ++w) {
    const class_window& window = l.rules.classes[w];
    if (window.above && window.below && !(*window.above < *window.below))
      line_node.need("rules").need("classes").items()[w].refuse("\"above\" is not colder than \"below\"",
                                                                "a window of temperatures");
  }
}

void check_scheduled(const installation_draft& i) {
  for (const line& l : i.lines) {
    if (!l.dose || !l.in)
      throw file_error(i.schedule->path, in_quotes(l.point) + " has no dose or no time for it",
                       "dose, and in or pump_output");
    if (l.needs && l.needs->movements && !l.movements)
      throw file_error(i.schedule->path, in_quotes(l.point) + " needs by movements, and has none",
                       "movements on a day in service");
  }
}

void check_lines(const json_node& list, const installation_draft& i) {
  const std::vector<json_node> nodes = list.items();
  std::set<std::string_view> points;
  for (std::size_t l = 0; l < nodes.size(); ++l) {
    const line& own = i.lines[l];
    list.go_on_after([&] { check_windows(nodes[l], own); });
    list.go_on_after([&] {
      if (!own.in)
        nodes[l].refuse("neither \"in\" nor the installation's \"pump_output\" is given",
                        "the time a dose is delivered in");
    });
    list.go_on_after([&] {
      if (own.needs && own.needs->movements && !own.movements)
        nodes[l].refuse("\"needs\" counts movements, and \"movements\" is missing", "movements on a day in service");
    });
    list.go_on_after([&] {
      if (!points.insert(own.point).second)
        nodes[l].need("point").refuse("two lines are called " + in_quotes(own.point), "distinct names");
    });
  }
}

/// What only several keys together can have wrong.
void check_installation(const json_node& node, installation_draft& i) {
  node.go_on_after([&] {
    if (i.divider_loss && i.type != system_type::progressive)
      node.need("divider_loss").refuse("belongs to a progressive system", "no dividers in another");
  });
  node.go_on_after([&] {
    if (i.reset && i.type != system_type::single_line)
      node.need("reset").refuse("belongs to a single-line system", "no meters in another");
  });
  for (line& l : i.lines) {
    // Time of a dose from the pump's output where the line gives none.
    if (l.dose && !l.in && i.pump_output) l.in = second(in_m3(*l.dose) / in_m3_per_s(*i.pump_output));
  }
  const auto lines = node.find("lines");
  const bool clean = node.go_on_after([&] { lines ? check_lines(*lines, i) : check_scheduled(i); });
  if (clean) node.at([&] { join_mains(i); });
}

}  // namespace

installation_draft read_installation(const json_node& node) {
  installation_draft i;
  if (read_record(node, installation_table(), i)) node.go_on_after([&] { check_installation(node, i); });
  return i;
}

json write_installation(const installation& i) {
  for (const line& l : i.lines) {
    if (l.flow) throw input_error("flow", "has no key in a file", "a dose and the time it is delivered in");
  }
  return write_record({i, {}}, installation_table());
}

}  // namespace coldgrease::inline v0::detail
