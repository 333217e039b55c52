#include "coldgrease/line/line.hpp"

#include <algorithm>
#include <array>

#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/report/json.hpp"
#include "coldgrease/report/sheet.hpp"
#include "grease_options.hpp"
#include "named.hpp"

namespace coldgrease::tools {

namespace {

/// The i-th length goes with the i-th bore or tube, in the order written.
std::vector<segment> segments_of(const arguments& given) {
  std::vector<segment> segments;
  for (const std::string& text : given.all("--length"))
    segments.push_back({.length = parse<length>(text, "--length", measure::line_length)});
  std::size_t sized = 0;
  for (const arguments::mention& m : given.mentions) {
    if (m.option != "--bore" && m.option != "--tube") continue;
    if (sized == segments.size())
      throw input_error(m.option, "has no --length beside it", "a --length for every --bore or --tube");
    segment& s = segments[sized++];
    if (m.option == "--tube") {
      set_tube(s, m.value, "--tube");
    } else {
      s.bore = parse<length>(m.value, "--bore", measure::bore);
    }
  }
  if (const auto material = given.find("--material")) {
    for (segment& s : segments) s.material = parse_word<tube_material>(*material, "--material");
  }
  if (segments.empty()) throw input_error("--length", "is missing", "--length with --bore or --tube");
  if (sized < segments.size())
    throw input_error("--length", "has no --bore or --tube beside it", "one for every --length");
  return segments;
}

std::optional<duration> rest_of(const arguments& given) {
  const auto rest = given.find("--rest");
  return rest ? std::optional(parse_rest(*rest, "--rest")) : std::nullopt;
}

std::string whole_installation(const arguments& given) {
  constexpr std::array<std::string_view, 8> own{"--installation", "--grease",     "--at",
                                                "--confidence",   "--rest",       ignore_readings.name,
                                                root_option.name, csv_option.name};
  for (const arguments::mention& m : given.mentions) {
    if (std::ranges::find(own, m.option) == own.end())
      throw input_error(m.option, "stands beside a fleet file",
                        "--installation, --grease, --at, --rest and --confidence");
  }
  const bool csv = given.csv();
  const auto at = parse<temperature>(given.need("--at"), "--at", measure::air_temperature);
  const auto asked = given.confidence();
  const fleet f = fleet_file(given);
  const double confidence = asked.value_or(f.policy.confidence);
  installation i = named(f.installations, given.need("--installation"), "--installation");
  if (const auto rest = rest_of(given)) i.rest = rest;
  const auto stock = stock_of(f);
  const grease& g = named_grease(f, stock, given.need("--grease"), "--grease");
  const installation_answer answer = check(i, g, at, confidence);
  if (csv) return to_csv(sheet_of(answer, i, g, given.units));
  return given.json ? to_json(answer, i, g) + "\n" : to_text(answer, i, g, given.units);
}

std::string run_line(const arguments& given) {
  if (given.positional) return whole_installation(given);
  for (const std::string_view option : {std::string_view("--installation"), ignore_readings.name, root_option.name}) {
    if (given.find(option)) throw input_error(option, "names no file", "a fleet file before it");
  }
  const bool csv = given.csv();
  line l;
  l.segments = segments_of(given);
  l.outlet = given.quantity<pressure>("--outlet", measure::point_pressure);
  l.outlet_at = given.quantity<temperature>("--outlet-at", measure::grease_temperature);
  l.flow = given.quantity<volume_flow>("--flow", measure::pump_flow);
  l.dose = given.quantity<volume>("--dose", measure::dose);
  l.in = given.quantity<duration>("--in", measure::dose_time);
  if (l.flow && l.in) throw input_error("--in", "stands beside --flow, which says the same", "one of them");
  if (!l.flow && !(l.dose && l.in)) throw input_error("--flow", "is missing", "--flow, or --dose with --in");

  conditions c;
  c.at = parse<temperature>(given.need("--at"), "--at", measure::air_temperature);
  c.available = parse<pressure>(given.need("--available"), "--available", measure::pump_pressure);
  c.confidence = given.confidence().value_or(usual_confidence);
  c.rest = rest_of(given);
  c.interval = given.quantity<duration>("--interval", measure::interval);
  c.hours_per_day = given.number("--hours-per-day");
  if (c.hours_per_day && !(*c.hours_per_day > 0.0 && *c.hours_per_day <= 24.0))
    throw input_error("--hours-per-day", in_quotes(*given.find("--hours-per-day")), "above 0 and at most 24");
  c.days_per_week = given.number("--days-per-week");
  if (c.days_per_week && !(*c.days_per_week > 0.0 && *c.days_per_week <= 7.0))
    throw input_error("--days-per-week", in_quotes(*given.find("--days-per-week")), "above 0 and at most 7");
  c.system = given.word("--system", system_type::multi_outlet);
  c.divider_loss = given.quantity<pressure>("--divider-loss", measure::divider_loss);
  c.reset = given.quantity<pressure>("--reset", measure::reset_pressure);
  if (c.divider_loss && c.system != system_type::progressive)
    throw input_error("--divider-loss", "belongs to a progressive system", "--system progressive");
  if (c.reset && c.system != system_type::single_line)
    throw input_error("--reset", "belongs to a single-line system", "--system single-line");

  const grease g = grease_from(given, *c.at);
  const line_answer answer = check(l, g, c);
  if (csv) return to_csv(sheet_of(answer, given.units));
  return given.json ? to_json(answer) + "\n" : to_text(answer, l, g, given.units);
}

}  // namespace

command line_command() {
  return {"line",
          "one line or a whole installation: does it flow, limits",
          "fleet",
          "fleet file: every line of one of its installations",
          false,
          joined({{{"--installation", "of the fleet file, by name"},
                   {"--length", "length of a segment: 6 m (needed)", true},
                   {"--bore", "its inner diameter: 4 mm", true},
                   {"--tube", "or outside diameter x wall: \"6 mm x 1 mm\"", true},
                   {"--outlet", "pressure the point asks for: 15 bar"},
                   {"--outlet-at", "temperature it was found at: it rises in the cold"},
                   {"--available", "pressure at the pump: 250 bar (needed)"},
                   {"--flow", "flow while the pump delivers: 1 cm3/min"},
                   {"--dose", "or a dose: 0.2 cm3"},
                   {"--in", "and the time it is delivered in: 10 s"},
                   {"--at", "temperature (needed)"},
                   {"--system", "multi-outlet (default), progressive, single-line"},
                   {"--divider-loss", "of the divider before the point: 5 bar"},
                   {"--reset", "pressure at which meters recharge: 10 bar"},
                   {"--material", "of the tubes: polyamide, steel, copper"},
                   {"--rest", "rest before the start: 12 h (default), none"},
                   {"--confidence", "0.55 to 0.99, default 0.80 or the fleet's"},
                   {"--interval", "between doses, for the residence: 2 h"},
                   {"--hours-per-day", "in service, for the residence"},
                   {"--days-per-week", "in service, for the residence: default 5"},
                   csv_option,
                   ignore_readings,
                   root_option},
                  grease_options()}),
          {{R"(coldgrease line --nlgi 1 --kv40 150mm2/s --kv100 14.7mm2/s \
    --length 6m --tube "6 mm x 1 mm" --outlet 15bar \
    --available 250bar --flow 1cm3/min --at "5 F")",
            "One line from what stands on a data sheet"},
           {R"(coldgrease line tables/demo/fleet.json --installation dolly \
    --grease "Synthetic 2" --at "-10 C")",
            "Every line of an installation, worst first"}},
          run_line};
}

}  // namespace coldgrease::tools
