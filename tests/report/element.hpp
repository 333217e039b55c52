// The page as a tree, read strictly: what a browser would mend is refused here.
#pragma once

#include <algorithm>
#include <array>
#include <map>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace reading {

struct element {
  std::string name{};
  std::map<std::string, std::string> attributes{};
  std::vector<element> children{};
  std::string own{};   // its own text, without that of its children
  std::string text{};  // with it; no-break spaces are spaces

  std::string attribute(const std::string& key) const {
    const auto found = attributes.find(key);
    return found == attributes.end() ? std::string() : found->second;
  }
};

/// Calls `visit` for an element and all below it, in the order of the page.
template <class Visit>
void each(const element& e, const Visit& visit) {
  visit(e);
  for (const element& child : e.children) each(child, visit);
}

/// All elements of a name below one, in the order of the page.
inline std::vector<const element*> all(const element& e, std::string_view name) {
  std::vector<const element*> found;
  each(e, [&](const element& one) {
    if (one.name == name) found.push_back(&one);
  });
  return found;
}

class reader {
 public:
  explicit reader(std::string_view page) : rest_(page) {}

  /// The one element that a page is. @throws std::runtime_error where it is not well-formed
  element read() {
    if (rest_.starts_with("<!DOCTYPE html>\n")) rest_.remove_prefix(16);
    if (!rest_.starts_with('<')) fail("no element");
    element root = read_element();
    if (rest_.find_first_not_of('\n') != std::string_view::npos) fail("more than one element");
    return root;
  }

 private:
  [[noreturn]] void fail(const std::string& what) const {
    throw std::runtime_error(what + " before \"" + std::string(rest_.substr(0, 60)) + "\"");
  }
  std::string_view up_to(std::string_view end) {
    const std::size_t at = rest_.find(end);
    if (at == std::string_view::npos) fail("no " + std::string(end));
    const std::string_view taken = rest_.substr(0, at);
    rest_.remove_prefix(at + end.size());
    return taken;
  }
  std::string decoded(std::string_view raw) const {
    static constexpr std::array<std::pair<std::string_view, char>, 5> entities{
        {{"&amp;", '&'}, {"&lt;", '<'}, {"&gt;", '>'}, {"&quot;", '"'}, {"&#39;", '\''}}};
    std::string out;
    while (!raw.empty()) {
      if (raw.front() == '<' || raw.front() == '>') fail("a bare angle bracket in a text");
      const auto entity = std::ranges::find_if(entities, [&](const auto& e) { return raw.starts_with(e.first); });
      if (raw.front() == '&' && entity == entities.end()) fail("a bare & in a text");
      if (entity != entities.end()) {
        out += entity->second;
        raw.remove_prefix(entity->first.size());
      } else if (raw.starts_with("\u00a0")) {
        out += ' ';
        raw.remove_prefix(2);
      } else {
        out += raw.front();
        raw.remove_prefix(1);
      }
    }
    return out;
  }
  static bool is_name(std::string_view s) {
    return !s.empty() && std::ranges::all_of(s, [](char c) {
      return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-';
    });
  }
  std::string name_before(std::string_view ends) {
    const std::size_t at = rest_.find_first_of(ends);
    if (at == std::string_view::npos || !is_name(rest_.substr(0, at))) fail("no name");
    const std::string name(rest_.substr(0, at));
    rest_.remove_prefix(at);
    return name;
  }
  element read_element() {
    rest_.remove_prefix(1);
    element e{.name = name_before(" />")};
    while (rest_.starts_with(' ')) {
      rest_.remove_prefix(1);
      const std::string key = name_before("=");
      rest_.remove_prefix(1);
      if (!rest_.starts_with('"')) fail("a value without quotes");
      rest_.remove_prefix(1);
      if (!e.attributes.emplace(key, decoded(up_to("\""))).second) fail("twice the attribute " + key);
    }
    if (rest_.starts_with("/>")) {
      rest_.remove_prefix(2);
      return e;
    }
    if (!rest_.starts_with('>')) fail("an open tag");
    rest_.remove_prefix(1);
    if (e.name == "meta" || e.name == "wbr") return e;  // have no end in HTML
    if (e.name == "style") {
      e.own = up_to("</style>");
      return e;
    }
    for (;;) {
      const std::size_t at = rest_.find('<');
      if (at == std::string_view::npos) fail("no end of " + e.name);
      const std::string words = decoded(rest_.substr(0, at));
      e.own += words;
      e.text += words;
      rest_.remove_prefix(at);
      if (rest_.starts_with("</")) break;
      e.children.push_back(read_element());
      e.text += e.children.back().text;
    }
    rest_.remove_prefix(2);
    if (up_to(">") != e.name) fail("another end than of " + e.name);
    return e;
  }

  std::string_view rest_;
};

inline element read_page(std::string_view page) { return reader(page).read(); }

/// A part of the page. @throws std::runtime_error if there is none
inline const element& section_of(const element& page, std::string_view id) {
  for (const element* s : all(page, "section")) {
    if (s->attribute("id") == id) return *s;
  }
  throw std::runtime_error("no section " + std::string(id));
}

}  // namespace reading
