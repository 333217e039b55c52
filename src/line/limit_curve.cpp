#include "coldgrease/line/limit_curve.hpp"

#include <algorithm>
#include <cmath>

#include "coldgrease/line/limits.hpp"

namespace coldgrease::inline v0 {

namespace {

length narrowest(const line& l) { return std::ranges::min(l.segments, {}, &segment::bore).bore; }

/// One metre of a tube that is as weak and as cold as the line's weakest and coldest part: the longest line hangs on
/// bore, flow and pressure alone.
segment uniform_tube(const line& l, length bore) {
  segment tube{.length = metre(1), .bore = bore, .offset = l.segments.front().offset};
  for (const segment& s : l.segments) {
    tube.offset = std::min(tube.offset, s.offset);
    if (s.rating) tube.rating = tube.rating ? std::min(*tube.rating, *s.rating) : *s.rating;
  }
  return tube;
}

/// The shorter of two limits at every temperature.
void take_shorter(limit_curve& curve, const limit_curve& other) {
  for (std::size_t k = 0; k < curve.points.size(); ++k) {
    auto& longest = curve.points[k].longest;
    const auto& its = other.points[k].longest;
    if (its && (!longest || *its < *longest)) longest = its;
  }
}

}  // namespace

limit_curve longest_lines(const line& l, length bore, const grease& g, const conditions& c,
                          std::span<const temperature> at) {
  validate(l);
  line uniform = l;
  uniform.segments = {uniform_tube(l, bore)};
  limit_curve curve{.bore = bore, .points = {}};
  const auto bound = g.has_model() ? g.oil_bound() : std::nullopt;
  for (const temperature t : at) {
    conditions there = c;
    there.at = t;
    const bool below_bound = bound && t + uniform.segments.front().offset < *bound;
    curve.points.push_back({t, below_bound ? std::nullopt : longest_passing(uniform, g, there)});
  }
  return curve;
}

limit_chart chart_of(const installation& given, const grease& g, temperature at, double confidence,
                     std::span<const temperature> over) {
  installation i = given;
  join_mains(i);
  const conditions c = conditions_of(i, at, confidence);
  constexpr double same_bore = 1e-6;  // [m]: sizes in inches and in millimetres do not meet to the last digit
  limit_chart chart{.temperature = at, .bores = {}};
  for (std::size_t l = 0; l < i.lines.size(); ++l) {
    const length bore = narrowest(i.lines[l]);
    const auto same = std::ranges::find_if(chart.bores, [&](const limit_chart::bore_curve& b) {
      return std::abs(in_metre(b.curve.bore) - in_metre(bore)) < same_bore;
    });
    auto& its = same == chart.bores.end() ? chart.bores.emplace_back() : *same;
    its.curve.bore = bore;
    its.lines.push_back({.line = l, .as_long_as = metre(0)});
  }
  std::ranges::sort(chart.bores, {}, [](const limit_chart::bore_curve& b) { return b.curve.bore; });
  for (limit_chart::bore_curve& b : chart.bores) {
    std::vector<temperature> all(over.begin(), over.end());
    all.push_back(at);
    for (const drawn_line& d : b.lines) {
      const limit_curve own = longest_lines(i.lines[d.line], b.curve.bore, g, c, all);
      if (b.curve.points.empty()) {
        b.curve = own;
      } else {
        take_shorter(b.curve, own);
      }
    }
    const auto limit = b.curve.points.back().longest;
    b.curve.points.pop_back();
    for (drawn_line& d : b.lines) {
      for (const segment& piece : i.lines[d.line].segments) d.as_long_as += piece.length;
      const auto longest = longest_passing(i.lines[d.line], g, c);
      const outcome own = outcome_of(i.lines[d.line], g, c);
      if (longest && in_metre(*longest) > 0.0 && limit && own.verdict != verdict::not_shown) {
        d.as_long_as *= in_metre(*limit) / in_metre(*longest);
        d.how = drawn_as::by_limit;
      } else if (own.chance && *own.chance <= 0.0) {
        d.how = drawn_as::at_no_length;
      }
    }
  }
  return chart;
}

}  // namespace coldgrease::inline v0
