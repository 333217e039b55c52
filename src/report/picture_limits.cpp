#include <algorithm>
#include <array>
#include <cmath>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/picture.hpp"
#include "report/plot.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr double width = 420, left = 46, right = 366, top = 28, bottom = 214;
constexpr double key_wide = 202, key_high = 18;
constexpr std::size_t keys_a_row = 2;
constexpr std::string_view curve_colour = "#0b4f6c", line_colour = "#7a2a00";

struct range_of {
  double from = 0.0;
  double to = 0.0;
};

/// From below the shortest line to above the longest: the picture is of these, not of all that a tube may be.
range_of metres_of(const limit_chart& c) {
  double shortest = INFINITY, longest = 0.0;
  for (const auto& b : c.bores) {
    for (const drawn_line& l : b.lines) {
      shortest = std::min(shortest, in_metre(l.as_long_as));
      longest = std::max(longest, in_metre(l.as_long_as));
    }
  }
  if (!(longest > 0.0)) return {0.0, 2.0};
  const double step = round_step(0.0, longest, 10);
  const double from = floor_to(step, 0.85 * std::min(shortest, longest));
  return {from, std::max(ceil_to(step, 1.1 * longest), from + 2.0 * step)};
}

/// The lines' own temperature, and whatever of the curves lies between the shortest and the longest of them.
range_of degrees_of(const line_sheet& s, const range_of& metres) {
  const double here = s.at.in_celsius();
  constexpr double least_beside = 2.5;  // [K]
  range_of found{here - least_beside, here + least_beside};
  for (const auto& b : s.limits.bores) {
    const auto& points = b.curve.points;  // warm to cold
    for (std::size_t k = 0; k < points.size(); ++k) {
      const auto within = [&](const limit_curve::point& p) {
        return p.longest && in_metre(*p.longest) >= metres.from && in_metre(*p.longest) <= metres.to;
      };
      // A neighbour too, so that the curve is seen to leave the frame.
      if (within(points[k]) || (k > 0 && within(points[k - 1])) || (k + 1 < points.size() && within(points[k + 1]))) {
        found.from = std::min(found.from, points[k].temperature.in_celsius());
        found.to = std::max(found.to, points[k].temperature.in_celsius());
      }
    }
  }
  return {floor_to(2.5, found.from), ceil_to(2.5, found.to)};
}

double height_of(const limit_chart& c) {
  const std::size_t rows = std::max<std::size_t>(1, (c.bores.size() + keys_a_row - 1) / keys_a_row);
  return bottom + 42 + key_high * static_cast<double>(rows);
}

std::size_t rank_of(const line_sheet& s, std::size_t line) {
  const auto& points = s.check.points;
  return static_cast<std::size_t>(std::ranges::find(points, line, &point_answer::line) - points.begin()) + 1;
}

void draw_curve(plot& p, const limit_curve& c, std::size_t i) {
  std::vector<place> places;
  for (const limit_curve::point& at : c.points) {
    if (at.longest) places.push_back({p.x.at(at.temperature.in_celsius()), p.y.at(in_metre(*at.longest))});
  }
  p.line(places, {curve_colour, 2.0, dashes_of(i)});
}

struct numbered_mark {
  place at{};
  std::size_t bore = 0;
  std::size_t number = 0;
  bool known = true;
};

/// The lines at their temperature; where marks would cover one another they stand beside it.
std::vector<numbered_mark> marks_of(const plot& p, const line_sheet& s, double here) {
  constexpr double mark_wide = 13.0, mark_high = 11.0;  // [px]
  std::vector<numbered_mark> marks;
  for (std::size_t b = 0; b < s.limits.bores.size(); ++b) {
    for (const drawn_line& l : s.limits.bores[b].lines) {
      const double y = l.how == drawn_as::at_no_length ? p.y.end : p.y.at(in_metre(l.as_long_as));
      const auto covers = [&](double x) {
        return std::ranges::any_of(marks, [&](const numbered_mark& m) {
          return std::abs(m.at.x - x) < mark_wide - 1.0 && std::abs(m.at.y - y) < mark_high;
        });
      };
      double x = here;
      for (int k = 1; covers(x) && k < 60; ++k) {
        const double aside = here + (k % 2 == 1 ? 1.0 : -1.0) * mark_wide * ((k + 1) / 2);
        if (aside > p.x.begin + 6.0 && aside < p.x.end - 6.0) x = aside;
      }
      marks.push_back({{x, y}, b, rank_of(s, l.line), l.how != drawn_as::not_known});
    }
  }
  return marks;
}

/// Beside its mark; where something stands there, farther off on a thin line to it.
void write_number(plot& p, const numbered_mark& m) {
  const std::string number[]{fmt::format("{}", m.number)};
  constexpr double beside = 8.0, step = 6.0;
  // Those of marks on the upper edge go down from it, not out of the picture.
  const double least = p.y.end + 14.0, most = p.y.begin - 6.0;
  std::vector<spot> near, far;
  for (const double side : {1.0, -1.0})
    near.push_back({{m.at.x + side * beside, std::clamp(m.at.y + 4.5, least, most)}, side > 0.0 ? "start" : "end"});
  if (p.label_clear(near, number, line_colour)) return;
  // From the side of the mark, or from its head or foot where others stand beside it.
  const auto line_to = [&](const spot& s, double lift) {
    const double side = s.anchor == "start" ? 1.0 : -1.0, edge = 6.5;
    const place from = lift == 0.0  ? place{m.at.x + edge * side, m.at.y}
                       : lift > 0.0 ? place{m.at.x, m.at.y + edge}
                                    : place{m.at.x, m.at.y - edge};
    return std::array{from, place{s.at.x - 2.0 * side, s.at.y - 4.5}};
  };
  std::vector<std::array<place, 2>> lines;
  for (double away = step; away <= 150.0; away += step) {
    for (const double lift : {0.0, -12.0, 12.0, -20.0, 20.0, -30.0, 30.0}) {
      for (const double side : {1.0, -1.0}) {
        const spot s{{m.at.x + side * (beside + away), std::clamp(m.at.y + 4.5 + lift, least, most)},
                     side > 0.0 ? "start" : "end"};
        const auto line = line_to(s, lift);
        if (!p.is_free(line[0], line[1])) continue;
        far.push_back(s);
        lines.push_back(line);
      }
    }
  }
  for (std::size_t k = 0; k < far.size(); ++k) {
    if (!p.label_clear(std::span(far).subspan(k, 1), number, line_colour)) continue;
    return p.segment(lines[k][0], lines[k][1], {line_colour, 0.7});
  }
  p.label(near.front().at, number[0], "start", line_colour);
}

}  // namespace

std::string limit_picture(const line_sheet& s, const installation& i, const grease& g, const std::string& id,
                          bool alone) {
  const limit_chart& c = s.limits;
  const range_of metres_shown = metres_of(c), degrees = degrees_of(s, metres_shown);
  const double cold = degrees.from, warm = degrees.to;
  plot p({id, fmt::format("How long a line may be: {}, {}", i.name, g.name()),
          fmt::format("Longest line that passes with {} against air temperature, one curve a bore, and the lines of {} "
                      "as numbered marks at {}. A mark above its curve does not pass.",
                      g.name(), i.name, both_scales(s.at)),
          alone},
         width, height_of(c), {.from = cold, .to = warm, .begin = left, .end = right},
         {.from = metres_shown.from, .to = metres_shown.to, .begin = bottom, .end = top});
  std::vector<axis_tick> metres, feet, si, us;
  const auto steps = [](double from, double to, int most) { return ticks_by(round_step(from, to, most), from, to); };
  for (const double v : steps(p.y.from, p.y.to, 8)) metres.push_back({p.y.at(v), fmt::format("{:g}", v)});
  for (const double v : steps(in_foot(metre(p.y.from)), in_foot(metre(p.y.to)), 8))
    feet.push_back({p.y.at(in_metre(foot(v))), fmt::format("{:g}", v)});
  for (const double t : steps(cold, warm, 7)) si.push_back({p.x.at(t), fmt::format("{:g}", t)});
  const double cold_f = 1.8 * cold + 32.0, warm_f = 1.8 * warm + 32.0;
  for (const double t : steps(cold_f, warm_f, 7)) us.push_back({p.x.at((t - 32.0) / 1.8), fmt::format("{:g}", t)});
  p.left_axis(metres, "m");
  p.right_axis(feet, "ft");
  p.bottom_axis(si, "\u00b0C");
  p.bottom_axis(us, "\u00b0F", 1, false);

  const double here = p.x.at(s.at.in_celsius());
  p.segment({here, p.y.begin}, {here, p.y.end}, {line_colour, 1.0, "6 3"});
  for (std::size_t b = 0; b < c.bores.size(); ++b) draw_curve(p, c.bores[b].curve, b);
  const auto marks = marks_of(p, s, here);
  for (const numbered_mark& m : marks) p.mark(m.at, m.bore, line_colour, m.known);
  for (const numbered_mark& m : marks) write_number(p, m);
  // What each kind of line means, in rows below.
  for (std::size_t b = 0; b < c.bores.size(); ++b) {
    const double x = 10.0 + key_wide * static_cast<double>(b % keys_a_row);
    const double y = bottom + 52 + key_high * static_cast<double>(b / keys_a_row);
    const length bore = c.bores[b].curve.bore;
    p.key({x, y}, {curve_colour, 2.0, dashes_of(b)},
          fmt::format("{} ({})", bore_words(bore, unit_system::si), bore_words(bore, unit_system::us)));
    p.mark({x + 20, y - 4}, b, line_colour);
  }
  return p.take();
}

}  // namespace coldgrease::inline v0::detail
