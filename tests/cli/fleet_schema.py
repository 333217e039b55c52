#!/usr/bin/python3
"""Law: the JSON Schema takes every fleet of the tests that is read, and refuses those that are refused, but for what
no schema can say: names that must agree, files, data that contradict each other, values in words of their own.
Usage: fleet_schema.py SCHEMA TESTS FLEET...
Exit 0 all well, 1 not, 77 not checked because python3-jsonschema is not installed."""
import json
import pathlib
import re
import sys

try:
    import jsonschema
except ImportError:
    print("fleet_schema: not checked: python3-jsonschema is not installed")
    sys.exit(77)

# Reasons that a schema cannot know, as the refusals of fleet files say them.
BEYOND = [
    # names that must agree, and files
    "is called", "are called", "stands twice", "No such file", "is a folder", "stand apart", "is a pipe", "lies outside of",
    # ranges of quantities
    "is not a finite", "2 mm2/s", '" is no ',
    # words with a meaning
    "/design", "/nlgi", "no weather format",
    # several keys together
    "150 mm2/s at 40 C and 200", "is not colder", "belongs to", "has no hours", "pump_output", "is the name of a point",
    "stands in a multi-outlet system", "counts movements", "of the same pump", "has no price", "of unknown size", "is below the station", "is in USD",
]


class case:
    def __init__(self, name):
        self.name, self.files, self.args, self.exit, self.stderr = name, {}, "", 0, []


def cases_of(path):
    """Cases of a .case file; see tests/cli/cases.cpp for its language."""
    found, current, file = [], None, None
    for line in path.read_text(encoding="latin-1").splitlines():
        word, _, rest = line.partition(" ")
        if line.startswith("==="):
            current, file = case(path.name + ": " + line[4:]), None
            found.append(current)
        elif current is None:
            continue
        elif word == "file":
            file = rest
            current.files[file] = ""
        elif line.startswith("|") and file is not None:
            current.files[file] += line[2:] + "\n"
        elif word == "*" or word == "x":
            current.files.pop(file, None)  # bytes and repetitions: no fleet that a schema is asked of
            file = None
        elif word == "args":
            current.args, file = rest, None
        elif word == "exit":
            current.exit = int(rest)
        elif word == "stderr":
            current.stderr.append(rest)
    return found


def main(schema_path, tests, *fleets):
    schema = json.loads(pathlib.Path(schema_path).read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    failures, taken, refused, beyond = [], 0, 0, 0

    def fault(fleet):
        error = jsonschema.exceptions.best_match(validator.iter_errors(fleet))
        return None if error is None else f"{'/'.join(map(str, error.absolute_path))}: {error.message[:200]}"

    for path in list(fleets) + [f"{tests}/plan/every_key.json"]:
        wrong = fault(json.loads(pathlib.Path(path).read_text()))
        taken += wrong is None
        if wrong:
            failures.append(f"{path} is refused: {wrong}")

    for path in sorted(pathlib.Path(tests).glob("c*/*.case")):
        for c in cases_of(path):
            named = re.match(r'"?(pick|plan|report|line|doses|starve|change|chart)"? "?([\w./-]+\.json)"?', c.args)
            if not named or named.group(2) not in c.files:
                continue
            try:
                fleet = json.loads(c.files[named.group(2)])
            except ValueError:
                continue
            wrong = fault(fleet)
            said = " ".join(c.stderr)
            if c.exit == 0 or named.group(2) not in said + named.group(2) and "json" not in said:
                taken += wrong is None
                if wrong:
                    failures.append(f"{c.name} is read, and refused by the schema: {wrong}")
            elif c.exit == 1:
                refused += wrong is not None
                if wrong is None:
                    beyond += 1
                    if not any(reason in said for reason in BEYOND) and "/" in said:
                        failures.append(f"{c.name} is taken by the schema, though: {said}")
    # A key of null is as good as missing.
    whole = json.loads(pathlib.Path(f"{tests}/plan/every_key.json").read_text())
    whole["routes"][1]["legs"][0].update({"design": None, "elevation": None})
    whole["installations"][0]["lines"][1]["segments"][0].update({"tube": None, "wall": None})
    whole["installations"][0]["lines_file"] = None
    whole["greases"][0]["penetration"]["source"] = None
    if fault(whole):
        failures.append(f"keys of null are refused: {fault(whole)}")
    # The check itself must see what it looks for.
    if fault({"greases": []}) is None or fault({}) is None:
        failures.append("a fleet of nothing is taken")
    print("\n".join(failures))
    print(f"fleet_schema: {taken} taken, {refused} refused, {beyond} beyond a schema, {len(failures)} wrong")
    return 1 if failures or taken < 20 or refused < 20 else 0


sys.exit(main(*sys.argv[1:]))
