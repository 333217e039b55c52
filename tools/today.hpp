// The day of today, which the library never asks for.
#pragma once

#include <chrono>

#include "coldgrease/base/date.hpp"

namespace coldgrease::tools {

inline date today() {
  const auto days = std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
  return date_of(static_cast<int>(days.time_since_epoch().count()));
}

}  // namespace coldgrease::tools
