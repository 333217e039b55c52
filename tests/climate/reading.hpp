// What the tests of the weather readers share: how a file is read and refused.
#pragma once

#include <string>
#include <string_view>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/readers.hpp"

namespace reading {

inline bool holds(std::string_view text, std::string_view part) { return text.find(part) != std::string_view::npos; }

inline int dropped_for(const coldgrease::daily_series& s, std::string_view reason) {
  for (const coldgrease::dropped_rows& d : s.dropped) {
    if (holds(d.reason, reason)) return d.count;
  }
  return 0;
}

/// Reads text as a file of one name, or gives the one line of the refusal.
struct file {
  std::string_view name;

  coldgrease::daily_series read(std::string_view text, const coldgrease::weather_options& options = {}) const {
    return coldgrease::parse_weather(text, name, options);
  }
  std::string refusal(std::string_view text, const coldgrease::weather_options& options = {}) const {
    try {
      read(text, options);
    } catch (const coldgrease::file_error& e) {
      return e.what();
    }
    return "not refused";
  }
};

}  // namespace reading
