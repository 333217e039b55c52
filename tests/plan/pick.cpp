#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "coldgrease/climate/statistics.hpp"
#include "coldgrease/line/installation_check.hpp"
#include "coldgrease/report/text.hpp"
#include "examples.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

const grease_month& find(const month_pick& m, std::size_t grease) { return m.greases[grease]; }

bool passes(const grease_month& g) { return g.verdict == verdict::flows && g.excluded == exclusion::none; }

}  // namespace

TEST_CASE("case: a program picks with a series, an installation and a stock, without any file") {
  const auto stock = examples::stock();
  const std::vector installations{examples::system()};
  const pick_answer answer = pick(year_of(examples::weather(8, 12)), installations, stock);
  REQUIRE(answer.routes.size() == 1);
  const route_pick& r = answer.routes.front();
  CHECK(r.route == "example");
  CHECK(r.months[0].greases.size() == stock.size());
  CHECK(r.months[0].design < r.months[6].design);
  REQUIRE(examples::whole_year(r));
  CHECK(examples::whole_year(r)->chance >= answer.confidence);
}

TEST_CASE("law: the worst line of the worst installation decides, as line checks say") {
  const auto stock = examples::stock();
  const std::vector installations{examples::system(250), examples::system(150)};
  const auto r = pick(year_of(examples::weather(2, 15)), installations, stock).routes.front();
  for (const month_pick& m : r.months) {
    for (std::size_t g = 0; g < stock.size(); ++g) {
      double least = 1.0;
      std::optional<temperature> coldest;
      for (const installation& i : installations) {
        for (const line& l : i.lines) {
          const line_answer a = check(l, stock[g], conditions_of(i, m.design, 0.80));
          least = std::min(least, a.chance.value_or(0.0));
          if (a.coldest && (!coldest || *a.coldest > *coldest)) coldest = a.coldest;
        }
      }
      CHECK(near(find(m, g).chance.value_or(0.0), least, 1e-12));
      REQUIRE(find(m, g).coldest.has_value() == coldest.has_value());
      if (coldest) CHECK(near(find(m, g).coldest->in_celsius(), coldest->in_celsius(), 0.0, 1e-9));
    }
  }
}

TEST_CASE("law: a higher confidence passes no month that a lower one does not") {
  const auto stock = examples::stock();
  const std::vector installations{examples::system()};
  const auto year = year_of(examples::weather(0, 16));
  const auto low = pick(year, installations, stock, {.confidence = 0.7}).routes.front();
  const auto high = pick(year, installations, stock, {.confidence = 0.95}).routes.front();
  int fewer = 0;
  for (std::size_t m = 0; m < 12; ++m) {
    for (std::size_t g = 0; g < stock.size(); ++g) {
      CHECK((passes(low.months[m].greases[g]) || !passes(high.months[m].greases[g])));
      fewer += passes(low.months[m].greases[g]) && !passes(high.months[m].greases[g]);
    }
  }
  CHECK(fewer > 0);
}

TEST_CASE("law: the order of the stock changes no decision") {
  auto stock = examples::stock();
  const std::vector installations{examples::system()};
  const auto year = year_of(examples::weather(2, 15));
  const auto before =
      pick(year, installations, stock, {.softest_in_heat = heat_limit{"0", celsius(15)}}).routes.front();
  std::vector<std::string> names;
  for (const fill& f : before.decided.fills) names.push_back(stock[f.grease].name());
  std::ranges::reverse(stock);
  const auto after = pick(year, installations, stock, {.softest_in_heat = heat_limit{"0", celsius(15)}}).routes.front();
  REQUIRE(after.decided.fills.size() == names.size());
  for (std::size_t i = 0; i < names.size(); ++i) CHECK(stock[after.decided.fills[i].grease].name() == names[i]);
}

TEST_CASE("law: of greases that pass, the stiffest is taken, then the cheapest, then the first name") {
  const std::vector installations{examples::system()};
  const auto year = year_of(examples::weather(15, 5));
  const std::vector stock{examples::mineral("b", "2", 4.0), examples::mineral("c", "2", 3.0),
                          examples::mineral("a", "2", 3.0), examples::mineral("soft", "0", 1.0)};
  const auto r = pick(year, installations, stock).routes.front();
  REQUIRE(examples::whole_year(r));
  CHECK(stock[examples::whole_year(r)->grease].name() == "a");
}

TEST_CASE("law: what would help, put in, passes") {
  const std::vector stock{examples::mineral("mineral 2", "2"), examples::mineral("mineral 1", "1")};
  std::vector installations{examples::system(120)};
  const auto year = year_of(examples::weather(0, 12));
  const auto r = pick(year, installations, stock).routes.front();
  CHECK(!examples::whole_year(r));
  CHECK(r.decided.fills.empty());
  REQUIRE(!r.would_help.empty());
  for (const remedy& fix : r.would_help) {
    const installation& i = installations[fix.point.installation];
    const line& l = i.lines[fix.point.line];
    const conditions c = conditions_of(i, fix.at, 0.80);
    CHECK(check(l, stock[fix.grease], c).verdict != verdict::flows);
    const auto flows_with = [&](line changed) {
      return check(changed, stock[fix.grease], c).chance.value_or(0.0) >= 0.80 - 1e-6;
    };
    line wider = l, shorter = l, freer = l;
    REQUIRE(fix.bore);
    wider.segments.front().bore = *fix.bore;
    CHECK(flows_with(wider));
    REQUIRE(fix.length);
    shorter.segments.front().length = *fix.length;
    CHECK(flows_with(shorter));
    if (fix.outlet) {
      freer.outlet = *fix.outlet;
      CHECK(flows_with(freer));
    }
    REQUIRE(fix.ask_supplier);
    CHECK(in_pascal_second(fix.ask_supplier->apparent_max) > 0.0);
  }
}

TEST_CASE("case: colder than every oil is good for, no line is blamed") {
  const std::vector stock{examples::mineral("mineral 000", "000")};
  const std::vector installations{examples::system(400)};
  const auto r = pick(year_of(examples::weather(-20, 15)), installations, stock).routes.front();
  // One demand stands for the two lines: the harder of theirs, that of the long one.
  REQUIRE(r.would_help.size() == 1);
  CHECK(r.would_help.front().colder_oil);
  CHECK(!r.would_help.front().bore);
  CHECK(installations.front().lines[r.would_help.front().point.line].point == "far");
}

TEST_CASE("law: hours below a limit are those of the worst grease that may still stand in the lines, day by day") {
  const std::vector installations{examples::system(300, 60)};
  const std::vector stock{examples::mineral("mineral 2", "2"), examples::synthetic("synthetic 00", "00")};
  const auto year = year_of(examples::weather(0, 18), 0.1);
  const auto r =
      pick(year, installations, stock, {.softest_in_heat = heat_limit{"0", celsius(18)}, .risk = 0.5}).routes.front();
  REQUIRE(r.decided.fills.size() == 2);
  daily_limits limits;
  limits.fill(-273.15);
  for (const fill& f : r.decided.fills) {
    const season stands = f.days.longer_by(static_cast<int>(std::lround(in_days(r.decided.carry_over))));
    stands.for_each_day([&](int day) {
      double& limit = limits[static_cast<std::size_t>(day)];
      limit = std::max(limit, r.months[0].greases[f.grease].coldest->in_celsius());
    });
  }
  const auto below = below_by_month(year.series, limits);
  double hours = 0.0;
  for (std::size_t m = 0; m < 12; ++m) {
    CHECK(r.months[m].hours_below == (*below)[m].hours_a_year);
    CHECK(r.months[m].longest_spell == (*below)[m].longest.hours);
    hours += *r.months[m].hours_below;
  }
  CHECK(hours > 0.0);
}

TEST_CASE("case: a second fill is taken for fewer days with a hot caution, and for nothing else") {
  const std::vector installations{examples::system(250, 20)};
  const std::vector stock{examples::synthetic("00", "00"), examples::synthetic("1", "1")};
  // Never above 28 C: the soft one for the year, although the other passes in summer.
  const auto mild = pick(year_of(examples::weather(-2, 16)), installations, stock).routes.front();
  REQUIRE(examples::whole_year(mild));
  CHECK(mild.decided.hot_days == 0);
  const auto hot = pick(year_of(examples::weather(4, 27)), installations, stock).routes.front();
  REQUIRE(hot.decided.fills.size() == 2);
  CHECK(hot.decided.hot_days == 0);
}

TEST_CASE("case: a short record shows no n-year minimum, and says why") {
  std::vector<daily_extremes> days;
  for (int day = day_number({2001, 1, 1}); day <= day_number({2004, 12, 31}); ++day) days.push_back({day, 1.0, 9.0});
  const std::vector installations{examples::system()};
  const auto stock = examples::stock();
  const auto r = pick(year_of(make_daily_series("short", std::move(days))), installations, stock).routes.front();
  CHECK(!r.months[0].return_minimum);
  CHECK(std::ranges::any_of(r.notes,
                            [](const std::string& n) { return n.find("no 10-year minimum") != std::string::npos; }));
}

TEST_CASE("case: limits of the system and of the owner exclude a grease, whatever its chance") {
  auto solids = examples::synthetic("with solids", "1").known();
  solids.solids = std::vector<solid>{{"graphite", 0.06}};
  auto unstated = examples::synthetic("solids not stated", "1").known();
  unstated.solids.reset();
  const std::vector stock{examples::mineral("mineral 2", "2"), examples::synthetic("synthetic 1", "1"),
                          estimate(solids), examples::synthetic("synthetic 00", "00"), estimate(unstated)};
  std::vector installations{examples::system(400)};
  installations.front().stiffest = "1";
  installations.front().solids_max = 0.05;
  const auto r =
      pick(year_of(examples::weather(15, 10)), installations, stock, {.softest_in_heat = heat_limit{"0", celsius(25)}})
          .routes.front();
  const month_pick& july = r.months[6];
  REQUIRE(july.hot > celsius(25));
  CHECK(july.greases[0].excluded == exclusion::stiffer_than_allowed);
  CHECK(july.greases[1].excluded == exclusion::none);
  CHECK(july.greases[2].excluded == exclusion::too_much_solid);
  CHECK(july.greases[3].excluded == exclusion::too_soft_for_heat);
  CHECK(r.months[0].greases[3].excluded == exclusion::none);
  CHECK(july.greases[4].excluded == exclusion::solids_not_stated);
  CHECK(july.greases[4].verdict == verdict::flows);
  CHECK(reason(july.greases[4], installations, stock).starts_with("not shown: its record does not state its solids"));
}

TEST_CASE("case: soft greases draw a caution above 28 or 35 C, and only a caution") {
  const std::vector stock{examples::synthetic("synthetic 00", "00")};
  const std::vector installations{examples::system()};
  const auto r = pick(year_of(examples::weather(20, 15)), installations, stock).routes.front();
  REQUIRE(examples::whole_year(r));
  CHECK(!examples::whole_year(r)->hot_months.empty());
  for (const int month : examples::whole_year(r)->hot_months)
    CHECK(r.months[static_cast<std::size_t>(month - 1)].hot > *hot_caution(stock.front()));
  CHECK(r.decided.hot_days > 30);
  CHECK(*hot_caution(stock.front()) == celsius(28.0));
  CHECK(*hot_caution(examples::synthetic("0", "0")) == celsius(35.0));
  CHECK(!hot_caution(examples::synthetic("1", "1")));
}

TEST_CASE("law: hours below the limit are none where the limit lies below the record") {
  const std::vector installations{examples::system()};
  const auto stock = examples::stock();
  const daily_series days = examples::weather(2, 15);
  std::vector<temperature> record(12, celsius(99));
  for (const daily_extremes& d : days.days) {
    temperature& own = record[static_cast<std::size_t>(date_of(d.day).month - 1)];
    own = std::min(own, celsius(d.low));
  }
  const auto r = pick(year_of(days), installations, stock).routes.front();
  for (std::size_t m = 0; m < 12; ++m) {
    const grease_month& shown = r.months[m].greases[r.months[m].shown];
    REQUIRE(shown.coldest);
    if (*shown.coldest < record[m]) CHECK(r.months[m].hours_below.value_or(-1.0) == 0.0);
    if (passes(shown)) CHECK(r.months[m].hours_below.value_or(1e9) <= 0.0101 * 31 * 24);  // the design share is 1 %
  }
}

TEST_CASE("law: a pick of a system that shares mains stands on the same numbers as its line check") {
  installation i = examples::system();
  i.type = system_type::single_line;
  i.reset = bar(12);
  for (line& l : i.lines)
    l.segments.insert(l.segments.begin(), {.length = metre(5), .bore = millimetre(8), .main = "main"});
  const std::vector installations{i};
  const auto stock = examples::stock();
  const auto r = pick(year_of(examples::weather(5, 10)), installations, stock).routes.front();
  for (const month_pick& m : r.months) {
    for (const grease_month& g : m.greases) {
      const installation_answer a = check(i, stock[g.grease], m.design);
      CHECK(g.verdict == a.outcome.verdict);
      CHECK(g.chance == a.outcome.chance);
      CHECK(g.coldest == a.coldest);
      if (a.outcome.line) CHECK(g.worst.line == *a.outcome.line);
    }
  }
}

TEST_CASE("case: a pump that is no longer fed decides, and the reason says so") {
  std::vector installations{examples::system(400)};
  installations.front().feed = inlet{.kind = feed_kind::gravity, .height = millimetre(100)};
  const std::vector stock{examples::synthetic("synthetic 2", "2")};
  const auto r = pick(year_of(examples::weather(2, 15)), installations, stock).routes.front();
  const grease_month& january = r.months[0].greases[0];
  REQUIRE(january.unfed);
  CHECK(january.verdict == verdict::stalls);
  CHECK(reason(january, installations, stock).find("is not fed this cold") != std::string::npos);
  CHECK(january.coldest.value_or(celsius(99)) > r.months[0].design);
}

TEST_CASE("case: one point asks for a solid that another bans: no grease serves both, and the odd point is named") {
  std::vector installations{examples::system(400)};
  installations.front().lines[0].rules.required_solids = {"molybdenum disulfide"};
  installations.front().lines[1].rules.banned_solids = {"MoS2"};
  auto with = examples::synthetic("with", "1").known();
  with.solids = std::vector<solid>{{"MoS2", 0.03}};
  const std::vector stock{estimate(with), examples::synthetic("without", "1")};
  const auto r = pick(year_of(examples::weather(10, 10)), installations, stock).routes.front();
  CHECK(!examples::whole_year(r));
  CHECK(r.months[0].greases[0].excluded == exclusion::point_rule);
  CHECK(r.months[0].greases[0].excluded_by.line == 1);
  CHECK(r.months[0].greases[1].excluded_by.line == 0);
  const auto says = [&](std::string_view words) {
    return std::ranges::any_of(r.notes, [&](const std::string& n) { return n.find(words) != std::string::npos; });
  };
  CHECK(says("near asks for molybdenum disulfide, far bans it: no grease serves both"));
  CHECK(says("come off the system and are greased by hand: far"));
}

TEST_CASE("case: a grease whose solids or thickener nobody states is picked nowhere under a ban on them") {
  const std::vector year{year_of(examples::weather(10, 10))};
  auto known = examples::synthetic("g", "1").known();
  known.thickener = "organoclay";
  for (const bool solids : {true, false}) {
    std::vector installations{examples::system(400)};
    point_rules& rules = installations.front().lines[1].rules;
    (solids ? rules.banned_solids : rules.banned_thickeners) = {solids ? "graphite" : "calcium"};
    evidence unstated = known;
    if (solids) {
      unstated.solids.reset();
    } else {
      unstated.thickener.clear();
    }
    const std::vector stock{estimate(known), estimate(unstated)};
    const auto r = pick(year.front(), installations, stock).routes.front();
    const month_pick& january = r.months.front();
    CHECK(january.greases[0].excluded == exclusion::none);
    CHECK(january.greases[1].excluded == exclusion::rule_not_shown);
    CHECK(january.greases[1].excluded_by.line == 1);
    CHECK(reason(january.greases[1], installations, stock).find("far (system) bans") == 0);
    REQUIRE(examples::whole_year(r));
    CHECK(examples::whole_year(r)->grease == 0);
    const std::vector alone{stock[1]};
    const auto none = pick(year.front(), installations, alone).routes.front();
    CHECK(!examples::whole_year(none));
    CHECK(std::ranges::any_of(none.unserved, [](const std::string& n) {
      return n.find("state what the record of g, the nearest, leaves out") != std::string::npos;
    }));
  }
}

TEST_CASE("law: what is known to bar a grease is told before what is not shown, that before nothing") {
  for (const auto a : words_of<exclusion>::table) {
    CHECK_FALSE(goes_before(a.value, a.value));
    CHECK(goes_before(a.value, exclusion::none) == (a.value != exclusion::none));
    CHECK(goes_before(exclusion::point_rule, a.value) == (a.value == exclusion::none || is_not_shown(a.value)));
  }
}

TEST_CASE("case: a ban by another name of the thickener bars its grease in the pick") {
  std::vector installations{examples::system(400)};
  installations.front().lines[0].rules.banned_thickeners = {"bentonite", "moon dust"};
  auto known = examples::synthetic("g", "1").known();
  known.thickener = "clay";
  const std::vector stock{estimate(known)};
  const auto r = pick(year_of(examples::weather(10, 10)), installations, stock).routes.front();
  CHECK(r.months[0].greases[0].excluded == exclusion::point_rule);
  CHECK(std::ranges::any_of(r.notes, [](const std::string& n) {
    return n.find("near: the thickener \"moon dust\" is known by no list of names") != std::string::npos;
  }));
}

TEST_CASE("case: empty lists are refused") {
  const auto year = year_of(examples::weather(5, 10));
  const auto stock = examples::stock();
  const std::vector installations{examples::system()};
  CHECK_THROWS_AS(pick(year, {}, stock), input_error);
  CHECK_THROWS_AS(pick(year, installations, {}), input_error);
  CHECK_THROWS_AS(pick(year, installations, stock, {.confidence = 0.5}), input_error);
}

TEST_CASE("law: a month passes only if every line's own check says that it flows") {
  // The long warm line has the smaller chance, the short cold one is below the bound of the oil.
  auto known = examples::mineral("waxy 00", "00").known();
  known.pour = celsius(-20);
  const std::vector stock{estimate(known)};
  installation i{.name = "system", .available = bar(250)};
  i.lines = {examples::tube("long, warm", 30.0, 6.0), examples::tube("short, cold", 0.2)};
  i.lines[0].segments[0].offset = kelvins(15);
  const std::vector installations{i};
  const auto r = pick(year_of(examples::weather(2, 15)), installations, stock).routes.front();
  int doubtful = 0;
  for (const month_pick& m : r.months) {
    bool all_flow = true;
    for (const line& l : i.lines)
      all_flow = all_flow && check(l, stock[0], conditions_of(i, m.design, 0.80)).verdict == verdict::flows;
    CHECK(passes(m.greases[0]) == all_flow);
    doubtful += m.greases[0].below_oil_bound && m.greases[0].chance.value_or(0.0) >= 0.80;
  }
  CHECK(doubtful > 0);
}

TEST_CASE("case: a rating limits its line, is warned of, and is what the reason shows") {
  const auto stock = examples::stock();
  std::vector installations{examples::system(250)};
  installations.front().lines[1].segments[0].rating = bar(100);
  installations.front().lines[1].outlet.reset();
  const auto r = pick(year_of(examples::weather(2, 15)), installations, stock).routes.front();
  REQUIRE(!r.warnings.empty());
  CHECK(std::ranges::any_of(r.warnings, [](const std::string& w) { return w.find("100 bar") != std::string::npos; }));
  const auto says = [&](std::string_view words) {
    return std::ranges::any_of(r.notes, [&](const std::string& n) { return n.find(words) != std::string::npos; });
  };
  CHECK(says("15 bar (218 psi) is assumed"));
  CHECK(near(in_bar(r.months[0].greases[0].available), 100.0, 1e-12));
}

TEST_CASE("case: a measured grease of unknown class is no stiff one, and a limit on the class bars it") {
  evidence known = examples::synthetic("measured", "1").known();
  known.nlgi.clear();
  const grease truth = examples::synthetic("truth", "00");
  for (const double rate : {0.5, 5.0, 50.0, 500.0})
    known.points.push_back(
        {celsius(-20), per_second(rate), stress(*truth.at(celsius(-20)), nominal_rate{per_second(rate)})});
  const std::vector stock{estimate(known), examples::mineral("mineral 1", "1")};
  REQUIRE(stock[0].stiff_penetration() == 0.0);
  std::vector installations{examples::system(400)};
  const auto year = year_of(examples::weather(10, 10));
  const auto free = pick(year, installations, stock).routes.front();
  REQUIRE(examples::whole_year(free));
  CHECK(stock[examples::whole_year(free)->grease].name() == "mineral 1");
  installations.front().stiffest = "0";
  const auto capped = pick(year, installations, stock).routes.front();
  CHECK(capped.months[0].greases[0].excluded == exclusion::class_unknown);
  CHECK(!examples::whole_year(capped));
}

TEST_CASE("case: one fill allowed and none for the year: the answer says to allow two") {
  const std::vector installations{examples::system(300, 60)};
  const std::vector stock{examples::mineral("mineral 2", "2"), examples::synthetic("synthetic 00", "00")};
  const policy one{.fills = 1, .softest_in_heat = heat_limit{"0", celsius(18)}};
  const auto r = pick(year_of(examples::weather(2, 16)), installations, stock, one).routes.front();
  REQUIRE(!examples::whole_year(r));
  CHECK(r.decided.fills.empty());
  policy two = one;
  two.fills = 2;
  const auto with_two = pick(year_of(examples::weather(2, 16)), installations, stock, two).routes.front();
  REQUIRE(with_two.decided.fills.size() == 2);
  CHECK(std::ranges::any_of(r.unserved, [](const std::string& n) { return n.find("allow two") != std::string::npos; }));
}

TEST_CASE("case: a point that asks for all the pressure there is gets no remedy but a word") {
  std::vector installations{examples::system(10)};  // the points ask for 15 bar
  const std::vector stock{examples::synthetic("synthetic 00", "00")};
  const auto r = pick(year_of(examples::weather(10, 10)), installations, stock).routes.front();
  CHECK(r.would_help.empty());
  CHECK(std::ranges::any_of(
      r.unserved, [](const std::string& n) { return n.find("no grease and no tube helps") != std::string::npos; }));
}
