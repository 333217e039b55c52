#include <algorithm>
#include <cmath>

#include "base/format.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "report/picture.hpp"
#include "report/plot.hpp"
#include "report/words.hpp"
#include "report/year_line.hpp"

namespace coldgrease::inline v0::detail {

namespace {

constexpr double width = 720, height = 310, left = 46, right = 674, top = 34, bottom = 270;
constexpr std::string_view band_fill = "#d5e1e8", band_edge = "#4f6f80", step_colour = "#7a2a00";

struct limits {
  double low = 0.0;
  double high = 0.0;
};

limits temperatures_of(const season_sheet& s, const route_plan& r) {
  limits found{r.pick.months.front().design.in_celsius(), r.pick.months.front().hot.in_celsius()};
  const auto take = [&](temperature t) {
    found.low = std::min(found.low, t.in_celsius());
    found.high = std::max(found.high, t.in_celsius());
  };
  for (const month_pick& m : r.pick.months) {
    take(m.design);
    take(m.hot);
  }
  if (s.band) {
    for (const pentad& p : *s.band) {
      take(p.record);
      take(p.high);
    }
  }
  for (const season_sheet::step& step : s.steps) {
    if (step.coldest) take(*step.coldest);
  }
  if (s.nearest && s.nearest->coldest) take(*s.nearest->coldest);
  // Below the lowest step there is room for its words.
  return {floor_to(5.0, found.low - 10.0), ceil_to(5.0, found.high + 1.0)};
}

std::string says(const season_sheet& s, std::span<const grease> stock) {
  std::string out = fmt::format("{} temperatures at {}{} and what the greases stand.", s.band ? "Daily" : "Design",
                                s.station, in_kelvins(s.shift) < 0.0 ? ", at the road's height," : "");
  for (const season_sheet::step& step : s.steps)
    out += fmt::format(" {}{}: {}.", stock[step.grease].name(),
                       s.steps.size() == 1 ? std::string(" all year")
                                           : fmt::format(" from {} {}", step.from.day, month_name(step.from.month)),
                       step.coldest ? "passes down to " + both_scales(*step.coldest) : "no limit known");
  if (s.nearest)
    out += fmt::format(
        " No grease of the stock serves every day; the nearest, {}, passes {}.", stock[s.nearest->grease].name(),
        s.nearest->coldest ? "down to " + both_scales(*s.nearest->coldest) : std::string("nowhere that is known"));
  return out;
}

void draw_band(plot& p, const season_sheet& s, const year_line& year) {
  if (!s.band) return;
  struct column {
    double x;
    const pentad* days;
  };
  std::vector<column> columns;
  for (std::size_t k = 0; k < s.band->size(); ++k) {
    const double middle = 5.0 * static_cast<double>(k) + 2.0;
    const double origin = year.place({1, 1});
    columns.push_back({p.x.at(std::fmod(middle + origin, days_a_year)), &(*s.band)[k]});
  }
  std::ranges::sort(columns, {}, &column::x);
  std::vector<place> upper, lower, record;
  // The band reaches both edges: half a pentad goes on level.
  const auto add = [&](double x, const pentad& d) {
    upper.push_back({x, p.y.at(d.high.in_celsius())});
    lower.push_back({x, p.y.at(d.low.in_celsius())});
    record.push_back({x, p.y.at(d.record.in_celsius())});
  };
  add(p.x.begin, *columns.front().days);
  for (const column& c : columns) add(c.x, *c.days);
  add(p.x.end, *columns.back().days);
  p.area(upper, lower, band_fill);
  p.line(upper, {band_edge, 1.0});
  p.line(lower, {band_edge, 1.0});
  p.line(record, {ink, 1.0, "2 2"});
}

/// Without days on record: a month's design temperature as a line.
void draw_months(plot& p, const route_plan& r, const year_line& year) {
  for (const month_pick& m : r.pick.months) {
    const int first = year.place({m.month, 1});
    const double y = p.y.at(m.design.in_celsius());
    p.segment({p.x.at(first), y}, {p.x.at(first + days_in_month(2001, m.month)), y}, {band_edge, 1.5});
  }
}

/// After a change the old grease still stands in the lines: where it is the one that stands less, it goes on thin.
void draw_rest(plot& p, const season_sheet& s, const stretch& old, const season_sheet::step& next) {
  if (!old.step->coldest || !next.coldest || *old.step->coldest <= *next.coldest) return;
  const double y = p.y.at(old.step->coldest->in_celsius());
  const double end = old.to + std::fmin(days_a_year, std::ceil(in_days(s.carry_over)));
  p.segment({p.x.at(old.to), y}, {p.x.at(end), y}, {step_colour, 1.5, "3 2"});
  // Over the edge of the picture it comes in again on the left.
  if (end > days_a_year) p.segment({p.x.begin, y}, {p.x.at(end - days_a_year), y}, {step_colour, 1.5, "3 2"});
}

struct span_of_x {
  double from = 0.0, to = 0.0;  // [px]
};

/// A name and the degrees that it stands, below or above its step, nearest to the middle where nothing else is; in two
/// rows, shorter, or the degrees alone where there is no room for more. The words under the picture say it all.
void name_step(plot& p, span_of_x x, double y, const std::string& name, const std::string& degrees) {
  const std::vector<std::string> forms[]{
      {name + " passes " + degrees}, {name, degrees}, {short_name(name, 10), degrees}, {degrees}};
  for (const std::vector<std::string>& rows : forms) {
    std::vector<spot> spots;
    const double higher = row_high * static_cast<double>(rows.size() - 1);
    for (double away = 0.0; away <= 0.5 * (x.to - x.from) + 60.0; away += 10.0) {
      for (const double at : {0.5 * (x.from + x.to) - away, 0.5 * (x.from + x.to) + away}) {
        spots.push_back({{at, y + 15.0}});
        spots.push_back({{at, y - 7.0 - higher}});
      }
    }
    if (p.label_clear(spots, rows, step_colour)) return;
  }
}

void draw_steps(plot& p, const season_sheet& s, const year_line& year, std::span<const grease> stock) {
  const auto all = stretches_of(s, year);
  double last_day = -width;  // [px]
  for (const stretch& t : all) {
    const double from = p.x.at(t.from), to = p.x.at(t.to);
    if (t.step->coldest) {
      const double y = p.y.at(t.step->coldest->in_celsius());
      p.segment({from, y}, {to, y}, {step_colour, 3.0});
    }
    if (t.from > 0 && s.steps.size() > 1) {
      p.segment({from, p.y.begin}, {from, p.y.end}, {step_colour, 1.5, "6 3"});
      const std::string day = day_words(t.step->from);
      // Days close together stand in two rows.
      const bool raised = from - last_day < width_of(day);
      p.label({from, p.y.end - (raised ? 22.0 : 8.0)}, day, "middle", step_colour);
      last_day = raised ? -width : from;
    }
  }
  for (std::size_t k = 0; s.steps.size() > 1 && k < all.size(); ++k) {
    const stretch& next = all[(k + 1) % all.size()];
    // A fill that runs over the edge is no change there.
    if (next.step != all[k].step) draw_rest(p, s, all[k], *next.step);
  }
  for (const season_sheet::step& step : s.steps) {
    const stretch* longest = longest_of(all, step);
    if (!longest || !step.coldest) continue;
    name_step(p, {p.x.at(longest->from), p.x.at(longest->to)}, p.y.at(step.coldest->in_celsius()),
              short_name(stock[step.grease].name()), whole_degrees(*step.coldest));
  }
}

/// No grease serves the year: how cold it may get with the nearest.
void draw_nearest(plot& p, const season_sheet::step& nearest, std::span<const grease> stock) {
  if (!nearest.coldest) return;
  const double y = p.y.at(nearest.coldest->in_celsius());
  p.segment({p.x.begin, y}, {p.x.end, y}, {step_colour, 2.0, "10 5"});
  name_step(p, {p.x.begin, p.x.end}, y, "nearest: " + short_name(stock[nearest.grease].name()),
            whole_degrees(*nearest.coldest));
}

}  // namespace

std::string season_picture(const season_sheet& s, const route_plan& r, std::span<const grease> stock,
                           const std::string& id, bool alone) {
  const year_line year{s.starts};
  const limits range = temperatures_of(s, r);
  plot p({id, "The year of " + r.pick.route, says(s, stock), alone}, width, height,
         {.from = 0, .to = days_a_year, .begin = left, .end = right},
         {.from = range.low, .to = range.high, .begin = bottom, .end = top});
  std::vector<axis_tick> months, begins;
  for (int month = 1; month <= 12; ++month) {
    const int first = year.place({month, 1});
    begins.push_back({p.x.at(first), {}});
    months.push_back({p.x.at(first + 15), std::string(month_name(month))});
  }
  draw_band(p, s, year);
  p.bottom_axis(begins, {});
  p.bottom_axis(months, {}, 0, false);
  std::vector<axis_tick> si, us;
  for (const double t : ticks_by(round_step(range.low, range.high, 9), range.low, range.high))
    si.push_back({p.y.at(t), fmt::format("{:g}", t)});
  const double cold_f = 1.8 * range.low + 32.0, warm_f = 1.8 * range.high + 32.0;
  for (const double t : ticks_by(round_step(cold_f, warm_f, 9), cold_f, warm_f))
    us.push_back({p.y.at((t - 32.0) / 1.8), fmt::format("{:g}", t)});
  p.left_axis(si, "\u00b0C");
  p.right_axis(us, "\u00b0F");
  if (!s.band) draw_months(p, r, year);
  draw_steps(p, s, year, stock);
  if (s.nearest) draw_nearest(p, *s.nearest, stock);
  return p.take();
}

}  // namespace coldgrease::inline v0::detail
