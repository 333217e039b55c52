#include "plan/route_year.hpp"

#include <algorithm>
#include <deque>

#include "base/whole.hpp"

namespace coldgrease::inline v0::detail {

namespace {

int whole_days(duration d) { return whole_up(in_days(d), 0, days_a_year); }

/// Cold on the coldest leg at its road's height, hot on the hottest. @param recent  by the last 30 years of longer
/// records
judged_year pentads_of(const route_weather& w, bool recent) {
  judged_year year;
  for (std::size_t p = 0; p < pentads_a_year; ++p) {
    const auto own = [&](const leg_climate& l) -> const judged_pentad& {
      return (recent && l.recent ? l.recent : l.climate)->pentads[p];
    };
    const auto cold = [&](const leg_climate& l) { return own(l).cold + l.shift; };
    const auto hot = [&](const leg_climate& l) { return own(l).hot; };
    year[p] = {cold(*std::ranges::min_element(w.legs, {}, cold)), hot(*std::ranges::max_element(w.legs, {}, hot))};
  }
  return year;
}

void time_changes(const fleet_limits& f, route_year& y) {
  duration way = second(0), reservoir = second(0);
  for (const std::size_t i : y.installations) {
    const installation& system = f.systems[i];
    way = std::max(way, way_through(system).value_or(f.policy.carry_over));
    reservoir = std::max(reservoir, reservoir_time(system).value_or(f.policy.carry_over));
  }
  const duration lines = way * f.policy.line_volumes;
  y.way = whole_days(way);
  const auto set = [&](change_practice p, duration carry) {
    y.change[static_cast<std::size_t>(p)] = {whole_days(carry), whole_days(carry + way)};
  };
  set(change_practice::emptied, lines);
  set(change_practice::purged, second(0));
  set(change_practice::run_down, reservoir + lines);
}

/// On which pentads one grease passes, may be pumped, and makes a caution.
grease_year year_of_grease(const fleet_limits& f, const route_year& y, std::size_t g) {
  grease_year own{.coldest = coldest_of(f, y.installations, g), .settling = settling_of(f, y.installations, g)};
  const auto soft_above = hot_caution(f.stock[g]);
  const bool by_temperature =
      std::ranges::any_of(y.installations, [&](std::size_t i) { return f.of[i][g].by_temperature; });
  const exclusion always = barred(f, y.installations, g, celsius(0), celsius(0)).by;
  for (std::size_t p = 0; p < pentads_a_year; ++p) {
    const temperature hot = std::max(y.pentads[p].cold, y.pentads[p].hot);
    own.stands[p] = own.coldest && y.pentads[p].cold >= *own.coldest;
    own.settles[p] = own.settling && y.pentads[p].cold >= *own.settling;
    const exclusion bars = by_temperature ? barred(f, y.installations, g, y.pentads[p].cold, hot).by : always;
    own.tail[p] = bars == exclusion::none;
    own.allowed[p] = own.tail[p] && barred_by_heat(f.policy, f.stock[g], y.pentads[p].hot) == exclusion::none;
    own.hot[p] = soft_above && y.pentads[p].hot > *soft_above;
  }
  return own;
}

/// First and last days of cold of each of some limits, on every leg of a route that has real years.
class risk_dates {
 public:
  risk_dates(const route_year& y, double risk, bool recent) : year_(y), options_{.risk = risk, .starts = y.starts} {
    for (const leg_climate& l : y.weather.legs) {
      const year_climate& climate = recent && l.recent ? *l.recent : *l.climate;
      if (const auto* days = std::get_if<daily_series>(&climate.series)) add(*days, l.shift);
      if (const auto* hours = std::get_if<hourly_series>(&climate.series))
        add(of_hours_.emplace_back(daily(*hours)), l.shift);
    }
  }
  /// The earliest first and the latest last day of all legs for each limit.
  struct found {
    std::optional<cold_date> first, last;
  };
  std::vector<found> of(std::span<const temperature> limits) const {
    std::vector<found> all(limits.size());
    for (const auto& [series, shift] : legs_) {
      std::vector<temperature> at_station;
      for (const temperature t : limits) at_station.push_back(t - shift);
      const std::vector<season_dates> dates = dates_of_cold(*series, at_station, options_);
      for (std::size_t k = 0; k < limits.size(); ++k) {
        const season_dates& d = dates[k];
        const bool enough = grade_of(d.seasons) >= date_grade::rough;
        const date_basis basis = enough ? date_basis::risk : date_basis::record;
        take(
            enough ? d.first : d.first_on_record, basis, [](int a, int b) { return a < b; }, all[k].first);
        take(
            enough ? d.last : d.last_on_record, basis, [](int a, int b) { return a > b; }, all[k].last);
      }
    }
    return all;
  }

 private:
  void add(const daily_series& days, temperature_step shift) { legs_.emplace_back(&days, shift); }
  template <class Before>
  void take(const std::optional<day_of_year>& d, date_basis basis, Before before,
            std::optional<cold_date>& into) const {
    if (!d) return;
    const int day = around_year(ordinal(*d) - year_.origin());
    if (!into || before(day, into->day)) into = cold_date{day, basis};
  }

  const route_year& year_;
  season_options options_;
  std::deque<daily_series> of_hours_;  // where those of hourly legs live
  std::vector<std::pair<const daily_series*, temperature_step>> legs_;
};

/// From when until when it is too cold for a grease.
struct cold_span {
  std::optional<cold_date> from, until;
};

/// Of every grease that has limits: the pentads' own dates, or the earlier and the later by risk.
std::vector<cold_span> cold_spans(const fleet_limits& f, const route_year& y, bool recent) {
  const judged_year year = recent ? pentads_of(y.weather, true) : y.pentads;
  std::vector<temperature> cold;  // of each day since the year's warm end
  for (int day = 0; day < days_a_year; ++day)
    cold.push_back(year[static_cast<std::size_t>(around_year(day + y.origin()) / days_a_pentad)].cold);
  std::vector<cold_span> spans(y.greases.size());
  std::vector<std::size_t> dated;
  std::vector<temperature> coldest, settling;
  for (std::size_t g = 0; g < y.greases.size(); ++g) {
    const grease_year& own = y.greases[g];
    if (!own.coldest || !own.settling) continue;
    for (int day = 0; day < days_a_year; ++day) {
      const temperature t = cold[static_cast<std::size_t>(day)];
      if (t < *own.coldest && !spans[g].from) spans[g].from = cold_date{day, date_basis::pentads};
      if (t < *own.settling) spans[g].until = cold_date{day + 1, date_basis::pentads};
    }
    dated.push_back(g);
    coldest.push_back(*own.coldest);
    settling.push_back(*own.settling);
  }
  const risk_dates dates(y, f.policy.risk, recent);
  const auto firsts = dates.of(coldest), lasts = dates.of(settling);
  for (std::size_t k = 0; k < dated.size(); ++k) {
    cold_span& own = spans[dated[k]];
    const auto &first = firsts[k].first, &last = lasts[k].last;
    if (first && (!own.from || first->day < own.from->day)) own.from = first;
    if (last && (!own.until || last->day + 1 > own.until->day)) own.until = cold_date{last->day + 1, last->basis};
  }
  return spans;
}

void date_cold(const fleet_limits& f, route_year& y) {
  const bool longer = std::ranges::any_of(y.weather.legs, [](const leg_climate& l) { return l.recent != nullptr; });
  const std::vector<cold_span> all = cold_spans(f, y, false);
  const std::vector<cold_span> recent = longer ? cold_spans(f, y, true) : std::vector<cold_span>(all.size());
  for (std::size_t g = 0; g < y.greases.size(); ++g) {
    y.greases[g].cold_from = all[g].from;
    y.greases[g].warm_from = all[g].until;
    if (recent[g].from) y.greases[g].recent_cold = recent[g].from->day;
    if (recent[g].until) y.greases[g].recent_warm = recent[g].until->day;
  }
}

}  // namespace

pentads pentads_in(const season& s) {
  const int from = s.first / days_a_pentad, to = (s.first + s.days - 1) / days_a_pentad;
  const auto count = static_cast<std::size_t>(std::min(to - from + 1, static_cast<int>(pentads_a_year)));
  const auto first = static_cast<std::size_t>(from);
  const pentads run = ~pentads{} >> (pentads_a_year - count);
  return run << first | run >> (pentads_a_year - first);
}

std::vector<season> spans_of(const pentads& where, int origin) {
  const auto in = [&](int day) { return where[static_cast<std::size_t>(around_year(day + origin) / days_a_pentad)]; };
  std::vector<season> spans;
  // Begun outside of any run, so that none is cut in two.
  int outside = 0;
  while (outside < days_a_year && in(outside)) ++outside;
  if (outside == days_a_year) return {season{}};
  for (int day = outside; day < outside + days_a_year; ++day) {
    if (!in(day)) continue;
    if (in(day - 1)) {
      ++spans.back().days;
    } else {
      spans.push_back({around_year(day + origin), 1});
    }
  }
  return spans;
}

std::size_t route_year::coldest_pentad() const {
  return static_cast<std::size_t>(std::ranges::min_element(pentads, {}, &judged_pentad::cold) - pentads.begin());
}

route_year year_of_route(const fleet_limits& f, std::vector<std::size_t> installations, route_weather weather) {
  route_year y{.installations = std::move(installations), .weather = std::move(weather)};
  y.by_design_values =
      std::ranges::any_of(y.weather.legs, [](const leg_climate& l) { return l.climate->by_design_values(); });
  y.pentads = pentads_of(y.weather, false);
  const int coldest_month = day_at(middle_of_pentad(y.coldest_pentad())).month;
  // Years are cut where it is warm, by the route's own days: a file need not say on which half of the earth it lies.
  y.starts = coldest_month >= 4 && coldest_month <= 9 ? season_start::january : season_start::july;
  time_changes(f, y);
  for (std::size_t g = 0; g < f.stock.size(); ++g) y.greases.push_back(year_of_grease(f, y, g));
  if (!y.by_design_values) date_cold(f, y);
  return y;
}

}  // namespace coldgrease::inline v0::detail
