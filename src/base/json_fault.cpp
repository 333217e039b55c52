#include "base/json_fault.hpp"

#include "base/format.hpp"

#include <algorithm>
#include <vector>

namespace coldgrease::inline v0::detail {

namespace {

constexpr std::string_view blanks = " \t\r\n";

std::size_t line_of(std::string_view text, std::size_t at) {
  return static_cast<std::size_t>(std::ranges::count(text.substr(0, at), '\n')) + 1;
}

/// The bracket that the text opens last and does not close; npos if all are.
std::size_t open_bracket(std::string_view text) {
  std::vector<std::size_t> open;
  bool in_text = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (in_text && text[i] == '\\') {
      ++i;
    } else if (text[i] == '"') {
      in_text = !in_text;
    } else if (!in_text && (text[i] == '{' || text[i] == '[')) {
      open.push_back(i);
    } else if (!in_text && (text[i] == '}' || text[i] == ']') && !open.empty()) {
      open.pop_back();
    }
  }
  return open.empty() ? std::string_view::npos : open.back();
}

/// Whether a quotation mark of a word processor stands in a text.
bool has_curly_quote(std::string_view text) {
  // U+2018 to U+201F, U+00AB and U+00BB.
  for (std::size_t i = text.find("\xe2\x80"); i != std::string_view::npos; i = text.find("\xe2\x80", i + 1)) {
    if (i + 2 < text.size() && text[i + 2] >= '\x98' && text[i + 2] <= '\x9f') return true;
  }
  return text.find("\xc2\xab") != std::string_view::npos || text.find("\xc2\xbb") != std::string_view::npos;
}

/// What a value may end with.
bool ends_value(char c) { return std::string_view("\"}]0123456789el").find(c) != std::string_view::npos; }

}  // namespace

std::string json_fault(std::string_view text, std::size_t at) {
  if (at >= text.size()) {
    const auto open = open_bracket(text);
    if (open == std::string_view::npos) return "it ends too early";
    return fmt::format("the {} of line {} is not closed", text[open], line_of(text, open));
  }
  const char here = text[at];
  if (here == '\n' || here == '\r') {                               // within a text, which ends on its line
    const auto begin = text.rfind('\n', at == 0 ? 0 : at - 1) + 1;  // npos + 1 is 0
    return has_curly_quote(text.substr(begin, at - begin)) ? R"(a curly quote, where a text ends with ")"
                                                           : "a quote is not closed on its line";
  }
  if (here == '\'') return R"(a single quote, where a text begins with ")";
  if (here == '/') return "a comment, and JSON has none";
  if (has_curly_quote(text.substr(at, 3))) return R"(a curly quote, where a text begins with ")";
  const auto before = [&](std::size_t end) { return text.find_last_not_of(blanks, end == 0 ? 0 : end - 1); };
  if (here == '}' || here == ']') {
    const auto last = before(at);
    if (last != std::string_view::npos && text[last] == ',') return fmt::format("a comma before the closing {}", here);
    const auto open = open_bracket(text.substr(0, at));
    if (open != std::string_view::npos && (text[open] == '{') != (here == '}'))
      return fmt::format("{} closes the {} of line {}", here, text[open], line_of(text, open));
    return {};
  }
  // A text or an object begins where a comma was due; the parser stands at the end of a text.
  std::size_t begin = at;
  if (here == '"' && at > 0) begin = text.rfind('"', at - 1);
  if (begin != std::string_view::npos && begin > 0 && (here == '"' || here == '{' || here == '[')) {
    const auto last = before(begin);
    if (last != std::string_view::npos && ends_value(text[last]))
      return fmt::format("a comma is missing behind line {}", line_of(text, last));
  }
  return {};
}

}  // namespace coldgrease::inline v0::detail
