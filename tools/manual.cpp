#include "manual.hpp"

#include <algorithm>
#include <cctype>

#include "coldgrease/base/version.hpp"
#include "coldgrease/report/text.hpp"

namespace coldgrease::tools {

namespace {

/// Text that is set as it is written: no character of it is a roff escape or becomes a typographic sign.
std::string roff(std::string_view text) {
  std::string out = text.starts_with('.') ? "\\&" : "";
  for (const char c : text) {
    switch (c) {
      case '\\': out += "\\(rs"; break;
      case '-': out += "\\-"; break;
      case '\'': out += "\\(aq"; break;
      case '`': out += "\\(ga"; break;
      case '^': out += "\\(ha"; break;
      case '~': out += "\\(ti"; break;
      default: out += c;
    }
  }
  return out;
}

std::string bold(std::string_view text) { return "\\fB" + roff(text) + "\\fR"; }
std::string italic(std::string_view text) { return "\\fI" + roff(text) + "\\fR"; }

std::string upper(std::string text) {
  for (char& c : text) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return text;
}

std::string sentence(std::string_view text) {
  std::string out(text);
  if (!out.empty()) out.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(out.front())));
  return roff(out + ".") + "\n";
}

/// Lines of text; one that begins with a blank is set as it stands, others are filled.
std::string paragraphs(std::string_view text) {
  std::string out;
  bool filled = true;
  while (!text.empty()) {
    const std::string_view line = text.substr(0, text.find('\n'));
    text.remove_prefix(std::min(line.size() + 1, text.size()));
    if (filled == line.starts_with(' ')) {
      out += filled ? ".nf\n" : ".fi\n";
      filled = !filled;
    }
    out += roff(line) + "\n";
  }
  return out + (filled ? "" : ".fi\n");
}

std::string section(std::string_view title) { return ".SH " + std::string(title) + "\n"; }

/// A term that is set already, and what is said of it.
std::string entry(const std::string& term, std::string_view text) { return ".TP\n" + term + "\n" + roff(text) + "\n"; }

std::string entry(const option& o) {
  std::string term;
  for (std::string_view names = o.name; !names.empty();) {
    const std::string_view name = names.substr(0, names.find(','));
    names.remove_prefix(std::min(name.size() + 1, names.size()));
    term += (term.empty() ? "" : ", ") + bold(name);
  }
  if (!o.flag) term += " " + italic("text") + (o.repeats ? " ..." : "");
  return entry(term, o.help);
}

/// No date: the same sources give the same pages on any day.
std::string head(const std::string& name, std::string_view does, std::string_view part = "1") {
  return ".TH " + roff(upper(name)) + " " + std::string(part) + " \"\" \"coldgrease " + std::string(library_version()) +
         "\" \"coldgrease\"\n.nh\n.ad l\n" + section("NAME") + roff(name) + " \\- " + roff(does) + "\n";
}

std::string exit_status() {
  return section("\"EXIT STATUS\"") + entry(bold("0"), "The question was answered; a line that stalls is an answer.") +
         entry(bold("1"), "A file was refused or cannot be written, or a request of a batch failed.") +
         entry(bold("2"), "Wrong usage.") +
         ".PP\nAn error is one line that names the place, the value and what is expected.\n";
}

/// The cautions of every report: their title, then a dash before each and blanks before the lines that go on with it.
std::string caution_section() {
  const std::string text = cautions();
  std::string out = section("CAUTIONS");
  for (std::size_t begin = text.find('\n') + 1; begin < text.size();) {
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    const std::string_view line = std::string_view(text).substr(begin, end - begin);
    if (line.starts_with("- ")) out += ".IP \\(bu 2\n";
    if (line.size() > 2) out += roff(line.substr(2)) + "\n";
    begin = end + 1;
  }
  return out;
}

/// Command lines as they stand, each below what it shows. A test runs those of every page.
std::string example_section(std::span<const example> examples) {
  std::string out = section("EXAMPLES") +
                    roff(
                        "As typed in the folder that holds \"tables\": the one of the sources, or share/coldgrease of "
                        "an installation. The demo is invented; tables/demo/README.md walks through it.") +
                    "\n";
  for (const example& e : examples) {
    out += ".PP\n" + roff(std::string(e.shows) + ":") + "\n.RS 4\n.nf\n";
    out += roff(e.line) + "\n.fi\n.RE\n";
  }
  return out;
}

std::string page_name(const command& c) { return "coldgrease-" + std::string(c.name); }

}  // namespace

std::string manual_page(const command& c) {
  std::string out = head(page_name(c), c.does);
  out += section("SYNOPSIS") + bold("coldgrease " + std::string(c.name)) + " [" + italic("options") + "]";
  if (!c.positional.empty())
    out += c.positional_needed ? " " + italic(c.positional) : " [" + italic(c.positional) + "]";
  if (!c.second.empty()) out += " [" + italic(c.second) + "]";
  out += "\n" + section("DESCRIPTION") + sentence(c.does);
  if (!c.notes.empty()) out += ".PP\n" + paragraphs(c.notes);
  out += section("OPTIONS");
  if (!c.positional.empty()) out += entry(italic(c.positional), c.positional_help);
  if (!c.second.empty()) out += entry(italic(c.second), c.second_help);
  for (const option& o : options_of(c)) out += entry(o);
  out += example_section(c.examples);
  return out + exit_status() + caution_section() + section("\"SEE ALSO\"") + bold("coldgrease") + "(1)\n";
}

namespace {

std::string key_entry(const key_words& k) {
  std::string said(k.meaning);
  if (!k.unit.empty()) said += "; in " + k.unit;
  if (k.needed) said += "; must be given";
  if (!k.fallback.empty()) said += "; without it " + std::string(k.fallback);
  return entry(bold(k.key) + " (" + roff(k.kind) + ")", said);
}

std::string record_section(const record_words& r) {
  std::string out = ".SS " + roff(r.name) + "\n" + sentence(r.about);
  for (const key_words& k : r.keys) out += key_entry(k);
  for (const group_words& g : r.groups) {
    std::string keys;
    for (const std::string_view k : g.keys) keys += (keys.empty() ? "" : ", ") + std::string(k);
    out += ".PP\n" + roff(upper(std::string(g.rule.substr(0, 1))) + std::string(g.rule.substr(1)) + ": " + keys + ".") +
           "\n";
  }
  return out;
}

/// The columns of a schedule: the keys of lines and segments that fit a cell.
std::string schedule_section(std::span<const record_words> records) {
  std::string columns;
  for (const record_words& r : records) {
    if (r.name != "line" && r.name != "segment") continue;
    for (const key_words& k : r.keys) {
      if (k.in_a_cell) columns += (columns.empty() ? "" : ", ") + std::string(k.key);
    }
  }
  return section("SCHEDULES") +
         roff(
             "A lines_file is a table (CSV) with a row for each segment and these columns, in any order: "
             "installation, " +
             columns +
             ". Point, length, dose, and bore or tube are needed. A column of quantities has their unit in brackets "
             "behind "
             "its name, \"length [m]\", and its cells have none; tube, bearing and needs have the units in their "
             "cells, \"6 "
             "mm x "
             "1 mm\". A line of the file that begins with # is a comment above the names of the columns, and below "
             "them "
             "if it has fewer than four cells. Rows of one point follow each other from the pump to the point; what "
             "belongs to the line may stand "
             "in one of them only. Fields may stand in quotes, and a quote within them doubled (RFC 4180).") +
         "\n";
}

std::string table_section() {
  return section("TABLES") +
         roff(
             "Greases, installations and routes may each be the name of a table (CSV) instead of a list: a row a "
             "grease, an installation, a leg. Columns are the keys that hold a text, a number, a quantity, yes or no, "
             "or a list of texts with \" & \" between its parts; a quantity has its unit in the head, and an empty "
             "cell is a key left out. Rows of one route follow each other, and what belongs to the route may stand in "
             "the first of them alone. Lines stand in a schedule, one for all installations where it has a column "
             "installation. Points of flow curves, flow pressures, solids, the rules of a maker and a source for a "
             "single datum need JSON. A class is best written NLGI 00, as a spreadsheet makes 0 of 00. A table may be "
             "as a spreadsheet of any country saves it: between commas, semicolons, tabs or bars, with decimal commas "
             "and local dates where the file leaves no other reading, in UTF-8, UTF-16 or Latin-1, with titles above "
             "its heads or a row of totals below; what was left out or taken otherwise is said. coldgrease new writes "
             "such tables, and columns.csv, which explains them.") +
         "\n";
}

// What no single key says.

std::string grease_section() {
  return section("GREASES") +
         roff(
             "A class and the viscosity of the oil are enough. Whatever else is known counts beside them, in any "
             "order: measured points, flow pressures at two temperatures, a mobility figure, a worked penetration. "
             "Every answer names what it stands on, what each datum did to it, and the datum that would narrow it "
             "most. Nothing that is missing is favourable: the spread of an oil of which nobody says a viscosity runs "
             "to KV40 460 mm2/s, and under a ban or a limit a grease whose solids or thickener nobody states is not "
             "shown to be allowed. A ban on a thickener covers its kinds, under any of their names.") +
         "\n";
}

std::string route_section() {
  return section("ROUTES") +
         roff(
             "The fill of a route serves all of its installations. A route with separate_fills answers for each of its "
             "systems alone and then, as every one of the tows, for all that are coupled on one road: served only if "
             "each fill is. Units that roam are pools over the routes that they visit; a pool that has a system of a "
             "route's own stands in for that fill and is coupled to those that are left. Days are those of the "
             "calendar: hours_per_day and days_per_week say how much of them a vehicle is in service.") +
         "\n";
}

std::string weather_section() {
  return section("WEATHER") +
         roff(
             "Read as it comes from the archives, packed by gzip or not, and told from its content: GHCN-Daily (.dly, "
             "its by-year rows, or a CSV), GHCN-hourly, EPW, or any CSV with a date and the columns tmin and tmax, or "
             "with a time and temperature. A CSV must say its unit, in the name of the column, \"tmin [C]\", or in the "
             "leg. Rows may come in any order. What was left out or taken for granted stands in the notes of the first "
             "route that names the file. Two values for one day or hour that are not the same are refused, unless "
             "duplicates says which counts. Where to get one, and which: coldgrease-weather(7).") +
         "\n";
}

std::string readings_section() {
  return section("READINGS") +
         roff(
             "A table (CSV) of what the systems themselves show on cold mornings, with the columns date, vehicle, "
             "installation, grease, temperature [C], and gauge [bar] or reached (yes, no), and where known batch, "
             "point and rest [h]. It narrows what is believed of each grease, in every command that takes the fleet "
             "file; --ignore-readings answers without. A gauge that stands at the relief valve is \"not reached\", no "
             "value. One far from all else waits for a second vehicle; one too stiff widens the answer meanwhile.") +
         "\n";
}

}  // namespace

std::string manual_of_fleet(std::span<const record_words> records) {
  std::string out = head("coldgrease-fleet", "the file that describes a fleet", "5");
  out += section("DESCRIPTION");
  out += paragraphs(
      "A fleet file is JSON (UTF-8) of at most 16 MiB, packed by gzip or not: one object, the record \"fleet\" below. "
      "A quantity is a text "
      "with\n"
      "its unit, \"4 mm\" or \"-12 C\"; a share is a percentage, \"3 %\". Any datum of a grease may be an object of\n"
      "\"value\" and \"source\". Keys that are not listed here, and keys that stand twice, are refused; null is as "
      "good as\n"
      "missing. Names of files are relative to the folder of the file that names them.\n");
  out += section("RECORDS");
  for (const record_words& r : records) out += record_section(r);
  out += grease_section() + route_section() + weather_section() + readings_section();
  out += table_section() + schedule_section(records);
  out += section("FILES") + entry(italic("fleet.schema.json"),
                                  "The same as a JSON Schema, for editors; installed beside the data tables.");
  return out + caution_section() + section("\"SEE ALSO\"") + bold("coldgrease") + "(1), " + bold("coldgrease-new") +
         "(1), " + bold("coldgrease-check") + "(1), " + bold("coldgrease-pick") + "(1)\n";
}

std::string manual_of_weather(std::span<const guide_section> guide) {
  std::string out = head("coldgrease-weather", "weather files: which station, which years, from where", "7");
  for (const guide_section& s : guide) {
    out += section("\"" + roff(upper(s.title)) + "\"");
    for (const std::string& p : s.paragraphs) out += ".PP\n" + roff(p) + "\n";
    for (const guide_entry& e : s.entries) out += entry(bold(e.term), e.text);
  }
  return out + caution_section() + section("\"SEE ALSO\"") + bold("coldgrease") + "(1), " + bold("coldgrease-climate") +
         "(1), " + bold("coldgrease-fleet") + "(5)\n";
}

std::string manual_overview(std::span<const command> commands) {
  std::string out = head("coldgrease", about);
  out += section("SYNOPSIS") + bold("coldgrease") + " " + italic("command") + " [" + italic("options") + "]\n";
  out += section("DESCRIPTION");
  out += paragraphs(
      "An answer is text for people or, with --json, one JSON object in SI units and degrees C. A quantity is written\n"
      "with its unit: 4mm, \"1/4 in\", \"1740 psi\", \"-12 C\", \"10 F\"; a number without one is refused.\n"
      "What -o names is replaced as a whole or stays as it is, and no input is written over; a pipe or a device is\n"
      "written as it comes. A long answer tells on a terminal how far it has come.\n");
  out += section("COMMANDS");
  for (const command& c : commands) out += entry(bold(page_name(c)) + "(1)", c.does);
  out += section("OPTIONS") + entry(help_option) + entry(version_option);
  std::vector<example> first_hour;
  for (const std::string_view name : {"new", "check", "pick", "plan", "report"})
    first_hour.push_back(std::ranges::find(commands, name, &command::name)->examples.front());
  out += example_section(first_hour);
  out += exit_status();
  out += section("ENVIRONMENT") +
         entry(bold("COLDGREASE_TABLES"), "A folder of data tables to read in place of those that came with it.");
  out += caution_section() + section("\"SEE ALSO\"");
  std::string pages;
  for (const command& c : commands) pages += bold(page_name(c)) + "(1),\n";
  pages += bold("coldgrease-fleet") + "(5),\n" + bold("coldgrease-weather") + "(7)";
  return out + pages + "\n";
}

}  // namespace coldgrease::tools
