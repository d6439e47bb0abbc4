#!/usr/bin/python3
"""The record of every design against checker/write/review.schema.json (Debian: python3-jsonschema), without network.

Reviews each unit description of designs/ and tests/designs/, and the starter that `leanrich template` writes, and
validates what --json prints, with every profile that is built in. Then what a schema cannot say: keys of sources
resolve, one limit governs where a rule departed, counts are those of the rows. Last, the schema is shown to refuse:
each of a list of spoilt records must fail. Prints how many were validated; exits 1 on the first design that fails.
"""
import copy
import json
import os
import subprocess
import sys
from pathlib import Path

import jsonschema

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = os.environ.get("LEANRICH", "build/leanrich")
PROFILES = ["default", "strictest", "example-company"]
ACTIONS = {"resolve": "Resolve", "justify": "Justify", "consider": "Consider"}


def run(*arguments, text=None):
    done = subprocess.run([PROGRAM, *arguments], input=text, capture_output=True, text=True, cwd=ROOT, check=False)
    if done.returncode > 1:
        sys.exit(f"{' '.join(arguments)}: exit {done.returncode}: {done.stderr}")
    return done.stdout


def record_of(design, profile, text=None):
    return json.loads(run("review", "--json", "--profile", profile, design, text=text))


def without_samples_faults(design, record, validator):
    """--no-samples leaves out the shares and changes nothing else."""
    bare = json.loads(run("review", "--json", "--no-samples", design))
    yield from (f"without samples: {fault.message}" for fault in validator.iter_errors(bare))
    full = copy.deepcopy(record)
    taken = []
    for one in (full, bare):
        one["sulfide"]["sample_seed"] = None
        shares = [place.pop("sample_shares") for place in one["sulfide"]["circuit"] if not place["missing"]]
        taken.append(sum(share["samples"] for share in shares if share))
    if not taken[0] or taken[1]:
        yield f"{taken[0]} samples with, {taken[1]} without"
    if full != bare:
        yield "--no-samples changes more than the shares"


def cross_faults(record):
    """What holds between rows and cannot be said in a schema."""
    keys = {source["key"] for source in record["sources"]}
    cases = {case["id"] for case in record["unit"]["cases"]} | {"every case"}
    ids = [finding["id"] for finding in record["findings"]]
    if len(ids) != len(set(ids)):
        yield "two findings with one id"
    for finding in record["findings"]:
        where = finding["id"]
        if finding["case"] not in cases:
            yield f"{where}: no case {finding['case']}"
        for limit in finding["limits"]:
            if limit["source"] not in keys:
                yield f"{where}: no source {limit['source']}"
            comparable = "value" in limit and limit["applies"] and finding["unit"] is not None
            if comparable and limit["unit"] != finding["unit"]:
                yield f"{where}: {finding['unit']} beside {limit['unit']}"
        governing = [limit["source"] for limit in finding["limits"] if limit["governs"]]
        if finding["verdict"] in ("departs", "accepted") and finding["governing"] not in governing:
            yield f"{where}: departs and no limit governs"
    for name, action in ACTIONS.items():
        if record["counts"][name] != sum(finding["action"] == action for finding in record["findings"]):
            yield f"count of {name}"
    if record["counts"]["state"] != sum(question["now"] for question in record["questions"]):
        yield "count of state"
    for working in record["workings"]:
        if working["source"] is not None and working["source"] not in keys:
            yield f"{working['item']} {working['name']}: no source {working['source']}"


def departed(record):
    """One that has a value compared with a number."""
    return next(f for f in record["findings"] if f["verdict"] == "departs" and isinstance(f["value"], float))


def spoilt(record):
    """Copies of a good record, each with one fault that the schema must refuse."""
    def changed(change):
        other = copy.deepcopy(record)
        change(other)
        return other

    yield "a name too many", changed(lambda r: r.update(extra=1))
    yield "another version", changed(lambda r: r.update(version=r["version"] + 1))
    yield "no cautions", changed(lambda r: r.update(cautions=[]))
    for name in ("item", "case", "value", "unit", "limits", "action", "line", "certainty"):
        yield f"a finding without its {name}", changed(lambda r, n=name: departed(r).pop(n))
    yield "a number without a unit", changed(lambda r: departed(r).update(unit=None))
    yield "a departure without limits", changed(lambda r: departed(r).update(limits=[]))
    yield "a departure without action", changed(lambda r: departed(r).update(action="none"))
    yield "a departure that stands nowhere", changed(lambda r: departed(r).update(line=0))
    yield "a limit without a source", changed(lambda r: departed(r)["limits"][0].pop("source"))
    yield "a limit with number and words", changed(lambda r: departed(r)["limits"][0].update(says="both"))
    yield "a force that is no force", changed(lambda r: departed(r).update(force="mandatory"))


def tried_faults(design, record, validator):
    """Remedies tried add what was tried to what departs, and change nothing else."""
    other = json.loads(run("review", "--json", "--remedies-tried", design))
    yield from (f"tried, {'/'.join(map(str, e.absolute_path))}: {e.message}" for e in validator.iter_errors(other))
    tried = {finding["id"]: finding.pop("tried", None) for finding in other["findings"]}
    if other != record:
        yield f"{design}: with its remedies tried the record says something else"
    if not any(tried.values()) or any("tried" in finding for finding in record["findings"]):
        yield f"{design}: tried where it was not asked for, or not where it was"
    for finding in record["findings"]:
        for row in tried[finding["id"]] or []:
            own = any((turn["rule"], turn["item"], turn["after"]) == (finding["rule"], finding["item"], "none") for turn in row["turns"])
            if own != row["clears_own"] or finding["action"] not in ("Resolve", "Justify", "Consider"):
                yield f"{finding['id']}: {row['change']}"


def main():
    schema = json.loads((ROOT / "checker/write/review.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    designs = [str(path.relative_to(ROOT)) for folder in ("designs", "tests/designs")
               for path in sorted((ROOT / folder).glob("*.xml"))]
    inputs = [(design, None) for design in designs] + [("-", run("template"))]
    findings = validated = 0
    for profile in PROFILES:
        for design, text in inputs:
            record = record_of(design, profile, text)
            faults = [f"{'/'.join(map(str, e.absolute_path))}: {e.message}" for e in validator.iter_errors(record)]
            faults += list(cross_faults(record))
            if faults:
                sys.exit("\n".join([f"{design}, {profile}: {len(faults)} faults"] + faults[:20]))
            findings += len(record["findings"])
            validated += 1
    record = record_of("designs/tern-quay.xml", "default")
    faults = list(without_samples_faults("designs/tern-quay.xml", record, validator))
    faults += tried_faults("designs/curlew-spit.xml", record_of("designs/curlew-spit.xml", "default"), validator)
    if faults:
        sys.exit("\n".join(faults[:20]))
    refused = 0
    for what, other in spoilt(record):
        if validator.is_valid(other):
            sys.exit(f"the schema lets through: {what}")
        refused += 1
    print(f"{validated} records with {findings} findings follow the schema; {refused} spoilt ones are refused")


main()
