// What is most likely wrong where a text ceases to be JSON, in the words of who wrote it in an editor.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace coldgrease::inline v0::detail {

/// @param at  position of the character at which a parser gave up; beyond the text where more was due
/// @return empty where none of the usual slips explains it
std::string json_fault(std::string_view text, std::size_t at);

}  // namespace coldgrease::inline v0::detail
