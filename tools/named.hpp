// Finds what a user called by name.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/error.hpp"

namespace coldgrease::tools {

/// The record of a name. @throws input_error that lists the names there are
template <class Record>
const Record& named(const std::vector<Record>& records, std::string_view name, std::string_view option) {
  const auto found = std::ranges::find(records, name, &Record::name);
  if (found != records.end()) return *found;
  std::string names;
  for (const Record& r : records) names += (names.empty() ? "" : ", ") + in_quotes(r.name);
  throw input_error(option, "there is no " + in_quotes(name), "one of " + names);
}

}  // namespace coldgrease::tools
