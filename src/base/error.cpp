#include "coldgrease/base/error.hpp"

#include <array>
#include <utility>

namespace coldgrease::inline v0 {

namespace {

constexpr std::size_t longest_line = 300;
constexpr std::size_t longest_value = 60;
constexpr std::size_t longest_path = 100;  // so that problem and expectation keep their room

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

/// A character that moves the cursor, ends the line or begins an escape sequence: C0, DEL, C1.
bool is_control(std::string_view character) {
  const auto first = static_cast<unsigned char>(character[0]);
  return first < 0x20 || first == 0x7f || (first == 0xc2 && static_cast<unsigned char>(character[1]) < 0xa0);
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

/// One line of text that a terminal shows as it is.
std::string plain(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const std::size_t size = character_size(text);
    const std::string_view character = text.substr(0, std::max<std::size_t>(size, 1));
    if (size == 0 || is_control(character)) {
      for (const char c : character) out += escape(static_cast<unsigned char>(c));
    } else {
      out += character;
    }
    text.remove_prefix(character.size());
  }
  return out;
}

bool inside_character(char byte) { return (static_cast<unsigned char>(byte) & 0xc0U) == 0x80U; }

/// The beginning of a plain text, with dots for what is cut.
std::string beginning(std::string text, std::size_t most) {
  if (text.size() <= most) return text;
  while (most > 0 && inside_character(text[most])) --most;
  text.resize(most);
  return text + "...";
}

/// The end of a plain text: of a path, that tells more.
std::string ending(std::string text, std::size_t most) {
  if (text.size() <= most) return text;
  std::size_t begin = text.size() - most;
  while (begin < text.size() && inside_character(text[begin])) ++begin;
  return "..." + text.substr(begin);
}

std::string one_line(const place& where, std::string_view problem, std::string_view expected) {
  std::string line = text_of(where);
  if (!line.empty()) line += ": ";
  line += plain(problem);
  if (!expected.empty()) line += "; expected " + plain(expected);
  return beginning(std::move(line), longest_line - 3);
}

}  // namespace

std::string text_of(const place& where) {
  std::string text = ending(plain(where.file), longest_path);
  const auto append = [&](const std::string& part) { text += (text.empty() ? "" : ": ") + part; };
  if (where.line > 0) text += ":" + std::to_string(where.line);
  if (where.pointer) append(where.pointer->empty() ? "/" : ending(plain(*where.pointer), longest_path));
  if (!where.field.empty()) append(ending(plain(where.field), where.file.empty() ? longest_path : longest_value));
  return text;
}

input_error::input_error(place where, std::string_view problem, std::string_view expected)
    : std::runtime_error(one_line(where, problem, expected)),
      where_(std::move(where)),
      problem_(problem),
      expected_(expected) {}

input_error::input_error(std::string_view field, std::string_view problem, std::string_view expected)
    : input_error(place{.field = std::string(field)}, problem, expected) {}

file_error::file_error(std::string_view file, std::string_view problem, std::string_view expected)
    : input_error(place{.file = std::string(file)}, problem, expected) {}

file_error at(place where, const input_error& refused) {
  if (where.field.empty()) where.field = refused.where().field;
  return {std::move(where), refused.problem(), refused.expected()};
}

std::string in_quotes(std::string_view text) { return '"' + beginning(plain(text), longest_value) + '"'; }

}  // namespace coldgrease::inline v0
