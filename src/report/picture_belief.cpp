#include <algorithm>
#include <cmath>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/picture.hpp"
#include "report/plot.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr double width = 420, left = 46, right = 372, top = 28, bottom = 216;
constexpr double key_wide = 202, key_high = 18;
constexpr std::size_t keys_a_row = 2;
constexpr std::string_view before_fill = "#ededed", before_edge = "#666666", after_fill = "#c3d8e3",
                           after_edge = "#0b4f6c", mark_colour = "#7a2a00";
constexpr stroke before_line{before_edge, 1.5, "8 4"}, before_bound{before_edge, 1.0, "3 3"},
    after_line{after_edge, 2.0, ""}, after_bound{after_edge, 1.0, ""};

/// Beyond it a mark stands on the edge, and a band goes on outside the picture.
constexpr double most_drawn = 100.0;

/// How a datum is drawn; each kind has its key.
enum class shown_as { gauge, reached, not_reached, sheet, fit };
shown_as shown(datum_kind kind) {
  switch (kind) {
    case datum_kind::readings:
    case datum_kind::gauge: return shown_as::gauge;
    case datum_kind::reached: return shown_as::reached;
    case datum_kind::not_reached: return shown_as::not_reached;
    case datum_kind::fit: return shown_as::fit;
    default: return shown_as::sheet;
  }
}
std::string_view key_words(shown_as how) {
  switch (how) {
    case shown_as::gauge: return "gauge read";
    case shown_as::reached: return "reached: softer";
    case shown_as::not_reached: return "not reached: stiffer";
    case shown_as::sheet: return "datum of the sheet";
    case shown_as::fit: return "fitted curve";
  }
  return {};
}

/// Round factors: 1, 2, 5 of every decade, more of them where there is room, decades alone where there is none.
struct factor_axis {
  double from = 1.0;
  double to = 1.0;
  std::vector<double> ticks{};
};
factor_axis axis_over(double low, double high) {
  static constexpr double fine[]{1.0, 1.5, 2.0, 3.0, 5.0, 7.0}, usual[]{1.0, 2.0, 5.0}, coarse[]{1.0};
  const double span = high / low;
  std::span<const double> series = usual;
  if (span < 15.0) series = fine;
  if (span > 1e3) series = coarse;
  factor_axis axis;
  for (double decade = 1e-4; decade < 1e5; decade *= 10.0) {
    for (const double f : series) axis.ticks.push_back(f * decade);
  }
  // From the last at or below the low end to the first at or above the high one.
  constexpr double same = 1.0 + 1e-9;
  auto first = std::ranges::upper_bound(axis.ticks, low * same);
  if (first != axis.ticks.begin()) --first;
  auto last = std::ranges::lower_bound(axis.ticks, high / same);
  if (last == axis.ticks.end()) --last;
  axis.ticks = {first, last + 1};
  axis.from = axis.ticks.front();
  axis.to = axis.ticks.back();
  return axis;
}

factor_axis factors_of(const belief_chart& c) {
  double low = 1.0 / 1.4, high = 1.4;
  const auto take = [&](double v) {
    low = std::min(low, std::max(v, 1.0 / most_drawn));
    high = std::max(high, std::min(v, most_drawn));
  };
  for (const belief_chart::step& s : c.steps) {
    for (const belief_chart::band& b : {s.before, s.after}) {
      take(b.low);
      take(b.high);
    }
  }
  for (const belief_chart::point& p : c.points) take(p.over_reference);
  return axis_over(low, high);
}

using band_of_step = belief_chart::band belief_chart::step::*;

/// Places of one number of a band, from cold to warm, no farther than the frame.
std::vector<place> places_of(const plot& p, const belief_chart& c, band_of_step band,
                             double belief_chart::band::*number) {
  std::vector<place> places;
  for (const belief_chart::step& s : c.steps) {
    const double v = std::clamp(s.*band.*number, p.y.from, p.y.to);
    places.push_back({p.x.at(s.temperature.in_celsius()), p.y.at(v)});
  }
  std::ranges::reverse(places);
  return places;
}

void draw_area(plot& p, const belief_chart& c, band_of_step band, std::string_view fill, const stroke& edge) {
  const auto upper = places_of(p, c, band, &belief_chart::band::high),
             lower = places_of(p, c, band, &belief_chart::band::low);
  p.area(upper, lower, fill);
  p.line(upper, edge);
  p.line(lower, edge);
}

void draw_sign(plot& p, place at, shown_as how, bool counts) {
  switch (how) {
    case shown_as::reached: p.bound(at, false, mark_colour, counts); return;
    case shown_as::not_reached: p.bound(at, true, mark_colour, counts); return;
    default: break;
  }
  const std::size_t shape = how == shown_as::gauge ? 0 : how == shown_as::sheet ? 1 : 3;
  p.mark(at, shape, mark_colour, counts);
}

void draw_point(plot& p, const belief_chart::point& d) {
  const auto inside = [&](double v) { return p.y.at(std::clamp(v, p.y.from, p.y.to)); };
  const double x = p.x.at(d.temperature.in_celsius());
  if (d.high > d.low) p.segment({x, inside(d.low)}, {x, inside(d.high)}, {mark_colour, 1.0});
  draw_sign(p, {x, inside(d.over_reference)}, shown(d.kind), !d.waits);
}

/// What is drawn, in rows below: lines first, then each kind of mark that there is.
struct keys {
  plot& p;
  std::size_t count = 0;

  place next() {
    const place at{10.0 + key_wide * static_cast<double>(count % keys_a_row),
                   bottom + 52 + key_high * static_cast<double>(count / keys_a_row)};
    ++count;
    return at;
  }
  void sign(shown_as how, bool counts, std::string_view words) {
    const place at = next();
    const double lift = how == shown_as::reached ? 10.0 : how == shown_as::not_reached ? -2.0 : 4.0;
    draw_sign(p, {at.x + 20, at.y - lift}, how, counts);
    p.label({at.x + 46, at.y}, words);
  }
};

std::vector<shown_as> kinds_of(const belief_chart& c) {
  std::vector<shown_as> kinds;
  for (const belief_chart::point& d : c.points) kinds.push_back(shown(d.kind));
  std::ranges::sort(kinds);
  kinds.erase(std::unique(kinds.begin(), kinds.end()), kinds.end());
  return kinds;
}

std::string says(const belief_chart& c, const grease& g) {
  const belief_chart::step& coldest = c.steps.back();
  const auto band = [](const belief_chart::band& b) { return fmt::format("{:.2f} to {:.2f}", b.low, b.high); };
  return fmt::format(
      "Stress of a new batch of {} over that of the reference curve against temperature, by equal factors. The bands "
      "hold nine of ten batches: at {} {} times the reference by the description alone, {} with the data.",
      g.name(), both_scales(coldest.temperature), band(coldest.before), band(coldest.after));
}

}  // namespace

std::string belief_picture(const grease_sheet& s, const grease& g, const std::string& id, bool alone) {
  if (!s.belief) return {};
  const belief_chart& c = *s.belief;
  const factor_axis factors = factors_of(c);
  const auto kinds = kinds_of(c);
  const auto waiting = std::ranges::find_if(c.points, &belief_chart::point::waits);
  const std::size_t wanted = 2 + kinds.size() + (waiting != c.points.end() ? 1 : 0);
  const double height = bottom + 42 + key_high * static_cast<double>((wanted + keys_a_row - 1) / keys_a_row);
  const double cold = floor_to(5.0, c.steps.back().temperature.in_celsius());
  const double warm = std::max(cold + 5.0, ceil_to(5.0, c.steps.front().temperature.in_celsius()));
  plot p({id, "What is believed of " + g.name(), says(c, g), alone}, width, height,
         {.from = cold, .to = warm, .begin = left, .end = right},
         {.from = factors.from, .to = factors.to, .begin = bottom, .end = top, .by_decades = true});
  draw_area(p, c, &belief_chart::step::before, before_fill, before_bound);
  draw_area(p, c, &belief_chart::step::after, after_fill, after_bound);
  std::vector<axis_tick> times, si, us;
  for (const double v : factors.ticks) times.push_back({p.y.at(v), fmt::format("{:g}", v)});
  for (const double t : ticks_by(round_step(cold, warm, 7), cold, warm))
    si.push_back({p.x.at(t), fmt::format("{:g}", t)});
  const double cold_f = 1.8 * cold + 32.0, warm_f = 1.8 * warm + 32.0;
  for (const double t : ticks_by(round_step(cold_f, warm_f, 7), cold_f, warm_f))
    us.push_back({p.x.at((t - 32.0) / 1.8), fmt::format("{:g}", t)});
  p.left_axis(times, "times");
  p.bottom_axis(si, "\u00b0C");
  p.bottom_axis(us, "\u00b0F", 1, false);
  p.line(places_of(p, c, &belief_chart::step::before, &belief_chart::band::median), before_line);
  p.line(places_of(p, c, &belief_chart::step::after, &belief_chart::band::median), after_line);
  for (const belief_chart::point& d : c.points) draw_point(p, d);

  keys below{p};
  p.key(below.next(), before_line, "by the description");
  p.key(below.next(), after_line, "with all data");
  for (const shown_as how : kinds) below.sign(how, true, key_words(how));
  if (waiting != c.points.end()) below.sign(shown(waiting->kind), false, "waits, does not count");
  return p.take();
}

}  // namespace coldgrease::inline v0::detail
