#include <algorithm>
#include <cmath>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/picture.hpp"
#include "report/plot.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr double width = 420, left = 62, right = 350, top = 28, bottom = 216;
constexpr double key_wide = 200, key_high = 18;
constexpr std::size_t keys_a_row = 2;
constexpr std::string_view colours[]{"#7a2a00", "#0b4f6c", "#333333"};  // beside dashes and marks
constexpr double same_temperature = 2.0;                                // [K], of a point and its curve

/// A power of ten as people write it: "0.1", "1000", then "10" and its power raised.
std::string decade_words(double v) {
  if (v >= 0.01 && v < 2e4) return fmt::format("{:g}", v);
  static constexpr std::string_view raised[]{"\u2070", "\u00b9", "\u00b2", "\u00b3", "\u2074",
                                             "\u2075", "\u2076", "\u2077", "\u2078", "\u2079"};
  std::string out = "10";
  for (const char c : fmt::format("{:.0f}", std::log10(v))) {
    if (c == '-') {
      out += "\u207b";
    } else {
      out += raised[c - '0'];
    }
  }
  return out;
}

struct limits {
  double low = INFINITY;
  double high = 0.0;
};

limits stresses_of(const grease_sheet& s, const grease& g) {
  limits found;
  const auto take = [&](double stress) {
    found.low = std::min(found.low, stress);
    found.high = std::max(found.high, stress);
  };
  for (const curve_answer& c : s.curves) {
    for (std::size_t k = 0; k < c.points.size(); ++k) {
      const double f = c.spread_90.value_or(1.0), stress = in_pascal(c.points[k].stress);
      take(stress);
      if (k != 0) continue;
      take(stress / f);
    }
  }
  for (const measured_point& p : g.known().points) take(in_pascal(p.stress));
  return found;
}

}  // namespace

std::string flow_picture(const grease_sheet& s, const grease& g, const std::string& id, bool alone) {
  const limits range = stresses_of(s, g);
  if (!(range.high > 0.0)) return {};
  double slowest = 0.1, fastest = 1000.0;
  for (const measured_point& p : g.known().points) {
    slowest = std::min(slowest, in_per_second(p.rate));
    fastest = std::max(fastest, in_per_second(p.rate));
  }
  const auto decade_below = [](double v) { return std::pow(10.0, std::floor(std::log10(v) + 1e-9)); };
  const auto decade_above = [](double v) { return std::pow(10.0, std::ceil(std::log10(v) - 1e-9)); };
  const scale x{
      .from = decade_below(slowest), .to = decade_above(fastest), .begin = left, .end = right, .by_decades = true};
  const scale y{.from = decade_below(0.99 * range.low),
                .to = decade_above(1.01 * range.high),
                .begin = bottom,
                .end = top,
                .by_decades = true};
  std::string says =
      fmt::format("Stress against {} shear rate for {}, both by decades, at",
                  !s.curves.empty() && s.curves.front().kind == rate_kind::true_rate ? "true" : "nominal", g.name());
  for (const curve_answer& c : s.curves)
    says += " " + both_scales(c.temperature) + (&c == &s.curves.back() ? "." : ",");
  const std::size_t key_rows = (s.curves.size() + keys_a_row - 1) / keys_a_row;
  const double height = bottom + 30 + key_high * static_cast<double>(key_rows);
  plot p({id, "Flow curves of " + g.name(), says, alone}, width, height, x, y);

  std::vector<axis_tick> rates, pascals, psis;
  for (const double v : decades(x.from, x.to)) rates.push_back({x.at(v), decade_words(v)});
  for (const double v : decades(y.from, y.to)) pascals.push_back({y.at(v), decade_words(v)});
  for (const double v : decades(in_psi(pascal(y.from)), in_psi(pascal(y.to))))
    psis.push_back({y.at(in_pascal(psi(v))), decade_words(v)});
  p.left_axis(pascals, "Pa");
  p.right_axis(psis, "psi");
  p.bottom_axis(rates, "1/s");

  for (std::size_t k = 0; k < s.curves.size(); ++k) {
    const curve_answer& c = s.curves[k];
    if (c.points.empty()) continue;
    const std::string_view colour = colours[k % std::size(colours)];
    std::vector<place> places;
    for (const auto& point : c.points)
      places.push_back({x.at(in_per_second(point.rate)), y.at(in_pascal(point.stress))});
    p.line(places, {colour, 2.0, dashes_of(k)});
    if (c.spread_90) {
      // Nine of ten such greases lie on this bar; the bars of the curves stand side by side.
      const auto& point = c.points[2 + 2 * k < c.points.size() ? 2 + 2 * k : 0];
      const double at = x.at(in_per_second(point.rate)), f = *c.spread_90, stress = in_pascal(point.stress);
      const double low = y.at(stress / f), high = y.at(stress * f);
      p.segment({at, low}, {at, high}, {colour, 1.5});
      for (const double end : {low, high}) p.segment({at - 4, end}, {at + 4, end}, {colour, 1.5});
    }
    const place below{10.0 + key_wide * static_cast<double>(k % keys_a_row),
                      bottom + 40 + key_high * static_cast<double>(k / keys_a_row)};
    p.key(below, {colour, 2.0, dashes_of(k)}, whole_degrees(c.temperature));
  }
  for (const measured_point& m : g.known().points) {
    const auto away = [&](const curve_answer& c) { return std::abs(in_kelvins(m.at - c.temperature)); };
    const auto nearest = std::ranges::min_element(s.curves, {}, away);
    const auto k = static_cast<std::size_t>(nearest - s.curves.begin());
    const place at{x.at(in_per_second(m.rate)), y.at(in_pascal(m.stress))};
    if (nearest != s.curves.end() && away(*nearest) <= same_temperature) {
      p.mark(at, k, colours[k % std::size(colours)], m.kind == nearest->kind);
    } else {
      p.mark(at, 3, ink, false);
    }
  }
  return p.take();
}

}  // namespace coldgrease::inline v0::detail
