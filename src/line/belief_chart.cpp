#include "coldgrease/line/belief_chart.hpp"

#include <cmath>

namespace coldgrease::inline v0 {

namespace {

belief_chart::band band_of(const detail::belief& b, const detail::weights& of) {
  const double shift = b.shift(of), half = detail::z90 * b.sigma(of);
  return {std::exp(shift - half), std::exp(shift), std::exp(shift + half)};
}

/// With the whisker of its own error.
belief_chart::point point_of(belief_chart::point p, double error) {
  p.low = p.over_reference * std::exp(-error);
  p.high = p.over_reference * std::exp(error);
  return p;
}

bool has_place(datum_kind kind) {
  switch (kind) {
    case datum_kind::apparent_viscosity:
    case datum_kind::rheometer:
    case datum_kind::mobility:
    case datum_kind::fit: return true;
    default: return false;  // a slope, or readings, which the lesson holds one by one
  }
}

}  // namespace

std::optional<belief_chart> chart_of(const grease& g, const grease_lesson* lesson, std::span<const reading> readings,
                                     std::span<const temperature> over) {
  belief_chart c{.reference = g.reference()};
  for (const used_datum& d : g.data()) {
    if (!has_place(d.kind)) continue;
    c.points.push_back(point_of({.kind = d.kind, .temperature = d.at, .over_reference = d.over_reference}, d.error));
  }
  if (lesson) {
    for (const judged_reading& j : lesson->readings) {
      if (!j.over_reference) continue;
      c.points.push_back(point_of({.kind = j.says,
                                   .temperature = readings[j.reading].at,
                                   .over_reference = *j.over_reference,
                                   .waits = j.use == reading_use::waits,
                                   .reading = j.reading},
                                  j.error.value_or(0.0)));
    }
  }
  if (g.data().empty() && c.points.empty()) return std::nullopt;
  for (const temperature t : over) {
    if (!g.knows(t)) continue;
    const detail::weights of = detail::wall_stress(g.kernel(), t.in_celsius(), detail::usual_rate).of;
    c.steps.push_back({t, band_of(g.described_belief(), of), band_of(g.belief(), of)});
  }
  if (c.steps.size() < 2) return std::nullopt;
  return c;
}

}  // namespace coldgrease::inline v0
