// Decisions: picks, plans, and what readings teach.
#include "coldgrease/report/json.hpp"

#include "coldgrease/report/text.hpp"
#include "report/json_parts.hpp"
#include "report/words.hpp"

namespace coldgrease::inline v0 {

using detail::day_json;
using detail::deg_c;
using detail::exclusion_json;
using detail::json;
using detail::line_of;
using detail::list;
using detail::maybe;
using detail::object;
using detail::plain;

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

std::string detail::plan_text(const plan_answer& a, std::span<const installation> installations,
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
  object_text text;
  text.add("about", a.about);
  text.add("missing", a.missing);
  text.add("confidence", a.confidence);
  text.add("risk", a.risk);
  text.add("prefer", name_of(a.prefer));
  text.add("currency", text_or_null(a.currency));
  text.add_list("routes", a.routes, [&](const route_plan& r) { return route_plan_json(r, installations, stock); });
  text.add("purchase", purchase);
  text.add("kinds", list(a.kinds, kinds_of));
  text.add("notes", a.notes);
  return text.finish();
}

std::string to_json(const plan_answer& a, std::span<const installation> installations, std::span<const grease> stock) {
  return detail::plan_text(a, installations, stock);
}

std::string to_json(const pick_answer& answer, std::span<const installation> installations,
                    std::span<const grease> stock, int jobs) {
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
                   {"published_rules", list(m.published_rules, [&](const rule_answer& r) {
                      const published_rule& rule = answer.rules[r.rule];
                      return object({{"rule", rule.name}, {"says", rule.steps[r.step].says}, {"source", rule.source}});
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
  detail::object_text text;
  text.add("about", answer.about);
  text.add("missing", answer.missing);
  text.add("confidence", answer.confidence);
  text.add("prefer", name_of(answer.prefer));
  text.add("currency", detail::text_or_null(answer.currency));
  text.add_list("routes", answer.routes, route_json, jobs);
  text.add_list("tows", answer.tows, tow_json);
  return text.finish();
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
