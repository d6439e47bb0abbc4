#!/usr/bin/python3
"""The records of compare, headroom, sweep, plan, cases and portfolio against their schemas beside checker/write/review.schema.json.

Every shipped design goes through each command, without network. Then what a schema cannot say is calculated again here from the
rows: counts, order, that the parts of a difference and what is left over add up to it, that a part is the value less the value
with the group put back, that a turn lies between two points of other verdicts. Last, the schemas are shown to refuse spoilt
records. Prints how much was validated; exits 1 at the first design that fails.
"""
import copy
import json
import math
import os
import subprocess
import sys
from pathlib import Path

import jsonschema

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = os.environ.get("LEANRICH", "build/leanrich")
BASE = "designs/cobble-hythe.xml"
PAIRS = [(BASE, "designs/cobble-hythe-revamp.xml"), (BASE, "designs/cobble-hythe-mdea.xml"),
         ("designs/cobble-hythe-mdea.xml", BASE), (BASE, BASE), ("designs/curlew-spit.xml", "designs/heron-gate.xml")]
HEADROOMS = [(BASE, "circulation"), (BASE, "gas"), ("designs/curlew-spit.xml", "throughput"), ("designs/heron-gate.xml", "gas"),
             ("designs/saltmarsh-lea.xml", "circulation")]
SWEEPS = [(BASE, "lean-temperature", "30 degC", "70 degC"), (BASE, "strength", "20 wt%", "45 wt%"),
          ("designs/curlew-spit.xml", "lean-loading", "0.001", "0.02"), ("designs/curlew-spit.xml", "gas-h2s", "0.1 mol%", "4 mol%")]
PLANS = [("designs/marram-point.xml", "--justify"), ("designs/curlew-spit.xml", "--justify"), (BASE,), ("designs/heron-gate.xml",)]
CASES = [BASE, "designs/tern-quay.xml", "designs/heron-gate.xml", "designs/curlew-spit.xml"]


def run(*arguments, wanted=(0, 1)):
    done = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, cwd=ROOT, check=False)
    if done.returncode not in wanted:
        sys.exit(f"{' '.join(arguments)}: exit {done.returncode}: {done.stderr}")
    return done.stdout


def validator(name):
    schema = json.loads((ROOT / f"checker/write/{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def close(a, b, scale):
    return math.isclose(a, b, rel_tol=0, abs_tol=1e-6 * max(abs(scale), 1e-9))


PERMITS = ("tests/data/ruff-sands.xml", "4-P-3")


def compare_faults(record):
    for name, count in record["counts"].items():
        if name != "unchanged" and count != sum(row["change"] == name for row in record["findings"]):
            yield f"count of {name}"
    for row in record["findings"]:
        where = f"{row['rule']} {row['item']}"
        before, after = row["before"], row["after"]
        stood, stands = ((side or {}).get("verdict") in ("departs", "accepted") for side in (before, after))
        if row["change"] == "new" and (stood or not stands):
            yield f"{where}: new, and nothing new departs"
        if row["change"] == "resolved" and (stands or not stood):
            yield f"{where}: resolved, and it is not"
        if row["moved"] is None:
            continue
        scale = max(abs(before["value"]), abs(after["value"]))
        if not close(row["moved"], after["value"] - before["value"], scale):
            yield f"{where}: moved by {row['moved']}"
        valued = [part for part in row["parts"] if part["part"] is not None]
        if not close(sum(part["part"] for part in valued) + row["left_over"], row["moved"], scale):
            yield f"{where}: the parts and what is left over are not the difference"
        for part in valued:
            if not close(part["part"], after["value"] - part["value"], scale):
                yield f"{where}: the part of {part['group']}"
    for kept in record["metals_kept"]:
        if any(change["before"] == change["after"] for change in kept["conditions"]):
            yield f"{kept['item']}: kept at conditions that are no others"


def turns_faults(where, turns, at):
    places = [turn[at] for turn in turns]
    if places != sorted(places):
        yield f"{where}: turns out of order"
    for turn, following in zip(turns, turns[1:]):
        if turn["to"] != following["from"]:
            yield f"{where}: {turn['to']} becomes {following['from']} between two turns"
    for turn in turns:
        if turn["from"] == turn["to"]:
            yield f"{where}: a turn that turns nothing"


def headroom_faults(record):
    factors = [row["factor"] or 0 for row in record["limits"]]
    if factors != sorted(factors):
        yield "limits out of order"
    for row in record["limits"]:
        where = f"{row['rule']} {row['item']}"
        reached = [turn["factor"] for turn in row["turns"] if turn["to"] == "departs"]
        if (reached or [None])[0] != row["factor"]:
            yield f"{where}: the factor is not its first turn"
        stand = [turn for turn in row["turns"] if turn["factor"] < 1]
        passed = stand[-1]["to"] == "departs" if stand else row["turns"][0]["from"] == "departs" if row["turns"] else True
        if passed != row["passed"]:
            yield f"{where}: passed is {row['passed']}"
    for name in ("limits", "falling", "balances"):
        for row in record[name]:
            yield from turns_faults(f"{row['rule']} {row['item']}", row["turns"], "factor")
            if any(not record["least"] < turn["factor"] < record["most"] for turn in row["turns"]):
                yield f"{row['rule']} {row['item']}: a turn outside of the range"


def cases_faults(record):
    stands = {"departs": 2, "accepted": 2, "not judged": 1, "out of range": 1}
    for case in record["cases"]:
        for turn in case["turns"]:
            if stands.get(turn["from"], 0) == stands.get(turn["to"], 0):
                yield f"{case['id']}: {turn['rule']} {turn['item']}: a turn that turns nothing"
        lost = case["id"] == "solved-no-lean-cooling"  # what is not cooled is as warm as what enters its cooler
        uncooled = [v["base"] + v["solved"] - v["solved_base"] for v in case["values"] if lost and v["name"] == "temperature" and v["base"] is not None]
        for value in case["values"]:
            base, before, now = value["base"], value["solved_base"], value["solved"]
            if value["unit"] == "degC" and any(math.isclose(value["calculated"], own, abs_tol=1e-6) for own in uncooled):
                continue
            wanted = now if base is None else base + now - before if value["unit"] == "degC" else base * now / before if before > 1e-9 else None
            if wanted is not None and not math.isclose(value["calculated"], wanted, rel_tol=1e-6, abs_tol=1e-6):
                yield f"{case['id']}: {value['item']} {value['name']}: {value['calculated']}, not {wanted}"
        for off in case["off_specification"]:
            if not off["base"] <= off["limit"] < off["calculated"]:
                yield f"{case['id']}: {off['item']}: off its specification, and it is not"


def sweep_faults(record):
    points = record["points"]
    if points != sorted(points):
        yield "points out of order"
    for row in record["findings"]:
        where = f"{row['rule']} {row['item']}"
        if len(row["values"]) != len(points) or len(row["verdicts"]) != len(points):
            yield f"{where}: not one value for each point"
        yield from turns_faults(where, row["turns"], "at")
        for i, verdict in enumerate(row["verdicts"]):
            before = [turn for turn in row["turns"] if turn["at"] < points[i]]
            expected = before[-1]["to"] if before else row["turns"][0]["from"] if row["turns"] else verdict
            if verdict is not None and verdict != expected:
                yield f"{where}: {verdict} at {points[i]}, {expected} by the turns"


def plan_faults(record):
    asked = {"resolve": ("Resolve",), "justify": ("Resolve", "Justify")}[record["to_clear"]]
    goals = {(row["rule"], row["item"]) for row in record["goals"] if row["left_out"] is None}
    if any(row["action"] not in asked for row in record["goals"]):
        yield "a goal that is not to be cleared"
    if len({len(row["changes"]) for row in record["sets"]}) > 1:
        yield "sets of several sizes"
    for number, row in enumerate(record["sets"]):
        words = [change["change"] for change in row["changes"]]
        if len(words) != len(set(words)):
            yield f"set {number}: a change twice"
        cleared = {(turn["rule"], turn["item"]) for turn in row["turns"] if turn["before"] in asked and turn["after"] not in asked + ("State",)}
        new = [turn for turn in row["turns"] if turn["before"] not in asked and turn["after"] in asked]
        if row["fault"] is None and row["clears"] != (goals <= cleared and not new):
            yield f"set {number}: clears is {row['clears']}"
        if row["clears"] and row["leaves"]["resolve"] > sum(goal["action"] == "Resolve" and goal["left_out"] is not None for goal in record["goals"]):
            yield f"set {number}: more is left to resolve than was left out"
    for row in record["tried"]:
        own = any((turn["rule"], turn["item"], turn["after"]) == (row["rule"], row["item"], "none") for turn in row["turns"])
        if own != row["clears_own"] or any(turn["before"] == turn["after"] for turn in row["turns"]):
            yield f"{row['rule']} {row['item']}: {row['change']}"


def check(name, check_validator, record, faults):
    found = [f"{'/'.join(map(str, e.absolute_path))}: {e.message[:300]}" for e in check_validator.iter_errors(record)] + list(faults)
    if found:
        sys.exit("\n".join([f"{name}: {len(found)} faults"] + found[:20]))


def row_with(record, name, wanted):
    return next(row for row in record[name] if wanted(row))


def spoilt_compare(record):
    moved = lambda r: row_with(r, "findings", lambda row: row["moved"] is not None)
    yield "a change that is none", lambda r: r["findings"][0].update(change="other")
    yield "a difference without a unit", lambda r: moved(r).update(difference_unit=None)
    yield "a difference without a remainder", lambda r: moved(r).update(left_over=None)
    yield "a finding without parts", lambda r: r["findings"][0].pop("parts")
    yield "new, and nothing after", lambda r: row_with(r, "findings", lambda row: row["change"] == "new").update(after=None)
    yield "a value without a unit", lambda r: moved(r)["after"].update(unit=None)
    yield "a group that is none", lambda r: r["inputs"][0].update(group="weather")
    yield "an input that stands nowhere", lambda r: r["inputs"][0].update(line=0)
    yield "a part not computed, with a verdict", lambda r: moved(r)["parts"][0].update(computed=False)
    yield "a metal kept, and nothing of it", lambda r: r["metals_kept"][0].update(conditions=[], crossed="")
    yield "no count of new", lambda r: r["counts"].pop("new")


def spoilt_headroom(record):
    yield "a factor of nothing", lambda r: r["limits"][0].update(factor=0)
    yield "no factor, and not passed", lambda r: r["limits"][0].update(factor=None, passed=False, turns=[])
    yield "a factor without a turn", lambda r: r["limits"][0].update(turns=[])
    yield "a move to a factor by no rule", lambda r: row_with(r, "limits", lambda row: row["moves"])["moves"][0].update(rule=None, factor=1.2)
    yield "not reached, with a turn", lambda r: r["none"][0].update(turns=r["limits"][0]["turns"])
    yield "multiplied without its line", lambda r: r["multiplied"][0].pop("line")
    yield "something else multiplied", lambda r: r.update(of="pressure")


def spoilt_cases(record):
    solved = next(i for i, case in enumerate(record["cases"]) if case["turns"])
    yield "not solved, with values", lambda r: r["cases"][solved].update(not_solved="it did not converge")
    yield "a stated case with turns", lambda r: r["cases"][solved].update(stated=True)
    yield "a firm verdict", lambda r: r["cases"][solved]["turns"][0].update(certainty="firm")
    yield "a verdict that is none", lambda r: r["cases"][solved]["turns"][0].update(to="perhaps")
    yield "a value that is none", lambda r: r["cases"][solved]["values"][0].update(calculated=None)


def spoilt_sweep(record):
    yield "no points", lambda r: r.update(points=[])
    yield "numbers without a unit", lambda r: row_with(r, "findings", lambda row: row["unit"] is not None).update(unit=None)
    yield "a verdict that is none", lambda r: r["findings"][0]["verdicts"].__setitem__(0, "perhaps")
    yield "nothing set", lambda r: r.update(set=[])
    yield "a turn without its limit", lambda r: row_with(r, "findings", lambda row: row["turns"])["turns"][0].pop("limit")


def spoilt_plan(record):
    yield "a set of nothing", lambda r: r["sets"][0].update(changes=[])
    yield "a fault that clears", lambda r: r["sets"][0].update(fault="none")
    yield "a change without its words", lambda r: r["sets"][0]["changes"][0].pop("change")
    yield "an action that is none", lambda r: r["goals"][0].update(action="State")
    yield "a change that was not tried and clears", lambda r: r["tried"][0].update(fault="none", clears_own=True)
    yield "a turn to nowhere", lambda r: row_with(r, "tried", lambda row: row["turns"])["turns"][0].pop("after")


def spoilt_portfolio(record):
    yield "three counts", lambda r: r.update(counts=[1, 2, 3])
    yield "reviewed, and a fault", lambda r: r.update(fault="none")
    yield "no file", lambda r: r.pop("file")
    yield "a family without a name", lambda r: r["families"][0].update(prefix="velocity")


COMMON = [("a name too many", lambda r: r.update(extra=1)), ("another version", lambda r: r.update(version=r["version"] + 1)),
          ("no cautions", lambda r: r.update(cautions=[])), ("another record", lambda r: r.update(record="leanrich review"))]


def refuse(name, check_validator, record, changes):
    count = 0
    for what, change in changes:
        other = copy.deepcopy(record)
        change(other)
        if check_validator.is_valid(other):
            sys.exit(f"the schema of {name} lets through: {what}")
        count += 1
    return count


def permits_faults(record):
    ranks = [0 if row["worst"] else 2 if row["not_tried"] else 1 for row in record["verdicts"]]
    if ranks != sorted(ranks):
        yield "those that can depart are not first"
    for row in record["verdicts"]:
        if row["consistent"] > row["tries"]:
            yield f"{row['id']}: more consistent completions than tries"
        if row["worst"] and row["worst"]["verdict"] != "departs":
            yield f"{row['id']}: the worst does not depart"
        for end in ("worst", "best"):
            if row[end] and len(row[end]["values"]) != len(row["unknowns"]):
                yield f"{row['id']}: not one value for each unknown"


def spoilt_permits(_record):
    yield "a verdict without an id", lambda r: r["verdicts"][0].pop("id")
    yield "tries that are none", lambda r: r["verdicts"][0].update(tries=-1)


def main():
    refused = 0
    compare, headroom, sweep, plan, cases, permits, portfolio = map(
        validator, ("compare", "headroom", "sweep", "plan", "cases", "permits", "portfolio"))
    for base, revamp in PAIRS:
        record = json.loads(run("compare", "--json", base, revamp))
        check(f"compare {base} {revamp}", compare, record, compare_faults(record))
        if (base, revamp) == PAIRS[0]:
            refused += refuse("compare", compare, record, COMMON + list(spoilt_compare(record)))
    for design, driver in HEADROOMS:
        moves = ["--no-moves"] if design != BASE else []
        record = json.loads(run("headroom", "--json", "--of", driver, *moves, design))
        check(f"headroom {design} {driver}", headroom, record, headroom_faults(record))
        if (design, driver) == HEADROOMS[0]:
            refused += refuse("headroom", headroom, record, COMMON + list(spoilt_headroom(record)))
    for design, vary, first, last in SWEEPS:
        record = json.loads(run("sweep", "--json", "--vary", vary, "--from", first, "--to", last, "--steps", "9",
                                "--show", "lean-hot.temperature,lean-hot.service", design))
        check(f"sweep {design} {vary}", sweep, record, sweep_faults(record))
        if (design, vary) == SWEEPS[0][:2]:
            refused += refuse("sweep", sweep, record, COMMON + list(spoilt_sweep(record)))
    for arguments in PLANS:
        record = json.loads(run("plan", "--json", *arguments))
        check(f"plan {' '.join(arguments)}", plan, record, plan_faults(record))
        if arguments == PLANS[0]:
            refused += refuse("plan", plan, record, COMMON + list(spoilt_plan(record)))
    for design in CASES:
        record = json.loads(run("cases", "--json", design))
        check(f"cases {design}", cases, record, cases_faults(record))
        if design == CASES[0]:
            refused += refuse("cases", cases, record, COMMON + list(spoilt_cases(record)))
    record = json.loads(run("permits", "--json", "--item", PERMITS[1], PERMITS[0]))
    check(f"permits {PERMITS[0]}", permits, record, permits_faults(record))
    refused += refuse("permits", permits, record, COMMON + list(spoilt_permits(record)))
    designs = [str(path.relative_to(ROOT)) for path in sorted((ROOT / "designs").glob("*.xml"))]
    lines = run("portfolio", "--quiet", "--records", "-", *designs, "tests/broken/text.xml", "no-such.xml", wanted=[4]).splitlines()
    records = [json.loads(line) for line in lines]
    if len(records) != len(designs) + 2 or sum("fault" in record for record in records) != 2:
        sys.exit("portfolio: not one line for each description")
    for record in records:
        check(f"portfolio {record['file']}", portfolio, record, [])
    refused += refuse("portfolio", portfolio, records[0],
                      [("a name too many", COMMON[0][1])] + list(spoilt_portfolio(records[0])))
    print(f"{len(PAIRS)} comparisons, {len(HEADROOMS)} headrooms, {len(SWEEPS)} sweeps, {len(PLANS)} plans, {len(CASES)} of cases and "
          f"{len(records)} lines of a portfolio "
          f"follow their schemas; {refused} spoilt ones are refused")


main()
