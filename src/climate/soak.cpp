#include "coldgrease/climate/soak.hpp"

#include "base/format.hpp"

#include "climate/hours.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr int night_begins = 18, night_ends = 6;

bool is_night(int hour) {
  const int h = detail::hour_of_day(hour);
  return h >= night_begins || h <= night_ends;
}

void soak_hours(std::vector<hourly_value>& hours, double lag, double night_sky) {
  double air_before = 0.0, grease = 0.0;
  for (std::size_t i = 0; i < hours.size(); ++i) {
    hourly_value& v = hours[i];
    const double air = v.celsius - (is_night(v.hour) ? night_sky : 0.0);
    const bool follows = i > 0 && hours[i - 1].hour + 1 == v.hour;
    grease = follows ? lagged_step(air_before, air, grease, 1.0, lag) : air;
    air_before = air;
    v.celsius = grease;
  }
}

hourly_series in_hours(const daily_series& series) { return hourly(series); }
hourly_series in_hours(hourly_series series) { return series; }
typical_year in_hours(typical_year year) { return year; }

}  // namespace

std::vector<double> lagged(std::span<const double> air, double lag_hours) {
  std::vector<double> grease(air.begin(), air.end());
  for (std::size_t i = 1; i < air.size(); ++i)
    grease[i] = lagged_step(air[i - 1], air[i], grease[i - 1], 1.0, lag_hours);
  return grease;
}

void validate(const soak& s, std::string_view lag, std::string_view night_sky) {
  if (!(in_second(s.lag) >= 0.0))
    throw input_error(lag, fmt::format("{:g} h", in_second(s.lag) / 3600.0), "0 h or more");
  if (!(in_kelvins(s.night_sky) >= 0.0 && in_kelvins(s.night_sky) <= 5.0))
    throw input_error(night_sky, fmt::format("{:g} K", in_kelvins(s.night_sky)), "0 K to 5 K");
}

weather soaked(weather air, const soak& s) {
  validate(s);
  const double lag = in_second(s.lag) / 3600.0, night_sky = in_kelvins(s.night_sky);
  if (lag == 0.0 && night_sky == 0.0) return air;
  return std::visit(
      [&](auto& series) -> weather {
        if constexpr (std::is_same_v<std::decay_t<decltype(series)>, design_station>) {
          return series;  // no hours to be behind
        } else {
          auto hours = in_hours(std::move(series));
          soak_hours(hours.hours, lag, night_sky);
          if (lag > 0.0)
            hours.notes.push_back(fmt::format(
                "every figure is of grease behind the air by a time constant of {:g} h: for a reservoir, not for lines",
                lag));
          if (night_sky > 0.0)
            hours.notes.push_back(fmt::format(
                "every figure is of a part {:g} K below the air from {} h to {} h, parked under a clear sky", night_sky,
                night_begins, night_ends));
          return hours;
        }
      },
      air);
}

}  // namespace coldgrease::inline v0
