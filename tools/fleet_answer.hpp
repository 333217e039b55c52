// What every command does that answers for a whole fleet.
#pragma once

#include "coldgrease/plan/fleet.hpp"
#include "coldgrease/plan/pick.hpp"
#include "coldgrease/report/json.hpp"
#include "command.hpp"
#include "progress_line.hpp"
#include "today.hpp"

namespace coldgrease::tools {

/// Reads the fleet of the command line and lets `answer(fleet, stock, listener)` make a text of it.
template <class Answer>
std::string with_fleet(const arguments& given, Answer answer) {
  const auto confidence = given.confidence();
  fleet f = read_fleet(*given.positional);
  if (confidence) f.policy.confidence = *confidence;
  for (route& r : f.routes)
    for (leg& l : r.legs) l.options.today = today();
  try {
    progress_line line(!given.in_batch, "routes");
    return answer(f, stock_of(f), line.listener());
  } catch (const file_error&) {
    throw;
  } catch (const input_error& e) {
    // What validation finds now stands in the fleet file.
    throw file_error(*given.positional, e.what());
  }
}

/// Lets `ask(fleet, stock, listener)` answer, and writes the answer as it was asked for.
template <class Ask>
std::string fleet_answer(const arguments& given, Ask ask) {
  return with_fleet(given, [&](const fleet& f, const std::vector<grease>& stock, const progress& listener) {
    const auto answer = ask(f, stock, listener);
    return given.json ? to_json(answer, f.installations, stock) + "\n"
                      : to_text(answer, f.installations, stock, given.units);
  });
}

}  // namespace coldgrease::tools
