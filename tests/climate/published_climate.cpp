// Published values: every row of published/climate.csv against the library, in one loop. The columns are those of the
// other tables of published/; the head of the file says what the inputs of each check are.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <stdexcept>
#include <string>
#include <variant>
#include <vector>

#include "coldgrease/base/quantity_text.hpp"
#include "coldgrease/climate/describe.hpp"
#include "coldgrease/climate/design_values.hpp"
#include "coldgrease/climate/normals.hpp"
#include "coldgrease/climate/readers.hpp"
#include "coldgrease/climate/soak.hpp"
#include "near.hpp"
#include "published/rows.hpp"

using namespace coldgrease;

namespace {

using value = std::variant<double, std::string>;

/// The inputs of a row, counted from 1 as in the header.
struct inputs {
  std::vector<std::string> cells;
  const std::string& text(std::size_t i) const { return cells.at(i - 1); }
  double operator[](std::size_t i) const { return parse_number(text(i), "in" + std::to_string(i)); }
};

const daily_series& series_of(const std::string& file) {
  static std::map<std::string, daily_series> read;
  const auto known = read.find(file);
  if (known != read.end()) return known->second;
  const std::string unit = file == "new_york.csv" ? "C" : "";
  const weather w = read_weather(COLDGREASE_TABLES_SOURCE "/demo/" + file, {.unit = unit});
  return read.emplace(file, std::get<daily_series>(w)).first->second;
}

double quantile_of(const daily_series& series, double share, double (*number)(const daily_extremes&)) {
  std::vector<double> values;
  for (const daily_extremes& d : series.days) values.push_back(number(d));
  return quantile(values, share);
}

month_climate month_of(const inputs& in) {
  return describe(series_of(in.text(1))).months.at(static_cast<std::size_t>(in[2]) - 1);
}

double mean_of(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double v : values) sum += v;
  return sum / static_cast<double>(values.size());
}

std::vector<double> minima_of(const inputs& in) {
  std::vector<double> minima;
  for (const year_minimum& y : annual_minima(series_of(in.text(1)))) minima.push_back(y.minimum.in_celsius());
  return minima;
}

value annual_minimum(const inputs& in) {
  for (const year_minimum& y : annual_minima(series_of(in.text(1)))) {
    if (y.year == static_cast<int>(in[2])) return y.minimum.in_celsius();
  }
  return "none";
}

value deviation_of_minima(const inputs& in) {
  const auto minima = minima_of(in);
  const double mean = mean_of(minima);
  double squares = 0.0;
  for (const double m : minima) squares += (m - mean) * (m - mean);
  return std::sqrt(squares / static_cast<double>(minima.size() - 1));
}

value month_mean_of_minima(const inputs& in) {
  std::vector<double> lows;
  for (const daily_extremes& d : series_of(in.text(1)).days) {
    if (date_of(d.day).month == static_cast<int>(in[2])) lows.push_back(d.low);
  }
  return mean_of(lows);
}

value record_day(const inputs& in) {
  const auto& days = series_of(in.text(1)).days;
  return text_of(date_of(std::ranges::min_element(days, {}, &daily_extremes::low)->day));
}

value days_below(const inputs& in) {
  return static_cast<double>(
      std::ranges::count_if(series_of(in.text(1)).days, [&](const daily_extremes& d) { return d.low < in[2]; }));
}

value run_of_minima_below(const inputs& in) {
  int run = 0, longest = 0, first = 0;
  for (const daily_extremes& d : series_of(in.text(1)).days) {
    run = d.low < in[2] ? run + 1 : 0;
    if (run > longest) {
      longest = run;
      first = d.day - run + 1;
    }
  }
  return fmt::format("{} from {}", longest, text_of(date_of(first)));
}

std::vector<double> numbers(const std::string& text) {
  std::vector<double> all;
  for (std::size_t begin = 0; begin < text.size();) {
    const auto end = std::min(text.find(' ', begin), text.size());
    all.push_back(parse_number(text.substr(begin, end - begin), "list"));
    begin = end + 1;
  }
  return all;
}

int whole(double v) { return static_cast<int>(std::lround(v)); }

value or_none(const std::optional<double>& v) { return v ? value(*v) : value("none"); }

value freeze_date_of(const inputs& in) {
  // The row of Albany, NY, as the normals of 1991-2020 write it.
  static const freeze_normals albany = read_normals(source::memory(
      "albany.csv",
      "STATION,DATE,NAME,DJF-TMIN-NORMAL,ANN-TMIN-PRBLST-T32FP10,ANN-TMIN-PRBLST-T32FP50,ANN-TMIN-PRBLST-T32FP90,"
      "ANN-TMIN-PRBFST-T32FP10,ANN-TMIN-PRBFST-T32FP50,ANN-TMIN-PRBFST-T32FP90,ANN-TMIN-PRBLST-T28FP10,"
      "ANN-TMIN-PRBLST-T28FP50,ANN-TMIN-PRBLST-T28FP90,ANN-TMIN-PRBFST-T28FP10,ANN-TMIN-PRBFST-T28FP50,"
      "ANN-TMIN-PRBFST-T28FP90\n"
      "USW00014735,,\"ALBANY, NY\", 18.7,05/11,04/27,04/16,10/03,10/15,11/01,04/28,04/16,04/03,10/11,10/28,11/10\n"));
  for (const freeze_date& d : albany.dates) {
    if (d.first == (in.text(1) == "first") && std::abs(d.limit.in_fahrenheit() - in[2]) < 1e-9 &&
        std::abs(d.share - in[3]) < 1e-9)
      return fmt::format("{:02}/{:02}", d.month, d.day);
  }
  return "none";
}

struct check_of {
  std::size_t input_count;
  std::function<value(const inputs&)> compute;
};

const std::map<std::string, check_of>& checks() {
  static const std::map<std::string, check_of> all{
      {"gumbel_factor", {1, [](const inputs& in) { return gumbel_factor(in[1]); }}},
      {"return_minimum",
       {3, [](const inputs& in) { return return_minimum(celsius(in[1]), kelvins(in[2]), in[3]).in_celsius(); }}},
      {"tmin_quantile",
       {2,
        [](const inputs& in) {
          return quantile_of(series_of(in.text(1)), in[2], [](const daily_extremes& d) { return d.low; });
        }}},
      {"mean_of_day_quantile",
       {2,
        [](const inputs& in) {
          return quantile_of(series_of(in.text(1)), in[2],
                             [](const daily_extremes& d) { return 0.5 * (d.low + d.high); });
        }}},
      {"hours_quantile",
       {2,
        [](const inputs& in) {
          std::vector<double> hours = hours_of(series_of(in.text(1)));
          return quantile(hours, in[2]);
        }}},
      {"days", {1, [](const inputs& in) { return static_cast<double>(series_of(in.text(1)).days.size()); }}},
      {"record",
       {1,
        [](const inputs& in) {
          return quantile_of(series_of(in.text(1)), 0.0, [](const daily_extremes& d) { return d.low; });
        }}},
      {"record_day", {1, record_day}},
      {"annual_minimum", {2, annual_minimum}},
      {"mean_annual_minimum", {1, [](const inputs& in) { return mean_of(minima_of(in)); }}},
      {"sd_annual_minimum", {1, deviation_of_minima}},
      {"return_minimum_of",
       {2,
        [](const inputs& in) {
          return return_minimum(annual_minima(series_of(in.text(1))), in[2]).value().in_celsius();
        }}},
      {"month_mean", {2, [](const inputs& in) { return month_of(in).mean.in_celsius(); }}},
      {"month_mean_tmin", {2, month_mean_of_minima}},
      {"month_record", {2, [](const inputs& in) { return month_of(in).record.in_celsius(); }}},
      {"days_with_minimum_below", {2, days_below}},
      {"longest_run_of_minima_below", {2, run_of_minima_below}},
      {"first_crossing",
       {3, [](const inputs& in) { return or_none(first_crossing(numbers(in.text(1)), whole(in[2]), in[3])); }}},
      {"last_crossing",
       {3, [](const inputs& in) { return or_none(last_crossing(numbers(in.text(1)), whole(in[2]), in[3])); }}},
      {"lag_after_step", {4, [](const inputs& in) { return lagged_step(in[1], in[1], in[2], in[3], in[4]); }}},
      {"design_heating_99_6",
       {1, [](const inputs& in) { return find_design_values(in.text(1)).heating_99_6->in_celsius(); }}},
      {"design_heating_99",
       {1, [](const inputs& in) { return find_design_values(in.text(1)).heating_99->in_celsius(); }}},
      {"freeze_date", {3, freeze_date_of}},
  };
  return all;
}

/// What is wrong with a row; empty if it holds.
std::string fault_of(const std::vector<std::string>& cells) {
  constexpr std::size_t most_inputs = 8;
  if (cells.at(13).find_first_not_of(" .-") == std::string::npos) return "no source";
  const auto found = checks().find(cells.at(0));
  if (found == checks().end()) return "unknown check";
  inputs in{{cells.begin() + 1, cells.begin() + 1 + most_inputs}};
  while (!in.cells.empty() && in.cells.back().empty()) in.cells.pop_back();
  if (in.cells.size() != found->second.input_count) return "wrong number of inputs";
  if (cells.at(12) != "equal") return "unknown bound";

  const value actual = found->second.compute(in);
  const std::string& expected = cells.at(9);
  if (const auto* text = std::get_if<std::string>(&actual))
    return *text == expected ? "" : "gives " + *text + ", expected " + expected;
  const double got = std::get<double>(actual), want = parse_number(expected, "expected");
  const double absolute = parse_number(cells.at(10), "abs_tol"), relative = parse_number(cells.at(11), "rel_tol");
  return near(got, want, relative, absolute) ? "" : fmt::format("gives {}, expected {}", got, want);
}

}  // namespace

TEST_CASE("published values: every row of climate.csv") {
  const csv_table table = csv_file(COLDGREASE_TEST_DATA "/published/climate.csv");
  REQUIRE(table.header.size() == 14);
  CHECK(table.rows.size() >= 90);
  for (const csv_row& row : table.rows) {
    const std::string place = fmt::format("climate.csv:{}: {}", row.line, row.cells.front());
    INFO(place);
    CHECK(fault_of(row.cells) == "");
  }
}

TEST_CASE(
    "published values: an n-year minimum may differ by what rounding M, s and itself to 0.1 explains, no more (law)") {
  for (const csv_row& row : csv_file(COLDGREASE_TEST_DATA "/published/climate.csv").rows) {
    if (row.cells[0] != "return_minimum") continue;
    const double f = gumbel_factor(parse_number(row.cells[3], "years"));
    CHECK(near(parse_number(row.cells[10], "abs_tol"), 0.05 + 0.05 * (1.0 + f), 0.0, 5.1e-5));
  }
}
