// Answers of lines, installations and fleets.
#include "coldgrease/report/json.hpp"

#include "coldgrease/report/text.hpp"
#include "report/json_parts.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::compatibility_json;
using detail::data_json;
using detail::day_json;
using detail::deg_c;
using detail::json;
using detail::least_share;
using detail::line_of;
using detail::line_warnings;
using detail::list;
using detail::maybe;
using detail::object;
using detail::oils_json;
using detail::plain;

using detail::worth_json;

namespace detail {

json fill_json(const fill& f, std::span<const grease> stock) {
  return object({{"from", day_json(f.days.from())},
                 {"to", day_json(f.days.to())},
                 {"days", f.days.days},
                 {"grease", stock[f.grease].name()},
                 {"nlgi", stock[f.grease].nlgi()},
                 {"chance", f.chance},
                 {"settling", f.settling},
                 {"margin_K", in_kelvins(f.margin)},
                 {"margin_at_C", deg_c(f.margin_at)},
                 {"design_C", deg_c(f.coldest)},
                 {"basis", name_of(f.basis)},
                 {"limit_C", maybe(f.limit, deg_c)},
                 {"recent", maybe(f.recent, day_json)},
                 {"hot_days", f.hot_days},
                 {"hot_months", f.hot_months},
                 {"pumped_kg", maybe(f.pumped, in_kilogram)},
                 {"at_change_kg", maybe(f.at_change, in_kilogram)}});
}

json choice_json(const choice& c, std::span<const grease> stock) {
  const auto money = [](const year_money& m) {
    return object({{"sum", m.sum()}, {"grease", m.grease}, {"labour", m.labour}, {"risk", maybe(m.risk, plain)}});
  };
  return object({{"fills", list(c.fills, [&](const fill& f) { return fill_json(f, stock); })},
                 {"at_change", c.fills.size() > 1 ? json(name_of(c.practice)) : json(nullptr)},
                 {"carry_over_days", in_days(c.carry_over)},
                 {"hot_days", c.hot_days},
                 {"money", maybe(c.money, money)}});
}

}  // namespace detail

using detail::choice_json;
using detail::fill_json;

namespace {

json exclusion_json(exclusion by) { return by == exclusion::none ? json(nullptr) : json(name_of(by)); }

/// What every answer says of a route's decision, with the same keys.
void add_decision(json& j, const route_pick& r, std::span<const grease> stock) {
  j.update(choice_json(r.decided, stock));
  const auto other = [&](const choice& c) { return choice_json(c, stock); };
  j["otherwise"] = maybe(r.otherwise, other);
  j["if_purged"] = maybe(r.if_purged, other);
  j["by_design_values"] = r.by_design_values;
  j["missing"] = r.missing;
}

}  // namespace

std::string to_json(const changeover_answer& a, const installation& i, const grease& from, const grease& to) {
  const auto line_json = [&](const changeover_line& l) {
    return object({{"point", i.lines[l.line].point},
                   {"purge_m3", in_m3(l.purge)},
                   {"purge_kg", in_kilogram(l.purge_mass)},
                   {"shots", maybe(l.shots, plain)},
                   {"days", maybe(l.arrives, in_days)}});
  };
  return line_of(object({{"installation", i.name},
                         {"from", from.name()},
                         {"to", to.name()},
                         {"stands_on", object({{"from", from.stands_on()}, {"to", to.stands_on()}})},
                         {"oil", object({{"from", name_of(from.oil())}, {"to", name_of(to.oil())}})},
                         {"last_point", maybe(a.last, [&](std::size_t n) { return i.lines[n].point; })},
                         {"last_days", a.last ? maybe(a.lines.front().arrives, in_days) : json(nullptr)},
                         {"reservoir_days", maybe(a.reservoir, in_days)},
                         {"total_m3", in_m3(a.total)},
                         {"total_kg", in_kilogram(a.total_mass)},
                         {"density_kg_m3", in_kg_per_m3(a.old_density)},
                         {"density_assumed", a.density_assumed},
                         {"lines", list(a.lines, line_json)},
                         {"compatibility", compatibility_json(a.thickeners)},
                         {"oils", oils_json(a.oils)},
                         {"coldest_before_C", maybe(a.coldest_before, deg_c)},
                         {"coldest_after_C", maybe(a.coldest_after, deg_c)},
                         {"pumped_at_C", deg_c(a.pumped_at)},
                         {"old_at_walls", list(a.at_walls,
                                               [](const old_at_walls& w) {
                                                 return object({{"volumes", w.volumes}, {"share", w.share}});
                                               })},
                         {"cautions", a.cautions},
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

json missing_json(missing_datum m) { return m == missing_datum::none ? json(nullptr) : json(name_of(m)); }

json line_json(const line_answer& a) {
  const auto question = [](const supplier_question& q) {
    return object({{"temperature_C", deg_c(q.temperature)},
                   {"rate_1_s", in_per_second(q.rate)},
                   {"apparent_max_Pa_s", in_pascal_second(q.apparent_max)}});
  };
  const auto warm = [](const outlet_found_warm& w) {
    return object({{"temperature_C", deg_c(w.at)},
                   {"outlet_Pa", in_pascal(w.outlet)},
                   {"chance", w.chance},
                   {"verdict", name_of(w.verdict)}});
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
                 {"missing", missing_json(a.missing)},
                 {"confidence", a.confidence},
                 {"inlet_judged", a.inlet_judged},
                 {"coldest_C", maybe(a.coldest, deg_c)},
                 {"coldest_likely_C", maybe(a.coldest_likely, deg_c)},
                 {"oil_bound_C", maybe(a.oil_bound, deg_c)},
                 {"longest_m", maybe(a.longest, in_metre)},
                 {"smallest_bore_m", maybe(a.smallest_bore, in_metre)},
                 {"largest_flow_m3_s", maybe(a.largest_flow, in_m3_per_s)},
                 {"largest_outlet_Pa", maybe(a.largest_outlet, in_pascal)},
                 {"outlet_found_warm", maybe(a.outlet_doubt, warm)},
                 {"dose_share", maybe(a.dose_share, plain)},
                 {"front_reach_m", maybe(a.front_reach, in_metre)},
                 {"uptake_m3", maybe(a.uptake, in_m3)},
                 {"delay_s", maybe(a.delay, in_second)},
                 {"line_volume_m3", in_m3(a.line_volume)},
                 {"residence_days", maybe(a.residence, in_days)},
                 {"dose_m3", maybe(a.dose, in_m3)},
                 {"daily_volume_m3", maybe(a.daily, in_m3)},
                 {"asked_m3", maybe(a.asked, in_m3)},
                 {"dose_faults", list(a.dose_faults, [](dose_fault f) { return name_of(f); })},
                 {"ask_supplier", maybe(a.ask_supplier, question)},
                 {"worth_most", worth_json(a.worth_most)},
                 {"warnings", line_warnings(a, unit_system::si)},
                 {"notes", a.notes}});
}

}  // namespace

std::string to_json(const line_answer& a) { return line_of(line_json(a)); }

std::string to_json(const installation_answer& a, const installation& i, const grease& g) {
  const auto point_json = [&](const point_answer& p) {
    json j = object({{"point", i.lines[p.line].point}});
    j.update(line_json(p.check));
    j["film_need_m3"] = maybe(p.film_need, in_m3);
    j["breaches"] = list(p.breaches, [](const breach& b) { return b.words; });
    j["breach_kinds"] = list(p.breaches, [](const breach& b) { return name_of(b.kind); });
    return j;
  };
  const auto choice_json = [](const feed_choice& c) {
    return object({{"kind", name_of(c.kind)}, {"chance", maybe(c.chance, plain)}, {"verdict", name_of(c.verdict)}});
  };
  const installation_outcome& whole = a.outcome;
  const json feed = object({{"kind", name_of(a.feed_by.kind)},
                            {"assumed", !i.feed},
                            {"temperature_C", deg_c(a.feed.temperature)},
                            {"chance", maybe(a.feed.chance, plain)},
                            {"verdict", name_of(a.feed.verdict)},
                            {"coldest_C", maybe(a.feed.coldest, deg_c)},
                            {"choices", list(a.feed_choices, choice_json)}});
  return line_of(object({{"installation", i.name},
                         {"type", name_of(i.type)},
                         {"grease", g.name()},
                         {"nlgi", g.nlgi()},
                         {"stands_on", g.stands_on()},
                         {"data", data_json(g.data())},
                         {"worth_most", worth_json(a.worth_most)},
                         {"temperature_C", deg_c(a.temperature)},
                         {"available_Pa", in_pascal(a.available)},
                         {"confidence", a.confidence},
                         {"chance", maybe(whole.chance, plain)},
                         {"verdict", name_of(whole.verdict)},
                         {"missing", missing_json(whole.missing)},
                         {"excluded", exclusion_json(barring_of(i, g, a).by)},
                         {"decides", whole.line ? "line" : "inlet"},
                         {"governing_line", whole.line ? json(i.lines[*whole.line].point) : json(nullptr)},
                         {"needed_Pa", maybe(a.needed, in_pascal)},
                         {"coldest_C", maybe(a.coldest, deg_c)},
                         {"oil", name_of(g.oil())},
                         {"feed", feed},
                         {"cycles_a_day", maybe(a.cycles_a_day, plain)},
                         {"daily_volume_m3", maybe(a.daily, in_m3)},
                         {"reservoir_m3", maybe(a.holds, in_m3)},
                         {"reservoir_days", maybe(a.reservoir, in_days)},
                         {"reservoir_kg", maybe(a.reservoir_mass, in_kilogram)},
                         {"level_in_a_week", maybe(a.level, level_json)},
                         {"shortest_pause_s", maybe(a.shortest_pause, in_second)},
                         {"points", list(a.points, point_json)},
                         {"warnings", a.warnings},
                         {"notes", a.notes}}));
}

std::string to_json(const dose_answer& a, const installation& i, const grease& g) {
  const auto point_of = [&](std::size_t l) { return i.lines[l].point; };
  const auto point_json = [&](const point_dose& p) {
    const line_answer& c = p.check;
    return object({{"point", point_of(p.line)},
                   {"element_m3", maybe(p.element, in_m3)},
                   {"served", p.served},
                   {"daily_volume_m3", maybe(c.daily, in_m3)},
                   {"asked_m3", maybe(c.asked, in_m3)},
                   {"chance", maybe(c.chance, plain)},
                   {"verdict", name_of(c.verdict)},
                   {"coldest_C", maybe(c.coldest, deg_c)},
                   {"dose_share", maybe(c.dose_share, plain)},
                   {"residence_days", maybe(c.residence, in_days)},
                   {"dose_faults", list(c.dose_faults, [](dose_fault f) { return name_of(f); })},
                   {"warnings", line_warnings(c, unit_system::si)}});
  };
  const auto setting_json = [&](const dose_setting& s) {
    return object({{"interval_s", in_second(s.interval)},
                   {"too_short", s.too_short},
                   {"verdict", name_of(s.verdict)},
                   {"chance", maybe(s.chance, plain)},
                   {"coldest_C", maybe(s.coldest, deg_c)},
                   {"dose_share", maybe(least_share(s), plain)},
                   {"unserved", s.unserved},
                   {"daily_volume_m3", in_m3(s.daily)},
                   {"waste_m3", in_m3(s.waste)},
                   {"reservoir_days", maybe(s.reservoir, in_days)},
                   {"lasts", s.lasts},
                   {"longest_stay_days", maybe(s.longest_stay, in_days)},
                   {"points", list(s.points, point_json)},
                   {"warnings", s.warnings},
                   {"notes", s.notes}});
  };
  return line_of(object({{"installation", i.name},
                         {"grease", g.name()},
                         {"nlgi", g.nlgi()},
                         {"stands_on", g.stands_on()},
                         {"data", data_json(g.data())},
                         {"temperature_C", deg_c(a.temperature)},
                         {"confidence", a.confidence},
                         {"service_days", maybe(i.service, in_days)},
                         {"settings", list(a.settings, setting_json)},
                         {"unstated", list(a.unstated, point_of)},
                         {"notes", a.notes}}));
}

std::string to_json(const fault_answer& a, const installation* i, const grease* g) {
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
  return line_of(object({{"grease", g ? json(g->name()) : json(nullptr)},
                         {"stands_on", g ? json(g->stands_on()) : json(nullptr)},
                         {"oil", g ? json(name_of(g->oil())) : json(nullptr)},
                         {"expected_gauge", maybe(a.gauge, gauge_json)},
                         {"level_in_a_week", maybe(a.level, level_json)},
                         {"coldest_C", maybe(a.coldest_line, deg_c)},
                         {"feel_first", list(a.feel_first, [&](std::size_t l) { return i->lines[l].point; })},
                         {"causes", list(a.causes, cause_json)},
                         {"warnings", a.warnings},
                         {"notes", a.notes}}));
}

namespace {

json kept_json(const kept_plan& k, std::span<const installation> installations, std::span<const grease> stock) {
  const auto one = [&](const kept_grease& g) {
    return object({{"installation", installations[g.installation].name}, {"grease", stock[g.grease].name()}});
  };
  const auto days = [](const season& s) { return object({{"from", day_json(s.from())}, {"to", day_json(s.to())}}); };
  return object({{"greases", list(k.greases, one)},
                 {"passes", k.passes},
                 {"chance", maybe(k.chance, plain)},
                 {"hours_below", maybe(k.hours, plain)},
                 {"hours_below_by_month", list(k.starved, [](const auto& h) { return maybe(h, plain); })},
                 {"too_cold", list(k.too_cold, days)},
                 {"barred", list(k.barred, days)},
                 {"change_by", maybe(k.change_by, day_json)},
                 {"into", k.into ? json(stock[*k.into].name()) : json(nullptr)},
                 {"at_change_kg", maybe(k.at_change, in_kilogram)},
                 {"labour", maybe(k.labour, plain)}});
}

json route_plan_json(const route_plan& r, std::span<const installation> installations, std::span<const grease> stock) {
  const auto alternative_json = [&](const alternative& alt) {
    return object({{"grease", stock[alt.grease].name()}, {"chance", alt.chance}, {"margin_K", in_kelvins(alt.margin)}});
  };
  json j = object({{"route", r.pick.route}, {"region", r.pick.region}, {"vehicles", r.pick.vehicles}});
  add_decision(j, r.pick, stock);
  j.update(object({{"winter_chance", maybe(r.winter_chance, plain)},
                   {"winters", r.winters},
                   {"trip", maybe(r.trip,
                                  [](const trip_share& t) {
                                    return object({{"share_of_time", t.of_time}, {"least", t.least}, {"most", t.most}});
                                  })},
                   {"alternatives", list(r.alternatives, alternative_json)},
                   {"sensitivities", list(r.sensitivities,
                                          [](const sensitivity& s) {
                                            return object({{"what", s.what}, {"moves_K", in_kelvins(s.moves)}});
                                          })},
                   {"keep", maybe(r.keep, [&](const kept_plan& k) { return kept_json(k, installations, stock); })},
                   {"warnings", r.pick.warnings},
                   {"notes", r.pick.notes},
                   {"evidence", r.evidence}}));
  return j;
}

}  // namespace

json detail::plan_json(const plan_answer& a, std::span<const installation> installations,
                       std::span<const grease> stock) {
  const auto names = [&](std::span<const std::size_t> greases) {
    return list(greases, [&](std::size_t g) { return stock[g].name(); });
  };
  const auto row_json = [&](const purchase_row& p) {
    return object({{"grease", stock[p.grease].name()},
                   {"region", p.region},
                   {"pumped_kg", maybe(p.pumped, in_kilogram)},
                   {"at_changes_kg", maybe(p.at_changes, in_kilogram)},
                   {"in_store_kg", maybe(p.in_store, in_kilogram)},
                   {"to_buy_kg", maybe(p.to_buy, in_kilogram)},
                   {"packs", maybe(p.packs, plain)},
                   {"money", maybe(p.money, plain)},
                   {"needed_by", maybe(p.needed_by, day_json)},
                   {"order_by", maybe(p.order_by, day_json)},
                   {"pumped_by_month_kg", list(p.pumped_in, in_kilogram)},
                   {"unknown_of", p.unknown_of}});
  };
  const invoice& bill = a.purchase;
  const json purchase = object({{"rows", list(bill.rows, row_json)},
                                {"without", bill.without},
                                {"grease", maybe(bill.grease, plain)},
                                {"labour", maybe(bill.labour, plain)},
                                {"grease_alone", maybe(bill.alone, plain)},
                                {"risk", maybe(bill.risk, plain)},
                                {"drained_kg", maybe(bill.drained, in_kilogram)}});
  const auto kinds_of = [&](const kinds_row& k) {
    return object({{"kinds", k.kinds},
                   {"greases", names(k.greases)},
                   {"routes_served", k.served},
                   {"hot_days", k.hot_days},
                   {"money", maybe(k.money, plain)},
                   {"as_cheap", list(k.as_cheap, names)},
                   {"unserved", list(k.unserved, [&](std::size_t r) { return a.routes[r].pick.route; })},
                   {"lose_margin", list(k.lose_margin, [&](std::size_t r) { return a.routes[r].pick.route; })}});
  };
  return object(
      {{"about", a.about},
       {"missing", a.missing},
       {"confidence", a.confidence},
       {"risk", a.risk},
       {"prefer", name_of(a.prefer)},
       {"currency", text_or_null(a.currency)},
       {"routes", list(a.routes, [&](const route_plan& r) { return route_plan_json(r, installations, stock); })},
       {"purchase", purchase},
       {"kinds", list(a.kinds, kinds_of)},
       {"notes", a.notes}});
}

std::string to_json(const plan_answer& a, std::span<const installation> installations, std::span<const grease> stock) {
  return line_of(detail::plan_json(a, installations, stock));
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
                   {"exclusion", exclusion_json(g.excluded)},
                   {"why", reason(g, installations, stock)}});
  };
  const auto month_json_of = [&](const month_pick& m) {
    const point_index& p = m.greases[m.shown].worst;
    const installation& i = installations[p.installation];
    return object({{"month", m.month},
                   {"design_C", deg_c(m.design)},
                   {"return_minimum_C", maybe(m.return_minimum, deg_c)},
                   {"hours_below", maybe(m.hours_below, plain)},
                   {"pumped", list(m.pumped, [&](std::size_t g) { return stock[g].name(); })},
                   {"longest_spell_h", m.longest_spell ? json(*m.longest_spell) : json(nullptr)},
                   {"governing_line", i.lines[p.line].point + " (" + i.name + ")"},
                   {"governing_station", m.governing_station},
                   {"greases", list(m.greases, grease_json)},
                   {"published_rules", list(m.published_rules, [](const rule_answer& r) {
                      return object({{"rule", r.rule}, {"says", r.says}, {"source", r.source}});
                    })}});
  };
  const auto route_json = [&](const route_pick& r) {
    const auto& fills = r.decided.fills;
    json j = object({{"route", r.route},
                     {"region", r.region},
                     {"vehicles", r.vehicles},
                     {"year", fills.size() == 1 ? fill_json(fills.front(), stock) : json(nullptr)}});
    add_decision(j, r, stock);
    j.update(object({{"months", list(r.months, month_json_of)},
                     {"unserved", r.unserved},
                     {"would_help", list(advice_on(r.would_help, installations, stock),
                                         [](const advice& a) {
                                           return object({{"about", a.about}, {"ways", a.ways}});
                                         })},
                     {"warnings", r.warnings},
                     {"notes", r.notes},
                     {"evidence", r.evidence}}));
    return j;
  };
  const auto tow_json = [&](const tow_pick& t) {
    const auto route = [&](std::size_t r) { return answer.routes[r].route; };
    json months = json::array();
    for (std::size_t m = 0; m < t.months.size(); ++m)
      months.push_back(object({{"month", m + 1},
                               {"chance", maybe(t.months[m].chance, plain)},
                               {"served", t.months[m].served},
                               {"weakest", route(t.months[m].weakest)}}));
    return object({{"tow", t.tow}, {"routes", list(t.routes, route)}, {"served", t.served}, {"months", months}});
  };
  return line_of(object({{"about", answer.about},
                         {"missing", answer.missing},
                         {"confidence", answer.confidence},
                         {"prefer", name_of(answer.prefer)},
                         {"currency", detail::text_or_null(answer.currency)},
                         {"routes", list(answer.routes, route_json)},
                         {"tows", list(answer.tows, tow_json)}}));
}

json detail::judged_json(const judged_reading& j, const fleet& f) {
  const reading& r = f.taken[j.reading];
  return object({{"row", r.row},
                 {"date", text_of(r.day)},
                 {"vehicle", r.vehicle},
                 {"batch", text_or_null(r.batch)},
                 {"installation", f.installations[j.installation].name},
                 {"point", f.installations[j.installation].lines[j.line].point},
                 {"temperature_C", deg_c(r.at)},
                 {"gauge_Pa", maybe(r.gauge, in_pascal)},
                 {"says", name_of(j.says)},
                 {"pinned", j.pinned},
                 {"use", name_of(j.use)},
                 {"expected_Pa", maybe(j.expected, in_pascal)},
                 {"over_expected", j.use == reading_use::says_nothing ? json(nullptr) : json(j.over_expected)},
                 {"over_reference", maybe(j.over_reference, plain)},
                 {"error", maybe(j.error, plain)},
                 {"deviations", maybe(j.deviations, plain)},
                 {"spread_90_without", j.spread_90_without},
                 {"spread_90", j.spread_90}});
}

std::string to_json(const learn_answer& a, const fleet& f) {
  const auto reading_json = [&](const judged_reading& j) { return detail::judged_json(j, f); };
  const auto batch_json = [](const read_batch& b) {
    return object({{"batch", detail::text_or_null(b.name)},
                   {"first", text_of(b.first)},
                   {"last", text_of(b.last)},
                   {"readings", b.readings},
                   {"over_next", b.over_next},
                   {"spread_90", b.spread_90}});
  };
  const auto place_json = [&](const learnt_place& p) {
    return object({{"installation", f.installations[p.installation].name},
                   {"coldest_before_C", maybe(p.coldest_before, deg_c)},
                   {"coldest_C", maybe(p.coldest, deg_c)}});
  };
  const auto lesson_json = [&](const grease_lesson& l) {
    return object({{"grease", a.stock[l.grease].name()},
                   {"temperature_C", deg_c(l.at)},
                   {"over_before", l.over_before},
                   {"spread_90_before", l.spread_90_before},
                   {"spread_90", l.spread_90},
                   {"widening", l.widening},
                   {"places", list(l.places, place_json)},
                   {"batches", list(l.batches, batch_json)},
                   {"readings", list(l.readings, reading_json)}});
  };
  return line_of(object({{"confidence", a.confidence}, {"greases", list(a.lessons, lesson_json)}}));
}

}  // namespace coldgrease::inline v0
