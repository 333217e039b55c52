#!/usr/bin/env bash
# Law: the completions offer what --help lists, no more and no less: every command, and the options of each; a word that
# is no option is completed to a file. What is for zsh is at least a script that zsh reads.
# Usage: completion.sh COLDGREASE FOLDER
set -euo pipefail

coldgrease=$1
folder=$2
failures=0
complain() { echo "$1"; failures=$((failures + 1)); }

# shellcheck source=/dev/null
source "$folder/coldgrease"

# What is offered for the words of a command line, of which the last is not finished.
offered() {
  COMP_WORDS=(coldgrease "$@")
  COMP_CWORD=$#
  COMPREPLY=()
  _coldgrease 2>/dev/null || true  # compopt works within a completion alone
  printf '%s\n' "${COMPREPLY[@]}" | sort
}

# "-h,--help" is two names; the first column of a help stands two blanks in.
helped() { "$coldgrease" "$@" --help | grep -oE '^  -[^ ]+' | tr -d ' ' | tr ',' '\n' | sort; }

mapfile -t commands < <("$coldgrease" --help | sed -n '/^Subcommands:/,$p' | grep -oE '^  [a-z]+' | tr -d ' ')
[ "${#commands[@]}" -ge 16 ] || complain "help lists only ${#commands[@]} commands"
[ "$(offered '')" = "$(printf '%s\n' "${commands[@]}" --help --version | sort)" ] || complain "the commands differ"
[ "$(offered cl)" = "$(printf '%s\n' class climate | grep '^cl' | sort)" ] || complain "cl is not completed"
for command in "${commands[@]}"; do
  [ "$(offered "$command" -)" = "$(helped "$command")" ] ||
    complain "options of $command differ: $(diff <(offered "$command" -) <(helped "$command") || true)"
  grep -q "^ *'$command:" "$folder/_coldgrease" || complain "zsh is not told of $command"
done

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
touch "$scratch/fleet.json"
cd "$scratch"
[ "$(offered pick fl)" = fleet.json ] || complain "a file is not completed"

if command -v zsh >/dev/null; then
  zsh -n "$folder/_coldgrease" || complain "zsh does not read its file"
fi

[ "$failures" -eq 0 ]
echo "completion: ${#commands[@]} commands"
