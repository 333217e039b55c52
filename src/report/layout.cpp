#include "report/layout.hpp"

#include "base/format.hpp"

#include <algorithm>

namespace coldgrease::inline v0::detail {

namespace {

std::size_t columns(std::string_view text) {
  std::size_t n = 0;
  for (const char c : text) n += (static_cast<unsigned char>(c) & 0xc0U) != 0x80U;
  return n;
}

/// Bytes of the first `width` characters.
std::size_t bytes_of(std::string_view text, std::size_t width) {
  std::size_t n = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool begins = (static_cast<unsigned char>(text[i]) & 0xc0U) != 0x80U;
    if (begins && n++ == width) return i;
  }
  return text.size();
}

}  // namespace

std::string wrapped(std::string_view text, std::size_t indent, std::size_t width) {
  std::string out;
  std::size_t at = 0;
  bool at_start = true;
  while (!text.empty()) {
    // A word that no line can hold is cut.
    const std::string_view word = text.substr(0, std::min(text.find(' '), bytes_of(text, width - indent)));
    const std::size_t wide = columns(word);
    if (!at_start && at + 1 + wide > width) {
      out += '\n';
      out.append(indent, ' ');
      at = indent;
      at_start = true;
    }
    if (!at_start) {
      out += ' ';
      ++at;
    }
    out += word;
    at += wide;
    at_start = false;
    text.remove_prefix(word.size());
    if (text.starts_with(' ')) {
      text.remove_prefix(1);
    } else if (!text.empty()) {
      at = width;
    }
  }
  return out;
}

std::string row(std::string_view label, std::string_view value) {
  constexpr std::size_t label_width = 13;
  // Blanks of the label column are kept: only the value is broken into words.
  std::string text = wrapped(std::string(label_width, '_') + " " + std::string(value), label_width + 1);
  return fitted(label, label_width) + text.substr(label_width) + "\n";
}

std::string bullets(std::string_view title, const std::vector<std::string>& sentences) {
  if (sentences.empty()) return {};
  std::string out = fmt::format("{}\n", title);
  for (const std::string& s : sentences) out += wrapped("- " + s, 2) + "\n";
  return out;
}

std::string fitted(std::string_view text, std::size_t width) {
  std::string out(text.substr(0, bytes_of(text, width)));
  out.append(width - columns(out), ' ');
  return out;
}

std::string table_row(std::initializer_list<cell> cells) {
  std::vector<std::string> rests;
  std::string out;
  bool more = true;
  for (bool first = true; more; first = false) {
    more = false;
    std::string line;
    std::size_t at = 0;
    for (const cell& c : cells) {
      if (first) rests.push_back(c.width > 0 ? wrapped(c.text, 0, c.width) : c.text);
      std::string& rest = rests[at++];
      const std::size_t end = std::min(rest.find('\n'), rest.size());
      if (at > 1) line += ' ';
      line += c.width > 0 ? fitted(rest.substr(0, end), c.width) : rest.substr(0, end);
      rest.erase(0, end + 1);
      more = more || !rest.empty();
    }
    while (line.ends_with(' ')) line.pop_back();
    out += line + "\n";
  }
  return out;
}

std::string rule(char c) { return std::string(page_width, c) + "\n"; }

}  // namespace coldgrease::inline v0::detail
