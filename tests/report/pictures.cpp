// What is drawn stands where the scales of its picture say.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "demo_page.hpp"
#include "near.hpp"
#include "report/plot.hpp"

using namespace coldgrease;
using namespace reading;

namespace {

constexpr double rounding = 0.1;  // [px], of places written with one decimal

std::optional<double> number_of(std::string_view text) {
  double v = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), v);
  return error == std::errc() && end == text.data() + text.size() ? std::optional(v) : std::nullopt;
}
double number(const element& e, const std::string& key) {
  const auto v = number_of(e.attribute(key));
  REQUIRE(v);
  return *v;
}

struct frame {
  double left = 0.0, top = 0.0, right = 0.0, bottom = 0.0;
  bool holds(double x, double y) const {
    return x >= left - rounding && x <= right + rounding && y >= top - rounding && y <= bottom + rounding;
  }
};
frame frame_of(const element& svg) {
  const element& rect = *all(*all(svg, "clipPath").front(), "rect").front();
  const double x = number(rect, "x"), y = number(rect, "y");
  return {x, y, x + number(rect, "width"), y + number(rect, "height")};
}

/// A scale as a reader finds it: from its first and its last label.
struct read_scale {
  struct tick {
    double value = 0.0, at = 0.0;
  };
  std::vector<tick> ticks{};

  double at(double value) const {
    const tick &a = ticks.front(), &b = ticks.back();
    return a.at + (value - a.value) / (b.value - a.value) * (b.at - a.at);
  }
  bool is_even() const {
    return std::ranges::all_of(ticks, [&](const tick& t) { return std::abs(at(t.value) - t.at) <= 2 * rounding; });
  }
};

/// A number, or a power of ten with its power raised.
std::optional<double> value_of(const std::string& label) {
  static const std::vector<std::string> raised{"\u2070", "\u00b9", "\u00b2", "\u00b3", "\u2074",
                                               "\u2075", "\u2076", "\u2077", "\u2078", "\u2079"};
  for (std::size_t power = 2; power < raised.size(); ++power) {
    if (label == "10" + raised[power]) return std::pow(10.0, power);
    if (label == "10\u207b" + raised[power]) return std::pow(10.0, -static_cast<double>(power));
  }
  return number_of(label);
}

/// Labels that are numbers, of a row or a column of them. @param along, across  attributes that hold their places
template <class Belongs>
read_scale scale_of(const element& svg, const std::string& along, double foot, Belongs belongs) {
  read_scale s;
  for (const element* text : all(svg, "text")) {
    const auto value = value_of(text->text);
    if (value && belongs(number(*text, "x"), number(*text, "y")))
      s.ticks.push_back({*value, number(*text, along) - foot});
  }
  REQUIRE(s.ticks.size() >= 2);
  return s;
}
constexpr double foot_of_letters = 4.0;  // [px] that a label's foot stands below its tick
read_scale left_of(const element& svg, const frame& f) {
  return scale_of(svg, "y", foot_of_letters, [&](double x, double) { return x < f.left; });
}
read_scale right_of(const element& svg, const frame& f) {
  return scale_of(svg, "y", foot_of_letters, [&](double x, double) { return x > f.right; });
}
read_scale below(const element& svg, const frame& f, int row) {
  const double y = f.bottom + 17 + 16 * row;
  return scale_of(svg, "x", 0.0, [&](double x, double at) { return std::abs(at - y) < 1.0 && x <= f.right + 1.0; });
}

struct stroke {
  double x1 = 0.0, y1 = 0.0, x2 = 0.0, y2 = 0.0;
  std::string width{};
};
/// Lines of two points.
std::vector<stroke> strokes_of(const element& svg) {
  std::vector<stroke> found;
  for (const element* path : all(svg, "path")) {
    const std::string d = path->attribute("d");
    const std::size_t space = d.find(' '), l = d.find('L'), last = d.rfind(' ');
    if (l == std::string::npos || d.find('L', l + 1) != std::string::npos) continue;
    const auto x1 = number_of(std::string_view(d).substr(1, space - 1)),
               y1 = number_of(std::string_view(d).substr(space + 1, l - space - 1)),
               x2 = number_of(std::string_view(d).substr(l + 1, last - l - 1)),
               y2 = number_of(std::string_view(d).substr(last + 1));
    if (x1 && y1 && x2 && y2) found.push_back({*x1, *y1, *x2, *y2, path->attribute("stroke-width")});
  }
  return found;
}

/// The places of a path that stand on the picture's own scale: after M and L; steps from there are marks.
std::vector<std::pair<double, double>> places_of(const element& path) {
  std::vector<std::pair<double, double>> found;
  const std::string& d = path.attribute("d");
  for (std::size_t at = d.find_first_of("ML"); at != std::string::npos; at = d.find_first_of("ML", at + 1)) {
    double x = 0.0, y = 0.0;
    const auto [space, error] = std::from_chars(d.data() + at + 1, d.data() + d.size(), x);
    if (error != std::errc() || *space != ' ') continue;
    if (std::from_chars(space + 1, d.data() + d.size(), y).ec == std::errc()) found.emplace_back(x, y);
  }
  return found;
}

const std::vector<std::string> from_july{"Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
                                         "Jan", "Feb", "Mar", "Apr", "May", "Jun"};
const std::vector<std::string> from_january{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                            "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

std::vector<std::string> months_of(const element& svg) {
  std::vector<std::pair<double, std::string>> found;
  for (const element* text : all(svg, "text")) {
    if (std::ranges::find(from_july, text->text) != from_july.end()) found.emplace_back(number(*text, "x"), text->text);
  }
  std::ranges::sort(found);
  std::vector<std::string> names;
  for (const auto& [x, name] : found) names.push_back(name);
  return names;
}

/// Both scales of a pair agree. @param factor, shift  from the first's unit to the second's
void check_pair(const read_scale& first, const read_scale& second, double factor, double shift) {
  CHECK(first.is_even());
  CHECK(second.is_even());
  for (const auto& t : second.ticks) CHECK(near(first.at((t.value - shift) / factor), t.at, 0.0, 3 * rounding));
}

/// One step from frame to frame for every fill, at the temperature it stands.
void check_season(const season_sheet& s, const route_plan& r, const std::vector<grease>& stock) {
  const element svg = read_page(season_svg(s, r, stock));
  const frame f = frame_of(svg);
  const read_scale degrees = left_of(svg, f);
  check_pair(degrees, right_of(svg, f), 1.8, 32.0);
  CHECK(months_of(svg) == (s.starts == season_start::july ? from_july : from_january));
  const auto strokes = strokes_of(svg);
  double covered = 0.0;
  bool all_limits = !s.steps.empty();
  std::vector<double> heights;
  for (const season_sheet::step& step : s.steps) {
    all_limits = all_limits && step.coldest.has_value();
    if (!step.coldest) continue;
    const double y = degrees.at(step.coldest->in_celsius());
    CHECK(f.holds(f.left, y));
    if (std::ranges::none_of(heights, [&](double h) { return std::abs(h - y) < 2 * rounding; })) heights.push_back(y);
  }
  for (const double y : heights) {
    double here = 0.0;
    for (const stroke& line : strokes) {
      // A step is thick; what is left of it after a change is thin.
      if (line.width != "3" || line.y1 != line.y2 || std::abs(line.y1 - y) > 2 * rounding) continue;
      CHECK(f.holds(line.x1, line.y1));
      CHECK(f.holds(line.x2, line.y2));
      here += line.x2 - line.x1;
    }
    CHECK(here > 0.0);
    covered += here;
  }
  // Together they are the year.
  if (all_limits) CHECK(near(covered, f.right - f.left, 0.0, 4 * rounding));
}

}  // namespace

TEST_CASE("law: the year begins in July, in the south in January, and every step stands at its temperature") {
  reported r = report_of(demo_fleet());
  std::size_t steps = 0;
  for (std::size_t k = 0; k < r.d.seasons.size(); ++k) {
    CAPTURE(k);
    check_season(r.d.seasons[k], r.d.plan.routes[k], r.stock);
    steps += r.d.seasons[k].steps.size();
    r.d.seasons[k].starts = season_start::january;
    check_season(r.d.seasons[k], r.d.plan.routes[k], r.stock);
    r.d.seasons[k].band.reset();
    check_season(r.d.seasons[k], r.d.plan.routes[k], r.stock);
  }
  CHECK(steps > r.d.seasons.size());
}

TEST_CASE("law: a change is drawn on its day, and a year's end falls on the frame") {
  reported r = report_of(demo_fleet());
  season_sheet& s = r.d.seasons.at(1);
  REQUIRE(s.steps.size() == 2);
  for (const int month : {1, 4, 7, 10, 12}) {
    s.steps[0].from = {month, 1};
    s.steps[1].from = {month == 12 ? 6 : month + 1, 15};
    std::ranges::sort(s.steps, {}, [](const season_sheet::step& t) { return ordinal(t.from); });
    CAPTURE(month);
    check_season(s, r.d.plan.routes[1], r.stock);
    const element svg = read_page(season_svg(s, r.d.plan.routes[1], r.stock));
    const frame f = frame_of(svg);
    for (const season_sheet::step& step : s.steps) {
      const int day = (ordinal(step.from) - ordinal({7, 1}) + 365) % 365;
      if (day == 0) continue;
      const double x = f.left + day / 365.0 * (f.right - f.left);
      CHECK(std::ranges::any_of(strokes_of(svg), [&](const stroke& line) {
        return line.x1 == line.x2 && std::abs(line.x1 - x) <= 2 * rounding;
      }));
    }
  }
}

TEST_CASE("law: marks of a limit chart stand at their length and cold, in metres and feet alike") {
  const reported r = report_of(demo_fleet());
  for (const line_sheet& s : r.d.lines) {
    const installation& i = r.f.installations[s.installation];
    CAPTURE(i.name);
    const element svg = read_page(limit_svg(s, i, r.stock[s.grease]));
    const frame f = frame_of(svg);
    const read_scale metres = left_of(svg, f), degrees = below(svg, f, 0);
    check_pair(metres, right_of(svg, f), 1.0 / 0.3048, 0.0);
    check_pair(degrees, below(svg, f, 1), 1.8, 32.0);
    const double here = degrees.at(s.at.in_celsius());
    CHECK(std::ranges::any_of(strokes_of(svg), [&](const stroke& line) {
      return line.x1 == line.x2 && std::abs(line.x1 - here) <= 3 * rounding;
    }));
    std::size_t lines = 0;
    double highest = f.bottom, lowest = f.top;
    for (std::size_t b = 0; b < s.limits.bores.size(); ++b) {
      for (const drawn_line& l : s.limits.bores[b].lines) {
        ++lines;
        const double y = metres.at(in_metre(l.as_long_as));
        highest = std::min(highest, y);
        lowest = std::max(lowest, y);
        CHECK(f.holds(here, y));
        const auto at_place = [&](const element* path) {
          const std::string d = path->attribute("d");
          const std::size_t space = d.find(' '), m = d.find('m');
          if (m == std::string::npos) return false;
          const auto x = number_of(std::string_view(d).substr(1, space - 1)),
                     at = number_of(std::string_view(d).substr(space + 1, m - space - 1));
          // Marks that would cover one another stand beside.
          return x && at && std::abs(*at - y) <= 3 * rounding && f.holds(*x, *at);
        };
        CHECK(std::ranges::any_of(all(svg, "path"), at_place));
      }
    }
    CHECK(lines > 0);
    // The range is that of the lines.
    if (highest < lowest) CHECK(lowest - highest > 0.5 * (f.bottom - f.top));
    // Each number stands once.
    std::vector<std::string> numbers;
    for (const element* text : all(svg, "text")) {
      const double x = number(*text, "x"), y = number(*text, "y");
      if (x > f.left && x < f.right && y > f.top && y < f.bottom) numbers.push_back(text->text);
    }
    CHECK(numbers.size() == lines);
    std::ranges::sort(numbers);
    CHECK(std::ranges::adjacent_find(numbers) == numbers.end());
  }
}

TEST_CASE("law: words are put where they cover no line, mark or other words, or nowhere") {
  const detail::scale x{.from = 0, .to = 100, .begin = 0, .end = 100}, y{.from = 0, .to = 100, .begin = 100, .end = 0};
  detail::plot p({"p", "title", "says", false}, 100, 100, x, y);
  p.segment({0, 50}, {100, 50}, {detail::ink});
  p.mark({20, 20}, 0, detail::ink);
  const std::string words[]{"ab"};
  const auto at = [](double left, double foot) { return detail::spot{{left, foot}, "start"}; };
  const detail::spot on_line[]{at(40, 54)}, on_mark[]{at(18, 22)}, outside[]{at(95, 30)},
      free[]{at(40, 54), at(60, 30)};
  CHECK_FALSE(p.label_clear(on_line, words));
  CHECK_FALSE(p.label_clear(on_mark, words));
  CHECK_FALSE(p.label_clear(outside, words));
  const auto found = p.label_clear(free, words);
  REQUIRE(found);
  CHECK(found->at.x == free[1].at.x);
  const detail::spot taken[]{at(64, 34)};
  CHECK_FALSE(p.label_clear(taken, words));
  CHECK(all(read_page(p.take()), "text").size() == 1);
}

TEST_CASE("law: the grease that stands less goes on after a change for as long as a fill lasts") {
  const reported r = report_of(demo_fleet());
  std::size_t drawn = 0;
  for (std::size_t k = 0; k < r.d.seasons.size(); ++k) {
    const season_sheet& s = r.d.seasons[k];
    if (s.steps.size() != 2) continue;
    const element svg = read_page(season_svg(s, r.d.plan.routes[k], r.stock));
    const frame f = frame_of(svg);
    const read_scale degrees = left_of(svg, f);
    const temperature warmer = std::max(*s.steps[0].coldest, *s.steps[1].coldest);
    double days = 0.0;
    for (const stroke& line : strokes_of(svg)) {
      if (line.width != "1.5" || line.y1 != line.y2) continue;
      CHECK(near(line.y1, degrees.at(warmer.in_celsius()), 0.0, 2 * rounding));
      days += 365.0 * (line.x2 - line.x1) / (f.right - f.left);
    }
    CHECK(near(days, std::ceil(in_days(s.carry_over)), 0.0, 0.2));
    ++drawn;
  }
  CHECK(drawn == 2);
}

TEST_CASE("law: flow curves stand on decades at equal distances") {
  const reported r = report_of(demo_fleet());
  std::size_t pictures = 0;
  for (const grease_sheet& s : r.d.greases) {
    const std::string drawn = flow_svg(s, r.stock[s.grease]);
    if (drawn.empty()) continue;
    ++pictures;
    CAPTURE(r.stock[s.grease].name());
    const element svg = read_page(drawn);
    const frame f = frame_of(svg);
    for (read_scale axis : {left_of(svg, f), below(svg, f, 0)}) {
      for (auto& t : axis.ticks) {
        t.value = std::log10(t.value);
        CHECK(near(t.value, std::round(t.value), 0.0, 1e-9));
      }
      CHECK(axis.is_even());
    }
    // Every decade has its label: none is written so that it cannot be read.
    const double decades_high = std::log10(left_of(svg, f).ticks.back().value / left_of(svg, f).ticks.front().value);
    CHECK(near(std::abs(decades_high) + 1.0, static_cast<double>(left_of(svg, f).ticks.size()), 0.0, 1e-9));
    const read_scale rates = below(svg, f, 0);
    CHECK(near(rates.ticks.front().at, f.left, 0.0, rounding));
    CHECK(near(rates.ticks.back().at, f.right, 0.0, rounding));
  }
  CHECK(pictures > 0);
}

TEST_CASE("case from users: a pump too weak for its points keeps every mark and number within the picture") {
  fleet f = demo_fleet();
  f.installations[0].available = f.installations[0].relief = bar(8);
  const reported r = report_of(std::move(f));
  REQUIRE_FALSE(r.d.lines.empty());
  const line_sheet& s = r.d.lines.front();
  const element svg = read_page(limit_svg(s, r.f.installations[s.installation], r.stock[s.grease]));
  const frame inside = frame_of(svg);
  for (const element* text : all(svg, "text")) CHECK(number(*text, "y") >= inside.top - 12.0);
}

TEST_CASE("law: bands, middles and data of a belief stand where its scales say, in both scales of temperature") {
  const reported r = report_of(fleet_with_odd_readings());
  std::size_t pictures = 0, waiting = 0, bounds = 0;
  for (const grease_sheet& s : r.d.greases) {
    if (!s.belief) continue;
    ++pictures;
    CAPTURE(r.stock[s.grease].name());
    const element svg = read_page(belief_svg(s, r.stock[s.grease]));
    const frame f = frame_of(svg);
    read_scale times = left_of(svg, f);
    for (auto& t : times.ticks) t.value = std::log(t.value);
    CHECK(times.is_even());
    const read_scale degrees = below(svg, f, 0);
    check_pair(degrees, below(svg, f, 1), 1.8, 32.0);
    const auto place_of = [&](temperature t, double v) {
      return std::pair(degrees.at(t.in_celsius()), std::clamp(times.at(std::log(v)), f.top, f.bottom));
    };
    // Both bands are areas, and their middles the thicker lines.
    const auto drawn = all(svg, "path");
    const auto has_place = [&](const element* path, std::pair<double, double> at) {
      return std::ranges::any_of(places_of(*path), [&](const std::pair<double, double>& p) {
        return std::abs(p.first - at.first) <= 3 * rounding && std::abs(p.second - at.second) <= 3 * rounding;
      });
    };
    std::vector<const element*> areas, middles;
    for (const element* path : drawn) {
      if (path->attribute("d").ends_with("Z") && places_of(*path).size() == 2 * s.belief->steps.size())
        areas.push_back(path);
      if (path->attribute("fill") == "none" && path->attribute("stroke-width") != "1" &&
          places_of(*path).size() == s.belief->steps.size())
        middles.push_back(path);
    }
    REQUIRE(areas.size() == 2);
    REQUIRE(middles.size() == 2);
    for (const belief_chart::step& t : s.belief->steps) {
      std::size_t k = 0;
      for (const belief_chart::band& b : {t.before, t.after}) {
        CHECK(has_place(areas[k], place_of(t.temperature, b.low)));
        CHECK(has_place(areas[k], place_of(t.temperature, b.high)));
        CHECK(has_place(middles[k], place_of(t.temperature, b.median)));
        ++k;
      }
    }
    for (const belief_chart::point& p : s.belief->points) {
      const auto [x, y] = place_of(p.temperature, p.over_reference);
      CHECK(f.holds(x, y));
      const bool bound = p.kind == datum_kind::reached || p.kind == datum_kind::not_reached;
      waiting += p.waits ? 1 : 0;
      bounds += bound ? 1 : 0;
      const auto here = [&, x = x, y = y](const element* path) {
        const auto at = places_of(*path);
        const bool hollow = path->attribute(bound ? "stroke-dasharray" : "fill") == (bound ? "2 2" : "#fff");
        return at.size() == 1 && std::abs(at[0].first - x) <= 3 * rounding &&
               std::abs(at[0].second - y) <= 3 * rounding && hollow == p.waits;
      };
      CHECK(std::ranges::any_of(drawn, here));
    }
  }
  CHECK(pictures >= 4);
  CHECK(waiting > 0);
  CHECK(bounds > 0);
}
