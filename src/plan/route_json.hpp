// Records of a fleet file that say where vehicles go: routes with their legs, pools, tows.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/record.hpp"
#include "coldgrease/plan/fleet.hpp"

namespace coldgrease::inline v0::detail {

/// A route as a file has it.
struct route_draft : route {
  std::vector<std::string> systems{};  // names of installations
  bool separate_fills = false;
};
struct pool_draft : route_draft {
  std::vector<std::string> visits{};
  std::optional<duration> rest{};
};

/// A tow by the names of its routes.
struct tow_draft {
  std::string name{};
  std::vector<std::string> routes{};
};

const record_table<leg>& leg_table();
const record_table<route_draft>& route_table();
const record_table<pool_draft>& pool_table();
const record_table<tow_draft>& tow_table();

}  // namespace coldgrease::inline v0::detail
