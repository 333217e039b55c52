// What every command does that answers for a whole fleet.
#pragma once

#include "coldgrease/plan/fleet.hpp"
#include "command.hpp"
#include "named.hpp"
#include "progress_line.hpp"
#include "today.hpp"

namespace coldgrease::tools {

/// The fleet of the command line, at the confidence that was asked for and with its weather looked at as of today.
/// @throws input_error, file_error
inline fleet fleet_of(const arguments& given) {
  const auto confidence = given.confidence();
  fleet f = fleet_file(given);
  if (confidence) f.policy.confidence = *confidence;
  for (route& r : f.routes)
    for (leg& l : r.legs) l.options.today = today();
  return f;
}

/// Threads to answer on. In a batch a request has one: the others are those of its neighbours.
inline int jobs_of(const arguments& given) { return given.jobs(given.in_batch ? 1 : 0); }

/// What `answer(listener)` gives. What validation finds while it does stands in the fleet file, and is said of that.
template <class Answer>
auto answer_of_file(const arguments& given, Answer answer) {
  try {
    progress_line line(!given.in_batch, "routes");
    return answer(line.listener());
  } catch (const file_error&) {
    throw;
  } catch (const input_error& e) {
    throw at({.file = *given.positional}, e);
  }
}

/// Reads the fleet of the command line and lets `answer(fleet, stock, listener)` make a text of it.
template <class Answer>
std::string with_fleet(const arguments& given, Answer answer) {
  const fleet f = fleet_of(given);
  return answer_of_file(given, [&](const progress& listener) { return answer(f, stock_of(f), listener); });
}

}  // namespace coldgrease::tools
