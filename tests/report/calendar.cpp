// The dates of a plan as a calendar, parsed again by libical.
#include "coldgrease/report/calendar.hpp"

#include <doctest/doctest.h>
#include <libical/ical.h>

#include <algorithm>
#include <memory>
#include <set>
#include <string>
#include <vector>

using namespace coldgrease;

namespace {

constexpr date today{2026, 11, 27};

struct entry {
  date day{};
  std::string what{};
  std::string more{};
  std::string id{};
};

date date_of_time(const icaltimetype& t) { return {t.year, t.month, t.day}; }

/// What libical makes of a calendar; REQUIREs that nothing in it is wrong.
std::vector<entry> parsed(const std::string& text) {
  const std::unique_ptr<icalcomponent, void (*)(icalcomponent*)> all(icalparser_parse_string(text.c_str()),
                                                                     &icalcomponent_free);
  REQUIRE(all != nullptr);
  REQUIRE(icalcomponent_isa(all.get()) == ICAL_VCALENDAR_COMPONENT);
  CHECK(icalcomponent_count_errors(all.get()) == 0);
  CHECK(icalrestriction_check(all.get()) == 1);
  std::vector<entry> entries;
  for (icalcomponent* e = icalcomponent_get_first_component(all.get(), ICAL_VEVENT_COMPONENT); e != nullptr;
       e = icalcomponent_get_next_component(all.get(), ICAL_VEVENT_COMPONENT)) {
    const icaltimetype start = icalcomponent_get_dtstart(e);
    CHECK(start.is_date == 1);
    entries.push_back({date_of_time(start), icalcomponent_get_summary(e), icalcomponent_get_description(e),
                       icalcomponent_get_uid(e)});
  }
  return entries;
}

struct demo {
  fleet f = read_fleet(COLDGREASE_TABLES_SOURCE "/demo/fleet.json");
  std::vector<grease> stock = stock_of(f);
  plan_answer plan = coldgrease::plan(f, stock);
};

const demo& the_demo() {
  static const demo d;
  return d;
}

bool has(const std::vector<entry>& all, const day_of_year& day, const std::string& what) {
  return std::ranges::any_of(
      all, [&](const entry& e) { return e.day.month == day.month && e.day.day == day.day && e.what == what; });
}

}  // namespace

TEST_CASE("law: libical finds every change and every day to order by of a plan, in the next twelve months") {
  const demo& d = the_demo();
  const std::vector<entry> all = parsed(to_calendar(d.plan, d.f.installations, d.stock, today));
  std::size_t changes = 0, orders = 0;
  for (const route_plan& r : d.plan.routes) {
    const auto& fills = r.pick.decided.fills;
    for (const fill& f : fills) {
      if (fills.size() < 2) continue;
      ++changes;
      CHECK(has(all, f.days.from(), "Change to " + d.stock[f.grease].name() + ": " + r.pick.route));
    }
  }
  for (const purchase_row& p : d.plan.purchase.rows) {
    if (!p.order_by) continue;
    ++orders;
    CHECK(has(all, *p.order_by, "Order " + d.stock[p.grease].name() + (p.region.empty() ? "" : " for " + p.region)));
  }
  CHECK(changes > 0);
  std::set<std::string> ids;
  std::size_t told = 0, ordered = 0;
  for (const entry& e : all) {
    CHECK(e.day >= today);
    CHECK(day_number(e.day) <= day_number(today) + 366);
    CHECK(ids.insert(e.id).second);
    told += e.what.starts_with("Change to ");
    ordered += e.what.starts_with("Order ");
  }
  CHECK(told == changes);
  CHECK(ordered == orders);
}

TEST_CASE("law: between two refills of a reservoir its doses never take more than it holds") {
  const demo& d = the_demo();
  const std::vector<entry> all = parsed(to_calendar(d.plan, d.f.installations, d.stock, today));
  std::size_t refills = 0;
  for (const route_plan& r : d.plan.routes) {
    for (const std::size_t i : r.pick.installations) {
      const auto lasts = reservoir_time(d.f.installations[i]);
      REQUIRE(lasts.has_value());
      std::vector<int> days;
      for (const entry& e : all) {
        if (e.what == "Refill " + d.f.installations[i].name + ": " + r.pick.route)
          days.push_back(ordinal({e.day.month, e.day.day}));
      }
      for (const fill& f : r.pick.decided.fills) days.push_back(f.days.first);
      std::ranges::sort(days);
      REQUIRE_FALSE(days.empty());
      refills += days.size();
      days.push_back(days.front() + days_a_year);
      for (std::size_t k = 1; k < days.size(); ++k) CHECK(days[k] - days[k - 1] <= in_days(*lasts) + 1e-9);
    }
  }
  CHECK(refills > 4);
}

TEST_CASE("law: every line is CRLF and of 75 bytes at most, and names come through whole") {
  demo d = the_demo();
  std::string cold = "north; past \"C:\\\", ";
  for (int i = 0; i < 60; ++i) cold += "\xc3\xa9\xe5\x8c\x97";
  for (route_plan& r : d.plan.routes) r.pick.route = cold;
  const std::string text = to_calendar(d.plan, d.f.installations, d.stock, today);
  std::size_t from = 0;
  while (from < text.size()) {
    const std::size_t end = text.find("\r\n", from);
    REQUIRE(end != std::string::npos);
    CHECK(end - from <= 75);
    CHECK(text.substr(from, end - from).find('\n') == std::string::npos);
    from = end + 2;
  }
  for (const entry& e : parsed(text)) {
    if (e.what.starts_with("Change to ")) CHECK(e.what.ends_with(": " + cold));
  }
}
