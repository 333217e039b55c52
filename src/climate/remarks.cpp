#include "climate/remarks.hpp"

#include "base/format.hpp"

namespace coldgrease::inline v0::detail {

std::string gap_of(const daily_series& series) {
  if (series.days.empty()) return {};
  const int span = series.days.back().day - series.days.front().day + 1, count = static_cast<int>(series.days.size());
  return span > count ? fmt::format("days missing between the first and the last: {}", span - count) : std::string();
}

std::string gap_of(const hourly_series& series) {
  if (series.hours.empty()) return {};
  const int span = series.hours.back().hour - series.hours.front().hour + 1,
            missing = span - static_cast<int>(series.hours.size());
  return missing > 0 ? fmt::format("hours missing between the first and the last: {} ({:.1f} %)", missing,
                                   100.0 * missing / span)
                     : std::string();
}

std::string remarks_of(const weather& w) {
  const series_origin& origin = origin_of(w);
  std::string line;
  const auto say = [&](std::string_view what) {
    if (!what.empty()) line += fmt::format("{}{}", line.empty() ? "" : "; ", what);
  };
  if (!origin.unit.empty()) say(fmt::format("read in {}", origin.unit));
  for (const dropped_rows& d : origin.dropped) say(fmt::format("left out: {} ({})", d.count, d.reason));
  if (const auto* days = std::get_if<daily_series>(&w)) say(gap_of(*days));
  if (const auto* hours = std::get_if<hourly_series>(&w)) say(gap_of(*hours));
  for (const std::string& note : origin.notes) say(note);
  if (!origin.comments.empty()) say("its head has comments, which `climate` shows");
  return line;
}

}  // namespace coldgrease::inline v0::detail
