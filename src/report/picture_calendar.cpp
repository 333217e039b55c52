#include <algorithm>

#include "base/format.hpp"
#include "report/picture.hpp"
#include "report/plot.hpp"
#include "report/words.hpp"
#include "report/year_line.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr double width = 720, left = 150, right = 704, top = 24, row_step = 26, bar_high = 20;
constexpr std::size_t names_at_most = 18;  // characters beside the frame
// Neighbours in a row are told apart by their edges and their words; the tints only help.
constexpr std::string_view tints[]{"#dfe8ee", "#f3e3d6", "#e6e6e6", "#e3eeda"};

std::string says(const dossier& d, std::span<const std::size_t> routes, std::span<const grease> stock) {
  std::string out = "What is pumped through the year.";
  for (const std::size_t r : routes) {
    out += fmt::format(" {}:", d.plan.routes[r].pick.route);
    const auto& steps = d.seasons[r].steps;
    for (const season_sheet::step& step : steps) {
      out += " " + stock[step.grease].name();
      if (steps.size() > 1) out += " from " + day_words(step.from);
      out += &step == &steps.back() ? "." : ",";
    }
    if (steps.empty()) out += " no grease of the stock serves every day.";
  }
  return out;
}

/// As many words as fit between two edges: day and name, the name alone, a part of it, or none.
std::string bar_words(const season_sheet::step& step, bool dated, const std::string& name, double wide) {
  const double room = wide - 8.0;
  const std::string both = dated ? fmt::format("{}: {}", day_words(step.from), name) : name;
  if (width_of(both) <= room) return both;
  constexpr double character = 8.0;
  const double most = room / character;
  return most >= 4.0 ? short_name(name, static_cast<std::size_t>(most)) : std::string();
}

}  // namespace

std::string calendar_picture(const dossier& d, std::span<const std::size_t> routes, std::span<const grease> stock,
                             const std::string& id) {
  if (routes.empty()) return {};
  const year_line year{d.seasons[routes.front()].starts};
  const double bottom = top + row_step * static_cast<double>(routes.size()) + 4.0;
  plot p({id, "What is pumped through the year", says(d, routes, stock), false}, width, bottom + 6.0,
         {.from = 0, .to = days_a_year, .begin = left, .end = right},
         {.from = 0, .to = 1, .begin = bottom, .end = top});
  for (int month = 1; month <= 12; ++month) {
    const double from = p.x.at(year.place({month, 1}));
    if (from > left) p.grid_line({from, top}, {from, bottom});
    p.label({from + 0.5 * (right - left) / 12.0, top - 8.0}, month_name(month), "middle");
  }
  for (std::size_t k = 0; k < routes.size(); ++k) {
    const season_sheet& s = d.seasons[routes[k]];
    const double high = top + 5.0 + row_step * static_cast<double>(k), foot = high + 14.5;
    p.label({left - 8.0, foot}, short_name(d.plan.routes[routes[k]].pick.route, names_at_most), "end");
    if (s.steps.empty()) {
      p.bar({left + 1.0, high}, {right - 1.0, high + bar_high}, "#fff", true);
      p.words({0.5 * (left + right), foot}, "no grease of the stock serves every day");
    }
    const auto all = stretches_of(s, year);
    for (const stretch& t : all) {
      const double from = p.x.at(t.from), to = p.x.at(t.to);
      p.bar({from + (t.from == 0 ? 1.0 : 0.0), high}, {to - (t.to == days_a_year ? 1.0 : 0.0), high + bar_high},
            tints[t.step->grease % std::size(tints)], false);
      const bool begins = s.steps.size() > 1 && year.place(t.step->from) == t.from;
      const std::string words = bar_words(*t.step, begins, stock[t.step->grease].name(), to - from);
      if (!words.empty()) p.words({0.5 * (from + to), foot}, words);
    }
  }
  return p.take();
}

}  // namespace coldgrease::inline v0::detail
