#!/usr/bin/python3
"""Writes line_list.csv, 300 lines as many hands type them, and line_list.expected, every cell that is to be reported.

What is odd about a cell is known here where it is made, not taken from what the program says of it. All of it is invented.
Run in tests/data; the two files are kept.
"""
import csv
import random

random.seed(300)
HEAD = ["Line No.", "Service", "Size", "Sched.", "Mat'l", "PWHT", "Op. temp. (degC)", "Op. press. (barg)", "Design temp. (degC)",
        "Design press. (barg)", "C.A. (mm)", "From", "To", "Insul.", "Remarks"]
READ, LEFT = "cell-interpreted", "cell-left-out"


def comma(number):
    return str(number).replace(".", ",")


def plain(index):
    return [f"{random.choice([2, 3, 4, 6, 8])}-P-{4000 + index}", random.choice(["Lean amine", "RICH AMINE", "reflux"]),
            random.choice(['6"', "DN150", '1-1/2"', "1½\"", "NPS 4", '3 "', "DN 80", '10"']),
            random.choice(["40", "Sch.40", "STD", "sch 80", "XS", "S40"]), random.choice(["CS", "C.S.", "316L", "SS316L"]),
            random.choice(["Y", "N", "yes", "no"]), comma(random.randint(300, 1200) / 10), comma(random.randint(10, 600) / 10),
            str(random.randint(80, 150)), comma(random.randint(100, 900) / 10), random.choice(["3", "1,5", "0", "3,0"]),
            random.choice(["C-401", "E-402", "V-403"]), random.choice(["P-404", "E-402", "TK-405"]), random.choice(["Y", "N", ""]), ""]


# Where, what is written there (of the row as it is), and what is to be said of it: None for a cell that is plain.
MESS = [
    ("a range", 6, lambda row: "45-60", READ),
    ("a range with a slash", 6, lambda row: "45 / 60,5", READ),
    ("a range in words", 8, lambda row: "80 to 110", READ),
    ("ambient", 6, lambda row: "AMB", READ),
    ("vacuum beside a pressure", 9, lambda row: "3,5/FV", READ),
    ("vacuum alone", 9, lambda row: "FV", LEFT),
    ("not applicable", 9, lambda row: "N/A", None),
    ("a dash", 10, lambda row: "-", None),
    ("to be confirmed", 6, lambda row: "TBC", LEFT),
    ("a value to be confirmed", 6, lambda row: "85 TBC", READ),
    ("a note", 8, lambda row: "120 (note 3)", READ),
    ("a star", 8, lambda row: "120*", READ),
    ("about", 6, lambda row: "~ 45", READ),
    ("another unit", 6, lambda row: "113 °F", READ),
    ("a pressure in another unit", 7, lambda row: "145 psig", READ),
    ("thousands or decimals", 9, lambda row: "1.234", LEFT),
    ("a point for a comma", 7, lambda row: "5.25", READ),
    ("a metal without a word", 4, lambda row: "Alloy K", LEFT),
    ("two sizes", 2, lambda row: '6"x4"', LEFT),
    ("a bare size", 2, lambda row: "6", LEFT),
    ("no size", 2, lambda row: '7"', LEFT),
    ("no schedule", 3, lambda row: "special", LEFT),
    ("neither yes nor no", 5, lambda row: "per spec", LEFT),
    ("letters for a number", 10, lambda row: "see datasheet", LEFT),
    ("lines in a cell", 14, lambda row: "first\nsecond; third", None),
    ("an empty cell", 7, lambda row: "", None),
    ("a service without a word", 1, lambda row: "Flare", LEFT),
    ("a hotter place than there is", 6, lambda row: "-400", LEFT),
]

rows, expected, seen = [], [], []
rows.append(["LINE LIST", "rev C", "unit 400"] + [""] * 12)
rows.append([""] * 15)
rows.append(HEAD)
for index in range(300):
    row = plain(index)
    place = len(rows) + 1
    if index % 5 == 2:
        what, column, make, code = MESS[(index // 5) % len(MESS)]
        row[column] = make(row)
        if code:
            expected.append((place, column + 1, code))
    if index in (120, 240):
        row[0] = seen[3]  # occurs above already
        expected = [e for e in expected if e[0] != place] + [(place, 1, LEFT)]
    if index == 180:
        row[0] = ""
        expected = [e for e in expected if e[0] != place] + [(place, 1, LEFT)]
    if index == 200:
        row = row[:10]  # the end of the row was never typed
        expected = [e for e in expected if e[0] != place or e[1] <= 10]
    if index == 220:
        row.append("one too many")
        expected.append((place, 16, LEFT))
    seen.append(row[0])
    rows.append(row)

with open("line_list.csv", "w", newline="", encoding="utf-8-sig") as out:
    csv.writer(out, delimiter=";").writerows(rows)
with open("line_list.expected", "w", encoding="utf-8") as out:
    for row, column, code in sorted(expected):
        out.write(f"{row}:{column}: {code}\n")
