// Every cell of the tables that a fleet names taken away, quoted, cut short and set to what nobody means: the table is
// refused by one line that names file and line, or every row of it is there.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <functional>
#include <type_traits>

#include "coldgrease/climate/readers.hpp"
#include "coldgrease/grease/measurement.hpp"
#include "coldgrease/line/readings.hpp"
#include "line/schedule.hpp"

using namespace coldgrease;

namespace {

using row = std::vector<std::string>;

/// A table and what reads it: `count` is how many rows came of it, the left out among them.
struct table {
  std::string name;
  std::vector<row> rows;  // the header first
  std::function<std::size_t(const source&)> count;
};

std::size_t dropped_in(const series_origin& origin) {
  int sum = 0;
  for (const dropped_rows& d : origin.dropped) sum += d.count;
  return static_cast<std::size_t>(sum);
}

std::size_t weather_rows(const source& file) {
  weather_options options;
  options.format = "csv";
  return std::visit(
      [](const auto& series) -> std::size_t {
        using type = std::remove_cvref_t<decltype(series)>;
        if constexpr (std::is_same_v<type, daily_series>) return series.days.size() + dropped_in(series);
        if constexpr (std::is_same_v<type, hourly_series>) return series.hours.size() + dropped_in(series);
        return 0;
      },
      read_weather(file, options));
}

std::vector<installation> two_systems() {
  std::vector<installation> all(2);
  for (installation& i : all) {
    i.available = bar(250);
    i.lines = {{.point = "kingpin", .segments = {{.length = metre(6), .bore = millimetre(4)}}, .flow = cm3_per_min(1)}};
  }
  all[0].name = "tractor";
  all[1].name = "body, \"left\"";
  return all;
}

std::vector<table> tables() {
  static const auto systems = two_systems();
  static const std::array<std::string, 1> greases{"soft"};
  return {
      {"schedule",
       {{"point", "length [m]", "bore [mm]", "outlet [bar]", "dose [cm3]", "in [s]", "main", "material", "wall [mm]"},
        {"roller", "3", "4", "10", "0.1", "10", "", "copper", "1"},
        {"roller", "0.5", "6", "", "", "", "", "", ""},
        {"#7 left", "2", "4", "5", "0.1", "10", "main", "steel", "1"}},
       [](const source& file) {
         std::size_t segments = 0;
         for (const line& l : detail::read_lines(file, "i", detail::refusals()).lines) segments += l.segments.size();
         return segments;
       }},
      {"readings",
       {{"date", "vehicle", "batch", "installation", "point", "grease", "temperature [C]", "gauge [bar]", "reached",
         "rest [h]"},
        {"2025-01-20", "7", "lot 1", "tractor", "kingpin", "soft", "-15", "120", "yes", "12"},
        {"2025-01-21", "#8", "", "body, \"left\"", "kingpin", "soft", "-18", "140", "", ""}},
       [](const source& file) { return read_readings(file, systems, greases).readings.size(); }},
      {"points",
       {{"temperature [C]", "rate [1/s]", "stress [Pa]"},
        {"-20", "10", "900"},
        {"-20", "50", "1400"},
        {"0", "10", "300"}},
       [](const source& file) { return read_points(file, rate_kind::nominal).size(); }},
      {"days",
       {{"station", "date", "tmin [C]", "tmax [C]"},
        {"north, \"far\"", "2020-01-01", "-30", "-12"},
        {"north, \"far\"", "2020-01-02", "-31", "-10"},
        {"north, \"far\"", "2020-01-03", "-28", "-9"}},
       weather_rows},
      {"hours",  // farther apart than what is filled between two
       {{"station", "year", "month", "day", "hour", "temperature [C]"},
        {"north", "2020", "1", "1", "0", "-30"},
        {"north", "2020", "1", "1", "5", "-31"},
        {"north", "2020", "1", "1", "10", "-29.5"}},
       weather_rows}};
}

std::string quoted(const std::string& cell) {
  std::string out = "\"";
  for (const char c : cell) out += c == '"' ? "\"\"" : std::string(1, c);
  return out + '"';
}
/// A cell as it is written where nothing is done to it.
std::string written(const std::string& cell) {
  return cell.find_first_of(",\"") == std::string::npos ? cell : quoted(cell);
}

struct change {
  std::string name;
  std::string (*of)(const std::string& cell);  // the cell as it stands in the text
  bool says_the_same = false;
};

const std::vector<change> changes{
    {"empty", [](const std::string&) { return std::string(); }},
    {"zero", [](const std::string&) { return std::string("0"); }},
    {"negative", [](const std::string& c) { return written("-" + c); }},
    {"1e308", [](const std::string&) { return std::string("1e308"); }},
    {"nan", [](const std::string&) { return std::string("nan"); }},
    {"unit", [](const std::string& c) { return written(c + " furlong"); }},
    {"word", [](const std::string&) { return std::string("north"); }},
    {"100 kB", [](const std::string&) { return std::string(100'000, 'x'); }},
    {"decimal comma", [](const std::string&) { return std::string("1,5"); }},
    {"in quotes", [](const std::string& c) { return quoted(c); }, true},
    {"blanks", [](const std::string& c) { return "  " + written(c) + " "; }, true},
    {"half a quote", [](const std::string& c) { return "\"" + c; }},
    {"a quote within", [](const std::string& c) { return c + "\"x"; }},
    {"text behind a quote", [](const std::string& c) { return quoted(c) + "x"; }},
    {"number sign", [](const std::string& c) { return written("#" + c); }},
    {"control character", [](const std::string& c) { return written(c + "\x1b[2J"); }},
    {"Latin-1", [](const std::string& c) { return written(c + "\xe9"); }},
};

std::string text_of_table(const table& t, std::size_t at_row, std::size_t at_column, const change* by) {
  std::string text;
  for (std::size_t r = 0; r < t.rows.size(); ++r) {
    for (std::size_t c = 0; c < t.rows[r].size(); ++c) {
      const std::string& cell = t.rows[r][c];
      text += (c == 0 ? "" : ",") + (by != nullptr && r == at_row && c == at_column ? by->of(cell) : written(cell));
    }
    text += "\n";
  }
  return text;
}

/// Rows that came, or the refusal.
struct table_read {
  std::optional<std::size_t> rows{};
  std::optional<file_error> refused{};
};
table_read read(const table& t, const std::string& text) {
  try {
    return {.rows = t.count(source::memory("t.csv", text))};
  } catch (const file_error& e) {
    return {.refused = e};
  }
}

}  // namespace

TEST_CASE("law: a changed cell of a table is refused at its line, or every row is there") {
  int refused = 0, taken = 0;
  for (const table& t : tables()) {
    INFO(t.name);
    const std::size_t given = t.rows.size() - 1;
    REQUIRE(read(t, text_of_table(t, 0, 0, nullptr)).rows == given);
    for (std::size_t r = 0; r < t.rows.size(); ++r) {
      for (std::size_t c = 0; c < t.rows[r].size(); ++c) {
        for (const change& by : changes) {
          INFO(by.name, " in row ", r, ", column ", t.rows[0][c]);
          const table_read o = read(t, text_of_table(t, r, c, &by));
          if (by.says_the_same) REQUIRE(o.rows.has_value());
          if (o.rows) {
            ++taken;
            CHECK(*o.rows == given);
            continue;
          }
          ++refused;
          const std::string line = o.refused->what();
          CHECK(line.starts_with("t.csv"));
          CHECK(line.size() <= 400);
          CHECK(std::ranges::none_of(line, [](char l) { return l >= 0 && l < ' '; }));
        }
      }
    }
  }
  MESSAGE(refused, " refused, ", taken, " taken");
  CHECK(refused > 500);
  CHECK(taken > 300);
}

TEST_CASE("law: a row more, a row less and a row cut short are seen") {
  for (const table& t : tables()) {
    INFO(t.name);
    const std::size_t given = t.rows.size() - 1;
    table twice = t, less = t;
    twice.rows.push_back(t.rows.back());
    less.rows.pop_back();
    const table_read more = read(twice, text_of_table(twice, 0, 0, nullptr));
    CHECK((more.refused || *more.rows == given + 1));
    CHECK(read(less, text_of_table(less, 0, 0, nullptr)).rows == given - 1);
    const std::string text = text_of_table(t, 0, 0, nullptr);
    const std::string short_by_a_cell = text.substr(0, text.rfind(',')) + "\n";
    const table_read cut = read(t, short_by_a_cell);
    REQUIRE(cut.refused.has_value());
    CHECK(cut.refused->where().line == t.rows.size());
  }
}
