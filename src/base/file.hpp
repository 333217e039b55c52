// A whole file as text, packed or not.
#pragma once

#include <functional>
#include <span>
#include <string>
#include <utility>

#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0::detail {

/// Calls `take` with one block of a file after the other. @throws file_error for a folder, a missing or an unreadable
/// file
void read_blocks(const std::string& path, const std::function<void(std::span<char>)>& take);

/// The bytes of a file. @throws file_error for a folder, a missing or an unreadable file, more than 2 GiB
std::string read_file(const std::string& path);

/// The same of a file that may be packed by gzip, told by its first two bytes whatever its name; read and unpacked
/// block by block, so that memory holds the text once. @throws file_error also for packed data that is damaged or cut
/// short
std::string read_packed_file(const std::string& path);

}  // namespace coldgrease::inline v0::detail
