// For the buyer: what to pump where and when, and the year it is made for.
#include <algorithm>

#include "base/format.hpp"
#include "report/page.hpp"
#include "report/picture.hpp"

namespace coldgrease::inline v0::detail {

namespace {

void write_flags(page& p) {
  if (p.d.flags.empty()) {
    p.paragraph(
        "No red flag: no part is rated below its pump, every month has a grease, every line can be shown to be fed.");
    return;
  }
  p.out.open("div", {{"class", "flags"}}).element("h3", "See to this first").open("ul");
  for (const red_flag& flag : p.d.flags) {
    p.out.open("li").element("b", flag.where).text(": " + flag.what).close();
  }
  p.out.close().close();
}

void write_decision_table(page& p) {
  page_table table(p, "What to pump",
                   {{"Region, route"},
                    {"Pump"},
                    {"Grease"},
                    {"NLGI"},
                    {"Chance", true},
                    {"Margin", true},
                    {"Per vehicle", true},
                    {"Vehicles", true}});
  for (const route_plan& r : p.d.plan.routes) {
    const std::string place = r.pick.region.empty() ? r.pick.route : r.pick.region + ", " + r.pick.route;
    const std::string vehicles = fmt::format("{}", r.vehicles);
    if (r.fills.empty())
      table.row({place, "-", "none of the stock serves every month", "-", "-", "-", "-", vehicles}, true);
    for (const planned_fill& f : r.fills)
      table.row({place, start_words(f), p.grease_name(f.grease), class_words(p.stock[f.grease]), chance_words(f.chance),
                 p.step(f.margin), f.per_vehicle ? p.weight(*f.per_vehicle) : std::string("-"), vehicles});
  }
}

void write_fill(page& p, const planned_fill& f) {
  std::string text =
      fmt::format("{}, NLGI {}, {}: chance {}, margin {}", p.grease_name(f.grease), class_words(p.stock[f.grease]),
                  start_words(f), chance_words(f.chance), p.step(f.margin));
  if (f.limit)
    text += f.start ? fmt::format("; dated by the cold of {} at a risk of one year in {:.0f}", p.degrees(*f.limit),
                                  1.0 / p.d.plan.risk)
                    : fmt::format("; no date of {} from this weather: by the month", p.degrees(*f.limit));
  if (f.held_back) text += "; earlier the owner's limit for hot months bars it";
  if (!f.hot_months.empty()) text += "; caution: " + leak_caution(p.stock[f.grease], f.hot_months);
  p.out.element("li", text);
}

void write_route(page& p, std::size_t index) {
  const route_plan& r = p.d.plan.routes[index];
  p.out.open("div", {{"class", "keep"}}).element("h3", r.pick.route);
  p.figure(season_picture(p.d.seasons[index], r, p.stock, fmt::format("season-{}", index + 1)),
           "The year of " + r.pick.route);
  p.out.close().open("ul");
  for (const planned_fill& f : r.fills) write_fill(p, f);
  if (r.fills.empty()) {
    for (const remedy& fix : r.pick.would_help)
      p.out.element("li", "Would help: " + advice(fix, p.f.installations, p.stock, p.units));
  }
  if (r.fills.size() > 1)
    p.out.element("li",
                  fmt::format("A fill lasts {:.0f} days: changes into the cold are counted back by them, and by that "
                              "date the new grease must be at the pump.",
                              in_days(r.pick.carry_over)));
  if (r.winter_chance)
    p.out.element("li", fmt::format("{} winters on record, at each one's coldest hours: chance {} on average.",
                                    r.winters, chance_words(*r.winter_chance)));
  if (r.trip)
    p.out.element("li",
                  fmt::format("Trips: {:.2g} % of their time in the cold season is colder than the grease passes; "
                              "a trip meets that with a chance of {:.2g} to {:.2g} %.",
                              100.0 * r.trip->of_time, 100.0 * r.trip->least, 100.0 * r.trip->most));
  if (r.cost) p.out.element("li", fmt::format("Cost: {} a year and vehicle.", money(*r.cost)));
  for (const std::string& warning : r.pick.warnings) p.out.element("li", "Warning: " + warning);
  p.out.close();
  if (!r.sensitivities.empty()) {
    page_table table(p, "What moves the margin of the coldest month most: " + r.pick.route,
                     {{"If"}, {"Margin moves", true}});
    for (const sensitivity& s : r.sensitivities) table.row({s.what, p.step(s.moves)});
  }
  if (!r.alternatives.empty()) {
    page_table table(p, "Nearest other greases in the coldest month: " + r.pick.route,
                     {{"Grease"}, {"NLGI"}, {"Chance", true}, {"Margin", true}});
    for (const alternative& a : r.alternatives)
      table.row({p.grease_name(a.grease), class_words(p.stock[a.grease]), chance_words(a.chance), p.step(a.margin)});
  }
}

}  // namespace

void write_decision(page& p) {
  p.begin_section("decision", "Decision", false);
  write_flags(p);
  if (const std::string oils = oils_in_doubt(p.stock); !oils.empty()) p.paragraph("Warning: " + oils + ".");
  write_decision_table(p);
  p.paragraph(fmt::format("A grease passes a month if at least {:.0f} of 100 greases of its description reach every "
                          "point; it is judged until the last of it is used up. {} Margin: how much colder than the "
                          "coldest {:g} % of hours it may get. Per vehicle: what one pumps in that season.",
                          100.0 * p.d.plan.confidence,
                          p.d.plan.by_cost ? "Of all sequences that pass, the cheapest is taken."
                                           : "Of all sequences that pass, the one with the fewest fills is taken, then "
                                             "the stiffest.",
                          100.0 * p.f.policy.share),
              "small");
  p.out.open("div", {{"class", "sign"}}).element("span", "Signed, date").element("span", "Checked, date").close();
  p.end_section();
}

void write_seasons(page& p) {
  p.begin_section("seasons", "Seasons", false);
  const bool days = std::ranges::any_of(p.d.seasons, [](const season_sheet& s) { return s.band.has_value(); });
  const bool no_days = std::ranges::any_of(p.d.seasons, [](const season_sheet& s) { return !s.band.has_value(); });
  std::string legend;
  if (days)
    legend +=
        "Grey: daily temperatures, from the coldest 1 % of minima to the warmest 1 % of maxima of each five days "
        "and their neighbours; dotted: the coldest on record. ";
  if (no_days) legend += "A thin line without a band: the published design value of a station without a weather file. ";
  legend +=
      "Thick steps: how cold it may get with the grease pumped then; thin dashes after a change: the grease before "
      "it, until it is used up. Where they come close to the cold, the margin is thin.";
  p.paragraph(legend, "small");
  for (std::size_t r = 0; r < p.d.plan.routes.size(); ++r) write_route(p, r);
  p.end_section();
}

}  // namespace coldgrease::inline v0::detail
