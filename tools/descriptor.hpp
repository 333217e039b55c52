// An open file of the system, closed at the end of its scope.
#pragma once

#include <unistd.h>

#include <utility>

namespace coldgrease::tools {

class descriptor {
 public:
  explicit descriptor(int number) : number_(number) {}
  ~descriptor() { close(); }
  descriptor(descriptor&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
  descriptor(const descriptor&) = delete;
  descriptor& operator=(descriptor&&) = delete;
  descriptor& operator=(const descriptor&) = delete;
  int number() const { return number_; }
  /// What the system says of it: 0, or -1 with errno.
  int close() { return number_ < 0 ? 0 : ::close(std::exchange(number_, -1)); }

 private:
  int number_;
};

}  // namespace coldgrease::tools
