// A request of a batch: {"id": 7, "args": ["class", "280"]}, one line of JSON.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace coldgrease::tools {

struct request {
  std::string id = "null";  // as JSON: a number as it was written, a text or null
  std::vector<std::string> args{};
};

/// @throws input_error for a line that is no request
request read_request(std::string_view line);

/// A text as JSON; bytes that are no UTF-8 are replaced.
std::string json_text(const std::string& text);

}  // namespace coldgrease::tools
