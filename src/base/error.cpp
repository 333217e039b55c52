#include "coldgrease/base/error.hpp"

#include <utility>

#include "coldgrease/base/one_line.hpp"

namespace coldgrease::inline v0 {

namespace {

constexpr std::size_t longest_line = 300;
constexpr std::size_t longest_value = 60;
constexpr std::size_t longest_path = 100;  // so that problem and expectation keep their room

bool inside_character(char byte) { return (static_cast<unsigned char>(byte) & 0xc0U) == 0x80U; }

/// The beginning of a line, with dots for what is cut.
std::string beginning(std::string text, std::size_t most) {
  if (text.size() <= most) return text;
  while (most > 0 && inside_character(text[most])) --most;
  text.resize(most);
  return text + "...";
}

/// The end of a line: of a path, that tells more.
std::string ending(std::string text, std::size_t most) {
  if (text.size() <= most) return text;
  std::size_t begin = text.size() - most;
  while (begin < text.size() && inside_character(text[begin])) ++begin;
  return "..." + text.substr(begin);
}

std::string one_line(const place& where, std::string_view problem, std::string_view expected) {
  std::string line = text_of(where);
  if (!line.empty()) line += ": ";
  line += on_one_line(problem);
  if (!expected.empty()) line += "; expected " + on_one_line(expected);
  return beginning(std::move(line), longest_line - 3);
}

}  // namespace

std::string text_of(const place& where) {
  std::string text = ending(on_one_line(where.file), longest_path);
  const auto append = [&](const std::string& part) { text += (text.empty() ? "" : ": ") + part; };
  if (where.line > 0) text += ":" + std::to_string(where.line);
  if (where.pointer) append(where.pointer->empty() ? "/" : ending(on_one_line(*where.pointer), longest_path));
  if (!where.field.empty()) append(ending(on_one_line(where.field), where.file.empty() ? longest_path : longest_value));
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

std::string in_quotes(std::string_view text) { return '"' + beginning(on_one_line(text), longest_value) + '"'; }

}  // namespace coldgrease::inline v0
