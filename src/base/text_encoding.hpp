// The bytes of a text file as UTF-8, whatever program wrote them.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace coldgrease::inline v0::detail {

/// A text that was not UTF-8 in its file.
struct decoded_text {
  std::string text;
  std::string_view was;  // the name of its encoding
};

/// UTF-16 is told by its byte-order mark; what is no UTF-8 otherwise is taken for Latin-1 (ISO 8859-1), in which any
/// bytes are a text. @return nothing where the bytes are UTF-8 already, its byte-order mark included
/// @throws input_error for UTF-16 that is cut short or damaged
std::optional<decoded_text> decoded(std::string_view bytes);

}  // namespace coldgrease::inline v0::detail
