// Finds what a user called by name.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "coldgrease/base/error.hpp"
#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/plan/pick.hpp"
#include "command.hpp"

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

/// The grease of a name in a fleet's stock.
inline const grease& named_grease(const fleet& f, const std::vector<grease>& stock, std::string_view name,
                                  std::string_view option) {
  return stock[static_cast<std::size_t>(&named(f.greases, name, option) - f.greases.data())];
}

/// A fleet of a file, without its readings where they are to be ignored. @throws input_error, file_error
inline fleet fleet_file(const arguments& given) {
  fleet f = read_fleet(given.file(*given.positional));
  if (given.find(ignore_readings.name)) f.taken.clear();
  return f;
}

}  // namespace coldgrease::tools
