// The words of an enumeration, as people write and read them: one table beside each, and everything that is made of it.
#pragma once

#include <array>
#include <cstddef>
#include <iterator>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace coldgrease::inline v0 {

/// A value of an enumeration and its word.
template <class Enum>
struct word_for {
  Enum value;
  std::string_view text;
};

/// A word that people write although it is none, and what they are told of it.
struct mistaken_word {
  std::string_view text;
  std::string_view problem;  // follows the word: "is a property"
  std::string_view expected;
};

/// Specialised beside each enumeration that has words, with the members
///   static constexpr std::string_view what           "system type": what an unknown word is not; may be empty
///   static constexpr word_for<Enum> table[]          every value once, in the order declared
///   static constexpr word_for<Enum> also[]           other words that are read, never written; may be left out. Where
///                                                    they stand, case, blanks and hyphens count in no word
///   static constexpr mistaken_word mistaken[]        may be left out
template <class Enum>
struct words_of;

/// An enumeration that has words.
template <class Enum>
concept worded = requires {
  words_of<Enum>::what;
  words_of<Enum>::table;
};

/// The words alone, in the order of the values: for lists, schemas and help.
template <worded Enum>
inline constexpr auto word_list = [] {
  std::array<std::string_view, std::size(words_of<Enum>::table)> texts{};
  for (std::size_t i = 0; i < texts.size(); ++i) texts[i] = words_of<Enum>::table[i].text;
  return texts;
}();

/// "a, b or c".
std::string alternatives(std::span<const std::string_view> words);

namespace detail {
[[noreturn]] void refuse_word(std::string_view text, std::string_view where, std::string_view what,
                              std::span<const std::string_view> words, std::span<const mistaken_word> mistaken);
}  // namespace detail

/// The word of a value; empty for one that is not declared.
template <worded Enum>
constexpr std::string_view name_of(Enum value) {
  for (const word_for<Enum>& w : words_of<Enum>::table) {
    if (w.value == value) return w.text;
  }
  return {};
}

namespace detail {

/// A letter or digit of ASCII, small; nothing for any other character.
constexpr char plain_letter(char c) noexcept {
  if (c >= 'A' && c <= 'Z') return static_cast<char>(c - 'A' + 'a');
  return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ? c : '\0';
}

/// True if two names have the same letters and digits in the same order, case aside: "MoS2" and "mos 2".
constexpr bool same_letters(std::string_view a, std::string_view b) noexcept {
  const auto skip = [](std::string_view& text) {
    while (!text.empty() && plain_letter(text.front()) == '\0') text.remove_prefix(1);
  };
  for (;;) {
    skip(a);
    skip(b);
    if (a.empty() || b.empty()) return a.empty() && b.empty();
    if (plain_letter(a.front()) != plain_letter(b.front())) return false;
    a.remove_prefix(1);
    b.remove_prefix(1);
  }
}

}  // namespace detail

/// The value of a word, letter by letter; an enumeration with `also` is read by letters and digits alone. Nothing if it
/// is none.
template <worded Enum>
constexpr std::optional<Enum> find_word(std::string_view text) {
  if constexpr (requires { words_of<Enum>::also; }) {
    for (const word_for<Enum>& w : words_of<Enum>::also) {
      if (detail::same_letters(w.text, text)) return w.value;
    }
    for (const word_for<Enum>& w : words_of<Enum>::table) {
      if (detail::same_letters(w.text, text)) return w.value;
    }
  } else {
    for (const word_for<Enum>& w : words_of<Enum>::table) {
      if (w.text == text) return w.value;
    }
  }
  return std::nullopt;
}

/// The same. @throws input_error that lists the words: "dual-line" is no system type; expected multi-outlet, ...
template <worded Enum>
Enum parse_word(std::string_view text, std::string_view where) {
  if (const auto value = find_word<Enum>(text)) return *value;
  std::span<const mistaken_word> mistaken;
  if constexpr (requires { words_of<Enum>::mistaken; }) mistaken = words_of<Enum>::mistaken;
  detail::refuse_word(text, where, words_of<Enum>::what, word_list<Enum>, mistaken);
}

}  // namespace coldgrease::inline v0
