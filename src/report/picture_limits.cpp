#include <algorithm>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/picture.hpp"
#include "report/plot.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr double width = 720, left = 46, right = 624, top = 30, bottom = 280;
constexpr double key_wide = 225, key_high = 18;
constexpr std::size_t keys_a_row = 3;
constexpr std::string_view curve_colour = "#0b4f6c", line_colour = "#7a2a00";

double longest_drawn(const limit_chart& c) {
  double longest = 0.0;
  for (const auto& b : c.bores) {
    for (const drawn_line& l : b.lines) longest = std::max(longest, in_metre(l.as_long_as));
  }
  return longest;
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

}  // namespace

std::string limit_picture(const line_sheet& s, const installation& i, const grease& g, const std::string& id,
                          bool alone) {
  const limit_chart& c = s.limits;
  double cold = s.at.in_celsius(), warm = cold;
  for (const auto& b : c.bores) {
    for (const limit_curve::point& at : b.curve.points) {
      cold = std::min(cold, at.temperature.in_celsius());
      warm = std::max(warm, at.temperature.in_celsius());
    }
  }
  cold = floor_to(5.0, cold);
  warm = std::max(cold + 5.0, ceil_to(5.0, warm));
  const double most = ceil_to(2.0, std::max(2.0, 1.6 * longest_drawn(c)));
  plot p({id, fmt::format("How long a line may be: {}, {}", i.name, g.name()),
          fmt::format("Longest line that passes with {} against air temperature, one curve a bore, and the lines of {} "
                      "as numbered marks at {}. A mark above its curve does not pass.",
                      g.name(), i.name, both_scales(s.at)),
          alone},
         width, height_of(c), {.from = cold, .to = warm, .begin = left, .end = right},
         {.from = 0.0, .to = most, .begin = bottom, .end = top});
  std::vector<axis_tick> metres, feet, si, us;
  for (const double v : ticks_by(round_step(0.0, most, 8), 0.0, most))
    metres.push_back({p.y.at(v), fmt::format("{:g}", v)});
  const double most_feet = in_foot(metre(most));
  for (const double v : ticks_by(round_step(0.0, most_feet, 8), 0.0, most_feet))
    feet.push_back({p.y.at(in_metre(foot(v))), fmt::format("{:g}", v)});
  for (const double t : ticks_by(round_step(cold, warm, 12), cold, warm))
    si.push_back({p.x.at(t), fmt::format("{:g}", t)});
  const double cold_f = 1.8 * cold + 32.0, warm_f = 1.8 * warm + 32.0;
  for (const double t : ticks_by(round_step(cold_f, warm_f, 12), cold_f, warm_f))
    us.push_back({p.x.at((t - 32.0) / 1.8), fmt::format("{:g}", t)});
  p.left_axis(metres, "m");
  p.right_axis(feet, "ft");
  p.bottom_axis(si, "\u00b0C");
  p.bottom_axis(us, "\u00b0F", 1, false);

  const double here = p.x.at(s.at.in_celsius());
  p.segment({here, p.y.begin}, {here, p.y.end}, {line_colour, 1.0, "6 3"});
  for (std::size_t b = 0; b < c.bores.size(); ++b) draw_curve(p, c.bores[b].curve, b);
  for (std::size_t b = 0; b < c.bores.size(); ++b) {
    std::vector<double> labels;
    const auto height_in = [&](const drawn_line& l) {
      return l.how == drawn_as::at_no_length ? p.y.end : p.y.at(in_metre(l.as_long_as));
    };
    for (const drawn_line& l : c.bores[b].lines) labels.push_back(height_in(l));
    spread_out(labels, 12.0);
    // Those of marks on the upper edge go down from it, not out of the picture.
    const double above = labels.empty() ? 0.0 : p.y.end - std::ranges::min(labels);
    for (double& y : labels) y += std::max(0.0, above);
    for (std::size_t k = 0; k < labels.size(); ++k) {
      const drawn_line& l = c.bores[b].lines[k];
      const double x = here + 13.0 * static_cast<double>(b);
      p.mark({x, height_in(l)}, b, line_colour, l.how != drawn_as::not_known);
      const bool outer = b + 1 == c.bores.size();
      p.label({outer ? x + 9.0 : here - 9.0 - 20.0 * static_cast<double>(b), labels[k] + 4.0},
              fmt::format("{}", rank_of(s, l.line)), outer ? "start" : "end", line_colour);
    }
  }
  // What each kind of line means, in rows below.
  for (std::size_t b = 0; b < c.bores.size(); ++b) {
    const double x = left + key_wide * static_cast<double>(b % keys_a_row);
    const double y = bottom + 52 + key_high * static_cast<double>(b / keys_a_row);
    const length bore = c.bores[b].curve.bore;
    p.key({x, y}, {curve_colour, 2.0, dashes_of(b)},
          fmt::format("bore {} ({})", bore_words(bore, unit_system::si), bore_words(bore, unit_system::us)));
    p.mark({x + 20, y - 4}, b, line_colour);
  }
  return p.str();
}

}  // namespace coldgrease::inline v0::detail
