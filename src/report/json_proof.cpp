#include "report/json_parts.hpp"

namespace coldgrease::inline v0 {

using detail::list;
using detail::maybe;
using detail::object;

std::string to_json(const fleet_proof& p) {
  const auto problem_json = [](const file_error& e) {
    const place& where = e.where();
    return object({{"file", where.file},
                   {"line", where.line > 0 ? detail::json(where.line) : detail::json(nullptr)},
                   {"pointer", maybe(where.pointer, [](const std::string& text) { return text; })},
                   {"field", detail::text_or_null(where.field)},
                   {"problem", e.problem()},
                   {"expected", detail::text_or_null(e.expected())}});
  };
  const auto standing_json = [](const fleet_standing& s) {
    return object({{"routes", s.routes},
                   {"vehicles", s.vehicles},
                   {"installations", s.installations},
                   {"lines", s.lines},
                   {"vehicle_lines", s.vehicle_lines},
                   {"daily_cm3", maybe(s.daily, in_cm3)},
                   {"greases", s.greases},
                   {"stations", s.stations},
                   {"days_of_weather", s.days_of_weather},
                   {"published_places", s.published_places}});
  };
  const auto route_worth_json = [](const route_worth& w) {
    return object({{"route", w.route}, {"grease", w.grease}, {"worth_most", detail::worth_json(w.datum)}});
  };
  return detail::line_of(object({{"file", p.file},
                                 {"problems", list(p.problems, problem_json)},
                                 {"standing", maybe(p.standing, standing_json)},
                                 {"missing", p.missing},
                                 {"assumed", p.assumed},
                                 {"worth", list(p.worth, route_worth_json)}}));
}

}  // namespace coldgrease::inline v0
