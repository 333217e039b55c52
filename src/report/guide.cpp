#include "coldgrease/report/guide.hpp"

#include "base/format.hpp"
#include "coldgrease/climate/seasons.hpp"
#include "report/json_parts.hpp"
#include "report/layout.hpp"

namespace coldgrease::inline v0 {

namespace {

guide_section which_station() {
  return {
      "Which station",
      {"The nearest station is often the wrong one. Take the one whose air is that of the coldest place where a truck "
       "stands for a night or starts in the morning. What follows is common practice, no source, but where one is "
       "named."},
      {{"same side of the pass", "Two sides of a range have two climates. A station beyond it, however near, is none."},
       {"valley floor",
        "On a clear, calm night cold air runs down and lies on the floor. If trucks stand there, so must the station: "
        "one on a slope, a hill or a pass has the milder mornings."},
       {"open country",
        "A yard outside the town is colder than the town. An airport is mostly the better choice; a roof, a harbour or "
        "a shore is none, unless the yard lies there too."},
       {"height",
        "A road above the station is judged 6.5 K colder a kilometre (ISO 2533), where \"elevation\" and \"highest\" "
        "are given. A road below the station is never judged warmer, for a valley may be the colder. A station more "
        "than 80 km away, or more than 300 m below the road, asks for another one beside it (judgement)."},
       {"every cold place", "A route may have several legs, each with its file: each day is judged at the coldest."},
       {"in doubt two",
        "coldgrease climate ONE --compare OTHER sets two files side by side and says which is the safer. Or give both "
        "as legs of the route."}}};
}

guide_section which_years() {
  return {
      "Which years",
      {"Common practice, no source, but where one is named. What stands here of a plan is what this program does."},
      {{"thirty",
        "Take the last 30 whole years where there are so many: a climate normal is of 30 years, the last that end in a "
        "year ending in 0 (readme of NOAA's normals). A plan judges by all the years of a file and says what the "
        "last 30 of a longer one alone would tell."},
       {"dates",
        fmt::format(
            "A date of change stands on whole seasons, of {} days or more: {} or more are good, fewer are rough, "
            "under {} there are none at a risk, and a plan takes the earliest and the latest cold there was. "
            "The row \"for dates\" of coldgrease climate says which.",
            days_of_whole_season, few_seasons, fewest_seasons)},
       {"gaps",
        "A year that misses more than a tenth of its winter tells no lowest temperature. A month without a day makes a "
        "plan impossible."},
       {"up to now",
        "A record that ended long ago, or a station that moved, is told under Notes. So is what was left out, by "
        "reason."},
       {"a morning observer",
        "A station that is read once a morning books one cold dawn on two days: it has too many cold days, and the "
        "right lowest one."},
       {"typical years",
        "An EPW is put together from months of several years: it leaves out their extremes, and has no dates of its "
        "own. Its comments may tell of a future climate: read them. Normals are means and hold no extremes at all."},
       {"gaps filled by a model", "Some archives fill what is missing by a model. Take the observations alone."}}};
}

guide_section where_from() {
  return {
      "Where from",
      {"Public archives, and the format that each gives. The names of the archives marked so are from memory: look "
       "whether they still are what they were, and what their licence allows."},
      {{"GHCN-Daily, NOAA NCEI",
        "Daily lows and highs of stations all over the world, of many for decades. In the formats of its readme: a "
        "file a station, dly; a file a year or a station with a row an element, by-year. As the table of an order: "
        "csv, whose temperatures may be in degrees C, F or tenths of C, and nothing in the file says which: look at a "
        "July."},
       {"GHCN-hourly, NOAA NCEI",
        "Hours in UTC, .psv or CSV: ghcnh. It follows ISD and ISD-Lite, which got nothing new after 27 August 2025 "
        "(notice of NCEI, quoted by its users) and are not read here."},
       {"Climate normals 1991 to 2020, NOAA NCEI",
        "Chances of first and last freezes, as a check of dates: normals. No weather."},
       {"EPW collections",
        "Typical years of most airports, made for the simulation of buildings: epw. Climate.OneBuilding.Org and the "
        "weather pages of EnergyPlus have thousands (from memory)."},
       {"National services",
        "Environment and Climate Change Canada, Deutscher Wetterdienst, MeteoSwiss, SMHI, the Finnish Meteorological "
        "Institute and others give daily lows and highs as tables (from memory). Name the columns date, tmin [C] and "
        "tmax [C]: csv."},
       {"European Climate Assessment and Dataset",
        "Daily lows and highs of Europe in tenths of a degree, each in a file of its own (from memory). Join the two "
        "by "
        "date, with the columns date, tmin [0.1 C] and tmax [0.1 C]: csv."},
       {"A logger of your own",
        "Hours with the columns date and temperature [C], in local standard time all year, without summer time: csv. "
        "It tells of its place what no archive does; beside a station with the same days, --compare tells by how "
        "much."},
       {"No file at all",
        "coldgrease tables design_values lists published values of some stations. \"design\" in a leg takes one: a "
        "grease for the whole year, no seasons, no dates."}}};
}

guide_section which_formats() {
  return {
      "Which formats are read",
      {"The format is told from the content; --format, or \"format\" of a leg, names it where that fails. A file may "
       "be packed by gzip. Not read: ISD, ISD-Lite, TMY3, netCDF, GRIB, Parquet, and the files of a spreadsheet: "
       "save those as CSV."},
      {{"dly", "GHCN-Daily, 269 characters a line: a station, a month, an element. Tenths of a degree C."},
       {"by-year", "GHCN-Daily, ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,time, with or without a head. Tenths of C."},
       {"csv",
        "Days: columns date (or year, month, day), tmin and tmax. Hours: date with its time, and temperature. In any "
        "order, among any others. The unit stands in the head, \"tmin [C]\", or in --unit: C, F, K or 0.1 C."},
       {"ghcnh", "GHCN-hourly, bars or commas, in UTC: needs a longitude, or --utc-offset. Degrees C."},
       {"epw", "Eight lines of head, then the hours of a typical year. Degrees C."},
       {"normals", "The freeze dates of NOAA's climate normals. No weather."}}};
}

guide_section how_to_look() {
  return {"Before you trust it",
          {"coldgrease climate FILE: whether it is good enough for dates, and what was left out, stand above all. Then "
           "look "
           "at the lowest, at the years, and at the Notes below.",
           "Compare with a published value (coldgrease tables design_values), or with a second station by --compare. "
           "Editions of a handbook differ by 1 to 2 K; 5 K are another place, another unit or another climate.",
           "Where two answers differ, the colder is the safer in winter and the warmer in summer."},
          {}};
}

guide_section what_to_write_down() {
  return {"What to write down",
          {"An order that was made by a file is looked at again in a year. Beside it belong:"},
          {{"the station", "its id and name, latitude, longitude and height, and why this one and not the nearest"},
           {"the archive", "its name, the address of the file, the day it was fetched, and its licence"},
           {"the years", "first and last, and what is missing between them"},
           {"unit and clock", "as the archive states them, and where it does"},
           {"the file", "itself, as it came: the page of a plan prints its checksum"},
           {"what was said", "the rows \"for dates\" and \"left out\", and the Notes"}}};
}

}  // namespace

std::vector<guide_section> weather_guide() {
  return {which_station(), which_years(), where_from(), which_formats(), how_to_look(), what_to_write_down()};
}

std::string to_text(std::span<const guide_section> guide) {
  std::string out;
  for (const guide_section& s : guide) {
    out += (out.empty() ? "" : "\n") + s.title + "\n";
    for (const std::string& p : s.paragraphs) out += detail::wrapped(p) + "\n";
    for (const guide_entry& e : s.entries) out += detail::wrapped(fmt::format("- {}: {}", e.term, e.text), 2) + "\n";
  }
  return out;
}

std::string to_json(std::span<const guide_section> guide) {
  using detail::list, detail::object;
  return detail::line_of(object({{"guide", list(guide, [](const guide_section& s) {
                                    return object({{"title", s.title},
                                                   {"paragraphs", s.paragraphs},
                                                   {"entries", list(s.entries, [](const guide_entry& e) {
                                                      return object({{"term", e.term}, {"text", e.text}});
                                                    })}});
                                  })}}));
}

}  // namespace coldgrease::inline v0
