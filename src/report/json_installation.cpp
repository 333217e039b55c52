// Answers about lines and installations: pressures, doses, faults, changes of grease.
#include "coldgrease/report/json.hpp"

#include "coldgrease/report/text.hpp"
#include "report/json_parts.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::choice_json;
using detail::compatibility_json;
using detail::data_json;
using detail::deg_c;
using detail::exclusion_json;
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

}  // namespace coldgrease::inline v0
