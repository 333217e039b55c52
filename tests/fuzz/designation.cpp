// Codes of two standards.
#include "coldgrease/grease/designation.hpp"

#include "coldgrease/grease/consistency.hpp"
#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  fuzz::read_or_refuse([&] {
    const designation d = parse_designation(bytes, "--option");
    parse_nlgi(d.nlgi, "--option");
  });
}
