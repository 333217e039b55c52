// Installations as a part of a fleet file.
#pragma once

#include "base/json_node.hpp"
#include "coldgrease/line/installation.hpp"

namespace coldgrease::inline v0::detail {

/// One installation; `folder` is where a `lines_file` is looked for.
installation read_installation(const json_node& node, const std::string& folder);

}  // namespace coldgrease::inline v0::detail
