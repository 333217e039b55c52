// What to pump where and when, what that was made from, and the year of every route.
#include <algorithm>

#include "base/format.hpp"
#include "base/parallel.hpp"
#include "coldgrease/base/date.hpp"
#include "coldgrease/grease/known_by.hpp"
#include "report/decision.hpp"
#include "report/page.hpp"
#include "report/picture.hpp"

namespace coldgrease::inline v0::detail {

namespace {

void write_flags(page& p) {
  if (p.d.flags.empty()) {
    p.paragraph(
        "No red flag: no part is rated below its pump, every day has a grease, every line can be shown to be fed.");
    return;
  }
  p.out.open("div", {{"class", "flags"}}).element("h3", "See to this first").open("ul");
  for (const red_flag& flag : p.d.flags) {
    p.out.open("li").element("b", flag.where).text(": " + flag.what).close();
  }
  p.out.close().close();
}

/// What it was made from, and how old that is.
void write_facts(page& p) {
  p.out.open("dl");
  const auto fact = [&](std::string_view what, std::string_view words) {
    p.out.element("dt", what).element("dd", words);
  };
  constexpr std::size_t most_named = 8;
  const auto few = [](std::vector<std::string> names) {
    if (names.size() <= most_named) return joined(names);
    const std::size_t more = names.size() - most_named;
    names.resize(most_named);
    return fmt::format("{} and {} more", joined(names), more);
  };
  std::vector<std::string> weather;
  for (const weather_sheet& s : p.d.weather)
    weather.push_back(s.last           ? fmt::format("{} to {}", s.station, text_of(*s.last))
                      : s.file.empty() ? s.station + " by published design values, no days"
                                       : s.station + " by a typical year, no days of real ones");
  if (!weather.empty()) fact("Weather", few(std::move(weather)));
  std::vector<std::string> files;
  for (const input_file& file : p.d.inputs)
    files.push_back(
        fmt::format("{} {}", file.path.substr(file.path.find_last_of('/') + 1), checksum_words(file.checksum)));
  if (!files.empty()) {
    const auto& today = p.f.routes.empty() || p.f.routes.front().legs.empty()
                            ? std::optional<date>()
                            : p.f.routes.front().legs.front().options.today;
    fact("Files", few(std::move(files)) + " (CRC-32)" + (today ? ", read on " + text_of(*today) : std::string()));
  }
  if (!p.d.seasons.empty()) {
    const bool july = p.d.seasons.front().starts == season_start::july;
    fact("Season", fmt::format("{}; the dates are those of any year, at a risk of one year in {:.0f}",
                               july ? "July to June" : "January to December", 1.0 / p.d.plan.risk));
  }
  p.out.close();
}

/// A row a route; so many rows to a picture that it can be broken between two on paper.
void write_calendar(page& p) {
  constexpr std::size_t rows = 12;
  std::vector<std::size_t> routes;
  for (std::size_t r = 0; r < p.d.plan.routes.size(); ++r) {
    routes.push_back(r);
    if (routes.size() < rows && r + 1 < p.d.plan.routes.size()) continue;
    p.figure(calendar_picture(p.d, routes, p.stock, fmt::format("calendar-{}", r / rows + 1)),
             fmt::format("What is pumped through the year, {} routes", routes.size()));
    routes.clear();
  }
}

void write_decision_table(page& p) {
  page_table table(p, "What to pump",
                   {{"Region, route"},
                    {"Pump"},
                    {"Grease"},
                    {"Chance", true},
                    {"Margin", true},
                    {"Per vehicle", true},
                    {"Vehicles", true}});
  for (const route_plan& r : p.d.plan.routes) {
    const std::string place = r.pick.region.empty() ? r.pick.route : r.pick.region + ", " + r.pick.route;
    const std::string vehicles = fmt::format("{}", r.pick.vehicles);
    if (!r.pick.decided.served())
      table.row({place, "-", "none of the stock serves every day", "-", "-", "-", vehicles}, true);
    for (const fill& f : r.pick.decided.fills)
      table.row({place, days_words(f.days), p.grease_name(f.grease), chance_words(f.chance), p.step(f.margin),
                 f.per_vehicle() ? p.weight(*f.per_vehicle()) : std::string("not known"), vehicles});
  }
}

/// One word for each grease of the plan.
void write_sureness(page& p) {
  if (std::ranges::none_of(p.d.greases, &grease_sheet::planned)) return;
  page_table table(p, "How surely the greases are known", {{"Grease"}, {"NLGI"}, {"Evidence"}, {"Stands on"}});
  for (const grease_sheet& s : p.d.greases) {
    const grease& g = p.stock[s.grease];
    if (s.planned) table.row({g.name(), class_words(g), name_of(how_known(g)), g.stands_on()});
  }
}

void write_fill(page& p, const fill& f) {
  std::string text = fill_words(f, p.stock);
  if (const std::string basis = basis_words(f, p.d.plan.risk); !basis.empty()) text += "; " + basis;
  if (const std::string caution = leak_caution(f, p.stock); !caution.empty()) text += "; caution: " + caution;
  p.out.element("li", text);
}

void write_route(page& p, std::size_t index) {
  const route_plan& r = p.d.plan.routes[index];
  p.out.open("div", {{"class", "keep"}}).element("h3", r.pick.route);
  p.figure(season_picture(p.d.seasons[index], r, p.stock, fmt::format("season-{}", index + 1)),
           "The year of " + r.pick.route);
  p.out.close().open("ul");
  const choice& c = r.pick.decided;
  const plan_answer& plan = p.d.plan;
  if (r.pick.by_design_values)
    p.out.element("li", "By published design values alone: one grease for the year, no seasons, nothing of summer.");
  for (const fill& f : c.fills) write_fill(p, f);
  if (!c.served()) {
    for (const std::string& why : r.pick.unserved) p.out.element("li", "No grease serves every day: " + why + ".");
    for (const advice& a : advice_on(r.pick.would_help, p.f.installations, p.stock, p.units)) {
      p.out.open("li").text("Would help " + a.about + ":");
      p.bullets(a.ways);
      p.out.close();
    }
  }
  const auto also = [&](std::string_view name, const std::string& text) {
    if (!text.empty()) p.out.element("li", fmt::format("{}: {}.", name, text));
  };
  also("At each change", practice_words(r.pick, plan.at_change.has_value(), plan.currency));
  also("Money", year_money_words(c, plan.currency));
  also("If purged", if_purged_words(r.pick, p.stock, plan.currency));
  also("Otherwise", otherwise_words(r.pick, plan.prefer, p.stock, plan.currency));
  for (const std::string& text : r.pick.missing) also("Missing", text);
  if (r.keep) {
    for (const std::string& text : keep_sentences(*r.keep, r.pick, p.f.installations, p.stock, plan.currency))
      also("If kept", text);
  }
  if (r.winter_chance)
    p.out.element("li", fmt::format("{} winters on record, at each one's coldest hours: chance {} on average.",
                                    r.winters, chance_words(*r.winter_chance)));
  if (r.trip)
    p.out.element("li",
                  fmt::format("Trips: {:.2g} % of their time in the cold season is colder than the grease passes; "
                              "a trip meets that with a chance of {:.2g} to {:.2g} %.",
                              100.0 * r.trip->of_time, 100.0 * r.trip->least, 100.0 * r.trip->most));
  for (const std::string& warning : r.pick.warnings) p.out.element("li", "Warning: " + warning);
  p.out.close();
}

}  // namespace

void write_decision(page& p) {
  write_facts(p);
  write_flags(p);
  if (!p.d.plan.missing.empty()) {
    p.out.open("div", {{"class", "flags"}}).element("h3", "Not stated, and what that does").open("ul");
    for (const std::string& text : p.d.plan.missing) p.out.element("li", text);
    p.out.close().close();
  }
  write_calendar(p);
  write_decision_table(p);
  p.paragraph(fmt::format("A grease passes a day if at least {:.0f} of 100 greases of its description reach every "
                          "point in the coldest {:g} % of the hours of the 31 days around it; it is judged until the "
                          "last of it is used up. Preferred of all that passes ({}): {}. Margin: how much colder than "
                          "what its coldest day is judged at it may get. Per vehicle: what one pumps on those days and "
                          "takes at the change.",
                          100.0 * p.d.plan.confidence, 100.0 * p.f.policy.share, name_of(p.d.plan.prefer),
                          preference_words(p.d.plan.prefer)),
              "small");
  write_sureness(p);
}

void write_seasons(page& p) {
  const bool days = std::ranges::any_of(p.d.seasons, [](const season_sheet& s) { return s.band.has_value(); });
  const bool no_days = std::ranges::any_of(p.d.seasons, [](const season_sheet& s) { return !s.band.has_value(); });
  std::string legend;
  if (days)
    legend +=
        "Grey: daily temperatures, from the coldest 1 % of minima to the warmest 1 % of maxima of each five days "
        "and their neighbours; dotted: the lowest of these days. ";
  if (no_days) legend += "A thin line without a band: the published design value of a station without a weather file. ";
  legend +=
      "Thick steps: how cold it may get with the grease pumped then; thin dashes after a change: the grease before "
      "it, until it is used up. Where they come close to the cold, the margin is thin.";
  p.paragraph(legend, "small");
  write_in_order(
      p.d.plan.routes.size(), p.jobs,
      [&](std::size_t r) {
        markup own;
        page alone{p.d, p.f, p.stock, p.units, 1, own};
        write_route(alone, r);
        return own.take();
      },
      [&](std::string_view route) { p.out.add(route); });
}

}  // namespace coldgrease::inline v0::detail
