#include <algorithm>

#include "base/format.hpp"
#include "report/picture.hpp"
#include "report/plot.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr double width = 720, height = 220, left = 76, right = 650, top = 30, bottom = 180;
constexpr std::string_view colour = "#0b4f6c";

}  // namespace

std::string kinds_picture(const plan_answer& a, const std::string& id, bool alone) {
  if (a.kinds.empty()) return {};
  const bool priced = std::ranges::any_of(a.kinds, [](const kinds_row& k) { return k.money.has_value(); });
  const auto value = [&](const kinds_row& k) { return priced ? k.money.value_or(0.0) : static_cast<double>(k.served); };
  const double most = std::max(1.0, value(*std::ranges::max_element(a.kinds, {}, value)));
  const double step = round_step(0.0, 1.1 * most, 6);
  const std::string says =
      priced ? "Cost of a year for the whole fleet with the best set of one, two and more kinds of grease."
             : "Routes that the best set of one, two and more kinds of grease serves.";
  plot p({id, "How few kinds would do", says, alone}, width, height,
         {.from = a.kinds.front().kinds - 0.5, .to = a.kinds.back().kinds + 0.5, .begin = left, .end = right},
         {.from = 0.0, .to = ceil_to(step, 1.1 * most), .begin = bottom, .end = top});
  std::vector<axis_tick> left_ticks, kinds;
  for (const double v : ticks_by(step, p.y.from, p.y.to)) left_ticks.push_back({p.y.at(v), fmt::format("{:g}", v)});
  for (const kinds_row& k : a.kinds) kinds.push_back({p.x.at(k.kinds), fmt::format("{}", k.kinds)});
  p.left_axis(left_ticks, priced ? a.currency : "routes");
  p.bottom_axis(kinds, "kinds", 0, false);
  std::vector<place> places;
  for (const kinds_row& k : a.kinds) {
    if (!priced || k.money) places.push_back({p.x.at(k.kinds), p.y.at(value(k))});
  }
  p.line(places, {colour, 2.0});
  for (const kinds_row& k : a.kinds) {
    if (!priced || k.money) p.mark({p.x.at(k.kinds), p.y.at(value(k))}, 0, colour);
  }
  for (const kinds_row& k : a.kinds) {
    const place at{p.x.at(k.kinds), p.y.at(value(k))};
    const bool marked = !priced || k.money;
    const std::string words[]{!marked  ? fmt::format("serves {} of {}", k.served, a.routes.size())
                              : priced ? fmt::format("{:.2f}", value(k))
                                       : fmt::format("{}", k.served)};
    const double foot = marked ? at.y : p.y.begin;
    const spot spots[]{
        {{at.x, foot - 10}}, {{at.x, foot + 20}}, {{at.x + 9, foot - 10}, "start"}, {{at.x - 9, foot - 10}, "end"},
        {{at.x, foot - 24}}, {{at.x, foot + 34}}};
    if (!p.label_clear(spots, words)) p.label(spots[0].at, words[0], "middle");
  }
  return p.take();
}

std::string pressure_bar(std::optional<pressure> needed, pressure available, pressure most, std::string_view words) {
  constexpr double long_side = 120, high = 14;
  const auto wide = [&](pressure v) { return std::clamp(long_side * in_pascal(v) / in_pascal(most), 0.0, long_side); };
  markup svg;
  svg.open("svg", {{"viewBox", fmt::format("0 0 {} {}", px(long_side + 2), px(high))},
                   {"class", "bar"},
                   {"role", "img"},
                   {"aria-label", words}});
  if (needed)
    svg.shape("path", {{"d", fmt::format("M1 3H{}V{}H1Z", px(1 + wide(*needed)), px(high - 3))}, {"fill", "#0b4f6c"}});
  svg.shape(
      "path",
      {{"d", fmt::format("M1 1H{}V{}H1Z", px(1 + wide(available)), px(high - 1))}, {"fill", "none"}, {"stroke", ink}});
  svg.close();
  return svg.take();
}

}  // namespace coldgrease::inline v0::detail
