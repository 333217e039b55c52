#include "coldgrease/plan/dossier.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "base/whole.hpp"
#include "climate/hours.hpp"
#include "coldgrease/base/date.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "plan/plan_with.hpp"

namespace coldgrease::inline v0 {

namespace {

using detail::leg_climate;

// --- season sheets

temperature coldest_on(const leg_climate& l) {
  return std::ranges::min(l.climate->pentads, {}, &judged_pentad::cold).cold + l.shift;
}

season_sheet season_of(const route_plan& r, const detail::route_year& y) {
  const leg_climate& coldest = *std::ranges::min_element(y.weather.legs, {}, coldest_on);
  season_sheet sheet{.station = coldest.station, .shift = coldest.shift, .band = band_of(coldest.climate->series)};
  if (sheet.band) {
    for (pentad& p : *sheet.band) p = {p.low + coldest.shift, p.high + coldest.shift, p.record + coldest.shift};
  }
  sheet.starts = y.starts;
  sheet.carry_over = r.pick.decided.carry_over;
  for (const fill& f : r.pick.decided.fills)
    sheet.steps.push_back({f.days.from(), f.grease, y.greases[f.grease].coldest});
  const std::size_t shown = coldest_month(r.pick).shown;
  if (!r.pick.decided.served()) sheet.nearest = season_sheet::step{{1, 1}, shown, y.greases[shown].coldest};
  std::ranges::sort(sheet.steps, {}, [](const season_sheet::step& s) { return ordinal(s.from); });
  return sheet;
}

// --- weather sheets

weather_sheet weather_of(const leg_climate& l) {
  const weather& series = l.climate->series;
  const auto& file = origin_of(series).file;
  weather_sheet sheet{.station = l.station, .file = file ? file->path : std::string()};
  if (const auto* days = std::get_if<daily_series>(&series); days && !days->days.empty()) {
    sheet.first = date_of(days->days.front().day);
    sheet.last = date_of(days->days.back().day);
  } else if (const auto* hours = std::get_if<hourly_series>(&series); hours && !hours->hours.empty()) {
    sheet.first = date_of(detail::floor_day(hours->hours.front().hour));
    sheet.last = date_of(detail::floor_day(hours->hours.back().hour));
  }
  return sheet;
}

detail::route_paper paper_of(const route_plan& r, const detail::route_year& y) {
  detail::route_paper paper{.season = season_of(r, y)};
  for (const leg_climate& l : y.weather.legs) {
    if (const auto& file = origin_of(l.climate->series).file) paper.sources.inputs.push_back(*file);
    paper.sources.weather.push_back(weather_of(l));
  }
  return paper;
}

// --- line sheets

/// A grease in an installation, and the coldest it is pumped in.
struct pumped {
  std::size_t installation = 0;
  std::size_t grease = 0;
  temperature at = celsius(0);
  std::string route{};
  bool planned = false;
};

std::vector<pumped> everything_pumped(const plan_answer& a) {
  std::vector<pumped> all;
  const auto add = [&](const route_plan& r, std::size_t grease, temperature at, bool planned) {
    for (const std::size_t i : r.pick.installations) {
      const auto same =
          std::ranges::find_if(all, [&](const pumped& p) { return p.installation == i && p.grease == grease; });
      if (same == all.end()) {
        all.push_back({i, grease, at, r.pick.route, planned});
      } else if (at < same->at) {
        *same = {i, grease, at, r.pick.route, planned};
      }
    }
  };
  for (const route_plan& r : a.routes) {
    for (const fill& f : r.pick.decided.fills) add(r, f.grease, f.coldest, true);
    // Where nothing serves, the nearest grease shows how far it is from it.
    if (!r.pick.decided.served()) add(r, coldest_month(r.pick).shown, coldest_month(r.pick).design, false);
  }
  std::ranges::sort(all, {}, [](const pumped& p) { return std::pair(p.installation, p.grease); });
  return all;
}

/// Air temperatures a step apart on round numbers, warm to cold, down to `coldest` or just below it.
std::vector<temperature> scale_to(temperature warmest, temperature coldest, double step) {
  std::vector<temperature> scale;
  double t = warmest.in_celsius();
  scale.push_back(celsius(t));
  while (t > coldest.in_celsius()) scale.push_back(celsius(t -= step));
  return scale;
}

line_sheet line_sheet_of(const fleet& f, std::span<const grease> stock, const pumped& p) {
  constexpr double below_design = 10.0;  // the sheets go on for so many kelvins
  const temperature warm = celsius(20), cold = p.at - kelvins(below_design);
  const installation& i = f.installations[p.installation];
  installation joined = i;
  join_mains(joined);
  const grease& g = stock[p.grease];
  const double confidence = f.policy.confidence;
  line_sheet sheet{
      .installation = p.installation, .grease = p.grease, .at = p.at, .route = p.route, .planned = p.planned};
  sheet.check = check(i, g, p.at, confidence);
  // The chart goes on to where the first line gives out, so that its limit can be seen.
  const auto& gives_out = sheet.check.points.front().check.coldest;
  const temperature end = gives_out ? std::min(cold, *gives_out - kelvins(5.0)) : cold;
  sheet.limits = chart_of(i, g, p.at, confidence, scale_to(warm, end, 2.5));
  for (const temperature t : scale_to(warm, cold, 10.0)) {
    // Down to where it is pumped the coldest is that; beyond it is colder yet.
    const installation_answer here = t < p.at ? check(i, g, t, confidence) : installation_answer{};
    const installation_answer& in_cold = t < p.at ? here : sheet.check;
    const fault_answer expected = find_fault({.at = t, .coldest = in_cold.temperature}, in_cold, i, g);
    sheet.card.push_back({t, expected.gauge, outcome_of(joined, g, t, confidence).verdict});
  }
  if (offers_doses(i)) sheet.doses = choose_doses(i, g, p.at, confidence);
  sheet.when_dry = find_fault({.dry = dry_points::one, .at = p.at, .coldest = p.at}, sheet.check, i, g);
  return sheet;
}

// --- grease sheets

std::vector<temperature> curve_temperatures(const grease& g, temperature coldest) {
  constexpr std::size_t wanted = 3;
  constexpr double apart = 2.0;  // [K]: nearer ones would draw one line
  std::vector<temperature> measured;
  for (const measured_point& p : g.known().points) measured.push_back(p.at);
  std::ranges::sort(measured);
  std::vector<temperature> at;
  const auto add = [&](temperature t) {
    if (at.size() < wanted &&
        std::ranges::all_of(at, [&](temperature known) { return std::abs(in_kelvins(known - t)) > apart; }))
      at.push_back(t);
  };
  if (!measured.empty()) {
    add(measured.front());
    add(measured.back());
    add(measured[measured.size() / 2]);
  }
  for (const temperature t : {coldest, celsius(0), celsius(25)}) add(t);
  std::ranges::sort(at, std::ranges::greater{});
  return at;
}

grease_sheet grease_sheet_of(const grease& g, std::size_t index, bool planned, temperature coldest) {
  const auto& points = g.known().points;
  const bool rheometer = !points.empty() && std::ranges::all_of(points, [](const measured_point& p) {
    return p.kind == rate_kind::true_rate;
  });
  std::vector<shear_rate> rates;
  double fastest = 1000.0;
  for (const measured_point& p : points) fastest = std::max(fastest, in_per_second(p.rate));
  const int last = detail::whole_up(4.0 * std::log10(fastest), -100, 100);
  for (int quarter = -4; quarter <= last; ++quarter) rates.push_back(per_second(std::pow(10.0, quarter / 4.0)));
  grease_sheet sheet{.grease = index, .planned = planned};
  for (const temperature t : curve_temperatures(g, coldest))
    sheet.curves.push_back(describe(g, t, rates, rheometer ? rate_kind::true_rate : rate_kind::nominal));
  return sheet;
}

/// From the warmest of its data, or 25 C, down to the coldest of them or of the plan, as far as anything is known.
std::optional<belief_chart> belief_of(const grease& g, const grease_lesson* lesson, std::span<const reading> readings,
                                      temperature coldest) {
  constexpr double step = 5.0;
  double warm = detail::slope_from_c, cold = coldest.in_celsius();
  const auto take = [&](temperature t) {
    warm = std::max(warm, step * std::ceil(t.in_celsius() / step));
    cold = std::min(cold, t.in_celsius());
  };
  for (const used_datum& d : g.data()) take(d.at);
  if (lesson) {
    for (const judged_reading& j : lesson->readings) take(readings[j.reading].at);
  }
  cold = std::max(cold, g.model().nothing_below_c);
  std::vector<temperature> over;
  for (double t = warm; t > cold; t -= step) over.push_back(celsius(t));
  over.push_back(celsius(cold));
  return chart_of(g, lesson, readings, over);
}

std::vector<grease_sheet> grease_sheets(const fleet& f, std::span<const grease> stock, const plan_answer& a) {
  const learn_answer learnt = lessons_of(f);
  temperature coldest = celsius(0);
  for (const route_plan& r : a.routes) coldest = std::min(coldest, coldest_month(r.pick).design);
  constexpr double step = 5.0;  // a round number for the eye
  coldest = celsius(step * std::floor(coldest.in_celsius() / step));
  std::vector<grease_sheet> sheets;
  for (std::size_t g = 0; g < stock.size(); ++g) {
    const bool planned = std::ranges::any_of(a.routes, [&](const route_plan& r) {
      return std::ranges::find(r.pick.decided.fills, g, &fill::grease) != r.pick.decided.fills.end();
    });
    sheets.push_back(grease_sheet_of(stock[g], g, planned, coldest));
    const auto lesson = std::ranges::find(learnt.lessons, g, &grease_lesson::grease);
    const bool was_read = lesson != learnt.lessons.end();
    if (was_read) sheets.back().readings = lesson->readings;
    sheets.back().belief = belief_of(stock[g], was_read ? &*lesson : nullptr, f.taken, coldest);
  }
  std::ranges::stable_sort(sheets, {}, [](const grease_sheet& s) { return !s.planned; });
  return sheets;
}

/// What would narrow the answer about a grease most: that of the installation with the least chance.
std::optional<worth> worth_of(const grease_sheet& s, std::span<const line_sheet> lines) {
  const line_sheet* weakest = nullptr;
  for (const line_sheet& l : lines) {
    if (l.grease != s.grease || !l.check.worth_most) continue;
    if (!weakest || l.check.outcome.chance < weakest->check.outcome.chance) weakest = &l;
  }
  if (weakest) return weakest->check.worth_most;
  return s.curves.empty() ? std::nullopt : s.curves.back().worth_most;
}

// --- changeover sheets

std::vector<changeover_sheet> changeovers_of(const fleet& f, std::span<const grease> stock, const plan_answer& a,
                                             const compatibility_table& charts) {
  std::vector<changeover_sheet> sheets;
  for (std::size_t r = 0; r < a.routes.size(); ++r) {
    const auto& fills = a.routes[r].pick.decided.fills;
    if (fills.size() < 2) continue;
    for (std::size_t k = 0; k < fills.size(); ++k) {
      const std::size_t from = fills[k].grease, to = fills[(k + 1) % fills.size()].grease;
      for (const std::size_t i : a.routes[r].pick.installations) {
        auto same = std::ranges::find_if(
            sheets, [&](const changeover_sheet& s) { return s.installation == i && s.from == from && s.to == to; });
        if (same == sheets.end()) {
          sheets.push_back(
              {i, from, to, {}, changeover(f.installations[i], stock[from], stock[to], charts, f.policy.confidence)});
          same = sheets.end() - 1;
        }
        same->routes.push_back(r);
      }
    }
  }
  std::ranges::stable_sort(sheets, {}, &changeover_sheet::installation);
  return sheets;
}

// --- red flags

void flag_weak_parts(const fleet& f, std::vector<red_flag>& flags) {
  for (const installation& i : f.installations) {
    for (std::string& warning : rating_warnings(i)) flags.push_back({i.name, std::move(warning)});
  }
}

void flag_months(const plan_answer& a, std::vector<red_flag>& flags) {
  for (const route_plan& r : a.routes) {
    if (r.pick.decided.served()) continue;
    std::vector<std::string> months;
    for (const month_pick& m : r.pick.months) {
      if (std::ranges::none_of(m.greases, detail::passes)) months.emplace_back(name_of_month(m.month));
    }
    std::string what = fmt::format("no grease serves {}", fmt::join(months, ", "));
    if (months.empty()) what = "no sequence of fills serves the year, though each month has a grease";
    if (months.size() == r.pick.months.size()) what = "no grease serves in any month";
    flags.push_back({r.pick.route, std::move(what)});
  }
}

/// Names, as long as they are few.
std::string points_in_words(std::span<const std::string> points, std::size_t all) {
  constexpr std::size_t few = 4;
  if (points.size() == all) return all == 1 ? "its point" : fmt::format("any of its {} points", all);
  if (points.size() <= few) return fmt::format("{}", fmt::join(points, ", "));
  return fmt::format("{} and {} more points", fmt::join(points.first(few - 1), ", "), points.size() - few + 1);
}

void flag_points(const fleet& f, std::span<const grease> stock, const dossier& d, std::vector<red_flag>& flags) {
  for (const line_sheet& s : d.lines) {
    const installation& i = f.installations[s.installation];
    std::vector<std::string> unfed;
    for (const point_answer& p : s.check.points) {
      if (p.check.verdict == verdict::stalls || p.check.verdict == verdict::not_shown)
        unfed.push_back(i.lines[p.line].point);
    }
    if (!unfed.empty())
      flags.push_back({i.name, fmt::format("{} at {} cannot be shown to reach {}", stock[s.grease].name(),
                                           both_scales(s.at), points_in_words(unfed, i.lines.size()))});
    if (s.check.feed.verdict != verdict::flows)
      flags.push_back({i.name, fmt::format("the pump cannot be shown to be fed with {} at {}", stock[s.grease].name(),
                                           both_scales(s.at))});
    for (const point_answer& p : s.check.points) {
      for (const breach& b : p.breaches)
        flags.push_back({i.name, fmt::format("{} {}", i.lines[p.line].point, b.words)});
    }
  }
}

// --- inputs

auto parts_of(const input_file& f) { return std::tie(f.path, f.checksum); }
auto parts_of(const weather_sheet& w) { return std::tie(w.station, w.file, w.first, w.last); }

/// Things by their first appearance, each once: thousands of routes may have as many files.
template <class Thing>
class each_once {
 public:
  explicit each_once(std::vector<Thing>& all) : all_(all) {}
  void add(const Thing& one) {
    if (seen_.insert(one).second) all_.push_back(one);
  }

 private:
  struct before {
    bool operator()(const Thing& a, const Thing& b) const { return parts_of(a) < parts_of(b); }
  };
  std::vector<Thing>& all_;
  std::set<Thing, before> seen_;
};

}  // namespace

dossier dossier_of(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules,
                   const compatibility_table& charts, const progress& listener, int jobs) {
  dossier d;
  each_once inputs(d.inputs);
  each_once stations(d.weather);
  for (const input_file& file : f.files) inputs.add(file);
  detail::plan_on_paper all = detail::plan_with(f, stock, rules, listener, jobs, paper_of);
  d.plan = std::move(all.plan);
  d.seasons = std::move(all.seasons);
  for (const detail::route_sources& s : all.sources) {
    for (const input_file& file : s.inputs) inputs.add(file);
    for (const weather_sheet& w : s.weather) stations.add(w);
  }
  std::ranges::stable_sort(d.weather, {}, &weather_sheet::last);
  for (const pumped& p : everything_pumped(d.plan)) d.lines.push_back(line_sheet_of(f, stock, p));
  d.greases = grease_sheets(f, stock, d.plan);
  for (grease_sheet& s : d.greases) s.worth_most = worth_of(s, d.lines);
  d.changeovers = changeovers_of(f, stock, d.plan, charts);
  flag_weak_parts(f, d.flags);
  flag_months(d.plan, d.flags);
  flag_points(f, stock, d, d.flags);
  d.tables = tables_in_force();
  return d;
}

}  // namespace coldgrease::inline v0
