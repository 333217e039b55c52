// What every fuzz target shares: bytes of unknown origin are read, or refused by an error of the library's own.
#pragma once

#include <string>
#include <string_view>

#include "coldgrease/base/error.hpp"

/// What a target defines: its readers take the bytes.
void take(const std::string& bytes);

namespace fuzz {

/// Ends the program where something does not hold, so that the input is kept.
void must(bool holds, std::string_view what);

/// An error is for a person at a terminal: one line of a bounded length, in UTF-8, that moves no cursor.
void must_be_a_plain_line(const std::string& text);

/// Runs a reader. What it throws beside input_error is a bug, and ends the program.
template <class Read>
void read_or_refuse(Read read) {
  try {
    read();
  } catch (const coldgrease::input_error& refused) {
    must_be_a_plain_line(refused.what());
  }
}

}  // namespace fuzz
