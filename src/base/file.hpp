// A whole file as text.
#pragma once

#include <string>
#include <utility>

#include "coldgrease/base/error.hpp"

namespace coldgrease::detail {

/// The bytes of a file. @throws file_error for a folder, a missing or an unreadable file
std::string read_file(const std::string& path);

/// Runs `read`; whatever it finds wrong with the input is the file's fault.
template <class Read>
auto in_file(Read read) {
  try {
    return read();
  } catch (const file_error&) {
    throw;
  } catch (const input_error& e) {
    throw file_error(std::string(e.what()));
  }
}

}  // namespace coldgrease::detail
