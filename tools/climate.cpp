#include "coldgrease/climate/normals.hpp"
#include "coldgrease/climate/readers.hpp"
#include "coldgrease/climate/soak.hpp"
#include "coldgrease/climate/two_records.hpp"
#include "coldgrease/report/guide.hpp"
#include "coldgrease/report/json.hpp"
#include "coldgrease/report/sheet.hpp"
#include "command.hpp"
#include "today.hpp"

namespace coldgrease::tools {

namespace {

weather_options weather_options_from(const arguments& given) {
  weather_options options;
  options.format = given.find("--format").value_or("");
  check_weather_format(options.format, "--format");
  options.unit = given.find("--unit").value_or("");
  options.station = given.find("--station").value_or("");
  options.year_from = given.whole_number("--year-from");
  options.year_to = given.whole_number("--year-to");
  if (options.year_from && options.year_to && *options.year_from > *options.year_to)
    throw input_error("--year-from", in_quotes(*given.find("--year-from")) + " lies after --year-to",
                      "the earlier year of the two");
  options.utc_offset = given.quantity<duration>("--utc-offset", measure::local_time);
  if (options.utc_offset) check_utc_offset(*options.utc_offset, "--utc-offset");
  if (const auto codes = given.find("--quality-codes")) options.accepted_codes = *codes;
  options.duplicates = given.word("--duplicates", duplicate_rule::refused);
  options.today = today();
  return options;
}

season_options season_options_from(const arguments& given) {
  season_options options;
  if (const auto risk = given.number("--risk")) {
    if (!(*risk > 0.0 && *risk < 1.0))
      throw input_error("--risk", in_quotes(*given.find("--risk")), "above 0 and below 1, such as 0.1");
    options.risk = *risk;
  }
  if (const auto from = given.find("--season-from")) {
    options.starts = find_word<season_start>(*from);
    if (!options.starts) throw input_error("--season-from", in_quotes(*from), "july, or january on the southern half");
  }
  return options;
}

soak soak_from(const arguments& given) {
  soak s;
  if (const auto lag = given.quantity<duration>("--lag", measure::lag)) s.lag = *lag;
  if (const auto sky = given.quantity<temperature_step>("--night-sky", measure::night_sky)) s.night_sky = *sky;
  validate(s, "--lag", "--night-sky");
  return s;
}

/// The other file of --compare: whatever is asked of the first, but for what is of one file alone.
std::string run_compare(const arguments& given, const weather_options& options, std::optional<temperature> below,
                        const season_options& seasons, const soak& s) {
  if (options.format == "normals") throw input_error("--compare", "normals hold no days", "two files of days or hours");
  weather_options other = options;
  other.format.clear();
  other.unit = given.find("--compare-unit").value_or("");
  other.station = given.find("--compare-station").value_or("");
  const weather first = soaked(read_weather(given.file(*given.positional), options), s),
                second = soaked(read_weather(given.file(given.need("--compare")), other), s);
  const record_comparison answer = compare_records(first, second, below, seasons);
  return given.json ? to_json(answer) + "\n" : to_text(answer);
}

std::string run_climate(const arguments& given) {
  const bool csv = given.csv();
  for (const char* option : {"--guide", "--compare"}) {
    if (csv && given.find(option))
      throw input_error(csv_option.name, std::string("stands beside ") + option, "--json, or a file alone");
  }
  if (given.find("--guide")) {
    const std::vector<guide_section> guide = weather_guide();
    return given.json ? to_json(guide) + "\n" : to_text(guide);
  }
  if (!given.positional) throw input_error("climate", "no file is given", "one, or --guide (see --help)");
  for (const char* option : {"--compare-unit", "--compare-station"}) {
    if (given.find(option) && !given.find("--compare"))
      throw input_error(option, "compares nothing", "--compare OTHER");
  }
  const weather_options options = weather_options_from(given);
  const auto below = given.quantity<temperature>("--below", measure::air_temperature);
  const season_options seasons = season_options_from(given);
  const soak s = soak_from(given);
  if (given.find("--compare")) return run_compare(given, options, below, seasons, s);
  if (options.format == "normals") {
    if (csv) throw input_error(csv_option.name, "stands beside a format without months", "--json, or days or hours");
    const freeze_normals normals = read_normals(given.file(*given.positional), options.station);
    return given.json ? to_json(normals) + "\n" : to_text(normals);
  }
  const climate_answer answer =
      describe(soaked(read_weather(given.file(*given.positional), options), s), below, seasons);
  if (csv) return to_csv(sheet_of(answer, given.units));
  return given.json ? to_json(answer) + "\n" : to_text(answer);
}

}  // namespace

command climate_command() {
  return {"climate",
          "statistics of a weather file",
          "file",
          "GHCN-Daily or -hourly, EPW, CSV; may be packed (.gz)",
          false,
          {{"--guide", "where to get a file, and which; reads none", false, true},
           {"--compare", "another file beside it: which is the safer"},
           {"--compare-unit", "as --unit, of that file"},
           {"--compare-station", "as --station, of that file"},
           {"--format", "dly csv epw ghcnh by-year normals; else by content"},
           {"--unit", "of a CSV: C, F, K or \"0.1 C\""},
           {"--station", "id or name in the file; its name if it has none"},
           {"--year-from", "first year to use"},
           {"--year-to", "last year to use"},
           {"--utc-offset", "local time less UTC, \"-6 h\"; else by the longitude"},
           {"--quality-codes", "of GHCN-hourly, taken beside blank; default 01459"},
           {"--duplicates", "of two values for a time: first, coldest"},
           {"--below", "hours, spells and season dates below a temperature"},
           {"--risk", "yearly, that the cold outruns the dates; default 0.1"},
           {"--season-from", "july, or january (south); else by the latitude"},
           {"--lag", "time constant behind the air, \"3 h\"; default none"},
           {"--night-sky", "below the air at night, \"2 K\"; default none"},
           csv_option},
          {{"coldgrease climate tables/demo/northern_plain.csv", "Quantiles of hours, months, yearly minima"},
           {R"(coldgrease climate tables/demo/northern_plain.csv \
    --below "-17.7 C")",
            "How long, how often and from when to when it is colder than a grease passes"},
           {R"(coldgrease climate tables/demo/northern_plain.csv \
    --compare tables/demo/far_north.csv)",
            "Two files side by side, and which is the safer"}},
          run_climate,
          nullptr,
          "What --guide says stands in coldgrease-weather(7) too."};
}

}  // namespace coldgrease::tools
