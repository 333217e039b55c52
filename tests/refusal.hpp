// How a test gets at the one line of an error.
#pragma once

#include <string>

#include "coldgrease/base/error.hpp"

/// The message of the input_error that a function throws; empty if it throws none.
template <class Function>
std::string refusal(Function function) {
  try {
    function();
  } catch (const coldgrease::input_error& e) {
    return e.what();
  }
  return {};
}
