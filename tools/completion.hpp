// Completion of command lines, from the words that --help shows.
#pragma once

#include <span>
#include <string>

#include "command.hpp"

namespace coldgrease::tools {

/// A file for bash-completion: commands, then the options of the one that stands there, else names of files.
std::string bash_completion(std::span<const command> commands);
/// The same for zsh, with what each word does beside it.
std::string zsh_completion(std::span<const command> commands);

}  // namespace coldgrease::tools
