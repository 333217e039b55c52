#include "coldgrease/report/json.hpp"

#include <nlohmann/json.hpp>

#include "base/format.hpp"

#include "coldgrease/report/text.hpp"

namespace coldgrease {

namespace {

using json = nlohmann::ordered_json;

/// One object on one line; a name that is no UTF-8 is written with replacement characters, not refused.
std::string line_of(const json& j) { return j.dump(-1, ' ', false, json::error_handler_t::replace); }

/// Null for what does not exist, the number in the unit of the key for what does.
template <class Value, class Read>
json maybe(const std::optional<Value>& value, Read read) {
  return value ? json(read(*value)) : json(nullptr);
}

double deg_c(temperature t) { return t.in_celsius(); }
double plain(double v) { return v; }
std::string text_of_date(const date& d) { return text_of(d); }

json object(std::initializer_list<std::pair<const char*, json>> members) {
  json j = json::object();
  for (const auto& [key, value] : members) j[key] = value;
  return j;
}

template <class Range, class Write>
json list(const Range& range, Write write) {
  json j = json::array();
  for (const auto& element : range) j.push_back(write(element));
  return j;
}

json month_json(const month_climate& m) {
  return object(
      {{"month", m.month}, {"mean_C", deg_c(m.mean)}, {"cold_1pct_C", deg_c(m.cold)}, {"record_C", deg_c(m.record)}});
}

json fill_json(const fill& f, std::span<const grease> stock, bool with_months) {
  json j = json::object();
  if (with_months) {
    j["from_month"] = f.from_month;
    j["to_month"] = f.to_month;
  }
  j["grease"] = stock[f.grease].name();
  j["nlgi"] = stock[f.grease].nlgi();
  j["chance"] = f.chance;
  j["hot_months"] = f.hot_months;
  return j;
}

json text_or_null(const std::string& text) { return text.empty() ? json(nullptr) : json(text); }

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

json compatibility_json(const compatibility_answer& a) {
  const auto said = [](const compatibility_answer::said& s) {
    json votes = json::object();
    for (std::size_t w = 0; w < s.votes.size(); ++w) votes[std::string(name_of(static_cast<mix_word>(w)))] = s.votes[w];
    return object({{"chart", s.chart}, {"votes", votes}, {"source", s.source}});
  };
  return object({{"old", text_or_null(a.first)},
                 {"new", text_or_null(a.second)},
                 {"old_class", text_or_null(a.first_class)},
                 {"new_class", text_or_null(a.second_class)},
                 {"agreement", name_of(a.agreement)},
                 {"word", maybe(a.word, [](mix_word w) { return name_of(w); })},
                 {"charts", list(a.charts, said)},
                 {"notes", a.notes}});
}

}  // namespace

std::string to_json(const class_answer& a) { return line_of(class_json(a)); }

std::string to_json(const designation& d) {
  json j = class_json(classify_label(d.nlgi, "designation"));
  j["designation"] = designation_json(d);
  return line_of(j);
}

std::string to_json(const compatibility_answer& a) {
  return line_of(object({{"compatibility", compatibility_json(a)}}));
}

std::string to_json(const changeover_answer& a, const installation& i, const evidence& from, const evidence& to) {
  const auto line_json = [&](const changeover_line& l) {
    return object({{"point", i.lines[l.line].point},
                   {"purge_m3", in_m3(l.purge)},
                   {"purge_kg", in_kilogram(l.purge_mass)},
                   {"shots", maybe(l.shots, plain)},
                   {"days", maybe(l.arrives, in_days)}});
  };
  return line_of(object({{"installation", i.name},
                         {"from", from.name},
                         {"to", to.name},
                         {"last_point", maybe(a.last, [&](std::size_t n) { return i.lines[n].point; })},
                         {"last_days", a.last ? maybe(a.lines.front().arrives, in_days) : json(nullptr)},
                         {"reservoir_days", maybe(a.reservoir, in_days)},
                         {"total_m3", in_m3(a.total)},
                         {"total_kg", in_kilogram(a.total_mass)},
                         {"density_kg_m3", in_kg_per_m3(a.old_density)},
                         {"density_assumed", a.density_assumed},
                         {"lines", list(a.lines, line_json)},
                         {"compatibility", compatibility_json(a.thickeners)},
                         {"cautions", a.cautions},
                         {"notes", a.notes}}));
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
                         {"wanted", a.wanted},
                         {"spread_90", maybe(a.spread_90, plain)},
                         {"rate_kind", a.kind == rate_kind::nominal ? "nominal" : "rheometer"},
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

json level_json(const level_signs& s) {
  return object({{"as_expected_m3", in_m3(s.as_expected)},
                 {"one_blocked_m3", in_m3(s.one_blocked)},
                 {"one_broken_m3", in_m3(s.one_broken)},
                 {"one_with_air_m3", in_m3(s.one_with_air)},
                 {"height_m", maybe(s.height, in_metre)}});
}

json line_json(const line_answer& a) {
  const auto question = [](const supplier_question& q) {
    return object({{"temperature_C", deg_c(q.temperature)},
                   {"rate_1_s", in_per_second(q.rate)},
                   {"apparent_max_Pa_s", in_pascal_second(q.apparent_max)}});
  };
  return object({{"temperature_C", deg_c(a.temperature)},
                 {"nominal_rate_1_s", in_per_second(a.nominal_rate)},
                 {"wall_stress_Pa", maybe(a.wall_stress, in_pascal)},
                 {"flow_loss_Pa", maybe(a.flow_loss, in_pascal)},
                 {"start_loss_Pa", maybe(a.start_loss, in_pascal)},
                 {"outlet_Pa", in_pascal(a.outlet)},
                 {"divider_loss_Pa", in_pascal(a.divider_loss)},
                 {"needed_Pa", maybe(a.needed, in_pascal)},
                 {"available_Pa", in_pascal(a.available)},
                 {"residual_Pa", maybe(a.residual, in_pascal)},
                 {"reset_Pa", maybe(a.reset, in_pascal)},
                 {"spread_90", maybe(a.spread_90, plain)},
                 {"chance", maybe(a.chance, plain)},
                 {"verdict", name_of(a.verdict)},
                 {"coldest_C", maybe(a.coldest, deg_c)},
                 {"coldest_likely_C", maybe(a.coldest_likely, deg_c)},
                 {"oil_bound_C", maybe(a.oil_bound, deg_c)},
                 {"longest_m", maybe(a.longest, in_metre)},
                 {"smallest_bore_m", maybe(a.smallest_bore, in_metre)},
                 {"largest_flow_m3_s", maybe(a.largest_flow, in_m3_per_s)},
                 {"dose_share", maybe(a.dose_share, plain)},
                 {"front_reach_m", maybe(a.front_reach, in_metre)},
                 {"swallowed_m3", maybe(a.swallowed, in_m3)},
                 {"delay_s", maybe(a.delay, in_second)},
                 {"line_volume_m3", in_m3(a.line_volume)},
                 {"residence_days", maybe(a.residence, in_days)},
                 {"ask_supplier", maybe(a.ask_supplier, question)},
                 {"warnings", a.warnings},
                 {"notes", a.notes}});
}

}  // namespace

std::string to_json(const line_answer& a) { return line_of(line_json(a)); }

std::string to_json(const installation_answer& a, const installation& i, const grease& g) {
  const auto point_json = [&](const point_answer& p) {
    json j = object({{"point", i.lines[p.line].point}});
    j.update(line_json(p.check));
    j["daily_volume_m3"] = maybe(p.daily, in_m3);
    j["film_need_m3"] = maybe(p.film_need, in_m3);
    j["breaches"] = p.breaches;
    return j;
  };
  const auto feed_json = [&](const inlet_answer& f) {
    return object({{"kind", name_of(i.feed->kind)},
                   {"temperature_C", deg_c(f.temperature)},
                   {"chance", maybe(f.chance, plain)},
                   {"coldest_C", maybe(f.coldest, deg_c)}});
  };
  return line_of(object({{"installation", i.name},
                         {"type", name_of(i.type)},
                         {"grease", g.name()},
                         {"nlgi", g.nlgi()},
                         {"stands_on", g.stands_on()},
                         {"wanted", g.wanted()},
                         {"temperature_C", deg_c(a.temperature)},
                         {"available_Pa", in_pascal(a.available)},
                         {"verdict", name_of(a.verdict)},
                         {"feed", maybe(a.feed, feed_json)},
                         {"cycles_a_day", maybe(a.cycles_a_day, plain)},
                         {"daily_volume_m3", maybe(a.daily, in_m3)},
                         {"reservoir_days", maybe(a.reservoir, in_days)},
                         {"reservoir_kg", maybe(a.reservoir_mass, in_kilogram)},
                         {"level_in_a_week", maybe(a.level, level_json)},
                         {"shortest_pause_s", maybe(a.shortest_pause, in_second)},
                         {"points", list(a.points, point_json)},
                         {"warnings", a.warnings},
                         {"notes", a.notes}}));
}

std::string to_json(const fault_answer& a, const installation* i) {
  const auto type = i ? std::optional(i->type) : std::nullopt;
  const auto cause_json = [&](const cause& c) {
    return object({{"cause", name_of(c.fault)},
                   {"weight", c.weight},
                   {"speaks_for", c.speaks_for},
                   {"speaks_against", c.speaks_against},
                   {"check", check_of(c.fault, type)}});
  };
  const auto gauge_json = [&](const expected_gauge& e) {
    return object({{"point", i->lines[e.line].point},
                   {"low_Pa", in_pascal(e.low)},
                   {"middle_Pa", in_pascal(e.middle)},
                   {"high_Pa", in_pascal(e.high)}});
  };
  return line_of(object({{"expected_gauge", maybe(a.gauge, gauge_json)},
                         {"level_in_a_week", maybe(a.level, level_json)},
                         {"coldest_C", maybe(a.coldest_line, deg_c)},
                         {"feel_first", list(a.feel_first, [&](std::size_t l) { return i->lines[l].point; })},
                         {"causes", list(a.causes, cause_json)},
                         {"warnings", a.warnings},
                         {"notes", a.notes}}));
}

namespace {

const char* kind_words(series_kind k) {
  return k == series_kind::daily ? "daily" : k == series_kind::hourly ? "hourly" : "typical year";
}

json day_json(const day_of_year& d) { return fmt::format("{:02}-{:02}", d.month, d.day); }

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
       {"kind", kind_words(a.kind)},
       {"first", maybe(a.first, text_of_date)},
       {"last", maybe(a.last, text_of_date)},
       {"count", a.count},
       {"dropped", dropped},
       {"dropped_by", list(a.dropped,
                           [](const dropped_rows& d) {
                             return object({{"reason", d.reason}, {"count", d.count}});
                           })},
       {"quantiles", quantiles(a.quantiles)},
       {"tmin_quantiles", quantiles(a.tmin_quantiles)},
       {"months", list(a.months, month_json)},
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
  return line_of(
      object({{"station", n.station}, {"dropped", dropped}, {"freeze_dates", list(n.dates, [](const freeze_date& d) {
                                                               return object({{"limit_C", deg_c(d.limit)},
                                                                              {"event", d.first ? "first" : "last"},
                                                                              {"share", d.share},
                                                                              {"date", day_json({d.month, d.day})}});
                                                             })}}));
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

namespace {

json date_json(const day_of_year& d) { return fmt::format("{:02}-{:02}", d.month, d.day); }

json plan_json(const plan_answer& a, std::span<const grease> stock) {
  const auto names = [&](std::span<const std::size_t> greases) {
    return list(greases, [&](std::size_t g) { return stock[g].name(); });
  };
  const auto fill_of = [&](const planned_fill& f) {
    return object({{"from_month", f.from_month},
                   {"to_month", f.to_month},
                   {"grease", stock[f.grease].name()},
                   {"nlgi", stock[f.grease].nlgi()},
                   {"chance", f.chance},
                   {"margin_K", in_kelvins(f.margin)},
                   {"start", maybe(f.start, date_json)},
                   {"held_back", f.held_back},
                   {"limit_C", maybe(f.limit, deg_c)},
                   {"kg_per_vehicle", maybe(f.per_vehicle, in_kilogram)},
                   {"hot_months", f.hot_months}});
  };
  const auto alternative_json = [&](const alternative& alt) {
    return object({{"grease", stock[alt.grease].name()}, {"chance", alt.chance}, {"margin_K", in_kelvins(alt.margin)}});
  };
  const auto route_of = [&](const route_plan& r) {
    return object({{"route", r.pick.route},
                   {"region", r.pick.region},
                   {"vehicles", r.vehicles},
                   {"carry_over_days", in_days(r.pick.carry_over)},
                   {"fills", list(r.fills, fill_of)},
                   {"winter_chance", maybe(r.winter_chance, plain)},
                   {"winters", r.winters},
                   {"trip", maybe(r.trip,
                                  [](const trip_share& t) {
                                    return object({{"share_of_time", t.of_time}, {"least", t.least}, {"most", t.most}});
                                  })},
                   {"cost_per_vehicle", maybe(r.cost, plain)},
                   {"alternatives", list(r.alternatives, alternative_json)},
                   {"sensitivities", list(r.sensitivities,
                                          [](const sensitivity& s) {
                                            return object({{"what", s.what}, {"moves_K", in_kelvins(s.moves)}});
                                          })},
                   {"warnings", r.pick.warnings},
                   {"notes", r.pick.notes},
                   {"evidence", r.evidence}});
  };
  const auto purchase_of = [&](const purchase_row& p) {
    return object({{"grease", stock[p.grease].name()},
                   {"region", p.region},
                   {"from_month", p.from_month},
                   {"to_month", p.to_month},
                   {"kg", in_kilogram(p.needed)},
                   {"packs", maybe(p.packs, plain)}});
  };
  const auto kinds_of = [&](const kinds_row& k) {
    return object({{"kinds", k.kinds},
                   {"greases", names(k.greases)},
                   {"routes_served", k.served},
                   {"cost", maybe(k.cost, plain)},
                   {"lose_margin", list(k.lose_margin, [&](std::size_t r) { return a.routes[r].pick.route; })}});
  };
  return object({{"about", a.about},
                 {"confidence", a.confidence},
                 {"risk", a.risk},
                 {"by_cost", a.by_cost},
                 {"routes", list(a.routes, route_of)},
                 {"purchase", list(a.purchase, purchase_of)},
                 {"kinds", list(a.kinds, kinds_of)},
                 {"notes", a.notes}});
}

}  // namespace

std::string to_json(const plan_answer& a, std::span<const installation>, std::span<const grease> stock) {
  return line_of(plan_json(a, stock));
}

std::string to_json(const pick_answer& answer, std::span<const installation> installations,
                    std::span<const grease> stock) {
  const auto grease_json = [&](const grease_month& g) {
    return object({{"grease", stock[g.grease].name()},
                   {"nlgi", stock[g.grease].nlgi()},
                   {"chance", maybe(g.chance, plain)},
                   {"verdict", name_of(g.verdict)},
                   {"coldest_C", maybe(g.coldest, deg_c)},
                   {"excluded", g.excluded != exclusion::none},
                   {"why", reason(g, installations, stock)}});
  };
  const auto month_json_of = [&](const month_pick& m) {
    const point_index& p = m.greases[m.shown].worst;
    const installation& i = installations[p.installation];
    return object({{"month", m.month},
                   {"design_C", deg_c(m.design)},
                   {"return_minimum_C", maybe(m.return_minimum, deg_c)},
                   {"hours_below", maybe(m.hours_below, plain)},
                   {"longest_spell_h", m.longest_spell ? json(*m.longest_spell) : json(nullptr)},
                   {"governing_line", i.lines[p.line].point + " (" + i.name + ")"},
                   {"governing_station", m.governing_station},
                   {"greases", list(m.greases, grease_json)},
                   {"published_rules", list(m.published_rules, [](const rule_answer& r) {
                      return object({{"rule", r.rule}, {"says", r.says}, {"source", r.source}});
                    })}});
  };
  const auto route_json = [&](const route_pick& r) {
    return object(
        {{"route", r.route},
         {"region", r.region},
         {"year", maybe(r.year, [&](const fill& f) { return fill_json(f, stock, false); })},
         {"seasons", list(r.seasons, [&](const fill& f) { return fill_json(f, stock, true); })},
         {"carry_over_days", in_days(r.carry_over)},
         {"months", list(r.months, month_json_of)},
         {"would_help", list(r.would_help, [&](const remedy& fix) { return advice(fix, installations, stock); })},
         {"warnings", r.warnings},
         {"notes", r.notes},
         {"evidence", r.evidence}});
  };
  return line_of(object(
      {{"about", answer.about}, {"confidence", answer.confidence}, {"routes", list(answer.routes, route_json)}}));
}

}  // namespace coldgrease
