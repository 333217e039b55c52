// Words of an enumeration, with one made up for the purpose: what reads, what is refused, and how.
#include "coldgrease/base/words.hpp"

#include <doctest/doctest.h>

#include "coldgrease/base/error.hpp"
#include "refusal.hpp"

namespace coldgrease::inline v0 {

namespace {
enum class colour { red, dark_blue, green };
enum class side { left, right };
enum class tint { rose, sky_2 };
enum class lone { only };
enum class wordless { one, two };
}  // namespace

template <>
struct words_of<colour> {
  using enum colour;
  static constexpr std::string_view what = "colour";
  static constexpr word_for<colour> table[]{{red, "red"}, {dark_blue, "dark blue"}, {green, "green"}};
  static constexpr mistaken_word mistaken[]{{"bright", "is a shade", "red, in doubt"}};
};
template <>
struct words_of<side> {
  using enum side;
  static constexpr std::string_view what = "";
  static constexpr word_for<side> table[]{{left, "left"}, {right, "right"}};
};
template <>
struct words_of<tint> {
  using enum tint;
  static constexpr std::string_view what = "tint";
  static constexpr word_for<tint> table[]{{rose, "rose"}, {sky_2, "sky 2"}};
  static constexpr word_for<tint> also[]{{rose, "pink"}};
};
template <>
struct words_of<lone> {
  static constexpr std::string_view what = "choice";
  static constexpr word_for<lone> table[]{{lone::only, "only"}};
};

}  // namespace coldgrease::inline v0

using namespace coldgrease;

TEST_CASE("words: case: a word is read letter by letter, its value is written back") {
  static_assert(name_of(colour::dark_blue) == "dark blue");
  static_assert(find_word<colour>("green") == colour::green);
  static_assert(!worded<wordless>);
  CHECK(parse_word<colour>("dark blue", "--paint") == colour::dark_blue);
  for (const char* other : {"", "Red", "red ", "dark-blue", "bright"}) CHECK_FALSE(find_word<colour>(other));
  CHECK(name_of(static_cast<colour>(3)).empty());
}

TEST_CASE("words: case: an unknown word is told what there is") {
  CHECK(refusal([] { parse_word<colour>("blue", "--paint"); }) ==
        "--paint: \"blue\" is no colour; expected red, dark blue or green");
  CHECK(refusal([] { parse_word<colour>("bright", "--paint"); }) ==
        "--paint: \"bright\" is a shade; expected red, in doubt");
  CHECK(refusal([] { parse_word<side>("", "--side"); }) == "--side: \"\"; expected left or right");
  CHECK(refusal([] { parse_word<lone>("any", {}); }) == "\"any\" is no choice; expected only");
}

TEST_CASE("words: case: where other words are read as well, letters and digits alone count") {
  static_assert(find_word<tint>("Pink") == tint::rose);
  for (const char* sky : {"sky 2", "SKY-2", " sky2 "}) CHECK(find_word<tint>(sky) == tint::sky_2);
  for (const char* other : {"", "-", "sky", "sky 22", "pinkish"}) CHECK_FALSE(find_word<tint>(other));
  CHECK(name_of(tint::rose) == "rose");
  CHECK(refusal([] { parse_word<tint>("grey", {}); }) == "\"grey\" is no tint; expected rose or sky 2");
}

TEST_CASE("words: law: the list has every word once, in the order of the values") {
  static_assert(word_list<colour> == std::array<std::string_view, 3>{"red", "dark blue", "green"});
  CHECK(alternatives(word_list<colour>) == "red, dark blue or green");
  CHECK(alternatives({}).empty());
}
