#include "coldgrease/base/one_line.hpp"

#include <algorithm>
#include <cstddef>

#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0 {

namespace {

/// Bytes of the UTF-8 character that `text` begins with; 0 if it begins with none.
std::size_t character_size(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char first = byte(0);
  const std::size_t size = first < 0x80   ? 1
                           : first < 0xc2 ? 0
                           : first < 0xe0 ? 2
                           : first < 0xf0 ? 3
                           : first < 0xf5 ? 4
                                          : 0;
  if (size > text.size()) return 0;
  for (std::size_t i = 1; i < size; ++i) {
    if ((byte(i) & 0xc0U) != 0x80U) return 0;
  }
  const bool overlong = (first == 0xe0 && byte(1) < 0xa0) || (first == 0xf0 && byte(1) < 0x90);
  const bool surrogate = first == 0xed && byte(1) >= 0xa0;
  const bool beyond = first == 0xf4 && byte(1) >= 0x90;
  return overlong || surrogate || beyond ? 0 : size;
}

/// Of two and of three bytes, by the last of them: C1; line and paragraph separator, embeddings and overrides;
/// isolates.
bool is_c1(unsigned char last) { return last < 0xa0; }
bool is_separator_or_override(unsigned char last) { return last >= 0xa8 && last <= 0xae; }
bool is_isolate(unsigned char last) { return last >= 0xa6 && last <= 0xa9; }

/// A UTF-8 character that on_one_line() replaces.
bool is_escaped(std::string_view character) {
  const auto first = static_cast<unsigned char>(character[0]), last = static_cast<unsigned char>(character.back());
  if (character.size() == 1) return first < 0x20 || first == 0x7f;
  if (character.size() == 2) return first == 0xc2 && is_c1(last);
  return (character.starts_with("\xe2\x80") && is_separator_or_override(last)) ||
         (character.starts_with("\xe2\x81") && is_isolate(last));
}

std::string escape(unsigned char byte) {
  constexpr std::string_view digits = "0123456789abcdef";
  switch (byte) {
    case '\t': return "\\t";
    case '\n': return "\\n";
    case '\r': return "\\r";
    default: return {'\\', 'x', digits[byte >> 4U], digits[byte & 0xfU]};
  }
}

}  // namespace

bool is_utf8(std::string_view text) {
  constexpr std::size_t block = 64;  // looked at as one: most of a large file is ASCII
  while (!text.empty()) {
    if (text.size() >= block) {
      unsigned char any = 0;
      for (std::size_t i = 0; i < block; ++i)
        any = static_cast<unsigned char>(any | static_cast<unsigned char>(text[i]));
      if (any < 0x80) {
        text.remove_prefix(block);
        continue;
      }
    }
    const std::size_t size = character_size(text);
    if (size == 0) return false;
    text.remove_prefix(size);
  }
  return true;
}

std::string on_one_line(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const std::size_t size = character_size(text);
    const std::string_view character = text.substr(0, std::max<std::size_t>(size, 1));
    if (size == 0 || is_escaped(character)) {
      for (const char c : character) out += escape(static_cast<unsigned char>(c));
    } else {
      out += character;
    }
    text.remove_prefix(character.size());
  }
  return out;
}

void check_one_line(std::string_view text, std::string_view field) {
  for (std::string_view rest = text; !rest.empty();) {
    const std::size_t size = character_size(rest);
    if (size == 0) throw input_error(field, in_quotes(text) + " is no UTF-8", "text in UTF-8");
    if (is_escaped(rest.substr(0, size)))
      throw input_error(field, in_quotes(text) + " holds a line break or another control character",
                        "plain text on one line");
    rest.remove_prefix(size);
  }
}

}  // namespace coldgrease::inline v0
