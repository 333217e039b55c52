#include "coldgrease/plan/pick.hpp"

#include "base/format.hpp"

#include <cmath>
#include <filesystem>
#include <map>
#include <memory>
#include <numeric>

#include "climate/remarks.hpp"
#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/line/learn.hpp"
#include "plan/route_job.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr double lapse = 6.5e-3;  // [K/m], ISO 2533; upward only: a valley may be colder than its pass

/// Reads every weather file once and keeps it while a later leg still names it.
class weather_shelf {
 public:
  explicit weather_shelf(const fleet& f) : policy_(f.policy) {
    for (const route& r : f.routes)
      for (const leg& l : r.legs) ++wanted_[key(l)];
  }

  struct taken {
    std::shared_ptr<const monthly_climate> climate;
    bool just_read = false;  // for this leg, the first that names it
  };
  taken take(const leg& l) {
    const std::string k = key(l);
    auto& kept = kept_[k];
    taken t{.climate = kept, .just_read = !kept};
    if (t.just_read) t.climate = kept = std::make_shared<const monthly_climate>(read(l));
    if (--wanted_[k] == 0) kept_.erase(k);
    return t;
  }

 private:
  static std::string key(const leg& l) {
    const weather_options& o = l.options;
    return fmt::format("{} {}\n{}\n{}\n{}\n{}\n{}\n{} {} {} {} {}", l.design,
                       static_cast<const void*>(l.series ? &*l.series : nullptr), l.weather.identity(), o.station,
                       o.unit, o.format, o.accepted_codes, o.utc_offset ? in_second(*o.utc_offset) : NAN,
                       o.year_from.value_or(0), o.year_to.value_or(0), in_second(l.soak.lag),
                       in_kelvins(l.soak.night_sky));
  }
  /// Every month at the published value of the year: no file says how the months differ.
  monthly_climate published(const leg& l) const {
    const design_values values = find_design_values(l.design);
    const auto cold = policy_.share < 0.01 && values.heating_99_6 ? values.heating_99_6 : values.heating_99;
    if (!cold) throw file_error(l.design, "has no 99 % value", "a station with one");
    monthly_climate climate;
    typical_year year;
    year.station = values.station;
    year.published = values;
    climate.series = std::move(year);
    for (int month = 1; month <= 12; ++month)
      climate.months[static_cast<std::size_t>(month - 1)] = {
          .month = month,
          .mean = *cold,
          .cold = *cold,
          .hot = *cold,
          .record = *cold,
          .return_minimum = return_minimum(values, policy_.return_years)};
    return climate;
  }
  monthly_climate read(const leg& l) const {
    if (!l.design.empty()) return published(l);
    return read_at([&] { return place{.file = l.weather.name()}; },
                   [&] {
                     weather air = l.series ? *l.series : read_weather(l.weather, l.options);
                     return monthly(soaked(std::move(air), l.soak), policy_.share, policy_.return_years);
                   });
  }

  policy policy_;
  std::map<std::string, int> wanted_;
  std::map<std::string, std::shared_ptr<const monthly_climate>> kept_;
};

}  // namespace

void detail::for_each_route(const fleet& f, route_job& work, progress_steps& steps, const take_route& take) {
  weather_shelf shelf(f);
  for (const route& r : f.routes) {
    std::vector<std::shared_ptr<const monthly_climate>> climates;
    std::vector<detail::leg_climate> legs;
    std::vector<std::string> notes;
    for (const leg& l : r.legs) {
      const auto taken = shelf.take(l);
      climates.push_back(taken.climate);
      const monthly_climate& climate = *climates.back();
      const double climb = l.elevation ? std::max(0.0, in_metre(*l.highest) - in_metre(*l.elevation)) : 0.0;
      legs.push_back({l.station.empty() ? climate.station() : l.station, &climate, kelvins(-lapse * climb), l.hours});
      if (const std::string said = remarks_of(climate.series); taken.just_read && !said.empty())
        notes.push_back(l.series ? fmt::format("{}: {}", legs.back().station, said)
                                 : fmt::format("{} ({}): {}", legs.back().station,
                                               std::filesystem::path(l.weather.name()).filename().string(), said));
      if (!l.design.empty()) {
        const design_values& values = *std::get<typical_year>(climate.series).published;
        notes.push_back(
            fmt::format("{}: no weather file: every month is judged at the published {} % heating value, {}, "
                        "edition {} ({}); no hours, no dates, and nothing of summer",
                        legs.back().station, f.policy.share < 0.01 && values.heating_99_6 ? "99.6" : "99",
                        both_scales(climate.months[0].cold), values.edition, values.source));
      } else if (!climate.years) {
        notes.push_back(
            fmt::format("{}: a typical year: it leaves out the extremes of real ones, and tells no n-year minimum",
                        legs.back().station));
      } else if (*climate.years < 10) {
        notes.push_back(fmt::format("{}: only {} whole years of weather: fewer than 10 say little", legs.back().station,
                                    *climate.years));
      }
    }
    route_pick picked = work.route(r.name, r.region, legs, r.installations);
    picked.notes.insert(picked.notes.begin(), notes.begin(), notes.end());
    take(r, std::move(picked), legs);
    steps.next();
  }
}

exclusion exclusion_of(cap_breach breach) {
  switch (breach) {
    case cap_breach::stiffer: return exclusion::stiffer_than_allowed;
    case cap_breach::class_unknown: return exclusion::class_unknown;
    case cap_breach::too_much_solid: return exclusion::too_much_solid;
    case cap_breach::solids_not_stated: return exclusion::solids_not_stated;
    case cap_breach::none: break;
  }
  return exclusion::none;
}

exclusion exclusion_of(breach_kind kind) {
  return is_not_shown(kind) ? exclusion::rule_not_shown : exclusion::point_rule;
}

barring barring_of(const installation& i, const grease& g, const installation_answer& a) {
  barring found{.by = exclusion_of(breach_of_caps(i, g))};
  for (const point_answer& p : a.points) {
    if (p.breaches.empty()) continue;
    const exclusion own = exclusion_of(p.breaches.front().kind);
    if (goes_before(own, found.by)) found = {own, p.line};
  }
  return found;
}

pick_answer pick(const monthly_climate& year, std::span<const installation> installations,
                 std::span<const grease> stock, const policy& p, std::span<const published_rule> rules) {
  detail::route_job work(installations, stock, p, rules);
  const std::array legs{detail::leg_climate{year.station(), &year, kelvins(0)}};
  std::vector<std::size_t> all(installations.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  pick_answer answer{
      .confidence = p.confidence, .share = p.share, .return_years = p.return_years, .seasons = p.seasons, .routes = {}};
  answer.routes.push_back(work.route(year.station(), {}, legs, std::move(all)));
  return answer;
}

pick_answer pick(const fleet& f, std::span<const grease> stock, std::span<const published_rule> rules,
                 const progress& listener) {
  detail::route_job work(f.installations, stock, f.policy, rules);
  pick_answer answer{.about = f.about,
                     .confidence = f.policy.confidence,
                     .share = f.policy.share,
                     .return_years = f.policy.return_years,
                     .seasons = f.policy.seasons,
                     .routes = {}};
  answer.routes.reserve(f.routes.size());
  detail::progress_steps steps(listener, f.routes.size());
  detail::for_each_route(f, work, steps, [&](const route&, route_pick&& r, std::span<const detail::leg_climate>) {
    answer.routes.push_back(std::move(r));
  });
  answer.tows = judge_tows(f, answer.routes);
  return answer;
}

learn_answer lessons_of(const fleet& f, outlier_rule outliers) {
  std::vector<grease> stock;
  stock.reserve(f.greases.size());
  for (const evidence& e : f.greases) stock.push_back(estimate(e));
  return learn(stock, f.installations, f.taken, {.confidence = f.policy.confidence, .outliers = outliers});
}

std::vector<grease> stock_of(const fleet& f) { return lessons_of(f).stock; }

}  // namespace coldgrease::inline v0
