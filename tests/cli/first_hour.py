#!/usr/bin/python3
"""Plays a buyer's first hour: a first fleet, its tables saved by spreadsheet programs of two countries, a check, a plan
in every format and the report. Usage: first_hour.py COMMAND TABLES
Skipped (77) without openpyxl."""
import csv
import datetime
import io
import json
import os
import subprocess
import sys
import tempfile

try:
    import openpyxl
except ImportError:
    sys.exit(77)

command, tables = sys.argv[1], sys.argv[2]
faults = 0


def holds(what, fact):
    global faults
    if not fact:
        faults += 1
        print("FAILED:", what)


def run(*words, expect=0):
    done = subprocess.run([command, *words], capture_output=True, text=True, env={**os.environ, "COLDGREASE_TABLES": tables})
    holds(f"{words}: exit {done.returncode}, {expect} expected: {done.stderr[:400]}", done.returncode == expect)
    return done.stdout if expect == 0 else done.stderr


def rows_of(path):
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.reader(line for line in file if not line.startswith("#")))


def as_comma_locale(path):
    """As a spreadsheet of a country with decimal commas saves it: semicolons, CRLF, a byte-order mark, local dates; and as
    people leave it: a title, an empty row, a row of totals."""
    rows = rows_of(path)

    def cell(text):
        try:
            float(text)
            return text.replace(".", ",")
        except ValueError:
            pass
        try:
            return datetime.date.fromisoformat(text).strftime("%d.%m.%Y")
        except ValueError:
            return text

    out = io.StringIO()
    writer = csv.writer(out, delimiter=";", lineterminator="\r\n")
    writer.writerow(["Winter"] + [""] * (len(rows[0]) - 1))
    writer.writerow([head.replace("[", "(").replace("]", ")") for head in rows[0]])
    for row in rows[1:]:
        writer.writerow([cell(text) for text in row])
    writer.writerow([""] * len(rows[0]))
    writer.writerow(["Total"] + [""] * (len(rows[0]) - 1))
    with open(path, "w", encoding="utf-8-sig", newline="") as file:
        file.write(out.getvalue())


def as_utf16(path):
    """As a spreadsheet saves "Unicode text": tabs, UTF-16."""
    rows = rows_of(path)
    out = io.StringIO()
    csv.writer(out, delimiter="\t", lineterminator="\r\n").writerows(rows)
    with open(path, "w", encoding="utf-16", newline="") as file:
        file.write(out.getvalue())


def edited(path, change):
    rows = rows_of(path)
    change(rows)
    with open(path, "w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)


def column(rows, name):
    return next(i for i, head in enumerate(rows[0]) if head.split(" [")[0] == name)


def own_rows(fleet):
    """Two greases and three lines of the user's own in place of the invented ones."""

    def greases(rows):
        rows.append(list(rows[1]))
        for row, name, label, price in ((rows[1], "soft", "NLGI 00", "7.25 EUR/kg"), (rows[2], "stiff", "NLGI 1", "5.75 EUR/kg")):
            row[column(rows, "name")], row[column(rows, "nlgi")], row[column(rows, "price")] = name, label, price

    def lines(rows):
        for point, length in (("brake cam right", "5.25"), ("slack adjuster", "6.5")):
            rows.append(list(rows[1]))
            rows[-1][column(rows, "point")], rows[-1][column(rows, "length")] = point, length

    def installations(rows):  # of a reservoir that does not last the year
        rows[1][column(rows, "reservoir")] = "0.6 L"

    edited(f"{fleet}/greases.csv", greases)
    edited(f"{fleet}/installations.csv", installations)
    edited(f"{fleet}/lines.csv", lines)


def check_decision(book, answer):
    """A row a fill, with the days that every other answer names, 29 February between them or not."""
    decision = list(book["decision"].values)
    fills = [(r["route"], f) for r in answer["routes"] for f in r["fills"]]
    holds("a row a fill", len(decision) - 1 == len(fills))
    for row, (route, fill) in zip(decision[1:], fills):
        cell = dict(zip(decision[0], row))
        holds(f"{cell}", cell["route"] == route and cell["grease"] == fill["grease"] and cell["days"] == fill["days"] and
              abs(cell["chance"] - fill["chance"]) < 1e-12)
        if cell["from"]:
            holds(f"{cell['from']} is a day", cell["from"].strftime("%m-%d") == fill["from"])
            holds(f"{cell['to']} is a day", cell["to"].strftime("%m-%d") == fill["to"])


def check_workbook(path, answer):
    book = openpyxl.load_workbook(path)
    holds(f"{path}: sheets {book.sheetnames}",
          book.sheetnames == ["decision", "order", "calendar", "lines", "evidence", "assumptions"])
    order = list(book["order"].values)
    heads = list(order[0])
    for key, head in (("to_buy_kg", "to buy [kg]"), ("pumped_kg", "pumped [kg]"), ("money", "money [EUR]")):
        at = heads.index(head)
        cells = [row[at] for row in order[1:-1]]
        stated = [row[key] for row in answer["purchase"]["rows"]]
        holds(f"{head}: {cells} {stated}", len(cells) == len(stated) and all(abs(a - b) <= 1e-9 * b for a, b in zip(cells, stated)))
        holds(f"{head}: {order[-1][at]}", order[-1][at] == f"=SUM({openpyxl.utils.get_column_letter(at + 1)}2:"
              f"{openpyxl.utils.get_column_letter(at + 1)}{len(order) - 1})")
    # What the file itself keeps as the value of the sum, for programs that compute nothing.
    sums = list(openpyxl.load_workbook(path, data_only=True)["order"].values)[-1]
    holds("sum of the money", abs(sums[heads.index("money [EUR]")] - answer["purchase"]["grease"]) < 1e-6)
    check_decision(book, answer)
    points = {row[list(book["lines"].values)[0].index("point")] for row in list(book["lines"].values)[1:]}
    holds(f"{points}", {"brake cam left", "brake cam right", "slack adjuster"} <= points)
    holds("cautions", any(row[1] == "caution" for row in book["assumptions"].values))
    holds("checksums", any(str(row[1]).startswith("checksum") for row in book["assumptions"].values))


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    for save, units in ((None, "si"), (as_comma_locale, "si"), (as_utf16, "si"), (as_comma_locale, "us")):
        fleet = f"{save.__name__ if save else 'plain'} {units}"
        run("new", fleet, "--units", units)
        holds("it answers as it is written", "invented route" in run("pick", f"{fleet}/fleet.json"))
        own_rows(fleet)
        plain = json.loads(run("plan", f"{fleet}/fleet.json", "--json"))
        for name in ("greases.csv", "installations.csv", "lines.csv", "routes.csv", "weather.csv"):
            if save:
                save(f"{fleet}/{name}")
        proof = json.loads(run("check", f"{fleet}/fleet.json", "--json"))
        answer = json.loads(run("plan", f"{fleet}/fleet.json", "--json"))
        told = [m for m in answer["missing"] if "left out" in m or "taken so" in m]
        holds(f"{fleet}: {told}", len(told) == {None: 0, as_comma_locale: 6, as_utf16: 3}[save])
        holds(f"{fleet}: the same plan, however it was saved", answer["routes"][0]["fills"] == plain["routes"][0]["fills"] and
              answer["purchase"] == plain["purchase"])
        holds("a grease is ordered", answer["purchase"]["rows"] and answer["purchase"]["rows"][0]["to_buy_kg"] > 0)
        if units == "us":
            continue
        for ending in ("txt", "xlsx", "ics"):
            said = run("plan", f"{fleet}/fleet.json", "-o", f"{fleet}/plan.{ending}")
            holds(said, said.startswith(f"{fleet}/plan.{ending}: ") and said.endswith(" kB written\n"))
        check_workbook(f"{fleet}/plan.xlsx", answer)
        holds("refills in the calendar", "SUMMARY:Refill invented trailer" in open(f"{fleet}/plan.ics").read())
        run("report", f"{fleet}/fleet.json", "-o", f"{fleet}/page.html")
        holds("the route on the page", "invented route" in open(f"{fleet}/page.html", encoding="utf-8").read())
        run("report", f"{fleet}/fleet.json", "-o", f"{fleet}/year.xlsx")
        check_workbook(f"{fleet}/year.xlsx", answer)
        holds("one workbook, whichever command wrote it",
              open(f"{fleet}/plan.xlsx", "rb").read() == open(f"{fleet}/year.xlsx", "rb").read())
        for words in (("pick",), ("plan",), ("line", "--installation", "invented trailer", "--grease", "soft", "--at", "-10 C"),
                      ("compare", "--grease", "soft")):
            table = list(csv.reader(io.StringIO(run(words[0], f"{fleet}/fleet.json", *words[1:], "--csv"))))
            holds(f"{words}: {len(table)} rows", len(table) > 1 and all(len(row) == len(table[0]) for row in table))

    # Tables of the user's own, from the first word.
    run("new", "own", "--greases", "plain si/greases.csv", "--lines", "plain si/lines.csv")
    answer = json.loads(run("pick", "own/fleet.json", "--json"))
    holds("own greases", {g["grease"] for g in answer["routes"][0]["months"][0]["greases"]} == {"soft", "stiff"})
    run("new", "copy", "--from", "demo")
    holds("the copy has no text and no pictures", all(n.endswith((".csv", ".json")) for n in os.listdir("copy")))
    run("check", "copy/fleet.json")
    run("plan", "copy/fleet.json", "-o", "copy/plan.xlsx")
    check_decision(openpyxl.load_workbook("copy/plan.xlsx"), json.loads(run("plan", "copy/fleet.json", "--json")))

if faults:
    sys.exit(1)
print("the first hour ends with an order")
