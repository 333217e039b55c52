// Offers side by side, for programs.
#include "coldgrease/report/json.hpp"
#include "coldgrease/report/text.hpp"
#include "report/json_parts.hpp"

namespace coldgrease::inline v0 {

using namespace detail;

std::string to_json(const compare_answer& a, std::span<const installation> installations) {
  const auto name = [&](std::size_t g) { return a.stock[g].name(); };
  const auto mixing_json = [&](const mixing_with& m) {
    return object({{"grease", name(m.grease)}, {"kept", m.kept}, {"charts", compatibility_json(m.charts)}});
  };
  const auto question_json = [](const supplier_question& q) {
    return object({{"temperature_C", deg_c(q.temperature)},
                   {"rate_1_s", in_per_second(q.rate)},
                   {"apparent_max_Pa_s", in_pascal_second(q.apparent_max)}});
  };
  const auto offer_json = [&](const offer_on_route& o) {
    const auto days = [](const season& s) { return object({{"from", day_json(s.from())}, {"to", day_json(s.to())}}); };
    return object({{"grease", name(o.grease)},
                   {"nlgi", a.stock[o.grease].nlgi()},
                   {"passes", o.passes},
                   {"too_cold", list(o.too_cold, days)},
                   {"barred", list(o.barred, days)},
                   {"chance", maybe(o.coldest_days.chance, plain)},
                   {"verdict", name_of(o.coldest_days.verdict)},
                   {"excluded", o.coldest_days.excluded == exclusion::none ? json(nullptr)
                                                                           : json(name_of(o.coldest_days.excluded))},
                   {"why", reason(o.coldest_days, installations, a.stock)},
                   {"coldest_C", maybe(o.coldest, deg_c)},
                   {"margin_K", maybe(o.margin, in_kelvins)},
                   {"kg", maybe(o.needed, in_kilogram)},
                   {"money", maybe(o.money, plain)},
                   {"told_equal", list(o.told_equal, name)},
                   {"mixing", list(o.mixing, mixing_json)},
                   {"ask_supplier", maybe(o.ask, question_json)}});
  };
  const auto route_json = [&](const compared_route& r) {
    return object({{"route", r.pick.route},
                   {"region", r.pick.region},
                   {"vehicles", r.pick.vehicles},
                   {"design_C", deg_c(r.coldest)},
                   {"coldest_on", day_json(r.coldest_on)},
                   {"decided", choice_json(r.pick.decided, a.stock)},
                   {"offers", list(r.offers, offer_json)}});
  };
  const auto stated_json = [&](const offer_question& q) {
    return object({{"grease", name(q.grease)},
                   {"stands_on", a.stock[q.grease].stands_on()},
                   {"not_stated", q.not_stated},
                   {"hardest_routes", list(q.hardest, [&](std::size_t r) { return a.routes[r].pick.route; })}});
  };
  return line_of(object({{"about", a.about},
                         {"missing", a.missing},
                         {"confidence", a.confidence},
                         {"currency", text_or_null(a.currency)},
                         {"routes", list(a.routes, route_json)},
                         {"questions", list(a.questions, stated_json)}}));
}

}  // namespace coldgrease::inline v0
