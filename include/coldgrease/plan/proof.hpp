// A fleet file as a proofreader sees it: all that is wrong with it, then what is missing, what is assumed in its place,
// and how the fleet stands. Nothing is decided here; check() judges a line.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "coldgrease/base/date.hpp"
#include "coldgrease/base/error.hpp"
#include "coldgrease/base/source.hpp"
#include "coldgrease/base/units.hpp"
#include "coldgrease/grease/worth.hpp"
#include "coldgrease/plan/progress.hpp"

namespace coldgrease::inline v0 {

/// As answers count them: a fill of its own is a route and a vehicle of its own, and a pool with a rest of its own has
/// its systems again.
struct fleet_standing {
  std::size_t routes = 0;
  std::size_t vehicles = 0;
  std::size_t installations = 0;
  std::size_t lines = 0;          // of the installations, each once
  std::size_t vehicle_lines = 0;  // of all vehicles
  std::optional<volume> daily{};  // of all vehicles, a calendar day; nothing where a dose or an interval is missing
  std::size_t greases = 0;
  std::size_t stations = 0;  // with weather of days, hours or a typical year: of each file, and of each name in it
  std::size_t days_of_weather = 0;   // of all of them; a typical year is one of 365 or 366
  std::size_t published_places = 0;  // of which design values alone are known
};

/// What would narrow the answer of a route most: of the installation with the least chance in its coldest month, with
/// the grease that is pumped then or is the nearest.
struct route_worth {
  std::string route{};
  std::string grease{};
  worth datum{};
};

struct fleet_proof {
  std::string file{};
  std::vector<file_error> problems{};        // of the file, of those it names, of its weather, as they were found
  std::optional<fleet_standing> standing{};  // these four of a fleet without problems
  std::vector<std::string> missing{};        // what nobody stated and the answers hang on
  std::vector<std::string> assumed{};        // what stands in its place, and what weather files lack
  std::vector<route_worth> worth{};
};

/// Proofreads a fleet with the weather of its routes. What is wrong is part of the answer, and does not throw.
/// @param today  as weather_options has it
fleet_proof proof_of(const source& file, const std::optional<date>& today = {}, const progress& listener = {});

}  // namespace coldgrease::inline v0
