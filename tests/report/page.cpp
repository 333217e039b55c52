// The numbers on the page are those of the JSON, rounded, each in the row of its own thing.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <nlohmann/json.hpp>

#include "coldgrease/report/json.hpp"
#include "demo_page.hpp"

using namespace coldgrease;
using namespace reading;
using nlohmann::json;

namespace {

using cells = std::vector<std::string>;
using rows = std::vector<cells>;

rows rows_of(const element& table) {
  rows found;
  for (const element* body : all(table, "tbody")) {
    for (const element* row : all(*body, "tr")) {
      cells one;
      for (const element& cell : row->children) one.push_back(cell.text);
      found.push_back(one);
    }
  }
  return found;
}

/// The tables of a section whose captions hold some words.
std::vector<rows> tables_of(const element& page, std::string_view section, std::string_view caption) {
  std::vector<rows> found;
  for (const element* t : all(section_of(page, section), "table")) {
    if (t->children.front().text.find(caption) != std::string::npos) found.push_back(rows_of(*t));
  }
  return found;
}

/// A number as a cell may go on with it: "85 bar" in "85 bar (1233 psi)".
bool says(const std::string& cell, const std::string& words) {
  return cell == words || cell.starts_with(words + " (") || cell.ends_with(" " + words) || cell.ends_with(", " + words);
}

/// What is missing of rows that must stand in this order: each of the words of a row in a cell of its own.
void compare(const std::string& where, const rows& table, const rows& wanted, cells& missing) {
  if (table.size() != wanted.size())
    missing.push_back(fmt::format("{}: {} rows, not {}", where, table.size(), wanted.size()));
  for (std::size_t r = 0; r < std::min(table.size(), wanted.size()); ++r) {
    cells left = table[r];
    for (const std::string& words : wanted[r]) {
      const auto cell = std::ranges::find_if(left, [&](const std::string& c) { return says(c, words); });
      if (cell == left.end()) {
        missing.push_back(fmt::format("{}, row {}: {} in {}", where, r + 1, words, fmt::join(table[r], " | ")));
      } else {
        left.erase(cell);
      }
    }
  }
}

// How the page rounds.
constexpr double pascals_a_bar = 1e5;
std::string chance(const json& v) { return fmt::format("{:.2f}", std::min(0.99, v.get<double>())); }
std::string kilograms(const json& v) {
  const double kg = v.get<double>();
  return fmt::format("{:.{}f} kg", kg, kg < 1.0 ? 3 : kg < 1000.0 ? 1 : 0);
}
std::string bars(const json& v) { return fmt::format("{:.0f} bar", v.get<double>() / pascals_a_bar); }
std::string degrees(const json& v) { return fmt::format("{:.1f} \u00b0C", v.get<double>()); }
std::string step(const json& v) { return fmt::format("{:+.1f} K", v.get<double>()); }
template <class Words>
std::string or_dash(const json& v, Words words) {
  return v.is_null() ? "-" : words(v);
}
std::string month(int m) {
  return cells{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}.at(
      static_cast<std::size_t>(m - 1));
}
int number_at(const std::string& text, std::size_t at) { return 10 * (text.at(at) - '0') + (text.at(at + 1) - '0'); }
/// "08-01" as "1 Aug".
std::string day(const json& v) {
  const auto text = v.get<std::string>();
  return fmt::format("{} {}", number_at(text, 3), month(number_at(text, 0)));
}
std::string days_of(const json& fill) {
  return fill.at("days") == 365 ? "all year" : day(fill.at("from")) + " to " + day(fill.at("to"));
}
std::string money(const json& v) { return fmt::format("{:.2f}", v.get<double>()); }
std::string or_not_known(const json& kg) { return kg.is_null() ? "not known" : kilograms(kg); }
json per_vehicle(const json& fill) {
  const json &pumped = fill.at("pumped_kg"), &filled = fill.at("at_change_kg");
  return pumped.is_null() || filled.is_null() ? json(nullptr) : json(pumped.get<double>() + filled.get<double>());
}

void compare_decision(const element& page, const json& j, cells& missing) {
  rows wanted;
  for (const json& r : j.at("plan").at("routes")) {
    const std::string vehicles = fmt::format("{}", r.at("vehicles").get<int>());
    if (r.at("fills").empty()) wanted.push_back({r.at("route"), "none of the stock serves every day", vehicles});
    for (const json& f : r.at("fills"))
      wanted.push_back({r.at("route"), days_of(f), f.at("grease"), chance(f.at("chance")), step(f.at("margin_K")),
                        or_not_known(per_vehicle(f)), vehicles});
  }
  const auto tables = tables_of(page, "decision", "What to pump");
  if (tables.size() != 1) return missing.push_back("decision: no table");
  compare("decision", tables.front(), wanted, missing);
}

void compare_seasons(const element& page, const json& j, cells& missing) {
  rows others, moves;
  for (const json& r : j.at("plan").at("routes")) {
    for (const json& a : r.at("alternatives"))
      others.push_back({r.at("route"), a.at("grease"), chance(a.at("chance")), step(a.at("margin_K"))});
    for (const json& s : r.at("sensitivities")) moves.push_back({r.at("route"), s.at("what"), step(s.at("moves_K"))});
  }
  const auto other_tables = tables_of(page, "others", "Nearest other greases"),
             move_tables = tables_of(page, "basis", "What moves the margin");
  compare("other greases", other_tables.empty() ? rows{} : other_tables.front(), others, missing);
  compare("margins", move_tables.empty() ? rows{} : move_tables.front(), moves, missing);
}

void compare_sureness(const element& page, const json& j, cells& missing) {
  rows wanted;
  for (const json& g : j.at("greases")) {
    if (g.at("planned")) wanted.push_back({g.at("grease"), g.at("known_by"), g.at("stands_on")});
  }
  const auto tables = tables_of(page, "decision", "How surely");
  compare("evidence", tables.empty() ? rows{} : tables.front(), wanted, missing);
}

void compare_lines(const element& page, const json& j, cells& missing) {
  const auto tables = tables_of(page, "lines", " with ");
  if (tables.size() != j.at("lines").size()) return missing.push_back("lines: not a table for each sheet");
  for (std::size_t k = 0; k < tables.size(); ++k) {
    const json& sheet = j.at("lines").at(k);
    rows wanted;
    for (const json& p : sheet.at("check").at("points"))
      wanted.push_back(
          {fmt::format("{}. {}", wanted.size() + 1, p.at("point").get<std::string>()), or_dash(p.at("chance"), chance),
           p.at("verdict"), or_dash(p.at("needed_Pa"), bars), or_dash(p.at("coldest_C"), degrees),
           or_dash(p.at("longest_m"), [](const json& v) { return fmt::format("{:.1f} m", v.get<double>()); })});
    compare(sheet.at("installation").get<std::string>() + ", lines", tables[k], wanted, missing);
  }
}

/// Greases that get the same share a table of elements; the doubts name them.
void compare_doses(const element& page, const json& j, cells& missing) {
  const auto timers = tables_of(page, "lines", "Timer");
  const auto dose = [](const json& v) { return fmt::format("{:.3g} cm3", 1e6 * v.get<double>()); };
  const auto whole = [](const json& v) { return fmt::format("{:.0f}", v.get<double>()); };
  std::size_t found = 0;
  for (const json& sheet : j.at("lines")) {
    const json& doses = sheet.at("doses");
    if (doses.is_null()) continue;
    const auto name = sheet.at("installation").get<std::string>(), grease = sheet.at("grease").get<std::string>();
    std::vector<rows> elements;
    for (const element* t : all(section_of(page, "lines"), "table")) {
      const std::string& caption = t->children.front().text;
      if (caption.starts_with(name + ": elements") && caption.find(grease) != std::string::npos)
        elements.push_back(rows_of(*t));
    }
    if (found == timers.size() || elements.size() != 1) return missing.push_back("doses: not two tables for each");
    rows settings, points;
    for (const json& s : doses.at("settings"))
      settings.push_back({dose(s.at("daily_volume_m3")), dose(s.at("waste_m3")), or_dash(s.at("reservoir_days"), whole),
                          or_dash(s.at("longest_stay_days"), whole), or_dash(s.at("chance"), chance), s.at("verdict"),
                          or_dash(s.at("coldest_C"), degrees)});
    for (const json& p : doses.at("settings").at(0).at("points"))
      points.push_back({p.at("point"), p.at("element_m3").is_null() ? "as it is" : dose(p.at("element_m3")),
                        or_dash(p.at("daily_volume_m3"), dose), or_dash(p.at("asked_m3"), dose)});
    compare(name + ", timer", timers[found], settings, missing);
    compare(name + ", elements", elements.front(), points, missing);
    ++found;
  }
  if (found == 0 || found != timers.size()) missing.push_back("doses: not two tables for each");
}

void compare_purchase(const element& page, const json& j, cells& missing) {
  rows order, months, kinds;
  const auto packs = [](const json& v) { return fmt::format("{:.0f}", v.get<double>()); };
  const json& bill = j.at("plan").at("purchase");
  for (const json& p : bill.at("rows")) {
    const json &pumped = p.at("pumped_kg"), &filled = p.at("at_changes_kg");
    order.push_back({p.at("grease"), p.at("region"), kilograms(pumped.get<double>() + filled.get<double>()),
                     or_dash(p.at("to_buy_kg"), kilograms), or_dash(p.at("packs"), packs),
                     or_dash(p.at("money"), money), or_dash(p.at("order_by"), day)});
    cells row{fmt::format("{}, {}", p.at("grease").get<std::string>(), p.at("region").get<std::string>())};
    for (const json& kg : p.at("pumped_by_month_kg"))
      row.push_back(kg > 0.0 ? fmt::format("{:.1f}", kg.get<double>()) : "");
    months.push_back(row);
  }
  order.push_back({"Grease", money(bill.at("grease"))});
  order.push_back({"Labour of changes", money(bill.at("labour"))});
  order.push_back({"Invoice, a year", money(bill.at("grease").get<double>() + bill.at("labour").get<double>())});
  for (const json& k : j.at("plan").at("kinds"))
    kinds.push_back({fmt::format("{}", k.at("kinds").get<int>()), or_dash(k.at("money"), money)});
  const auto order_tables = tables_of(page, "order", "To buy"),
             month_tables = tables_of(page, "purchase", "Pumped by month"),
             kind_tables = tables_of(page, "purchase", "number of kinds");
  if (order_tables.size() != 1 || month_tables.size() != 1 || kind_tables.size() != 1)
    return missing.push_back("purchase: not its three tables");
  compare("purchase", order_tables.front(), order, missing);
  compare("purchase by month", month_tables.front(), months, missing);
  // Months are compared by their columns: many are alike.
  if (month_tables.front() != months) missing.push_back("purchase by month: a month in another column");
  compare("kinds", kind_tables.front(), kinds, missing);
}

/// The way there and back may share a table, whose rows are those of both.
void compare_changeovers(const element& page, const json& j, cells& missing) {
  for (const json& sheet : j.at("changeovers")) {
    const auto installation = sheet.at("installation").get<std::string>();
    rows wanted;
    const auto whole = [](const json& v) { return fmt::format("{:.0f}", v.get<double>()); };
    for (const json& l : sheet.at("changeover").at("lines"))
      wanted.push_back({l.at("point"), fmt::format("{:.1f} cm3", 1e6 * l.at("purge_m3").get<double>()),
                        kilograms(l.at("purge_kg")), or_dash(l.at("shots"), whole), or_dash(l.at("days"), whole)});
    const auto way = tables_of(
        page, "change", fmt::format("{}, last point first, to {}", installation, sheet.at("to").get<std::string>()));
    const auto both = tables_of(page, "change", installation + ", last point first");
    cells found;
    const auto& tables = way.empty() ? both : way;
    compare(installation + ", changeover", tables.empty() ? rows{} : tables.front(), wanted, found);
    missing.insert(missing.end(), found.begin(), found.end());
  }
}

void compare_cards(const element& page, const json& j, cells& missing) {
  const auto tables = tables_of(page, "card", "gauge");
  if (tables.size() != j.at("lines").size()) return missing.push_back("card: not a table for each sheet");
  for (std::size_t k = 0; k < tables.size(); ++k) {
    const json& sheet = j.at("lines").at(k);
    rows wanted;
    for (const json& row : sheet.at("card")) {
      const json& gauge = row.at("gauge");
      const auto read = [&](const char* key) { return gauge.is_null() ? std::string("-") : bars(gauge.at(key)); };
      wanted.push_back(
          {degrees(row.at("temperature_C")), read("middle_Pa"), read("low_Pa"), read("high_Pa"), row.at("verdict")});
    }
    compare(sheet.at("installation").get<std::string>() + ", gauge", tables[k], wanted, missing);
  }
}

void compare_readings(const element& page, const json& j, cells& missing) {
  auto tables = tables_of(page, "greases", "to look into");
  for (const rows& table : tables_of(page, "others", "to look into")) tables.push_back(table);
  std::size_t found = 0;
  for (const json& sheet : j.at("greases")) {
    rows wanted;
    for (const json& r : sheet.at("readings")) {
      const bool pinned = r.at("pinned");
      if (r.at("use") == "counts" && !pinned) continue;
      const auto two = [](const json& v) { return fmt::format("{:.2f}", v.get<double>()); };
      const auto signed_one = [](const json& v) { return fmt::format("{:+.1f}", v.get<double>()); };
      wanted.push_back(
          {r.at("date"), r.at("vehicle"), degrees(r.at("temperature_C")), or_dash(r.at("over_expected"), two),
           or_dash(r.at("deviations"), signed_one),
           pinned ? std::string("all the pump has: counts as not reached") : r.at("use").get<std::string>()});
    }
    if (wanted.empty()) continue;
    if (found == tables.size()) return missing.push_back("readings: not a table for each grease");
    compare(sheet.at("grease").get<std::string>() + ", readings", tables[found++], wanted, missing);
  }
  if (found != tables.size()) missing.push_back("readings: a table too many");
}

void compare_beliefs(const element& page, const json& j, cells& missing) {
  const std::string words = section_of(page, "greases").text + section_of(page, "others").text;
  for (const json& sheet : j.at("greases")) {
    const json& belief = sheet.at("belief");
    if (belief.is_null()) continue;
    const json& coldest = belief.at("steps").back();
    const auto band = [](const json& b) {
      return fmt::format("{:.2f} to {:.2f}", b.at("low").get<double>(), b.at("high").get<double>());
    };
    const std::string said = fmt::format(
        "{} times the reference by the description alone, {} with all data, the middle at {:.2f}",
        band(coldest.at("before")), band(coldest.at("after")), coldest.at("after").at("median").get<double>());
    if (words.find(said) == std::string::npos)
      missing.push_back(sheet.at("grease").get<std::string>() + ", belief: " + said);
  }
}

cells differences(const element& page, const json& j) {
  cells missing;
  compare_decision(page, j, missing);
  compare_seasons(page, j, missing);
  compare_sureness(page, j, missing);
  compare_lines(page, j, missing);
  compare_doses(page, j, missing);
  compare_purchase(page, j, missing);
  compare_changeovers(page, j, missing);
  compare_cards(page, j, missing);
  compare_readings(page, j, missing);
  compare_beliefs(page, j, missing);
  return missing;
}

}  // namespace

TEST_CASE("law: every number in the tables of the page is that of the JSON, rounded") {
  const reported r = report_of(demo_fleet());
  const json j = json::parse(to_json(r.d, r.f, r.stock));
  for (const std::string& words : differences(r.page(), j)) FAIL_CHECK(words);
}

TEST_CASE("law: a fleet without a grease shows so, and the numbers of what is nearest") {
  fleet f = demo_fleet();
  f.greases.resize(1);
  const reported r = report_of(std::move(f));
  REQUIRE(std::ranges::any_of(r.d.plan.routes, [](const route_plan& p) { return !p.pick.decided.served(); }));
  const json j = json::parse(to_json(r.d, r.f, r.stock));
  const element page = r.page();
  cells missing;
  compare_decision(page, j, missing);
  compare_lines(page, j, missing);
  compare_cards(page, j, missing);
  for (const std::string& words : missing) FAIL_CHECK(words);
  const std::string decision = section_of(page, "decision").text;
  for (const json& flag : j.at("flags"))
    CHECK(decision.find(fmt::format("{}: {}", flag.at("where").get<std::string>(),
                                    flag.at("what").get<std::string>())) != std::string::npos);
}

TEST_CASE("law: a number of the page that is not the JSON's is found, whichever it is") {
  const reported r = report_of(demo_fleet());
  const json j = json::parse(to_json(r.d, r.f, r.stock));
  const std::vector<std::function<void(dossier&)>> wrong{
      [](dossier& d) { d.plan.routes[0].pick.decided.fills[0].chance -= 0.02; },
      [](dossier& d) {
        d.plan.routes[1].pick.decided.fills[0].margin = d.plan.routes[1].pick.decided.fills[0].margin + kelvins(0.2);
      },
      [](dossier& d) { d.plan.routes[2].pick.decided.fills[1].pumped = kilogram(12.3); },
      [](dossier& d) { d.plan.routes[1].pick.decided.fills[0].days.first = 58; },
      [](dossier& d) {
        std::swap(d.plan.routes[1].pick.decided.fills[0].grease, d.plan.routes[1].pick.decided.fills[1].grease);
      },
      [](dossier& d) { d.plan.routes[2].alternatives[0].margin = kelvins(0.1); },
      [](dossier& d) { std::swap(d.lines[0].check.points[0], d.lines[0].check.points[1]); },
      [](dossier& d) { d.lines[1].check.points[2].check.needed = bar(1); },
      [](dossier& d) { d.lines.back().check.points.back().check.longest = metre(123); },
      [](dossier& d) { d.lines[0].check.points[3].check.coldest = celsius(-99); },
      [](dossier& d) { d.lines[0].doses->settings[1].waste = cm3(99); },
      [](dossier& d) { d.lines[0].doses->settings[0].points[2].element = cm3(99); },
      [](dossier& d) { d.plan.purchase.rows[0].pumped = kilogram(1); },
      [](dossier& d) { std::swap(d.plan.purchase.rows[0].pumped_in[1], d.plan.purchase.rows[0].pumped_in[6]); },
      [](dossier& d) { d.plan.kinds[1].money = 1.0; },
      [](dossier& d) { d.lines[0].card[1].gauge->high = bar(1); },
      [](dossier& d) { d.changeovers[0].answer.lines[1].arrives = days(999); },
      [](dossier& d) { d.changeovers.back().answer.lines[0].purge = cm3(0.7); },
  };
  for (std::size_t k = 0; k < wrong.size(); ++k) {
    reported other = r;
    wrong[k](other.d);
    CAPTURE(k);
    CHECK_FALSE(differences(other.page(), j).empty());
  }
}

TEST_CASE("law: readings that wait, say nothing or stood at all the pump has are on the page, each as in the JSON") {
  const reported r = report_of(fleet_with_odd_readings());
  const json j = json::parse(to_json(r.d, r.f, r.stock));
  cells missing;
  const element page = r.page();
  compare_readings(page, j, missing);
  compare_beliefs(page, j, missing);
  for (const std::string& words : missing) FAIL_CHECK(words);
  CHECK(tables_of(page, "greases", "to look into").size() + tables_of(page, "others", "to look into").size() == 1);
  // Each of the three kinds is there, and a wrong number of each is found.
  const auto says_nothing = [](const judged_reading& own) { return own.use == reading_use::says_nothing; };
  const auto sheet = std::ranges::find_if(
      r.d.greases, [&](const grease_sheet& s) { return std::ranges::any_of(s.readings, says_nothing); });
  REQUIRE(sheet != r.d.greases.end());
  const auto s = static_cast<std::size_t>(sheet - r.d.greases.begin());
  std::size_t odd = 0;
  for (std::size_t k = 0; k < sheet->readings.size(); ++k) {
    const judged_reading& own = sheet->readings[k];
    if (own.use == reading_use::counts && !own.pinned) continue;
    ++odd;
    reported other = r;
    judged_reading& wrong = other.d.greases[s].readings[k];
    if (wrong.use == reading_use::says_nothing) {
      wrong.use = reading_use::waits;
    } else {
      wrong.over_expected += 0.5;
    }
    cells found;
    compare_readings(other.page(), j, found);
    CHECK_FALSE(found.empty());
  }
  CHECK(odd >= 3);
  reported other = r;
  other.d.greases[s].belief->steps.back().after.high += 0.1;
  cells found;
  compare_beliefs(other.page(), j, found);
  CHECK_FALSE(found.empty());
}

TEST_CASE("law: a grease without data has no belief to draw, on the page or in the JSON") {
  const reported r = report_of(demo_fleet());
  const json j = json::parse(to_json(r.d, r.f, r.stock));
  std::size_t with = 0;
  for (std::size_t k = 0; k < r.d.greases.size(); ++k) {
    const grease_sheet& s = r.d.greases[k];
    const bool data = !r.stock[s.grease].data().empty();
    CHECK(j.at("greases").at(k).at("belief").is_null() != data);
    CHECK(belief_svg(s, r.stock[s.grease]).empty() != data);
    with += data ? 1 : 0;
  }
  CHECK(with > 0);
  CHECK(with < r.d.greases.size());
  std::ptrdiff_t drawn = 0;
  const element page = r.page();
  for (const element* figure : all(page, "figure"))
    drawn += figure->attribute("aria-label").starts_with("What is believed of") ? 1 : 0;
  CHECK(drawn == static_cast<std::ptrdiff_t>(with));
}
