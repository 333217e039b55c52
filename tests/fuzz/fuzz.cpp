#include "fuzz.hpp"

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <nlohmann/json.hpp>

namespace fuzz {

void must(bool holds, std::string_view what) {
  if (holds) return;
  std::fprintf(stderr, "does not hold: %.*s\n", static_cast<int>(what.size()), what.data());
  std::abort();
}

void must_be_a_plain_line(const std::string& text) {
  must(!text.empty(), "an error says something");
  must(text.size() <= 400, "an error is no longer than 400 bytes");
  (void)nlohmann::json(text).dump();  // throws for what is no UTF-8
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    const bool is_c1 = byte == 0xc2 && static_cast<unsigned char>(text[i + 1]) < 0xa0;
    must(byte >= 0x20 && byte != 0x7f && !is_c1, "an error holds no control character");
  }
}

}  // namespace fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  take(std::string(data, data + size));
  return 0;
}
