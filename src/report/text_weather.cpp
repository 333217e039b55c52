// Two weather files side by side, and the stations of published design values.
#include <algorithm>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/report/text.hpp"
#include "report/layout.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::bullets;
using detail::day_words;
using detail::month_name;
using detail::or_dash;
using detail::row;
using detail::step_words;
using detail::table_row;
using detail::wrapped;

namespace detail {

std::string for_dates_words(const climate_answer& a) {
  const std::string seasons = fmt::format("{}: {} whole season{} ({} days or more)", name_of(a.for_dates),
                                          a.whole_seasons, a.whole_seasons == 1 ? "" : "s", days_of_whole_season);
  switch (a.for_dates) {
    case date_grade::none:
      return a.kind == series_kind::typical_year
                 ? "none: a typical year has no seasons; a plan takes its typical days alone"
                 : "none: no whole season; a plan takes the typical days alone";
    case date_grade::too_few:
      return fmt::format("{}, fewer than {}; a plan takes the earliest and the latest cold there was", seasons,
                         fewest_seasons);
    case date_grade::rough: return fmt::format("{}, fewer than {}", seasons, few_seasons);
    case date_grade::good: break;
  }
  return seasons;
}

}  // namespace detail

namespace {

/// A row of both: what is said of each, and their difference.
std::string pair_row(std::string_view label, const std::string& first, const std::string& second,
                     const std::string& step = {}) {
  constexpr std::size_t name = 14, side = 23, difference = 17;
  return table_row({{std::string(label), name}, {first, side}, {second, side}, {step, difference}});
}

std::string pair_row(std::string_view label, std::optional<temperature> first, std::optional<temperature> second) {
  return pair_row(label, or_dash(first, both_scales), or_dash(second, both_scales),
                  first && second ? step_words(*second - *first) : std::string());
}

std::string safer_words(const record_comparison& c) {
  const auto of = [](const record_side& safer, const record_side& other) {
    if (!other.coldest)
      return fmt::format("{}: no plan can be made by {} alone, which misses a month", safer.called, other.called);
    return fmt::format("{}: its coldest days are judged at {}, those of {} at {}; the colder is the safer in winter",
                       safer.called, both_scales(*safer.coldest), other.called, both_scales(*other.coldest));
  };
  switch (c.safer) {
    case safer_record::first: return of(c.first, c.second);
    case safer_record::second: return of(c.second, c.first);
    case safer_record::alike: break;
  }
  if (!c.first.coldest) return "neither: both miss a month, and no plan can be made by them";
  return fmt::format("neither: the coldest days of both are judged at {}, alike to 0.1 K",
                     both_scales(std::min(*c.first.coldest, *c.second.coldest)));
}

std::optional<temperature> quantile_of(const climate_answer& a, double share) {
  const auto found = std::ranges::find(a.quantiles, share, &quantile_row::share);
  return found == a.quantiles.end() ? std::nullopt : std::optional(found->temperature);
}

std::optional<temperature> lowest_of(const climate_answer& a) {
  if (a.months.empty()) return std::nullopt;
  return std::ranges::min_element(a.months, {}, &month_climate::record)->record;
}

std::optional<temperature> once_in(const climate_answer& a, int years) {
  const auto found = std::ranges::find(a.return_minima, years, &return_row::years);
  return found == a.return_minima.end() ? std::nullopt : std::optional(found->temperature);
}

int rows_left_out(const climate_answer& a) {
  int count = 0;
  for (const dropped_rows& d : a.dropped) count += d.count;
  return count;
}

std::string below_rows(const climate_answer& a, const climate_answer& b) {
  if (!a.below || !b.below) return {};
  std::string out = fmt::format("\nBelow {}\n", both_scales(a.below->longest.temperature));
  const auto both = [&](std::string_view label, auto words) { out += pair_row(label, words(a), words(b)); };
  both("hours a year", [](const climate_answer& c) { return fmt::format("{:.1f}", c.below->hours_a_year); });
  both("longest spell", [](const climate_answer& c) { return fmt::format("{} h", c.below->longest.hours); });
  both("cold season", [](const climate_answer& c) {
    return c.seasons && c.seasons->first && c.seasons->last
               ? fmt::format("{} to {}", day_words(*c.seasons->first), day_words(*c.seasons->last))
               : std::string("no dates");
  });
  return out;
}

}  // namespace

std::string to_text(const record_comparison& c) {
  const climate_answer &a = c.first.climate, &b = c.second.climate;
  std::string out = row("SAFER", safer_words(c)) + "\n";
  const auto both = [&](std::string_view label, auto words) { out += pair_row(label, words(a), words(b)); };
  out += pair_row("", "first", "second", "second less first");
  const auto without_folder = [](const std::string& path) { return path.substr(path.find_last_of('/') + 1); };
  out += pair_row("file", without_folder(c.first.file), without_folder(c.second.file));
  both("station", [](const climate_answer& s) { return s.station.empty() ? "not named" : s.station; });
  both("kind", [](const climate_answer& s) { return std::string(name_of(s.kind)); });
  both("days or hours", [](const climate_answer& s) { return fmt::format("{}", s.count); });
  both("from", [](const climate_answer& s) { return or_dash(s.first, [](const date& d) { return text_of(d); }); });
  both("to", [](const climate_answer& s) { return or_dash(s.last, [](const date& d) { return text_of(d); }); });
  out += pair_row("missing", fmt::format("{:.1f} %", 100.0 * c.first.missing),
                  fmt::format("{:.1f} %", 100.0 * c.second.missing));
  both("left out", [](const climate_answer& s) { return fmt::format("{}", rows_left_out(s)); });
  both("whole years", [](const climate_answer& s) {
    return s.kind == series_kind::typical_year ? std::string("-") : fmt::format("{}", s.annual_minima.size());
  });
  both("for dates", [](const climate_answer& s) {
    return fmt::format("{}: {} whole season{}", name_of(s.for_dates), s.whole_seasons, s.whole_seasons == 1 ? "" : "s");
  });

  out += "\n" + pair_row("coldest days", c.first.coldest, c.second.coldest);
  out += pair_row("hottest days", c.first.hottest, c.second.hottest);
  out += pair_row("lowest", lowest_of(a), lowest_of(b));
  out += pair_row("once in 10 y", once_in(a, 10), once_in(b, 10));
  out += pair_row("coldest 0.4 %", quantile_of(a, 0.004), quantile_of(b, 0.004));
  out += pair_row("coldest 1 %", quantile_of(a, 0.01), quantile_of(b, 0.01));
  out += pair_row("hottest 1 %", quantile_of(a, 0.99), quantile_of(b, 0.99));
  if (c.common) {
    out += "\n" +
           wrapped(fmt::format("Daily minima of the {} days that both have, second less first: {} in the mean, "
                               "{} on the coldest tenth of them.",
                               c.common->days, step_words(c.common->mean), step_words(c.common->coldest_tenth))) +
           "\n";
  }
  out += "\nColdest 1 % of the hours of each month\n";
  for (const month_pair& m : c.months) out += pair_row(month_name(m.month), m.first, m.second);
  out += below_rows(a, b);
  out += "\n" +
         wrapped(
             "Coldest and hottest days: what a plan judges them at, the coldest or hottest 1 % of the hours "
             "of the 31 days around them.") +
         "\n";
  out += bullets("\nNotes", c.notes);
  out += bullets(fmt::format("\nNotes of {}", c.first.called), a.notes);
  return out + bullets(fmt::format("\nNotes of {}", c.second.called), b.notes);
}

std::string to_text(std::span<const design_values> rows) {
  constexpr std::size_t name = 21, cell_width = 17;
  std::string out = wrapped(
                        "Published heating design temperatures: 99.6 % and 99 % of all hours of a year are warmer. "
                        "Editions differ by 1 to 2 K: quote none without its edition. A plan judges a place by them "
                        "(\"design\" in a leg) at the mean annual minimum, without one 5 K below the 99.6 % value or "
                        "9 K below the 99 % value (judgement).") +
                    "\n";
  std::vector<const design_values*> rest;
  for (const design_values& v : rows) rest.push_back(&v);
  while (!rest.empty()) {
    // Rows of one source and edition stand together, in the order of the first.
    const design_values& head = *rest.front();
    const auto same = [&](const design_values* v) { return v->source == head.source && v->edition == head.edition; };
    out += "\n" + wrapped(fmt::format("Edition {}: {}", head.edition, head.source)) + "\n";
    out += table_row({{"station", name},
                      {"99.6 %", cell_width},
                      {"99 %", cell_width},
                      {"mean annual min", cell_width},
                      {"sd K", 4}});
    for (const design_values* v : rest) {
      if (!same(v)) continue;
      out += table_row(
          {{v->station, name},
           {or_dash(v->heating_99_6, both_scales), cell_width},
           {or_dash(v->heating_99, both_scales), cell_width},
           {or_dash(v->mean_annual_minimum, both_scales), cell_width},
           {or_dash(v->deviation, [](temperature_step s) { return fmt::format("{:.1f}", in_kelvins(s)); }), 4}});
    }
    std::vector<const design_values*> others;
    for (const design_values* v : rest) {
      if (!same(v)) others.push_back(v);
    }
    rest = std::move(others);
  }
  return out;
}

}  // namespace coldgrease::inline v0
