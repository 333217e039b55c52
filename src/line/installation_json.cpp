#include "line/installation_json.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <filesystem>

#include "base/csv.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/grease/consistency.hpp"

namespace coldgrease::inline v0::detail {

namespace {

system_type read_type(const json_node& node) {
  return node.at([&] { return parse_word<system_type>(node.text(), {}); });
}

segment read_segment(const json_node& node) {
  node.only({"length", "bore", "tube", "offset", "rating", "main", "wall", "material"});
  segment s;
  s.length = node.need("length").quantity<length>(sign::positive);
  const auto bore = node.find("bore");
  const auto tube = node.find("tube");
  if (bore && tube) node.refuse("\"bore\" and \"tube\" are both given", "one of them");
  if (tube) {
    tube->at([&] { set_tube(s, tube->text(), {}); });
  } else {
    s.bore = node.need("bore").quantity<length>(sign::positive);
  }
  if (const auto wall = node.find("wall")) {
    if (tube) node.refuse("\"wall\" stands beside \"tube\", which says the same", "one of them");
    s.wall = wall->quantity<length>(sign::positive);
  }
  if (const auto offset = node.find("offset")) s.offset = offset->quantity<temperature_step>();
  if (const auto rating = node.find("rating")) s.rating = rating->quantity<pressure>(sign::positive);
  if (const auto main = node.find("main")) {
    s.main = main->text();
    if (s.main.empty()) main->refuse("is empty", "the name of the main");
  }
  if (const auto material = node.find("material"))
    s.material = material->at([&] { return parse_word<tube_material>(material->text(), {}); });
  return s;
}

std::vector<std::string> read_texts(const json_node& node) {
  std::vector<std::string> texts;
  for (const json_node& item : node.items()) texts.push_back(item.text());
  return texts;
}

point_rules read_rules(const json_node& node) {
  node.only(
      {"excluded", "ban_solids", "require_solids", "solids_max", "ban_thickeners", "require_thickeners", "classes"});
  point_rules rules;
  if (const auto excluded = node.find("excluded")) rules.excluded = excluded->text();
  if (const auto solids = node.find("ban_solids")) rules.banned_solids = read_texts(*solids);
  if (const auto solids = node.find("require_solids")) rules.required_solids = read_texts(*solids);
  if (const auto most = node.find("solids_max")) rules.solids_max = most->share();
  if (const auto thickeners = node.find("ban_thickeners")) rules.banned_thickeners = read_texts(*thickeners);
  if (const auto thickeners = node.find("require_thickeners")) rules.required_thickeners = read_texts(*thickeners);
  if (const auto windows = node.find("classes")) {
    for (const json_node& w : windows->items()) {
      w.only({"above", "below", "nlgi"});
      class_window window;
      if (const auto above = w.find("above")) window.above = above->quantity<temperature>();
      if (const auto below = w.find("below")) window.below = below->quantity<temperature>();
      if (window.above && window.below && !(*window.above < *window.below))
        w.refuse("\"above\" is not colder than \"below\"", "a window of temperatures");
      for (const json_node& label : w.need("nlgi").items()) {
        window.nlgi.push_back(label.text());
        label.at([&] { return parse_nlgi(window.nlgi.back(), {}); });
      }
      if (window.nlgi.empty()) w.need("nlgi").refuse("is empty", "one class or more");
      rules.classes.push_back(std::move(window));
    }
  }
  return rules;
}

/// "45 mm x 50 mm": diameter x length of a plain bearing.
bearing_size read_bearing(const json_node& node) {
  const std::string text = node.text();
  const auto cut = text.find('x');
  if (cut == std::string::npos) node.refuse(in_quotes(text) + " is no bearing", "diameter x length: \"45 mm x 50 mm\"");
  return node.at([&] {
    return bearing_size{parse<length>(text.substr(0, cut), {}, sign::positive),
                        parse<length>(text.substr(cut + 1), {}, sign::positive)};
  });
}

/// "gravity", or {"kind", "height", "heated_to"}.
inlet read_feed(const json_node& node) {
  inlet feed;
  if (node.is_text()) {
    feed.kind = node.at([&] { return parse_word<feed_kind>(node.text(), {}); });
    return feed;
  }
  node.only({"kind", "height", "heated_to"});
  const json_node kind = node.need("kind");
  feed.kind = kind.at([&] { return parse_word<feed_kind>(kind.text(), {}); });
  if (const auto height = node.find("height")) feed.height = height->quantity<length>(sign::positive);
  if (const auto heated = node.find("heated_to")) feed.heated_to = heated->quantity<temperature>();
  return feed;
}

/// Time of a dose from the pump's output where the line gives none.
void complete(line& l, std::optional<volume_flow> pump_output) {
  if (l.dose && !l.in && pump_output) l.in = second(in_m3(*l.dose) / in_m3_per_s(*pump_output));
}

line read_line(const json_node& node, std::optional<volume_flow> pump_output) {
  node.only({"point", "segments", "outlet", "dose", "in", "stages", "bearing", "rules"});
  line l;
  l.point = node.need("point").text();
  for (const json_node& s : node.need("segments").items()) l.segments.push_back(read_segment(s));
  if (l.segments.empty()) node.need("segments").refuse("is empty", "one segment or more");
  if (const auto outlet = node.find("outlet")) l.outlet = outlet->quantity<pressure>(sign::not_negative);
  l.dose = node.need("dose").quantity<volume>(sign::positive);
  if (const auto in = node.find("in")) l.in = in->quantity<duration>(sign::positive);
  if (const auto stages = node.find("stages")) l.stages = stages->whole_number(0, 100);
  if (const auto bearing = node.find("bearing")) l.bearing = read_bearing(*bearing);
  if (const auto rules = node.find("rules")) l.rules = read_rules(*rules);
  complete(l, pump_output);
  if (!l.in)
    node.refuse("neither \"in\" nor the installation's \"pump_output\" is given", "the time a dose is delivered in");
  return l;
}

/// A schedule of lines as CSV, one row a segment: point, length [..], bore [..] or tube, outlet [..], dose [..], in
/// [..]. Rows of the same point follow each other from pump to point; outlet, dose and in may stand in the first of
/// them only.
std::vector<line> read_lines_file(const std::string& path, std::optional<volume_flow> pump_output) {
  const std::string text = read_file(path);
  csv_rows rows(text, path);
  constexpr std::string_view expected =
      "point, length [m], bore [mm] or tube, outlet [bar], dose [cm3], in [s], main, rating [bar], material, stages";
  std::optional<std::size_t> point, run, bore, tube, outlet, dose, in, main, rating, material, stages;
  for (std::size_t c = 0; c < rows.header().size(); ++c) {
    const std::string name = rows.name_of(c);
    std::optional<std::size_t>* column = name == "point"      ? &point
                                         : name == "length"   ? &run
                                         : name == "bore"     ? &bore
                                         : name == "tube"     ? &tube
                                         : name == "outlet"   ? &outlet
                                         : name == "dose"     ? &dose
                                         : name == "in"       ? &in
                                         : name == "main"     ? &main
                                         : name == "rating"   ? &rating
                                         : name == "material" ? &material
                                         : name == "stages"   ? &stages
                                                              : nullptr;
    if (!column) throw file_error(rows.place(), "unknown column " + in_quotes(rows.header()[c]), expected);
    if (*column) throw file_error(rows.place(), "the column " + in_quotes(name) + " stands twice", expected);
    *column = c;
  }
  if (!point || !run || !(bore || tube) || !dose) throw file_error(rows.place(), "a column is missing", expected);

  const auto quantity = [&]<class Quantity>(std::size_t column, std::string_view field, sign allowed, Quantity*) {
    return quantity_of<Quantity>(rows, column, field, allowed);
  };
  std::vector<line> lines;
  std::vector<std::string_view> fields;
  while (rows.next(fields)) {
    if (fields[*point].empty()) throw file_error(rows.place(*point), "is empty", "the name of the point");
    if (lines.empty() || lines.back().point != fields[*point]) {
      if (std::ranges::any_of(lines, [&](const line& l) { return l.point == fields[*point]; }))
        throw file_error(rows.place(*point), "rows of " + in_quotes(fields[*point]) + " stand apart",
                         "the segments of a line one after the other");
      lines.push_back({.point = std::string(fields[*point])});
    }
    line& l = lines.back();
    segment s;
    s.length = quantity(*run, fields[*run], sign::positive, static_cast<length*>(nullptr));
    const bool by_tube = tube && !fields[*tube].empty();
    if (by_tube == (bore && !fields[*bore].empty())) throw file_error(rows.place(), "bore and tube", "one of them");
    if (by_tube) {
      read_at([&] { return rows.place(*tube); }, [&] { set_tube(s, fields[*tube], {}); });
    } else {
      s.bore = quantity(*bore, fields[*bore], sign::positive, static_cast<length*>(nullptr));
    }
    if (main) s.main = fields[*main];
    if (rating && !fields[*rating].empty())
      s.rating = quantity(*rating, fields[*rating], sign::positive, static_cast<pressure*>(nullptr));
    if (material && !fields[*material].empty())
      s.material = read_at([&] { return rows.place(*material); },
                           [&] { return parse_word<tube_material>(fields[*material], {}); });
    if (stages && !fields[*stages].empty()) {
      const auto number = to_number(fields[*stages]);
      if (!number || *number != std::floor(*number) || *number < 0.0 || *number > 100.0)
        throw file_error(rows.place(*stages), in_quotes(fields[*stages]), "a whole number, 0 to 100");
      l.stages = static_cast<int>(*number);
    }
    l.segments.push_back(s);
    if (outlet && !fields[*outlet].empty())
      l.outlet = quantity(*outlet, fields[*outlet], sign::not_negative, static_cast<pressure*>(nullptr));
    if (!fields[*dose].empty()) l.dose = quantity(*dose, fields[*dose], sign::positive, static_cast<volume*>(nullptr));
    if (in && !fields[*in].empty()) l.in = quantity(*in, fields[*in], sign::positive, static_cast<duration*>(nullptr));
  }
  for (line& l : lines) {
    complete(l, pump_output);
    if (!l.dose || !l.in)
      throw file_error(path, in_quotes(l.point) + " has no dose or no time for it", "dose, and in or pump_output");
  }
  return lines;
}

}  // namespace

installation read_installation(const json_node& node, const std::string& folder) {
  node.only({"name", "type", "available", "relief", "ratings", "pump_output", "stiffest", "solids_max", "divider_loss",
             "reset", "feed", "reservoir", "interval", "hours_per_day", "lines", "lines_file"});
  installation i;
  i.name = node.need("name").text();
  if (const auto type = node.find("type")) i.type = read_type(*type);
  if (const auto available = node.find("available")) i.available = available->quantity<pressure>(sign::positive);
  if (const auto relief = node.find("relief")) i.relief = relief->quantity<pressure>(sign::positive);
  if (!i.available && !i.relief) node.refuse("neither \"available\" nor \"relief\" is given", "one of them");
  if (const auto ratings = node.find("ratings")) {
    for (const json_node& rating : ratings->items()) i.ratings.push_back(rating.quantity<pressure>(sign::positive));
  }
  std::optional<volume_flow> pump_output;
  if (const auto output = node.find("pump_output")) pump_output = output->quantity<volume_flow>(sign::positive);
  if (const auto stiffest = node.find("stiffest")) {
    i.stiffest = stiffest->text();
    stiffest->at([&] { return parse_nlgi(i.stiffest, {}); });
  }
  if (const auto solids = node.find("solids_max")) i.solids_max = solids->share();
  if (const auto loss = node.find("divider_loss")) {
    if (i.type != system_type::progressive) loss->refuse("belongs to a progressive system", "no dividers in another");
    i.divider_loss = loss->quantity<pressure>(sign::not_negative);
  }
  if (const auto reset = node.find("reset")) {
    if (i.type != system_type::single_line) reset->refuse("belongs to a single-line system", "no meters in another");
    i.reset = reset->quantity<pressure>(sign::positive);
  }
  if (const auto feed = node.find("feed")) i.feed = read_feed(*feed);
  if (const auto reservoir = node.find("reservoir")) i.reservoir = reservoir->quantity<volume>(sign::positive);
  if (const auto interval = node.find("interval")) i.interval = interval->quantity<duration>(sign::positive);
  if (const auto hours = node.find("hours_per_day")) {
    i.hours_per_day = hours->number();
    if (!(i.hours_per_day > 0.0 && i.hours_per_day <= 24.0))
      hours->refuse(fmt::format("{}", i.hours_per_day), "above 0 and at most 24");
  }
  const auto lines = node.find("lines");
  const auto lines_file = node.find("lines_file");
  if (lines.has_value() == lines_file.has_value()) node.refuse("\"lines\" or \"lines_file\"", "one of them");
  if (lines) {
    for (const json_node& l : lines->items()) {
      i.lines.push_back(read_line(l, pump_output));
      const auto& name = i.lines.back().point;
      if (std::count_if(i.lines.begin(), i.lines.end(), [&](const line& other) { return other.point == name; }) > 1)
        l.need("point").refuse("two lines are called " + in_quotes(name), "distinct names");
    }
  } else {
    i.lines = read_lines_file((std::filesystem::path(folder) / lines_file->text()).string(), pump_output);
  }
  if (i.lines.empty()) node.refuse("has no lines", "one line or more");
  try {
    join_mains(i);
  } catch (const input_error& error) {
    throw at(node.where(), error);
  }
  return i;
}

}  // namespace coldgrease::inline v0::detail
