// Everything on the page for programs.
#include "coldgrease/grease/known_by.hpp"
#include "report/json_parts.hpp"

namespace coldgrease::inline v0 {

using namespace detail;

namespace {

json season_json(const season_sheet& s, const route_plan& r, std::span<const grease> stock) {
  const auto pentad_json = [](const pentad& p) {
    return object({{"low_C", deg_c(p.low)}, {"high_C", deg_c(p.high)}, {"record_C", deg_c(p.record)}});
  };
  const auto step_json = [&](const season_sheet::step& t) {
    return object(
        {{"from", day_json(t.from)}, {"grease", stock[t.grease].name()}, {"coldest_C", maybe(t.coldest, deg_c)}});
  };
  return object({{"route", r.pick.route},
                 {"station", s.station},
                 {"shift_K", in_kelvins(s.shift)},
                 {"carry_over_days", in_days(s.carry_over)},
                 {"begins", s.starts == season_start::july ? "07-01" : "01-01"},
                 {"pentads", maybe(s.band, [&](const year_band& band) { return list(band, pentad_json); })},
                 {"steps", list(s.steps, step_json)},
                 {"nearest", maybe(s.nearest, step_json)}});
}

json limits_json(const limit_chart& c, const installation& i) {
  const auto point_json = [](const limit_curve::point& p) {
    return object({{"temperature_C", deg_c(p.temperature)}, {"longest_m", maybe(p.longest, in_metre)}});
  };
  const auto line_json = [&](const drawn_line& l) {
    return object(
        {{"point", i.lines[l.line].point}, {"as_long_as_m", in_metre(l.as_long_as)}, {"drawn", name_of(l.how)}});
  };
  return list(c.bores, [&](const limit_chart::bore_curve& b) {
    return object({{"bore_m", in_metre(b.curve.bore)},
                   {"curve", list(b.curve.points, point_json)},
                   {"lines", list(b.lines, line_json)}});
  });
}

json line_json(const line_sheet& s, const fleet& f, std::span<const grease> stock) {
  const installation& i = f.installations[s.installation];
  const auto card_json = [&](const workshop_row& row) {
    return object({{"temperature_C", deg_c(row.temperature)},
                   {"verdict", name_of(row.verdict)},
                   {"gauge", maybe(row.gauge, [&](const expected_gauge& e) {
                      return object({{"point", i.lines[e.line].point},
                                     {"low_Pa", in_pascal(e.low)},
                                     {"middle_Pa", in_pascal(e.middle)},
                                     {"high_Pa", in_pascal(e.high)}});
                    })}});
  };
  return object(
      {{"installation", i.name},
       {"grease", stock[s.grease].name()},
       {"route", s.route},
       {"planned", s.planned},
       {"check", part_of(to_json(s.check, i, stock[s.grease]))},
       {"limits", limits_json(s.limits, i)},
       {"card", list(s.card, card_json)},
       {"doses", maybe(s.doses, [&](const dose_answer& a) { return part_of(to_json(a, i, stock[s.grease])); })},
       {"when_dry", part_of(to_json(s.when_dry, &i, &stock[s.grease]))}});
}

json belief_json(const belief_chart& c, const fleet& f) {
  const auto band_json = [](const belief_chart::band& b) {
    return object({{"low", b.low}, {"median", b.median}, {"high", b.high}});
  };
  const auto step_json = [&](const belief_chart::step& s) {
    return object(
        {{"temperature_C", deg_c(s.temperature)}, {"before", band_json(s.before)}, {"after", band_json(s.after)}});
  };
  const auto point_json = [&](const belief_chart::point& p) {
    return object({{"datum", name_of(p.kind)},
                   {"temperature_C", deg_c(p.temperature)},
                   {"over_reference", p.over_reference},
                   {"low", p.low},
                   {"high", p.high},
                   {"waits", p.waits},
                   {"row", maybe(p.reading, [&](std::size_t r) { return f.taken[r].row; })}});
  };
  return object({{"steps", list(c.steps, step_json)}, {"points", list(c.points, point_json)}});
}

}  // namespace

std::string to_json(const dossier& d, const fleet& f, std::span<const grease> stock) {
  const auto season_json_of = [&](const season_sheet& s) {
    return season_json(s, d.plan.routes[static_cast<std::size_t>(&s - d.seasons.data())], stock);
  };
  const auto flag_json = [](const red_flag& flag) { return object({{"where", flag.where}, {"what", flag.what}}); };
  const auto grease_json = [&](const grease_sheet& s) {
    return object({{"grease", stock[s.grease].name()},
                   {"planned", s.planned},
                   {"known_by", name_of(how_known(stock[s.grease]))},
                   {"stands_on", stock[s.grease].stands_on()},
                   {"data", data_json(stock[s.grease].data())},
                   {"belief", maybe(s.belief, [&](const belief_chart& c) { return belief_json(c, f); })},
                   {"readings", list(s.readings, [&](const judged_reading& j) { return judged_json(j, f); })},
                   {"worth_most", worth_json(s.worth_most)},
                   {"curves", list(s.curves, [](const curve_answer& c) { return part_of(to_json(c)); })}});
  };
  const auto changeover_json = [&](const changeover_sheet& s) {
    return object(
        {{"installation", f.installations[s.installation].name},
         {"from", stock[s.from].name()},
         {"to", stock[s.to].name()},
         {"routes", list(s.routes, [&](std::size_t r) { return d.plan.routes[r].pick.route; })},
         {"changeover", part_of(to_json(s.answer, f.installations[s.installation], stock[s.from], stock[s.to]))}});
  };
  const auto day_or_null = [](const std::optional<date>& day) {
    return maybe(day, [](const date& at) { return text_of(at); });
  };
  const auto weather_json = [&](const weather_sheet& s) {
    return object({{"station", s.station},
                   {"file", s.file.empty() ? json(nullptr) : json(s.file)},
                   {"first", day_or_null(s.first)},
                   {"last", day_or_null(s.last)}});
  };
  const auto input_json = [](const input_file& file) {
    return object({{"file", file.path},
                   {"crc32", maybe(file.checksum, [](std::uint32_t sum) { return fmt::format("{:08x}", sum); })}});
  };
  object_text text;
  text.add("flags", list(d.flags, flag_json));
  text.add_text("plan", plan_text(d.plan, f.installations, stock));
  text.add_list("weather", d.weather, weather_json);
  text.add_list("seasons", d.seasons, season_json_of);
  text.add_list("lines", d.lines, [&](const line_sheet& s) { return line_json(s, f, stock); });
  text.add_list("greases", d.greases, grease_json);
  text.add_list("changeovers", d.changeovers, changeover_json);
  text.add_list("inputs", d.inputs, input_json);
  text.add_text("tables", to_json(d.tables));
  return text.finish();
}

}  // namespace coldgrease::inline v0
