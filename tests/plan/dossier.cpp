// What stands behind a plan on paper.
#include "coldgrease/plan/dossier.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>

#include "near.hpp"

using namespace coldgrease;

namespace {

struct demo {
  fleet f = read_fleet(COLDGREASE_TABLES_SOURCE "/demo/fleet.json");
  std::vector<grease> stock = stock_of(f);
  dossier made() const { return dossier_of(f, stock, {}, compatibility_charts()); }
};

}  // namespace

TEST_CASE("law: a dossier's plan is the plan, and every route has its season") {
  const demo d;
  const dossier made = d.made();
  const plan_answer a = plan(d.f, d.stock);
  REQUIRE(made.seasons.size() == a.routes.size());
  for (std::size_t r = 0; r < a.routes.size(); ++r) {
    REQUIRE(made.plan.routes[r].pick.decided.fills.size() == a.routes[r].pick.decided.fills.size());
    CHECK(made.seasons[r].steps.size() == a.routes[r].pick.decided.fills.size());
    for (const fill& f : a.routes[r].pick.decided.fills) {
      const auto step = std::ranges::find(made.seasons[r].steps, f.grease, &season_sheet::step::grease);
      REQUIRE(step != made.seasons[r].steps.end());
      CHECK(step->from == (f.days.whole_year() ? day_of_year{1, 1} : f.days.from()));
      REQUIRE(step->coldest);
      CHECK(*step->coldest == *a.routes[r].pick.months[0].greases[f.grease].coldest);
    }
    CHECK(
        std::ranges::is_sorted(made.seasons[r].steps, {}, [](const season_sheet::step& s) { return ordinal(s.from); }));
  }
}

TEST_CASE("law: the coldest month of a route lies within its band") {
  const demo d;
  const dossier made = d.made();
  for (std::size_t r = 0; r < made.seasons.size(); ++r) {
    REQUIRE(made.seasons[r].band);
    const auto& months = made.plan.routes[r].pick.months;
    const auto& coldest = *std::ranges::min_element(months, {}, &month_pick::design);
    const auto& band = *made.seasons[r].band;
    const temperature record = std::ranges::min(band, {}, &pentad::record).record;
    CHECK(coldest.design >= record);
    CHECK(coldest.design <= std::ranges::min(band, {}, &pentad::high).high);
  }
}

TEST_CASE("law: a drawn line stands above its curve just where it does not pass") {
  const demo d;
  const dossier made = d.made();
  REQUIRE_FALSE(made.lines.empty());
  // At the sheet's own temperature, and 15 K below, where some lines stall.
  for (const line_sheet& s : made.lines) {
    for (const double colder : {0.0, 15.0}) {
      const temperature at = s.at - kelvins(colder);
      const installation& i = d.f.installations[s.installation];
      const grease& g = d.stock[s.grease];
      const installation_answer checked = check(i, g, at, d.f.policy.confidence);
      const limit_chart chart = chart_of(i, g, at, d.f.policy.confidence, std::vector{at});
      for (const limit_chart::bore_curve& b : chart.bores) {
        for (const drawn_line& l : b.lines) {
          const auto point = std::ranges::find(checked.points, l.line, &point_answer::line);
          const auto& limit = b.curve.points.front().longest;
          if (!limit || l.how != drawn_as::by_limit) continue;
          CHECK((l.as_long_as <= *limit) == (point->check.verdict == verdict::flows));
        }
      }
    }
  }
}

TEST_CASE("law: some line of every bore stands at its own length, none above it") {
  const demo d;
  const dossier made = d.made();
  for (const line_sheet& s : made.lines) {
    for (const limit_chart::bore_curve& b : s.limits.bores) {
      bool one_of_one_bore = true, at_own_length = false;
      for (const drawn_line& drawn : b.lines) {
        const line& l = d.f.installations[s.installation].lines[drawn.line];
        if (l.segments.size() != 1) {
          one_of_one_bore = false;
          continue;
        }
        const double own = in_metre(l.segments.front().length);
        CHECK(in_metre(drawn.as_long_as) <= own * (1.0 + 1e-9));
        at_own_length = at_own_length || near(in_metre(drawn.as_long_as), own, 1e-9);
      }
      if (one_of_one_bore) CHECK(at_own_length);
    }
  }
}

TEST_CASE("law: a line sheet is the check at the coldest its grease is pumped in") {
  const demo d;
  const dossier made = d.made();
  for (const line_sheet& s : made.lines) {
    const installation_answer again =
        check(d.f.installations[s.installation], d.stock[s.grease], s.at, d.f.policy.confidence);
    REQUIRE(again.points.size() == s.check.points.size());
    CHECK(again.points.front().line == s.check.points.front().line);
    CHECK(*again.points.front().check.chance == *s.check.points.front().check.chance);
    // Whatever is planned passes there: that is what the plan promised.
    CHECK(s.check.outcome.verdict == verdict::flows);
  }
}

TEST_CASE("law: the gauge reads more the colder it gets, until the pump can give no more") {
  const demo d;
  for (const line_sheet& s : d.made().lines) {
    pressure before = pascal(0);
    for (const workshop_row& row : s.card) {
      if (!row.gauge) continue;
      CHECK(row.gauge->middle >= before);
      CHECK(row.gauge->low <= row.gauge->middle);
      CHECK(row.gauge->high >= row.gauge->middle);
      before = row.gauge->middle;
    }
  }
}

TEST_CASE("law: each change of a plan has a sheet for each installation of its route") {
  const demo d;
  const dossier made = d.made();
  for (std::size_t r = 0; r < made.plan.routes.size(); ++r) {
    const auto& fills = made.plan.routes[r].pick.decided.fills;
    for (std::size_t k = 0; fills.size() > 1 && k < fills.size(); ++k) {
      for (const std::size_t i : made.plan.routes[r].pick.installations) {
        CHECK(std::ranges::any_of(made.changeovers, [&](const changeover_sheet& s) {
          return s.installation == i && s.from == fills[k].grease && s.to == fills[(k + 1) % fills.size()].grease &&
                 std::ranges::find(s.routes, r) != s.routes.end();
        }));
      }
    }
  }
}

TEST_CASE("case from users: the files an answer stands on are named, the fleet first, each once") {
  const demo d;
  const auto inputs = d.made().inputs;
  REQUIRE(inputs.size() == 7);
  CHECK(inputs.front().path.ends_with("fleet.json"));
  for (const input_file& file : inputs) {
    CHECK(std::ranges::count(inputs, file.path, &input_file::path) == 1);
    CHECK(file.checksum == source(file.path).read(file_kind::weather).checksum);
  }
}

TEST_CASE("case from users: an under-rated part, a winter without a grease and a banned solid are flagged first") {
  demo d;
  CHECK(d.made().flags.empty());
  d.f.installations[0].ratings = {bar(160)};
  std::erase_if(d.f.greases, [](const evidence& e) { return e.name != "Mineral 0"; });
  REQUIRE(d.f.greases.size() == 1);
  d.stock = stock_of(d.f);
  const dossier made = d.made();
  const auto flagged = [&](std::string_view where, std::string_view what) {
    return std::ranges::any_of(made.flags, [&](const red_flag& flag) {
      return flag.where == where && flag.what.find(what) != std::string::npos;
    });
  };
  REQUIRE_FALSE(made.flags.empty());
  CHECK(made.flags.front().what.find("rated 160 bar") != std::string::npos);
  CHECK(flagged("Far-north haul", "no grease serves"));
  CHECK(flagged("Far-north haul", "January"));
  CHECK(flagged("tractor, 250 bar", "cannot be shown to reach"));
  // Too cold for its oil: no limit is known, and the lines stand at their own lengths.
  REQUIRE(made.seasons.back().nearest);
  const line_sheet& s = made.lines.front();
  REQUIRE(s.check.outcome.verdict == verdict::not_shown);
  const drawn_line& drawn = s.limits.bores.back().lines.front();
  CHECK(drawn.how == drawn_as::not_known);
  CHECK(near(in_metre(drawn.as_long_as), in_metre(d.f.installations[0].lines[drawn.line].segments.front().length),
             1e-12));
}

TEST_CASE("case from users: a pump too weak for its points is flagged in every month, and its lines at no length") {
  demo d;
  d.f.installations[0].available = d.f.installations[0].relief = bar(8);
  const dossier made = d.made();
  CHECK(std::ranges::any_of(made.flags, [](const red_flag& flag) {
    return flag.where == "Mild coast" && flag.what == "no grease serves in any month";
  }));
  REQUIRE_FALSE(made.lines.empty());
  CHECK_FALSE(made.lines.front().planned);
  for (const limit_chart::bore_curve& b : made.lines.front().limits.bores) {
    for (const drawn_line& l : b.lines) CHECK(l.how != drawn_as::by_limit);
  }
}
