// Which version this is. The build reads it from here; the inline namespace of every header, v0, changes when a program
// built with an older header may no longer be linked.
#pragma once

#include <string_view>

#define COLDGREASE_VERSION_MAJOR 0
#define COLDGREASE_VERSION_MINOR 1
#define COLDGREASE_VERSION_PATCH 0
/// For #if: 10000 major + 100 minor + patch.
#define COLDGREASE_VERSION_NUMBER \
  (COLDGREASE_VERSION_MAJOR * 10000 + COLDGREASE_VERSION_MINOR * 100 + COLDGREASE_VERSION_PATCH)

namespace coldgrease::inline v0 {

/// "0.1.0", that of the library a program runs with; the macros are those of the headers it was compiled with.
std::string_view library_version() noexcept;

}  // namespace coldgrease::inline v0
