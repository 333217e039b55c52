#include "report/markup.hpp"

#include <boost/locale/encoding_utf.hpp>
#include <stdexcept>

namespace coldgrease::inline v0::detail {

namespace {

/// Neither HTML nor XML has a place for these.
bool left_out(char32_t c) { return (c < 0x20 && c != U'\n') || (c >= 0x7f && c < 0xa0) || c == 0xfffe || c == 0xffff; }

}  // namespace

std::string escaped(std::string_view text) {
  using boost::locale::conv::utf_to_utf;
  std::u32string characters = utf_to_utf<char32_t>(text.data(), text.data() + text.size());
  std::erase_if(characters, left_out);
  std::string out;
  for (const char c : utf_to_utf<char>(characters)) {
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
  out_ += escaped(words);
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

const std::string& markup::str() const {
  if (!open_.empty()) throw std::logic_error("markup: " + open_.back() + " is open");
  return out_;
}

}  // namespace coldgrease::inline v0::detail
