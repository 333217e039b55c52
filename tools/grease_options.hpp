// The options that name or describe a grease, shared by several subcommands.
#pragma once

#include "coldgrease/grease/grease.hpp"
#include "command.hpp"

namespace coldgrease::tools {

/// Oil data: --kv40 --kv100 --kv --vi.
std::vector<option> oil_options();
oil_data oil_from(const arguments& given);

/// Everything that names or describes a grease.
std::vector<option> grease_options();
/// The grease of the options; measured parameters hold at `at`.
grease grease_from(const arguments& given, temperature at);

/// Appends lists of options.
std::vector<option> joined(std::initializer_list<std::vector<option>> lists);

}  // namespace coldgrease::tools
