#include "coldgrease/base/version.hpp"

#define COLDGREASE_TEXT_OF(number) #number
#define COLDGREASE_DOTTED(major, minor, patch) \
  COLDGREASE_TEXT_OF(major) "." COLDGREASE_TEXT_OF(minor) "." COLDGREASE_TEXT_OF(patch)

namespace coldgrease::inline v0 {

std::string_view library_version() noexcept {
  return COLDGREASE_DOTTED(COLDGREASE_VERSION_MAJOR, COLDGREASE_VERSION_MINOR, COLDGREASE_VERSION_PATCH);
}

}  // namespace coldgrease::inline v0
