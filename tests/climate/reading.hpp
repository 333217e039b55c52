// What the tests of the weather readers share: how a file is read and refused.
#pragma once

#include <string>
#include <string_view>

#include "coldgrease/base/error.hpp"
#include "coldgrease/climate/readers.hpp"

namespace reading {

inline bool holds(std::string_view text, std::string_view part) { return text.find(part) != std::string_view::npos; }

inline int dropped_for(const coldgrease::series_origin& s, std::string_view reason) {
  for (const coldgrease::dropped_rows& d : s.dropped) {
    if (holds(d.reason, reason)) return d.count;
  }
  return 0;
}

inline bool noted(const coldgrease::series_origin& s, std::string_view part) {
  for (const std::string& note : s.notes) {
    if (holds(note, part)) return true;
  }
  return false;
}

/// Reads text as a file of one name and one kind of series, or gives the one line of the refusal.
template <class Series>
struct file_of {
  std::string_view name;

  Series read(std::string_view text, const coldgrease::weather_options& options = {}) const {
    return std::get<Series>(
        coldgrease::read_weather(coldgrease::source::memory(std::string(name), std::string(text)), options));
  }
  std::string refusal(std::string_view text, const coldgrease::weather_options& options = {}) const {
    try {
      coldgrease::read_weather(coldgrease::source::memory(std::string(name), std::string(text)), options);
    } catch (const coldgrease::file_error& e) {
      return e.what();
    }
    return "not refused";
  }
};
using file = file_of<coldgrease::daily_series>;

}  // namespace reading
