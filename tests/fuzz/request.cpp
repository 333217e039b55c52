// A line that should be a request of a batch.
#include "request.hpp"

#include <nlohmann/json.hpp>

#include "fuzz.hpp"

using namespace coldgrease;

void take(const std::string& bytes) {
  fuzz::read_or_refuse([&] {
    const tools::request asked = tools::read_request(bytes);
    fuzz::must(nlohmann::json::accept(asked.id), "the id stands in the answer as JSON");
  });
}
