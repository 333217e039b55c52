#include "coldgrease/climate/monthly.hpp"

#include "base/format.hpp"

#include <algorithm>

#include "climate/hours.hpp"
#include "coldgrease/base/error.hpp"

namespace coldgrease {

namespace {

constexpr std::size_t fewest_years_for_return = 10;

/// Everything of one month, over all years; nothing if it has no days. `buffer` is reused between months.
std::optional<month_climate> month_of(const daily_series& series, std::span<const std::uint8_t> months, int month,
                                      double share, double return_years, std::vector<double>& buffer) {
  buffer.clear();
  double sum = 0.0, record = 0.0;
  std::vector<year_minimum> minima;
  std::vector<int> days_in;
  for (std::size_t i = 0; i < series.days.size(); ++i) {
    if (months[i] != month) continue;
    const daily_extremes& d = series.days[i];
    const std::size_t begin = buffer.size();
    buffer.resize(begin + 24);
    detail::expand_day(series.days, i, std::span<double, 24>(buffer.data() + begin, 24));
    sum += 0.5 * (d.low + d.high);
    record = begin == 0 ? d.low : std::min(record, d.low);
    const int year = date_of(d.day).year;
    if (minima.empty() || minima.back().year != year) {
      minima.push_back({year, celsius(d.low)});
      days_in.push_back(0);
    }
    minima.back().minimum = std::min(minima.back().minimum, celsius(d.low));
    ++days_in.back();
  }
  if (buffer.empty()) return std::nullopt;
  // As for whole years: a month that misses more than a tenth of its days tells no minimum.
  std::size_t kept = 0;
  for (std::size_t y = 0; y < minima.size(); ++y) {
    const int all = days_in_month(minima[y].year, month);
    if (10 * (all - days_in[y]) <= all) minima[kept++] = minima[y];
  }
  minima.resize(kept);

  month_climate m;
  m.month = month;
  m.mean = celsius(sum / (static_cast<double>(buffer.size()) / 24.0));
  m.record = celsius(record);
  m.cold = celsius(quantile(buffer, share));
  m.hot = celsius(quantile(buffer, 1.0 - share));
  if (minima.size() >= fewest_years_for_return) m.return_minimum = return_minimum(minima, return_years);
  return m;
}

constexpr std::array<std::string_view, 12> month_names{"January",   "February", "March",    "April",
                                                       "May",       "June",     "July",     "August",
                                                       "September", "October",  "November", "December"};

}  // namespace

monthly_climate monthly(daily_series series, double share, double return_years) {
  if (!(share > 0.0 && share < 0.5)) throw input_error("share", fmt::format("{}", share), "above 0 and below 0.5");
  if (!(return_years > 1.0)) throw input_error("return years", fmt::format("{}", return_years), "above 1");
  monthly_climate year;
  const auto months = detail::months_of(series);
  std::vector<double> buffer;
  for (int month = 1; month <= 12; ++month) {
    const auto m = month_of(series, months, month, share, return_years, buffer);
    if (!m)
      throw input_error(series.station,
                        fmt::format("has no days in {}", month_names[static_cast<std::size_t>(month - 1)]),
                        "all twelve months");
    year.months[static_cast<std::size_t>(month - 1)] = *m;
  }
  year.series = std::move(series);
  return year;
}

climate_answer describe(const daily_series& series, std::optional<temperature> limit) {
  if (series.days.empty()) throw input_error(series.station, "has no days", "one or more");
  constexpr std::array shares{0.004, 0.01, 0.02, 0.05, 0.5, 0.95, 0.98, 0.99, 0.996};
  climate_answer answer;
  answer.station = series.station;
  answer.first = date_of(series.days.front().day);
  answer.last = date_of(series.days.back().day);
  answer.count = static_cast<int>(series.days.size());
  answer.dropped = series.dropped;
  answer.notes = series.notes;

  std::vector<double> hours = hours_of(series);
  std::vector<double> lows;
  lows.reserve(series.days.size());
  for (const daily_extremes& d : series.days) lows.push_back(d.low);
  for (const double share : shares) {
    answer.quantiles.push_back({share, celsius(quantile(hours, share))});
    answer.tmin_quantiles.push_back({share, celsius(quantile(lows, share))});
  }
  const auto months = detail::months_of(series);
  for (int month = 1; month <= 12; ++month) {
    if (const auto m = month_of(series, months, month, 0.01, 10.0, hours)) answer.months.push_back(*m);
  }

  answer.annual_minima = annual_minima(series);
  if (const int left_out = years_left_out(series))
    answer.notes.push_back(fmt::format("{} year{} miss{} more than a tenth of December to February: no annual minimum",
                                       left_out, left_out == 1 ? "" : "s", left_out == 1 ? "es" : ""));
  for (const int years : {5, 10, 20, 50}) {
    if (const auto t = return_minimum(answer.annual_minima, years)) answer.return_minima.push_back({years, *t});
  }
  if (answer.annual_minima.size() < fewest_years_for_return)
    answer.notes.push_back(
        fmt::format("only {} annual minima: fewer than 10 years say little of quantiles and n-year minima",
                    answer.annual_minima.size()));
  const int span_days = series.days.back().day - series.days.front().day + 1;
  if (span_days > answer.count)
    answer.notes.push_back(fmt::format("days missing between the first and the last: {}", span_days - answer.count));
  if (limit) answer.below = below(series, *limit);
  return answer;
}

}  // namespace coldgrease
