"""The figures that the documents name, and what they are now: each is a group of a pattern over the document.

What takes hours to measure (bench, coverage, mutations, fuzzing) is not here: those lines say how they were measured. Counts of the
faults that are tried come from tests/run_faults itself.
"""
import ast
import difflib
import json
import re
import subprocess
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FAMILY = ROOT / "rules/velocity.xml"
DEMO = "designs/tern-quay.xml"
EXAMPLE = "designs/marram-point.xml"


def review(program, design, *options):
    done = subprocess.run([program, "review", "--json", "--no-samples", *options, ROOT / design], capture_output=True, text=True,
                          check=False)
    return json.loads(done.stdout)


def metres_per_second(record, rule, item):
    finding = next(row for row in record["findings"] if row["rule"] == rule and row["item"] == item)
    return f"{finding['value']:.2f}"


def attributes():
    schema = (ROOT / "checker/read/unit.xsd").read_text(encoding="utf-8")
    return len(set(re.findall(r'<xs:attribute name="([^"]+)"', schema)))


def readme(program):
    """Of README.md: what the figures are about, the pattern, the values of its groups."""
    record = review(program, EXAMPLE)
    yield ("velocity of the example", r"0\.00821 m2 = ([0-9.]+) m/s", [metres_per_second(record, "VEL-003", "4-R-2101")])
    yield ("velocity that others pass", r"would pass ([0-9.]+) m/s", [metres_per_second(record, "VEL-003", "4-R-2101")])
    yield ("attributes", r"of the (\d+) attributes a description can hold", [attributes()])


def describing(counts):
    yield ("units", r"UNITS: (\d+) spellings for (\d+) kinds of quantity", [counts["spellings"], counts["kinds"]])


def findings(counts):
    yield ("largest description", r"A description may have (\d+) MiB and\s+([0-9,]+) elements",
           [counts["mebibytes"], f"{counts['elements']:,}"])


def rules(counts):
    yield ("how limits are known",
           r"Of the (\d+) limits of the (\d+) rules, (\d+) are read \((\d+) of them in unnamed sources\), (\d+) secondary, (\d+)\s+"
           r"from memory\s+and (\d+) common practice",
           [counts[name] for name in ("limits", "rules", "read", "unnamed", "secondary", "memory", "common practice")])


def stripping(program):
    self_consistency = review(program, EXAMPLE)["sulfide"]["self_consistency"]["calibration"]
    yield ("observations", r"calibrated on (\d+) observations", [self_consistency["rows"]])
    yield ("observations met", r"of which it hits\s+(\d+),", [self_consistency["hits"]])
    yield ("observations met by temperature alone", r"below 120 degC, hits all (\d+)", [self_consistency["temperature_rule_hits"]])


def tests_readme(counts):
    """Of tests/README.md. The faults tried come from tests/run_faults itself."""
    yield ("largest description", r"more than ([0-9,]+) elements, or (\d+) MiB, refused", [f"{counts['elements']:,}", counts["mebibytes"]])
    tree = {node.targets[0].id: node.value for node in ast.parse((ROOT / "tests/run_faults").read_text(encoding="utf-8")).body
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name)}
    commands, printed = len(tree["COMMANDS"].keys), len(tree["PRINTED"].elts)
    yield ("faults tried", r"(\d+) writes that meet a limit on file size, (\d+) commands on a full disk, (\d+) printing to one, (\d+) into "
           r"a read-only folder", [14 * commands, commands, printed, 2 * commands])


def added_rule(text):
    """The rule that DEVELOPERS.md adds, under the first number that the family has not taken."""
    block = re.search(r"^```diff\n(.*?)^```", text, re.M | re.S)[1]
    lines = "\n".join(line[1:] for line in block.split("\n") if line.startswith("+") and line[:3] != "+++")
    taken = re.findall(r'<rule id="VEL-(\d+)"', FAMILY.read_text(encoding="utf-8"))
    return re.sub(r'<rule id="VEL-\d+"', f'<rule id="VEL-{max(map(int, taken)) + 1:03d}"', lines).split("\n")


def summary(program, folder=None):
    """Items, cases and rules of the demo; what is open in it."""
    with tempfile.TemporaryDirectory() as output:
        done = subprocess.run([program, "review", *(["--rules", folder] if folder else []), "--output", output, "--no-samples",
                               ROOT / DEMO], capture_output=True, text=True, check=False)
    considered = re.search(r": (\d+) items, (\d+) cases, (\d+) rules considered\n", done.stdout)
    opened = re.search(r"^Resolve (\d+)   Justify (\d+)   Consider (\d+)   State (\d+)$", done.stdout, re.M)
    return considered.groups(), opened.groups()


def with_rule(program, text):
    """What `rules --check` says of the pack of the example, of the one that claims wrongly, and the counts of the demo with it."""
    family, rule = FAMILY.read_text(encoding="utf-8"), "\n".join(added_rule(text))
    said = []
    with tempfile.TemporaryDirectory() as folder:
        for one in (rule.replace('verdict="departs" place="hot lean draw" vents="no"', 'verdict="departs" place="hot lean draw" vents="yes"'),
                    rule):
            (Path(folder) / "velocity.xml").write_text(family.replace("</rules>", one + "\n</rules>"), encoding="utf-8")
            done = subprocess.run([program, "rules", "--check", folder], capture_output=True, text=True, check=False)
            said.append(done.stdout + done.stderr)
        pack = (Path(folder) / "velocity.xml").read_text(encoding="utf-8")
        counts = summary(program, folder)
    lines = list(difflib.unified_diff(family.split("\n")[:-1], pack.split("\n")[:-1], lineterm=""))
    hunk = "".join(line + "\n" for line in lines[2:])
    return said[1], said[0], counts, hunk


def developers(program, text):
    sound, wrong, now, hunk = with_rule(program, text)
    before = summary(program)
    yield ("the rule shown, where it goes", r"(?s:\n\+\+\+ b/rules/velocity\.xml\n(.*?)```)", [hunk])
    yield ("the pack of the example", r"\n(\d+) rules, (\d+) sources, (\d+) examples: all as they claim", re.findall(r"\n(\d+) rules, (\d+) sources, (\d+) examples: all", "\n" + sound)[0])
    yield ("the demo with it", r"revision B: (\d+) items, (\d+) cases, (\d+) rules considered",
           now[0])
    yield ("what is open with it", r"\nResolve (\d+)   Justify (\d+)   Consider (\d+)   State (\d+)\n\.\.\.",
           now[1])
    yield ("without it", r"Without it there were (\d+) rules and (\d+) to Consider", [before[0][2], before[1][2]])
    yield ("the wrong example", r"pack/velocity\.xml:(\d+):(\d+): bad-example: VEL-(\d+)",
           re.findall(r"velocity\.xml:(\d+):(\d+): bad-example: VEL-(\d+)", wrong)[0])


def rows(program, counts, documents):
    """By document: what each figure is about, the pattern, the values of its groups."""
    return {"README.md": list(readme(program)),
            "checker/help/describing.txt": list(describing(counts)),
            "checker/help/findings.txt": list(findings(counts)),
            "checker/help/rules.txt": list(rules(counts)),
            "checker/help/stripping.txt": list(stripping(program)),
            "tests/README.md": list(tests_readme(counts)),
            "DEVELOPERS.md": list(developers(program, documents["DEVELOPERS.md"]))}


def compared(name, text, figures):
    """What is not as it should be, and the text with what should be there."""
    faults = []
    for what, pattern, values in figures:
        found = re.search(pattern, text)
        if not found:
            faults.append(f"{name}: no sentence names {what} as {pattern}")
            continue
        for group in range(len(values), 0, -1):
            begin, end = found.span(group)
            if text[begin:end] != str(values[group - 1]):
                faults.append(f"{name}: {what}: {text[begin:end]} should be {values[group - 1]}: {' '.join(found[0].split())}")
            text = text[:begin] + str(values[group - 1]) + text[end:]
    return faults, text
