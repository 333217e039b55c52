// Answers of one grease, one oil, one weather file; the tables.
#include "coldgrease/report/json.hpp"

#include "report/json_parts.hpp"

namespace coldgrease::inline v0 {

using detail::compatibility_json;
using detail::day_json;
using detail::deg_c;
using detail::json;
using detail::line_of;
using detail::list;
using detail::maybe;
using detail::object;
using detail::oils_json;
using detail::plain;
using detail::text_of_date;
using detail::text_or_null;

namespace {

/// Of a typical year the lowest is no record.
json month_json(const month_climate& m, bool typical) {
  return object({{"month", m.month},
                 {"mean_C", deg_c(m.mean)},
                 {"cold_1pct_C", deg_c(m.cold)},
                 {typical ? "lowest_C" : "record_C", deg_c(m.record)}});
}

json class_json(const class_answer& a) {
  json between = nullptr;
  if (a.between) between = json::array({a.between->first, a.between->second});
  return object({{"penetration", maybe(a.penetration, plain)},
                 {"nlgi", a.nlgi ? json(*a.nlgi) : json(nullptr)},
                 {"between", between},
                 {"note", a.note}});
}

json designation_json(const designation& d) {
  return object({{"code", d.code},
                 {"standard", name_of(d.standard)},
                 {"nlgi", d.nlgi},
                 {"lowest_C", maybe(d.lowest, deg_c)},
                 {"lowest_open", d.lowest_open},
                 {"highest_C", maybe(d.highest, deg_c)},
                 {"highest_open", d.highest_open},
                 {"application", text_or_null(d.application)},
                 {"extreme_pressure", d.extreme_pressure},
                 {"solids", d.solids},
                 {"oil", text_or_null(d.oil)},
                 {"oil_type", maybe(d.oil_type, [](oil_type t) { return name_of(t); })},
                 {"water", d.water},
                 {"notes", d.notes}});
}

}  // namespace

std::string to_json(const class_answer& a) { return line_of(class_json(a)); }

std::string to_json(const designation& d) {
  json j = class_json(classify_label(d.nlgi, "designation"));
  j["designation"] = designation_json(d);
  return line_of(j);
}

std::string to_json(const compatibility_answer& a, const oil_change& oils) {
  return line_of(object({{"compatibility", compatibility_json(a)}, {"oils", oils_json(oils)}}));
}
std::string to_json(const oil_answer& a) {
  return line_of(object({{"kv40_mm2_s", in_mm2_per_s(a.kv40)},
                         {"kv100_mm2_s", in_mm2_per_s(a.kv100)},
                         {"vi", maybe(a.vi, plain)},
                         {"iso_vg", a.iso_vg ? json(*a.iso_vg) : json(nullptr)},
                         {"at", list(a.at,
                                     [](const oil_answer::point& p) {
                                       return object({{"temperature_C", deg_c(p.temperature)},
                                                      {"kinematic_mm2_s", in_mm2_per_s(p.kinematic)},
                                                      {"dynamic_Pa_s", in_pascal_second(p.dynamic)}});
                                     })},
                         {"notes", a.notes}}));
}

std::string to_json(const curve_answer& a) {
  const auto part = [&](auto read) { return maybe(a.curve, read); };
  return line_of(object({{"temperature_C", deg_c(a.temperature)},
                         {"yield_Pa", part([](const flow_curve& c) { return in_pascal(c.yield); })},
                         {"consistency_Pa_sn", part([](const flow_curve& c) { return c.consistency; })},
                         {"index", part([](const flow_curve& c) { return c.index; })},
                         {"linear_Pa_s", part([](const flow_curve& c) { return in_pascal_second(c.linear); })},
                         {"evidence", a.evidence},
                         {"data", detail::data_json(a.data)},
                         {"worth_most", detail::worth_json(a.worth_most)},
                         {"spread_90", maybe(a.spread_90, plain)},
                         {"rate_kind", name_of(a.kind)},
                         {"points", list(a.points,
                                         [](const curve_answer::point& p) {
                                           return object({{"rate_1_s", in_per_second(p.rate)},
                                                          {"stress_Pa", in_pascal(p.stress)},
                                                          {"apparent_Pa_s", in_pascal_second(p.apparent)}});
                                         })},
                         {"notes", a.notes}}));
}

std::string to_json(const fit_answer& a) {
  const auto parameters = [](json yield, json consistency, json index, json linear) {
    return object({{"yield_Pa", yield}, {"consistency_Pa_sn", consistency}, {"index", index}, {"linear_Pa_s", linear}});
  };
  const auto curve_json = [&](const fitted_curve& c) {
    const curve_errors& e = c.standard_errors;
    json j = object({{"temperature_C", deg_c(c.temperature)}});
    j.update(
        parameters(in_pascal(c.curve.yield), c.curve.consistency, c.curve.index, in_pascal_second(c.curve.linear)));
    j["standard_errors"] = parameters(maybe(e.yield, in_pascal), maybe(e.consistency, plain), maybe(e.index, plain),
                                      maybe(e.linear, in_pascal_second));
    j["rate_min_1_s"] = in_per_second(c.rate_min);
    j["rate_max_1_s"] = in_per_second(c.rate_max);
    j["spread_90"] = c.spread_90;
    return j;
  };
  const auto slopes_json = [](const fit_slopes& s) {
    return object({{"yield_per_K", maybe(s.yield, plain)},
                   {"linear_per_K", maybe(s.linear, plain)},
                   {"standard_errors", object({{"yield_per_K", maybe(s.yield_error, plain)},
                                               {"linear_per_K", maybe(s.linear_error, plain)}})}});
  };
  return line_of(object({{"curves", list(a.curves, curve_json)},
                         {"residuals_pct", list(a.points, [](const fitted_point& p) { return p.residual * 100.0; })},
                         {"points", list(a.points,
                                         [](const fitted_point& p) {
                                           return object({{"temperature_C", deg_c(p.measured.at)},
                                                          {"rate_1_s", in_per_second(p.measured.rate)},
                                                          {"stress_Pa", in_pascal(p.measured.stress)},
                                                          {"fitted_Pa", in_pascal(p.fitted)}});
                                         })},
                         {"slopes", maybe(a.slopes, slopes_json)},
                         {"fitted", a.fitted},
                         {"warnings", a.warnings},
                         {"notes", a.notes}}));
}
namespace {

json return_json(int years, temperature t) { return object({{"years", years}, {"temperature_C", deg_c(t)}}); }

json design_json(const design_values& v) {
  json minima = json::array();
  for (const int years : {5, 10, 20, 50}) {
    if (const auto t = return_minimum(v, years)) minima.push_back(return_json(years, *t));
  }
  return object({{"station", v.station},
                 {"edition", v.edition},
                 {"source", v.source},
                 {"heating_99_6_C", maybe(v.heating_99_6, deg_c)},
                 {"heating_99_C", maybe(v.heating_99, deg_c)},
                 {"mean_annual_minimum_C", maybe(v.mean_annual_minimum, deg_c)},
                 {"deviation_K", maybe(v.deviation, in_kelvins)},
                 {"return_minima", minima}});
}

}  // namespace

std::string to_json(const climate_answer& a) {
  const bool typical = a.kind == series_kind::typical_year;
  const auto quantiles = [](const std::vector<quantile_row>& rows) {
    return list(rows, [](const quantile_row& q) {
      return object({{"share", q.share}, {"temperature_C", deg_c(q.temperature)}});
    });
  };
  int dropped = 0;
  for (const dropped_rows& d : a.dropped) dropped += d.count;
  const auto spell_json = [](const time_below& b) {
    const spell& s = b.longest;
    return object({{"temperature_C", deg_c(s.temperature)},
                   {"hours", s.hours},
                   {"from", s.hours > 0 ? json(s.from) : json(nullptr)},
                   {"to", s.hours > 0 ? json(s.to) : json(nullptr)}});
  };
  const auto seasons_json = [](const season_dates& s) {
    return object({{"first", maybe(s.first, day_json)},
                   {"last", maybe(s.last, day_json)},
                   {"risk", s.risk},
                   {"seasons", s.seasons},
                   {"without_event", s.without_event},
                   {"from", s.starts == season_start::july ? "07-01" : "01-01"}});
  };
  return line_of(object(
      {{"station", a.station},
       {"id", text_or_null(a.id)},
       {"kind", name_of(a.kind)},
       {"first", maybe(a.first, text_of_date)},
       {"last", maybe(a.last, text_of_date)},
       {"unit", a.unit},
       {"count", a.count},
       {"dropped", dropped},
       {"for_dates", object({{"grade", name_of(a.for_dates)}, {"whole_seasons", a.whole_seasons}})},
       {"dropped_by", list(a.dropped,
                           [](const dropped_rows& d) {
                             return object({{"reason", d.reason}, {"count", d.count}});
                           })},
       {"quantiles", quantiles(a.quantiles)},
       {"tmin_quantiles", quantiles(a.tmin_quantiles)},
       {"months", list(a.months, [&](const month_climate& m) { return month_json(m, typical); })},
       {"annual_minima", typical ? json(nullptr)
                                 : list(a.annual_minima,
                                        [](const year_minimum& y) {
                                          return object({{"year", y.year}, {"temperature_C", deg_c(y.minimum)}});
                                        })},
       {"return_minima",
        typical ? json(nullptr)
                : list(a.return_minima, [](const return_row& r) { return return_json(r.years, r.temperature); })},
       {"longest_below", maybe(a.below, spell_json)},
       {"hours_below", maybe(a.below, [](const time_below& b) { return b.hours_a_year; })},
       {"season_dates", maybe(a.seasons, seasons_json)},
       {"winters_with_a_day", a.winters_with_a_day ? json(*a.winters_with_a_day) : json(nullptr)},
       {"published_design", maybe(a.published, design_json)},
       {"notes", a.notes}}));
}

std::string to_json(const freeze_normals& n) {
  int dropped = 0;
  for (const dropped_rows& d : n.dropped) dropped += d.count;
  return line_of(object({{"station", n.station},
                         {"id", text_or_null(n.id)},
                         {"dropped", dropped},
                         {"freeze_dates", list(n.dates, [](const freeze_date& d) {
                            return object({{"limit_C", deg_c(d.limit)},
                                           {"event", d.first ? "first" : "last"},
                                           {"share", d.share},
                                           {"date", day_json({d.month, d.day})}});
                          })}}));
}

std::string to_json(const record_comparison& c) {
  const auto side = [](const record_side& s) {
    return object({{"called", s.called},
                   {"file", text_or_null(s.file)},
                   {"missing_share", s.missing},
                   {"coldest_days_C", maybe(s.coldest, deg_c)},
                   {"hottest_days_C", maybe(s.hottest, deg_c)},
                   {"climate", detail::part_of(to_json(s.climate))}});
  };
  return line_of(object({{"safer", name_of(c.safer)},
                         {"coldest_days_step_K", maybe(c.step, in_kelvins)},
                         {"first", side(c.first)},
                         {"second", side(c.second)},
                         {"months", list(c.months,
                                         [](const month_pair& m) {
                                           return object({{"month", m.month},
                                                          {"first_cold_1pct_C", deg_c(m.first)},
                                                          {"second_cold_1pct_C", deg_c(m.second)},
                                                          {"step_K", in_kelvins(m.step)}});
                                         })},
                         {"common_days", maybe(c.common,
                                               [](const common_days& d) {
                                                 return object({{"days", d.days},
                                                                {"mean_step_K", in_kelvins(d.mean)},
                                                                {"coldest_tenth_step_K", in_kelvins(d.coldest_tenth)}});
                                               })},
                         {"notes", c.notes}}));
}

std::string to_json(std::span<const design_values> rows) {
  return line_of(object({{"design_values", list(rows, design_json)}}));
}

std::string to_json(std::span<const table_answer> answers) {
  return line_of(object({{"tables", list(answers, [](const table_answer& t) {
                            return object({{"name", t.name},
                                           {"found_in", t.found_in},
                                           {"schema", t.schema},
                                           {"rows", t.rows},
                                           {"about", t.about},
                                           {"source", t.source}});
                          })}}));
}

std::string to_json(std::span<const range> bounds) {
  return line_of(object({{"ranges", list(bounds, [](const range& r) {
                            return object({{"measure", r.name},
                                           {"unit", r.unit},
                                           {"least", r.least},
                                           {"most", r.most},
                                           {"usual_least", r.usual_least},
                                           {"usual_most", r.usual_most},
                                           {"reason", r.reason}});
                          })}}));
}

}  // namespace coldgrease::inline v0
