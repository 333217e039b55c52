// A schedule of lines.
#include "line/schedule.hpp"

#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  fuzz::read_or_refuse([&] { detail::read_lines(source::memory("l", bytes), "i", {}); });
  // Noted one beside the other, as a proofreader asks.
  std::vector<file_error> refused;
  fuzz::read_or_refuse([&] { detail::read_lines(source::memory("l", bytes), "i", detail::refusals(refused)); });
  for (const file_error& e : refused) fuzz::must_be_a_plain_line(e.what());
}
