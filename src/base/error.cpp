#include "coldgrease/base/error.hpp"

namespace coldgrease {

namespace {

std::string one_line(std::string_view where, std::string_view problem, std::string_view expected) {
  std::string line{where};
  if (!line.empty()) line += ": ";
  line += problem;
  if (!expected.empty()) {
    line += "; expected ";
    line += expected;
  }
  return line;
}

}  // namespace

input_error::input_error(std::string_view where, std::string_view problem, std::string_view expected)
    : std::runtime_error(one_line(where, problem, expected)) {}

std::string in_quotes(std::string_view text) {
  constexpr std::size_t longest = 40;
  std::string out = "\"";
  for (const char c : text.substr(0, longest)) {
    const auto byte = static_cast<unsigned char>(c);
    out += byte < 0x20 || byte == 0x7f ? '?' : c;
  }
  // A cut in the middle of a UTF-8 character would leave half of it.
  if (text.size() > longest) {
    while ((static_cast<unsigned char>(out.back()) & 0xc0U) == 0x80U) out.pop_back();
    if ((static_cast<unsigned char>(out.back()) & 0xc0U) == 0xc0U) out.pop_back();
    out += "...";
  }
  return out + '"';
}

}  // namespace coldgrease
