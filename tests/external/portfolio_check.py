#!/usr/bin/python3
"""One portfolio made in several ways: 200 variants by one process, by two, in slices that are collated, and by GNU parallel.

All must give the same bytes. Two broken descriptions and a missing file among them stop nothing and are listed. The recipes
are those of README.md.
"""
import filecmp
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SLICES = 3


def run(command, wanted):
    done = subprocess.run(command, shell=True, cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode not in wanted:
        sys.exit(f"{command}: exit {done.returncode}: {done.stderr}")
    return done.stdout


def main():
    with tempfile.TemporaryDirectory() as scratch:
        run(f"tests/bench/variants {scratch}/designs 200", [0])
        broken = ["tests/broken/text.xml", "tests/broken/cut-off.xml", f"{scratch}/not-there.xml"]
        designs = sorted(str(path) for path in Path(scratch, "designs").glob("*.xml"))
        listed = Path(scratch, "list.txt")
        listed.write_text("\n".join(designs[:70] + broken + designs[70:]) + "\n", encoding="utf-8")
        program = "build/leanrich portfolio --quiet"
        run(f"{program} --jobs 1 --files-from {listed} --output {scratch}/one", [4])
        run(f"{program} --jobs 2 --files-from {listed} --output {scratch}/two", [4])
        for part in range(1, SLICES + 1):
            run(f"{program} --files-from {listed} --slice {part}/{SLICES} --records {scratch}/part.{part}", [0, 3, 4])
        run(f"{program} --collate {scratch}/part.* --output {scratch}/slices", [4])
        run(f"parallel --keep-order --jobs 2 --max-args 25 {program} --jobs 1 --records - :::: {listed} >{scratch}/records",
            range(0, 102))
        run(f"{program} --collate {scratch}/records --output {scratch}/parallel", [4])
        for way in ("two", "slices", "parallel"):
            for name in ("portfolio.html", "portfolio.csv"):
                if not filecmp.cmp(Path(scratch, "one", name), Path(scratch, way, name), shallow=False):
                    sys.exit(f"{way}: {name} is not what one process makes")
        table = Path(scratch, "one/portfolio.csv").read_text(encoding="utf-8-sig").splitlines()
        if len(table) != 1 + 203 or not all(any(name in row for row in table) for name in broken):
            sys.exit("some description is missing from the table")
        print(f"{len(table) - 1} descriptions, {len(broken)} of them unusable: one process, two, {SLICES} slices and GNU parallel "
              "give the same bytes")


main()
