// One line of standard error that says how far a long run has come.
#pragma once

#include <chrono>
#include <string_view>

#include "coldgrease/plan/progress.hpp"

namespace coldgrease::tools {

/// Shown only where standard error is a terminal, after the first second, five times a second; wiped in the end.
class progress_line {
 public:
  /// @param wanted  false: never shown   @param what  is going on
  progress_line(bool wanted, std::string_view what);
  ~progress_line();
  progress_line(const progress_line&) = delete;
  progress_line& operator=(const progress_line&) = delete;

  void show(std::string_view how_far);
  /// The library's listener; shows per cent.
  progress listener();

 private:
  bool wanted_;
  bool shown_ = false;
  std::string_view what_;
  std::chrono::steady_clock::time_point next_;
};

}  // namespace coldgrease::tools
