// An answer into a file instead of standard output.
#pragma once

#include <string>

namespace coldgrease::tools {

/// Writes beside `path` and renames: what stood there stays whole until the new text does.
/// @throws file_error if that cannot be done
void write_file(const std::string& path, const std::string& text);

}  // namespace coldgrease::tools
