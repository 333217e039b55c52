// What a reader refuses, noted so that reading goes on with the next sibling.
#pragma once

#include <utility>
#include <vector>

#include "coldgrease/base/error.hpp"

namespace coldgrease::inline v0::detail {

/// Where refusals go: into a list, or, without one, to the caller at once. A handle: copies share the list.
class refusals {
 public:
  refusals() = default;
  explicit refusals(std::vector<file_error>& all) : all_(&all) {}

  /// Runs `read`. @return false if it refused something, which is noted then
  template <class Read>
  bool go_on_after(Read read) const {
    if (!all_) {
      read();
      return true;
    }
    try {
      const std::size_t before = all_->size();
      read();
      return all_->size() == before;
    } catch (const file_error& refused) {
      all_->push_back(refused);
      return false;
    }
  }

 private:
  std::vector<file_error>* all_ = nullptr;
};

}  // namespace coldgrease::inline v0::detail
