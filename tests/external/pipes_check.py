#!/usr/bin/python3
"""Every pipe of checker/resolve/pipes.def against the tables of the fluids library (Debian: python3-fluids).

Prints how many walls and diameters were compared and the worst difference; exits 1 on a mismatch, on a pipe that only one
of the two knows, and when nothing was compared.

Known: ASME B36.19M rounds the outside diameters of NPS 10 and 12 up by 0.1 mm against ASME B36.10M; pipes.def keeps
those of B36.10M, so for the schedules 5S to 80S of these two sizes the outside diameter may differ by 0.1 mm.
"""
import re
import sys
from fractions import Fraction
from pathlib import Path

from fluids.piping import schedule_lookup

TABLE = Path(__file__).resolve().parents[2] / "checker/resolve/pipes.def"
LARGEST = 36  # NPS, the last row of pipes.def
SMALLEST = 0.5
TOLERANCE = 0.005  # mm, half of the last digit the standards give

def inches(name):
    return float(sum(Fraction(part) for part in name.split("-")))


def our_pipes(text):
    schedules = re.findall(r'^SCHEDULE\(\w+, "(\w+)"\)', text, re.M)
    for name, outside, walls in re.findall(r'^PIPE\("([^"]+)", \d+, [01], ([\d.]+),\s*([^)]*)\)', text, re.M):
        walls = [float(wall) for wall in walls.split(",")]
        if len(walls) != len(schedules):
            sys.exit(f"pipes_check: NPS {name} has {len(walls)} walls for {len(schedules)} schedules")
        for schedule, wall in zip(schedules, walls):
            if wall:
                yield inches(name), schedule, float(outside), wall


def their_pipes(schedules):
    for schedule in schedules:
        sizes, _, outsides, walls = schedule_lookup[schedule]
        for size, outside, wall in zip(sizes, outsides, walls):
            if SMALLEST <= size <= LARGEST:
                yield size, schedule, outside, wall


def main():
    ours = {(size, schedule): (outside, wall) for size, schedule, outside, wall in our_pipes(TABLE.read_text())}
    theirs = {(s, k): (o, w) for s, k, o, w in their_pipes({schedule for _, schedule in ours})}
    faults, worst = [], 0.0
    for key in sorted(ours.keys() | theirs.keys()):
        if key not in ours or key not in theirs:
            faults.append(f"NPS {key[0]:g} schedule {key[1]}: only in {'fluids' if key in theirs else 'pipes.def'}")
            continue
        outside = abs(ours[key][0] - theirs[key][0])
        wall = abs(ours[key][1] - theirs[key][1])
        rounded_up = 0.1 if key[0] in (10, 12) and key[1].endswith("S") and key[1][0].isdigit() else 0
        if outside > rounded_up + TOLERANCE or wall > TOLERANCE:
            faults.append(f"NPS {key[0]:g} schedule {key[1]}: ours {ours[key]}, fluids {theirs[key]} mm")
        else:
            worst = max(worst, wall, outside - rounded_up)
    compared = len(ours.keys() & theirs.keys())
    for fault in faults:
        print(fault)
    print(f"pipes_check: {compared} pipes compared, {len(faults)} mismatches, worst difference {max(worst, 0):.3g} mm")
    return 1 if faults or compared == 0 else 0


if __name__ == "__main__":
    sys.exit(main())
