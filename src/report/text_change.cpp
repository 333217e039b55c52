// What a designation says, whether two thickeners may meet, and the sheet for the workshop at a changeover.
#include "base/format.hpp"

#include <cmath>

#include "coldgrease/base/quantity_text.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bullets;
using detail::coldest_words;
using detail::mixing_words;
using detail::oil_words;
using detail::row;
using detail::step_words;
using detail::table_row;
using detail::thickener_words;
using detail::votes_words;
using detail::words;

std::string to_text(const designation& d) {
  const auto bound = [](std::optional<temperature> t, bool open, std::string_view word) {
    if (!t) return std::string("not said");
    return (open ? std::string(word) + " " : std::string()) + both_scales(*t);
  };
  std::string out = row("designation", fmt::format("{}, by {}", d.code, name_of(d.standard)));
  out += row("lowest", bound(d.lowest, d.lowest_open, "below"));
  out += row("highest", bound(d.highest, d.highest_open, "over"));
  if (!d.application.empty()) out += row("for", d.application);
  out +=
      row("additives", fmt::format("{}{}", d.extreme_pressure ? "EP" : "no EP", d.solids ? ", solid lubricant" : ""));
  if (!d.oil.empty()) out += row("oil", d.oil);
  out += row("water", d.water);
  return to_text(classify_label(d.nlgi, "designation")) + out + bullets("\nNotes", d.notes);
}

namespace {

std::string charts_words(const compatibility_answer& a) {
  std::string out;
  for (const auto& s : a.charts) out += row("", fmt::format("{}: {} ({})", s.chart, votes_words(s), s.source));
  return out;
}

std::string oil_rows(const oil_change& c) {
  std::string out = row("OIL", step_words(c));
  if (c.warm.from || c.warm.to) out += row("", oil_words(c.warm));
  if (c.cold.from || c.cold.to || c.cold.from_beyond || c.cold.to_beyond || c.warm.ratio)
    out += row("", oil_words(c.cold));
  return out;
}

/// A number that keeps its column: without an exponent for anything that stands on a vehicle.
std::string column_number(double v, int decimals) {
  return std::abs(v) < 1e5 ? fmt::format("{:.{}f}", v, decimals) : fmt::format("{:.3g}", v);
}

template <class Value, class Read>
std::string whole_or_dash(const std::optional<Value>& v, Read read) {
  return v ? column_number(read(*v), 0) : "-";
}
std::string days_words(std::optional<duration> d) { return whole_or_dash(d, in_days); }
std::string shots_words(std::optional<double> n) {
  return whole_or_dash(n, [](double v) { return v; });
}

std::string mass_number(mass m, unit_system units) {
  return column_number(units == unit_system::si ? in_kilogram(m) : in_kilogram(m) / factor::pound, 3);
}
std::string_view mass_unit(unit_system units) { return units == unit_system::si ? "kg" : "lb"; }

}  // namespace

std::string to_text(const compatibility_answer& a, const oil_change& oils) {
  std::string out = row("old", thickener_words(a.first, a.first_class));
  out += row("new", thickener_words(a.second, a.second_class));
  out += row("ANSWER", mixing_words(a)) + charts_words(a) + oil_rows(oils);
  return out + bullets("\nNotes", a.notes);
}

std::string to_text(const changeover_answer& a, const installation& i, const grease& from, const grease& to,
                    unit_system units) {
  std::string out = row("changeover", i.name);
  out += row("from", fmt::format("{}; {}", from.name(), thickener_words(a.thickeners.first, a.thickeners.first_class)));
  out += row("stands on", from.stands_on()) + detail::data_rows(from);
  out += row("to", fmt::format("{}; {}", to.name(), thickener_words(a.thickeners.second, a.thickeners.second_class)));
  out += row("stands on", to.stands_on()) + detail::data_rows(to);
  out += row("MIXING", mixing_words(a.thickeners)) + charts_words(a.thickeners) + oil_rows(a.oils);
  out += row("passes", coldest_words(a));
  out += "\n";
  out += row("purge", fmt::format("at least {} in all lines, {} {}", words(a.total, units),
                                  mass_number(a.total_mass, units), mass_unit(units)));
  if (a.last) {
    const changeover_line& last = a.lines.front();
    out += row("last point",
               fmt::format("{}: {}", i.lines[*a.last].point,
                           last.arrives ? fmt::format("new grease after {} days", days_words(last.arrives))
                                        : fmt::format("new grease after {} shots", shots_words(last.shots))));
  } else {
    out += row("last point", "not known: not every dose is");
  }
  out += row("reservoir", a.reservoir ? fmt::format("up to {} days of old grease before that, if full and not drained",
                                                    days_words(a.reservoir))
                                      : "how long its old grease lasts is not known");
  if (!a.at_walls.empty()) out += row("at the walls", detail::at_walls_words(a));
  out += "\n" + table_row({{"point, last first", 38},
                           {fmt::format("{:>13} {:>9} {:>8} {:>8}", "purge", mass_unit(units), "shots", "days")}});
  for (const changeover_line& l : a.lines)
    out += table_row({{i.lines[l.line].point, 38},
                      {fmt::format("{:>13} {:>9} {:>8} {:>8}", words(l.purge, units), mass_number(l.purge_mass, units),
                                   shots_words(l.shots), days_words(l.arrives))}});
  out += bullets("\nCautions", a.cautions) + bullets("\nNotes", a.notes) + bullets("\nOn mixing", a.thickeners.notes);
  return out;
}

}  // namespace coldgrease::inline v0
