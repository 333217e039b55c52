// How far a long answer has come. The library prints nothing: a program that wants to show it listens.
#pragma once

#include <cstddef>

namespace coldgrease::inline v0 {

/// `tell` is called in the thread that asked, after every step, with the steps done and those of the whole answer;
/// where others work beside it, after every step of its own and last of all.
struct progress {
  void (*tell)(void* listener, std::size_t done, std::size_t all) = nullptr;
  void* listener = nullptr;
};

}  // namespace coldgrease::inline v0
