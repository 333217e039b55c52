#include "coldgrease/base/words.hpp"

#include <algorithm>

#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0 {

std::string alternatives(std::span<const std::string_view> words) {
  std::string list;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) list += i + 1 == words.size() ? " or " : ", ";
    list += words[i];
  }
  return list;
}

void detail::refuse_word(std::string_view text, std::string_view where, std::string_view what,
                         std::span<const std::string_view> words, std::span<const mistaken_word> mistaken) {
  const auto known = std::ranges::find(mistaken, text, &mistaken_word::text);
  if (known != mistaken.end())
    throw input_error(where, in_quotes(text) + ' ' + std::string(known->problem), known->expected);
  throw input_error(where, what.empty() ? in_quotes(text) : in_quotes(text) + " is no " + std::string(what),
                    alternatives(words));
}

}  // namespace coldgrease::inline v0
