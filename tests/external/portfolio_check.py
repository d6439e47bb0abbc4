#!/usr/bin/python3
"""One portfolio made in several ways: 200 variants by one process, by two, by the tasks of a Slurm array, and by GNU parallel.

All must give the same bytes. Two broken descriptions and a missing file among them stop nothing and are listed. The recipes are
those of `leanrich help portfolio`, run as they stand there: the script of the array by a shell once for each task, with the variables that Slurm
sets, in any order. Then a task that did not end is missed by name, and a process that is killed takes one design with it.
"""
import csv
import filecmp
import os
import random
import re
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TOPIC = (ROOT / "checker/help/portfolio.txt").read_text(encoding="utf-8")


def run(command, wanted, folder=ROOT, **variables):
    path = f"{ROOT / 'build'}:{os.environ['PATH']}"
    done = subprocess.run(["sh", "-c", command], cwd=folder, capture_output=True, text=True, check=False,
                          env={**os.environ, "PATH": path, **variables})
    if done.returncode not in wanted:
        sys.exit(f"{command}: exit {done.returncode}: {done.stderr}")
    return done.stdout


def recipe(pattern):
    """A line of the topic, which a backslash may continue on the next."""
    found = re.search(pattern, re.sub(r"\\\n +", "", TOPIC), re.MULTILINE)
    if not found:
        sys.exit(f"leanrich help portfolio has no line like {pattern}")
    return found


def table(folder):
    with open(Path(folder, "portfolio.csv"), encoding="utf-8-sig", newline="") as file:
        return {row["File"]: row for row in csv.DictReader(file)}


def array(folder):
    """Every task of the array, as Slurm would start it, and the collation behind it."""
    batch = recipe(r"^    sbatch --array=1-(\d+) .*--wrap='(.*)'$")
    last, script = int(batch[1]), batch[2]
    tasks = list(range(1, last + 1))
    random.Random(16).shuffle(tasks)
    for task in tasks:
        run(script, [0, 3, 4], folder, SLURM_ARRAY_TASK_ID=str(task), SLURM_ARRAY_TASK_COUNT=str(last),
            SLURM_ARRAY_TASK_MIN="1", SLURM_ARRAY_TASK_MAX=str(last), SLURM_ARRAY_JOB_ID="1", SLURM_CPUS_PER_TASK="1")
    run(recipe(r"^    (leanrich portfolio --collate --files-from list.txt part\.\*)$")[1] + " --quiet --output slices", [4], folder)
    return last


def missed(folder, last):
    """The same without one task."""
    part = Path(folder, f"part.{last}")
    lost = len(part.read_text(encoding="utf-8").splitlines())
    part.unlink()
    run("leanrich portfolio --quiet --collate --files-from list.txt --output missed part.*", [3, 4], folder)
    rows = table(Path(folder, "missed"))
    if sum(row["Fault"].startswith("no record of it") for row in rows.values()) != lost or len(rows) != len(table(Path(folder, "one"))):
        sys.exit("a task that did not end is not missed")


def killed(folder):
    """One of two processes is killed while it works: the design it is at is named, all others are as they were."""
    program = subprocess.Popen([ROOT / "build/leanrich", "portfolio", "--quiet", "--jobs", "2", "--files-from", "list.txt",
                                "--output", "killed"], cwd=folder)
    children, until = [], time.monotonic() + 60
    while not children and time.monotonic() < until and program.poll() is None:
        children = Path(f"/proc/{program.pid}/task/{program.pid}/children").read_text(encoding="ascii").split()
    if not children:
        sys.exit("no process to kill")
    time.sleep(0.2)
    os.kill(int(children[0]), signal.SIGKILL)
    program.wait()
    before, after = table(Path(folder, "one")), table(Path(folder, "killed"))
    ended = [name for name, row in after.items() if "ended by signal 9" in row["Fault"]]
    same = [name for name, row in after.items() if {**row, "Rank": ""} == {**before[name], "Rank": ""}]
    if len(ended) != 1 or len(same) != len(before) - 1 or len(after) != len(before):
        sys.exit(f"killed: {len(ended)} designs ended, {len(same)} of {len(before)} are as they were")


def main():
    with tempfile.TemporaryDirectory() as folder:
        run(f"tests/bench/variants {folder}/designs 200", [0])
        broken = [str(ROOT / "tests/broken/text.xml"), str(ROOT / "tests/broken/cut-off.xml"), f"{folder}/not-there.xml"]
        designs = sorted(str(path) for path in Path(folder, "designs").glob("*.xml"))
        Path(folder, "list.txt").write_text("\n".join(designs[:70] + broken + designs[70:]) + "\n", encoding="utf-8")
        for jobs, name in (("1", "one"), ("2", "two")):
            run(f"leanrich portfolio --quiet --jobs {jobs} --files-from list.txt --output {name}", [4], folder)
        run(recipe("^    (parallel --keep-order .*)$")[1], range(0, 102), folder)
        run("leanrich portfolio --quiet --collate records --output parallel", [4], folder)
        last = array(folder)
        for way in ("two", "slices", "parallel"):
            for name in ("portfolio.html", "portfolio.csv"):
                if not filecmp.cmp(Path(folder, "one", name), Path(folder, way, name), shallow=False):
                    sys.exit(f"{way}: {name} is not what one process makes")
        rows = table(Path(folder, "one"))
        if len(rows) != 203 or not all(rows[name]["Fault"] for name in broken):
            sys.exit("some description is missing from the table")
        missed(folder, last)
        killed(folder)
        print(f"{len(rows)} descriptions, {len(broken)} of them unusable: one process, two, {last} tasks of an array and GNU parallel "
              "give the same bytes; a task and a process that did not end are told")


main()
