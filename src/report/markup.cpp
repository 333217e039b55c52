#include "report/markup.hpp"

#include <algorithm>
#include <boost/locale/encoding_utf.hpp>
#include <stdexcept>
#include <utility>

namespace coldgrease::inline v0::detail {

namespace {

using boost::locale::conv::utf_to_utf;

/// Neither HTML nor XML has a place for these: controls, separators, embeddings, overrides, isolates.
bool left_out(char32_t c) {
  return (c < 0x20 && c != U'\n') || (c >= 0x7f && c < 0xa0) || (c >= 0x2028 && c <= 0x202e) ||
         (c >= 0x2066 && c <= 0x2069) || c == 0xfffe || c == 0xffff;
}

/// Of a script that is written from right to left (the blocks that Unicode keeps for them).
bool runs_left(char32_t c) {
  return (c >= 0x0590 && c < 0x0900) || (c >= 0xfb1d && c < 0xfe00) || (c >= 0xfe70 && c < 0xff00) ||
         (c >= 0x10800 && c < 0x11000) || (c >= 0x1e800 && c < 0x1f000);
}

/// Around words that run from right to left.
struct isolation {
  std::string_view begin, end;
};
constexpr isolation by_characters{"\u2068", "\u2069"}, by_element{"<bdi>", "</bdi>"};

std::string escaped_characters(std::u32string_view characters) {
  std::string out;
  for (const char c : utf_to_utf<char>(characters.data(), characters.data() + characters.size())) {
    switch (c) {
      case '&': out += "&amp;"; break;
      case '<': out += "&lt;"; break;
      case '>': out += "&gt;"; break;
      case '"': out += "&quot;"; break;
      case '\'': out += "&#39;"; break;
      default: out += c;
    }
  }
  return out;
}

std::string escaped(std::string_view text, const isolation& around) {
  std::u32string all = utf_to_utf<char32_t>(text.data(), text.data() + text.size());
  std::erase_if(all, left_out);
  std::string out;
  for (std::u32string_view rest = all; !rest.empty();) {
    const auto begin = std::ranges::find_if(rest, runs_left);
    out += escaped_characters({rest.begin(), begin});
    rest = {begin, rest.end()};
    if (rest.empty()) break;
    // Blanks between two such words are theirs.
    auto end = std::ranges::find_if_not(rest, [](char32_t c) { return runs_left(c) || c == U' ' || c == 0xa0; });
    while (!runs_left(*(end - 1))) --end;
    out += around.begin;
    out += escaped_characters({rest.begin(), end});
    out += around.end;
    rest = {end, rest.end()};
  }
  return out;
}

}  // namespace

std::string escaped(std::string_view text) { return escaped(text, by_characters); }

void markup::tag(std::string_view name, attributes a, std::string_view end) {
  out_ += '<';
  out_ += name;
  for (const auto& [key, value] : a) {
    out_ += ' ';
    out_ += key;
    out_ += "=\"";
    out_ += escaped(value);
    out_ += '"';
  }
  out_ += end;
}

markup& markup::open(std::string_view name, attributes a) {
  tag(name, a, ">");
  open_.emplace_back(name);
  return *this;
}

markup& markup::close() {
  if (open_.empty()) throw std::logic_error("markup: nothing is open");
  out_ += "</" + open_.back() + ">";
  // A line each for what is worth looking at in the source.
  if (open_.back() != "tspan" && open_.back() != "b" && open_.back() != "a" && open_.back() != "span") out_ += '\n';
  open_.pop_back();
  return *this;
}

markup& markup::text(std::string_view words) {
  const bool in_picture = std::ranges::find(open_, "svg") != open_.end();
  out_ += escaped(words, in_picture ? by_characters : by_element);
  return *this;
}

markup& markup::element(std::string_view name, std::string_view words, attributes a) {
  return open(name, a).text(words).close();
}

markup& markup::shape(std::string_view name, attributes a) {
  tag(name, a, "/>\n");
  return *this;
}

markup& markup::add(std::string_view finished) {
  out_ += finished;
  return *this;
}

std::string markup::take() {
  if (!open_.empty()) throw std::logic_error("markup: " + open_.back() + " is open");
  return std::move(out_);
}

}  // namespace coldgrease::inline v0::detail
