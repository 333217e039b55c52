// HTML and SVG as nested elements. Every text and every attribute value is escaped here and nowhere else, so that no
// name in a fleet file can become markup.
#pragma once

#include <cstddef>
#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace coldgrease::inline v0::detail {

/// `text` with the five characters of markup escaped; control characters, marks that turn the direction of what follows
/// and what is no UTF-8 are left out. Words of a script that runs from right to left are isolated (U+2068, U+2069), so
/// that no name turns the numbers beside it.
std::string escaped(std::string_view text);

class markup {
 public:
  using attributes = std::initializer_list<std::pair<std::string_view, std::string_view>>;

  /// @param room  bytes that are likely to be written: a text of a megabyte need not be copied as it grows
  explicit markup(std::size_t room = 0) { out_.reserve(room); }

  markup& open(std::string_view tag, attributes a = {});
  /// Closes the innermost element.
  markup& close();
  /// As escaped(), but that words from right to left stand in <bdi> where an element can.
  markup& text(std::string_view words);
  /// An element that holds a text alone.
  markup& element(std::string_view tag, std::string_view words, attributes a = {});
  /// An element of SVG that holds nothing.
  markup& shape(std::string_view tag, attributes a);
  /// What another markup has finished.
  markup& add(std::string_view finished);
  /// What was written, taken out. @throws std::logic_error while an element is open
  std::string take();

 private:
  void tag(std::string_view name, attributes a, std::string_view end);

  std::string out_;
  std::vector<std::string> open_;
};

}  // namespace coldgrease::inline v0::detail
