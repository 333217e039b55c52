#include "report/plot.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace coldgrease::inline v0::detail {

namespace {

std::string path_of(std::span<const place> points, bool reversed, bool begins) {
  std::string out;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const place& p = points[reversed ? points.size() - 1 - i : i];
    out += fmt::format("{}{} {}", begins && i == 0 ? "M" : "L", px(p.x), px(p.y));
  }
  return out;
}

/// True if a piece of a line has a place within a rectangle.
bool crosses(place a, place b, double left, double top, double right, double bottom) {
  double from = 0.0, to = 1.0;
  const auto cut = [&](double at, double along, double low, double high) {
    if (along == 0.0) return at >= low && at <= high;
    const double one = (low - at) / along, other = (high - at) / along;
    from = std::max(from, std::min(one, other));
    to = std::min(to, std::max(one, other));
    return from <= to;
  };
  return cut(a.x, b.x - a.x, left, right) && cut(a.y, b.y - a.y, top, bottom);
}

}  // namespace

std::string px(double v) {
  std::string text = fmt::format("{:.1f}", v);
  if (text.ends_with(".0")) text.resize(text.size() - 2);
  return text == "-0" ? "0" : text;
}

std::string short_name(std::string_view name, std::size_t most) {
  std::size_t characters = 0, cut = 0;
  for (std::size_t i = 0; i < name.size(); ++i) {
    const bool begins = (static_cast<unsigned char>(name[i]) & 0xc0U) != 0x80U;
    if (!begins) continue;
    if (++characters == most) cut = i;
  }
  return characters <= most ? std::string(name) : std::string(name.substr(0, cut)) + "\u2026";
}

double width_of(std::string_view label) {
  constexpr double mean_character = 8.0;  // [px] of digits and small letters at 13 px, in the wider of usual fonts
  return mean_character * static_cast<double>(std::ranges::count_if(
                              label, [](char c) { return (static_cast<unsigned char>(c) & 0xc0U) != 0x80U; }));
}

void spread_out(std::vector<double>& at, double apart) {
  std::vector<std::size_t> order(at.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::ranges::stable_sort(order, {}, [&](std::size_t i) { return at[i]; });
  // Down where the one above is too near, then up as far as the last one was pushed beyond its own place.
  std::vector<double> moved = at;
  for (std::size_t k = 1; k < order.size(); ++k)
    moved[order[k]] = std::max(moved[order[k]], moved[order[k - 1]] + apart);
  double shift = 0.0;
  for (std::size_t i = 0; i < at.size(); ++i) shift += (at[i] - moved[i]) / static_cast<double>(at.size());
  for (std::size_t i = 0; i < at.size(); ++i) at[i] = moved[i] + shift;
}

plot::plot(const picture_words& words, double width, double height, scale across, scale up)
    : x(across), y(up), clip_(words.id + "-frame") {
  const std::string box = fmt::format("0 0 {} {}", px(width), px(height));
  const std::string named = fmt::format("{0}-title {0}-says", words.id);
  if (words.alone) {
    svg_.open("svg", {{"xmlns", "http://www.w3.org/2000/svg"},
                      {"width", px(width)},
                      {"height", px(height)},
                      {"viewBox", box},
                      {"role", "img"},
                      {"aria-labelledby", named},
                      {"font-family", "system-ui, sans-serif"},
                      {"font-size", "13"}});
    svg_.shape("rect", {{"width", px(width)}, {"height", px(height)}, {"fill", "#fff"}});
  } else {
    svg_.open("svg", {{"viewBox", box},
                      {"role", "img"},
                      {"aria-labelledby", named},
                      {"font-family", "system-ui, sans-serif"},
                      {"font-size", "13"}});
  }
  svg_.element("title", words.title, {{"id", words.id + "-title"}});
  svg_.element("desc", words.says, {{"id", words.id + "-says"}});
  svg_.open("clipPath", {{"id", clip_}});
  svg_.shape("rect",
             {{"x", px(x.begin)}, {"y", px(y.end)}, {"width", px(x.end - x.begin)}, {"height", px(y.begin - y.end)}});
  svg_.close();
}

void plot::left_axis(std::span<const axis_tick> ticks, std::string_view unit, bool grid) {
  svg_.open("g", {{"fill", ink}, {"stroke-width", "1"}, {"text-anchor", "end"}});
  for (const axis_tick& t : ticks) {
    if (grid)
      svg_.shape("path", {{"d", fmt::format("M{} {}H{}", px(x.begin), px(t.at), px(x.end))}, {"stroke", grid_grey}});
    svg_.element("text", t.label, {{"x", px(x.begin - 6)}, {"y", px(t.at + 4)}});
  }
  svg_.element("text", unit, {{"x", px(x.begin - 6)}, {"y", px(y.end - 10)}});
  svg_.close();
}

void plot::right_axis(std::span<const axis_tick> ticks, std::string_view unit) {
  svg_.open("g", {{"fill", ink}});
  for (const axis_tick& t : ticks) {
    svg_.shape("path", {{"d", fmt::format("M{} {}h4", px(x.end), px(t.at))}, {"stroke", ink}});
    svg_.element("text", t.label, {{"x", px(x.end + 7)}, {"y", px(t.at + 4)}});
  }
  svg_.element("text", unit, {{"x", px(x.end + 7)}, {"y", px(y.end - 10)}});
  svg_.close();
}

void plot::bottom_axis(std::span<const axis_tick> ticks, std::string_view unit, int row, bool grid) {
  const double below = y.begin + 17 + 16 * row;
  svg_.open("g", {{"fill", ink}, {"text-anchor", "middle"}});
  for (const axis_tick& t : ticks) {
    if (grid)
      svg_.shape("path", {{"d", fmt::format("M{} {}V{}", px(t.at), px(y.begin), px(y.end))}, {"stroke", grid_grey}});
    svg_.element("text", t.label, {{"x", px(t.at)}, {"y", px(below)}});
  }
  svg_.close();
  if (unit.empty()) return;
  // Clear of the last label, which may stand at the frame's end.
  const double half = ticks.empty() ? 0.0 : 0.5 * width_of(ticks.back().label);
  const double at = ticks.empty() ? 0.0 : ticks.back().at + half + 5.0;
  svg_.element("text", unit, {{"x", px(std::max(x.end + 14.0, at))}, {"y", px(below)}, {"fill", ink}});
}

void plot::area(std::span<const place> upper, std::span<const place> lower, std::string_view colour) {
  svg_.shape("path", {{"d", path_of(upper, false, true) + path_of(lower, true, false) + "Z"}, {"fill", colour}});
}

void plot::line(std::span<const place> points, const stroke& s) {
  if (points.size() < 2) return;
  lines_.emplace_back(points.begin(), points.end());
  svg_.shape("path", {{"d", path_of(points, false, true)},
                      {"fill", "none"},
                      {"stroke", s.colour},
                      {"stroke-width", px(s.width)},
                      {"stroke-dasharray", s.dashes.empty() ? "none" : s.dashes},
                      {"clip-path", fmt::format("url(#{})", clip_)}});
}

void plot::segment(place a, place b, const stroke& s) { line(std::array{a, b}, s); }

void plot::grid_line(place a, place b) {
  svg_.shape("path", {{"d", fmt::format("M{} {}L{} {}", px(a.x), px(a.y), px(b.x), px(b.y))}, {"stroke", grid_grey}});
}

void plot::bar(place a, place b, std::string_view fill, bool broken) {
  svg_.shape("path", {{"d", fmt::format("M{} {}H{}V{}H{}Z", px(a.x), px(a.y), px(b.x), px(b.y), px(a.x))},
                      {"fill", fill},
                      {"stroke", ink},
                      {"stroke-dasharray", broken ? "4 3" : "none"}});
}

void plot::mark(place at, std::size_t i, std::string_view colour, bool filled) {
  std::string d;
  switch (i % 4) {
    case 0: d = fmt::format("M{} {}m-4 0a4 4 0 1 0 8 0a4 4 0 1 0 -8 0Z", px(at.x), px(at.y)); break;
    case 1: d = fmt::format("M{} {}m-4 -4h8v8h-8Z", px(at.x), px(at.y)); break;
    case 2: d = fmt::format("M{} {}m0 -5l5 9h-10Z", px(at.x), px(at.y)); break;
    default: d = fmt::format("M{} {}m0 -5.5l5 5.5l-5 5.5l-5 -5.5Z", px(at.x), px(at.y)); break;
  }
  taken_.push_back({at.x - 6.0, at.y - 6.0, at.x + 6.0, at.y + 6.0});
  svg_.shape("path", {{"d", d}, {"fill", filled ? colour : std::string_view("#fff")}, {"stroke", colour}});
}

void plot::bound(place at, bool above, std::string_view colour, bool sure) {
  const std::string_view arrow = above ? "v-13m-3.5 4.5l3.5 -4.5l3.5 4.5" : "v13m-3.5 -4.5l3.5 4.5l3.5 -4.5";
  svg_.shape("path", {{"d", fmt::format("M{} {}m-5 0h10m-5 0{}", px(at.x), px(at.y), arrow)},
                      {"fill", "none"},
                      {"stroke", colour},
                      {"stroke-width", "1.5"},
                      {"stroke-dasharray", sure ? "none" : "2 2"}});
}

void plot::label(place at, std::string_view words, std::string_view anchor, std::string_view colour) {
  svg_.element("text", words,
               {{"x", px(at.x)},
                {"y", px(at.y)},
                {"text-anchor", anchor},
                {"fill", colour},
                {"stroke", "#fff"},
                {"stroke-width", "3"},
                {"paint-order", "stroke"}});
}

void plot::words(place at, std::string_view in_bar) {
  svg_.element("text", in_bar, {{"x", px(at.x)}, {"y", px(at.y)}, {"text-anchor", "middle"}, {"fill", ink}});
}

plot::rectangle plot::box_of(const spot& s, double wide, std::size_t rows) {
  const double left = s.anchor == "start" ? s.at.x : s.anchor == "end" ? s.at.x - wide : s.at.x - 0.5 * wide;
  constexpr double above_foot = 11.0, below_foot = 4.0;  // [px] of letters at 13 px
  return {left, s.at.y - above_foot, left + wide, s.at.y + below_foot + row_high * static_cast<double>(rows - 1)};
}

bool plot::is_clear(const rectangle& b) const {
  if (b.left < x.begin + 1.0 || b.right > x.end - 1.0 || b.top < y.end + 1.0 || b.bottom > y.begin - 1.0) return false;
  const auto over = [&](const rectangle& t) {
    return t.left < b.right && t.right > b.left && t.top < b.bottom && t.bottom > b.top;
  };
  if (std::ranges::any_of(taken_, over)) return false;
  return std::ranges::none_of(lines_, [&](const std::vector<place>& points) {
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
      if (crosses(points[i], points[i + 1], b.left, b.top, b.right, b.bottom)) return true;
    }
    return false;
  });
}

bool plot::is_free(place a, place b) const {
  return std::ranges::none_of(taken_,
                              [&](const rectangle& r) { return crosses(a, b, r.left, r.top, r.right, r.bottom); });
}

std::optional<spot> plot::label_clear(std::span<const spot> spots, std::span<const std::string> rows,
                                      std::string_view colour) {
  double wide = 0.0;
  for (const std::string& words : rows) wide = std::max(wide, width_of(words));
  for (const spot& s : spots) {
    const rectangle b = box_of(s, wide, rows.size());
    if (!is_clear(b)) continue;
    taken_.push_back(b);
    for (std::size_t i = 0; i < rows.size(); ++i)
      label({s.at.x, s.at.y + row_high * static_cast<double>(i)}, rows[i], s.anchor, colour);
    return s;
  }
  return std::nullopt;
}

void plot::key(place at, const stroke& s, std::string_view words) {
  svg_.shape("path", {{"d", fmt::format("M{} {}h40", px(at.x), px(at.y - 4))},
                      {"stroke", s.colour},
                      {"stroke-width", px(s.width)},
                      {"stroke-dasharray", s.dashes.empty() ? "none" : s.dashes}});
  svg_.element("text", words, {{"x", px(at.x + 46)}, {"y", px(at.y)}, {"fill", ink}});
}

std::string plot::take() {
  svg_.shape("path",
             {{"d", fmt::format("M{} {}H{}V{}H{}Z", px(x.begin), px(y.end), px(x.end), px(y.begin), px(x.begin))},
              {"fill", "none"},
              {"stroke", ink}});
  svg_.close();
  return svg_.take();
}

}  // namespace coldgrease::inline v0::detail
