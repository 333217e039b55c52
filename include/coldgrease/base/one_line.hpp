// Text of unknown origin - names, paths, cells - as one line that a terminal shows as it stands.
#pragma once

#include <string>
#include <string_view>

namespace coldgrease::inline v0 {

/// Whether every byte belongs to a character of UTF-8 (RFC 3629).
bool is_utf8(std::string_view text);

/// `text` with escapes ("\n", "\x1b") for what would move the cursor, begin another line or turn the direction of
/// what follows - control characters (C0, DEL, C1), line and paragraph separators, bidirectional embeddings, overrides
/// and isolates - and for bytes that are no UTF-8.
std::string on_one_line(std::string_view text);

/// Refuses text that on_one_line() would change: what a person gives a name to has none of it, and a name with a line
/// break could pass for a row of an answer.
/// @param field  where the text stands; may be empty
/// @throws input_error
void check_one_line(std::string_view text, std::string_view field = {});

}  // namespace coldgrease::inline v0
