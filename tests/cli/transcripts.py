#!/usr/bin/env python3
"""Law: what README.md and tables/demo/README.md show is what happens, README.md names every command and no other, and
their links lead somewhere. A block of theirs is one of

  ```console  lines that begin with "$ " are typed, one after the other in one folder where "tables" lies; a backslash or
              a pipe at the end goes on in the next line. What stands below is all that is answered, byte for byte; a line
              "[...]" stands for lines that are left out
  ```cpp      lines of tests/consumer/program.cpp, which other tests compile and run; a blank line stands for others
  ```sh       scripts of the project

Usage: transcripts.py COMMAND [--write]
  --write  puts what is answered now into the transcripts; what it cannot place is said and left for a hand"""
import difflib
import os
import pathlib
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
DOCUMENTS = {"README.md": 1, "tables/demo/README.md": 8}  # and the fewest transcripts there
CUT = "[...]"


class block:
    def __init__(self, kind, line):
        self.kind, self.line, self.content = kind, line, []


def blocks_of(lines):
    """The blocks between fences, and those that are blocks by their indentation alone."""
    found, within = [], False
    for number, line in enumerate(lines, 1):
        if line.startswith("```"):
            if not within:
                found.append(block(line[3:], number))
            within = not within
        elif within:
            found[-1].content.append(line)
        elif line.startswith("    "):
            found.append(block("none", number))
    return found


def transcripts_of(content):
    """Pairs of lists: the lines that are typed, and those that are shown below them."""
    found, goes_on = [], False
    for line in content:
        if line.startswith("$ ") and not goes_on:
            found.append(([line], []))
        elif not found:
            raise ValueError(f"nothing is typed before: {line}")
        else:
            found[-1][0 if goes_on else 1].append(line)
            if not goes_on:
                continue
        goes_on = line.endswith(("\\", "|"))
    return found


def parts_of(lines, mark):
    parts = [[]]
    for line in lines:
        if line == mark:
            parts.append([])
        else:
            parts[-1].append(line)
    return parts


def place_of(part, lines, begin):
    """Where a part stands, line below line, from some line on; None if nowhere."""
    return next((at for at in range(begin, len(lines) - len(part) + 1) if lines[at:at + len(part)] == part), None)


def stands(shown, answered):
    """Whether what is shown is what was answered. What stands before the first cut is its beginning, what stands behind
    the last its end, and what stands between two is found in order."""
    parts, at = parts_of(shown, CUT), 0
    if len(parts) == 1:
        return shown == answered
    for i, part in enumerate(parts):
        last = i + 1 == len(parts)
        begin = 0 if i == 0 else len(answered) - len(part) if last else place_of(part, answered, at)
        if begin is None or begin < at or answered[begin:begin + len(part)] != part:
            return False
        at = begin + len(part)
    return True


def renewed(shown, answered):
    """What is shown, with its parts as they are answered now; None where a part is not found again."""
    parts, at, lines = parts_of(shown, CUT), 0, []
    if len(parts) == 1:
        return answered
    for i, part in enumerate(parts):
        if part:
            rest = answered[at:]
            same = [m for m in difflib.SequenceMatcher(None, part, rest, False).get_matching_blocks()
                    if any(part[m.a:m.a + m.size])]
            if not same:
                return None
            begin = 0 if i == 0 else same[0].b - same[0].a
            end = len(rest) if i + 1 == len(parts) else same[-1].b + len(part) - same[-1].a
            if begin < 0 or end > len(rest):
                return None
            lines += rest[begin:end]
            at += end
        lines += [CUT] if i + 1 < len(parts) else []
    return lines


def not_in_program(content, program):
    """The first part that does not stand in a program, whatever its indentation; empty if all do."""
    program = [line.strip() for line in program]
    for part in parts_of([line.strip() for line in content], ""):
        if place_of(part, program, 0) is None:
            return "\n".join(part)
    return ""


def check_itself():
    blocks = blocks_of(["a", "```console", "$ x", "1", "```", "b", "    $ y", "```cpp", "c", "```"])
    assert [(b.kind, b.line, b.content) for b in blocks] == [("console", 2, ["$ x", "1"]), ("none", 7, []), ("cpp", 8, ["c"])]
    assert transcripts_of(["$ a \\", "  b |", "c", "1", "$ d", "", "2"]) == [(["$ a \\", "  b |", "c"], ["1"]),
                                                                            (["$ d"], ["", "2"])]
    answer = list("12345")
    for right in ["12345", ".", "1.", ".5", "12.45", "1.23.", ".2.4.5"]:
        assert stands([CUT if c == "." else c for c in right], answer), right
    for wrong in ["", "1234", "123456", "2.", ".4", "1.1.", ".24.", ".4.2.", "123.345", ".9."]:
        assert not stands([CUT if c == "." else c for c in wrong], answer), wrong
    assert stands([], []) and not stands(["1"], [])
    assert renewed(["a", CUT, "c", "d", CUT, "f"], list("axbcDeyf")) == ["a", CUT, "c", "D", CUT, "f"]
    assert renewed(["a"], ["b"]) == ["b"]
    assert renewed([CUT, "c"], ["b"]) is None
    assert not not_in_program(["a();", "", "b();", "c();"], ["  a();", "x", "  b();", "  c();"])
    assert not_in_program(["a();", "b();"], ["a();", "x", "b();"])


def typed(lines, folder, command):
    path = f"{pathlib.Path(command).resolve().parent}:{os.environ['PATH']}"
    text = "\n".join([lines[0][2:]] + lines[1:])
    return subprocess.run(["/bin/sh", "-c", text], cwd=folder, env={**os.environ, "PATH": path}, stdin=subprocess.DEVNULL,
                          capture_output=True, text=True, check=False)


def console(b, folder, command, write):
    """Types a block again. Returns its lines, renewed if asked, and what is wrong with them."""
    lines, faults = [], []
    for words, shown in transcripts_of(b.content):
        r = typed(words, folder, command)
        answered = (r.stdout + r.stderr).splitlines()
        if r.returncode != 0 and not r.stderr:
            faults.append(f"{words[0]}: ends with {r.returncode}")
        fresh = shown
        if not stands(shown, answered):
            found = renewed(shown, answered)
            if write and found is not None:
                fresh = found
            else:
                differs = difflib.unified_diff(shown, answered if found is None else found, "shown", "answered", lineterm="")
                faults.append("\n".join([words[0], *differs]))
        lines += words + fresh
    return lines, faults


def document(name, least, command, write):
    path = ROOT / name
    text = path.read_text(encoding="utf-8")
    lines = text.splitlines()
    program = (ROOT / "tests/consumer/program.cpp").read_text(encoding="utf-8").splitlines()
    faults, count = [], 0
    with tempfile.TemporaryDirectory() as folder:
        os.symlink(ROOT / "tables", f"{folder}/tables")
        renewals = []
        for b in blocks_of(lines):
            wrong = []
            if b.kind == "console":
                fresh, wrong = console(b, folder, command, write)
                renewals.append((b, fresh))
                count += 1
            elif b.kind == "cpp":
                part = not_in_program(b.content, program)
                wrong = [f"does not stand in the program:\n{part}"] if part else []
            elif b.kind == "sh":
                for line in b.content:
                    script = line.split()[0]
                    if not (script.startswith("./tools/") and os.access(ROOT / script, os.X_OK)):
                        wrong.append(f"is no script of the project: {script}")
            else:
                wrong.append("is a block that no test holds")
            faults += [f"{name}:{b.line}: {w}" for w in wrong]
    for b, fresh in reversed(renewals):
        lines[b.line:b.line + len(b.content)] = fresh
    if write and lines != text.splitlines():
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    if count < least:
        faults.append(f"{name}: only {count} transcripts")
    for link in re.findall(r"\]\(([^)]+)\)", text):
        if not link.startswith("http") and not (path.parent / link).exists():
            faults.append(f"{name}: a link to {link}, which is not there")
    return faults


def commands(command):
    help_text = subprocess.run([command, "--help"], capture_output=True, text=True, check=True).stdout
    offered = re.findall(r"^  ([a-z]+)", help_text[help_text.index("Subcommands:"):], re.M)
    named = re.findall(r"^\| `([a-z]+)", (ROOT / "README.md").read_text(encoding="utf-8"), re.M)
    if len(offered) < 16 or sorted(offered) != sorted(named):
        return [f"README.md names {' '.join(sorted(named))}; there are {' '.join(sorted(offered))}"]
    return []


def main():
    if len(sys.argv) < 2 or sys.argv[2:] not in ([], ["--write"]):
        print(__doc__)
        return 2
    check_itself()
    write = len(sys.argv) > 2
    faults = commands(sys.argv[1])
    for name, least in DOCUMENTS.items():
        faults += document(name, least, sys.argv[1], write)
    print("\n".join(faults), end="\n" if faults else "")
    if faults and not write:
        print(f"transcripts: {sys.argv[0]} COMMAND --write puts in what is answered now")
    return 1 if faults else 0


sys.exit(main())
