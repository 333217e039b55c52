#include "coldgrease/line/limit_curve.hpp"

#include <algorithm>
#include <array>

namespace coldgrease {

limit_curve longest_lines(const line& l, length bore, const grease& g, const conditions& c,
                          std::span<const temperature> at) {
  line uniform = l;
  // The longest line hangs on bore and flow alone; one metre stands for whatever length is asked about.
  uniform.segments = {{.length = metre(1), .bore = bore}};
  limit_curve curve{.bore = bore};
  for (const temperature t : at) {
    conditions there = c;
    there.at = t;
    const line_answer a = check(uniform, g, there);
    const bool below_bound = a.oil_bound && t < *a.oil_bound;
    curve.points.push_back({t, below_bound ? std::nullopt : a.longest});
  }
  return curve;
}

limit_chart chart_of(const installation& given, const grease& g, temperature at, double confidence,
                     std::span<const temperature> over) {
  installation i = given;
  join_mains(i);
  const conditions c = conditions_of(i, at, confidence);
  const std::array here{at};
  const auto narrowest = [](const line& l) { return std::ranges::min(l.segments, {}, &segment::bore).bore; };
  constexpr double same_bore = 1e-6;  // [m]: sizes in inches and in millimetres do not meet to the last digit
  limit_chart chart{.temperature = at};
  for (std::size_t l = 0; l < i.lines.size(); ++l) {
    const length bore = narrowest(i.lines[l]);
    auto same = std::ranges::find_if(chart.bores, [&](const limit_chart::bore_curve& b) {
      return in_metre(b.curve.bore) - in_metre(bore) < same_bore && in_metre(bore) - in_metre(b.curve.bore) < same_bore;
    });
    if (same == chart.bores.end()) {
      chart.bores.push_back({.curve = {.bore = bore}, .asked_by = l});
      same = chart.bores.end() - 1;
    }
    same->lines.push_back({l, metre(0)});
  }
  std::ranges::sort(chart.bores, {}, [](const limit_chart::bore_curve& b) { return b.curve.bore; });
  for (limit_chart::bore_curve& b : chart.bores) {
    const auto limit_of = [&](std::size_t l) {
      return longest_lines(i.lines[l], b.curve.bore, g, c, here).points.front().longest.value_or(metre(0));
    };
    b.asked_by = std::ranges::min(b.lines, {}, [&](const drawn_line& d) { return limit_of(d.line); }).line;
    b.curve = longest_lines(i.lines[b.asked_by], b.curve.bore, g, c, over);
    const length limit = limit_of(b.asked_by);
    for (drawn_line& d : b.lines) {
      for (const segment& piece : i.lines[d.line].segments) d.as_long_as += piece.length;
      const auto longest = check(i.lines[d.line], g, c).longest;
      d.limited = in_metre(limit) > 0.0 && longest && in_metre(*longest) > 0.0;
      if (d.limited) d.as_long_as *= in_metre(limit) / in_metre(*longest);
    }
  }
  return chart;
}

}  // namespace coldgrease
