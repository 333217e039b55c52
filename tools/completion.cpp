#include "completion.hpp"

#include <algorithm>

namespace coldgrease::tools {

namespace {

/// "-h,--help" is two names.
std::vector<std::string> names_of(const option& o) {
  std::vector<std::string> names;
  for (std::string_view rest = o.name; !rest.empty();) {
    const std::string_view name = rest.substr(0, rest.find(','));
    rest.remove_prefix(std::min(name.size() + 1, rest.size()));
    names.emplace_back(name);
  }
  return names;
}

/// A word and what it does, as _describe of zsh takes it: in single quotes, the first colon between the two.
std::string described(std::string_view word, std::string_view does) {
  std::string out = "'" + std::string(word) + ":";
  for (const char c : does) out += c == '\'' ? std::string("'\\''") : c == '\n' ? std::string(" ") : std::string(1, c);
  return out + "'";
}

}  // namespace

std::string bash_completion(std::span<const command> commands) {
  std::string names, cases;
  for (const command& c : commands) {
    names += std::string(c.name) + " ";
    std::string options;
    for (const option& o : options_of(c))
      for (const std::string& name : names_of(o)) options += (options.empty() ? "" : " ") + name;
    cases += "      " + std::string(c.name) + ") words='" + options + "' ;;\n";
  }
  return "# Completion of coldgrease for bash, made from its help.\n"
         "_coldgrease() {\n"
         "  local word=${COMP_WORDS[COMP_CWORD]} words=\n"
         "  if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
         "    words='" +
         names +
         "--help --version'\n"
         "  elif [[ $word == -* ]]; then\n"
         "    case ${COMP_WORDS[1]} in\n" +
         cases +
         "    esac\n"
         "  fi\n"
         "  if [ -n \"$words\" ]; then\n"
         "    mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$word\")\n"
         "  else\n"
         "    mapfile -t COMPREPLY < <(compgen -f -- \"$word\")\n"
         "    compopt -o filenames\n"
         "  fi\n"
         "}\n"
         "complete -F _coldgrease coldgrease\n";
}

std::string zsh_completion(std::span<const command> commands) {
  std::string names, cases;
  for (const command& c : commands) {
    names += "    " + described(c.name, c.does) + "\n";
    cases += "    " + std::string(c.name) + ") words_here=(\n";
    for (const option& o : options_of(c))
      for (const std::string& name : names_of(o)) cases += "      " + described(name, o.help) + "\n";
    cases += "    ) ;;\n";
  }
  return "#compdef coldgrease\n"
         "# Completion of coldgrease for zsh, made from its help.\n"
         "local -a words_here=()\n"
         "if (( CURRENT == 2 )); then\n"
         "  words_here=(\n" +
         names +
         "  )\n"
         "  _describe command words_here\n"
         "elif [[ ${words[CURRENT]} == -* ]]; then\n"
         "  case ${words[2]} in\n" +
         cases +
         "  esac\n"
         "  _describe option words_here\n"
         "else\n"
         "  _files\n"
         "fi\n";
}

}  // namespace coldgrease::tools
