#!/usr/bin/python3
"""tests/random_cases.py PROGRAM COUNT: `cases` on random units, half empty and inconsistent as sketches are.

Every unit must be taken, every number be one and within what physics allows, and whatever is not solved say why. Prints how
much was solved and what was held. By hand (make solved-cases): minutes.
"""
import collections
import json
import math
import random
import subprocess
import sys
import tempfile

STRENGTHS = {"MEA": (12, 32, 61.08), "DEA": (20, 40, 105.14), "MDEA": (30, 52, 119.16), "DIPA": (25, 42, 133.19),
             "DGA": (40, 60, 105.14)}


def maybe(share, text):
    return text if random.random() < share else ""


def unit(number):
    amine = random.choice(sorted(STRENGTHS))
    low, high, molar = STRENGTHS[amine]
    strength = random.uniform(low, high)
    pressure = random.choice([0.5, 5, 14, 40, 70])
    h2s, co2 = random.choice([0, 0.01, 0.5, 2, 8, 20]), random.choice([0, 0.1, 1, 6, 15])
    flow = random.uniform(100, 4000)
    acid, pick = flow * (h2s + co2) / 100, random.uniform(0.1, 0.6)
    mass = max(acid / pick, 20) * molar / (strength / 100) / 1000
    lean_h2s, lean_co2 = random.choice([0, 0.001, 0.005, 0.02]) if h2s else 0, random.choice([0, 0.002, 0.01, 0.1]) if co2 else 0
    rich_h2s = lean_h2s + pick * h2s / max(h2s + co2, 1e-9)
    rich_co2 = lean_co2 + pick * co2 / max(h2s + co2, 1e-9)
    duty = acid * random.uniform(60, 200) / 3600 + mass * random.uniform(0.03, 0.08)
    lean, hot = random.uniform(30, 55), random.uniform(115, 128)
    rich = lean + random.uniform(5, 35)
    rich_hot = min(hot - 4, rich + random.uniform(15, 55))
    warm = hot - (rich_hot - rich) * random.uniform(0.85, 1.2)
    loads = f"h2s='{lean_h2s}' co2='{lean_co2}'"
    control = random.choice(["fixed", "ratio to rich flow", "overhead temperature", "none"])
    air = maybe(.5, "air-temperature='28 degC'")
    return f"""<unit xmlns='urn:leanrich:unit:1' number='R{number}'><basis kind='new' barometric-pressure='1.01325 bara' {air}>
<case id='normal'/>{maybe(.3, "<case id='summer'/>")}</basis><solvent amine='{amine}' strength='{strength:.1f} wt%'/>
<gas id='feed' role='feed' flow='{flow:.1f} kmol/h' {maybe(.9, "temperature='35 degC'")} pressure='{pressure} barg'
 {maybe(.95, f"h2s='{h2s} mol%'")} {maybe(.95, f"co2='{co2} mol%'")} {maybe(.5, "water-saturated='yes'")}/>
<gas id='out' role='treated' {maybe(.6, f"h2s='{random.choice([4, 50, 500])} ppmv'")}
 {maybe(.6, f"co2='{random.choice([0.001, 0.1, 1.0])} mol%'")} pressure='{pressure} barg'/>
<stream id='lean-hot' service='lean' flow='{mass:.2f} t/h' {maybe(.9, f"temperature='{hot:.1f} degC'")} {maybe(.9, loads)}/>
<stream id='lean-warm' service='lean' flow='{mass:.2f} t/h' {maybe(.8, f"temperature='{warm:.1f} degC'")} {maybe(.8, loads)}/>
<stream id='lean' service='lean' flow='{mass:.2f} t/h' {maybe(.95, f"temperature='{lean:.1f} degC'")} {maybe(.9, loads)}/>
<stream id='rich' service='rich' {maybe(.7, f"temperature='{rich:.1f} degC'")} pressure='6 barg'
 {maybe(.7, f"h2s='{rich_h2s:.4f}' co2='{rich_co2:.4f}'")}/>
<stream id='rich-hot' service='rich' {maybe(.8, f"temperature='{rich_hot:.1f} degC'")} {maybe(.9, "pressure='4.5 barg'")}/>
<absorber tag='C' gas='feed' treated='out' lean='lean' rich='rich'/>
{maybe(.95, "<exchanger tag='E' service='lean/rich' type='plate'><plate-side inlet='rich' outlet='rich-hot'/>"
"<plate-side inlet='lean-hot' outlet='lean-warm'/></exchanger>")}
{maybe(.95, "<cooler tag='K' service='lean' type='air cooled' cooling-medium='air'>"
"<tube-side inlet='lean-warm' outlet='lean'/></cooler>")}
<regenerator tag='R' feed='rich-hot' lean='lean-hot' contact='trays' trays='{random.randint(8, 24)}'
 {maybe(.9, "top-pressure='0.7 barg'")} {maybe(.8, "bottom-pressure='0.9 barg'")} heat-control='{control}'/>
{maybe(.9, f"<reboiler tag='B' regenerator='R' duty='{duty:.3f} MW'/>")}
{maybe(.7, "<condenser tag='D' cooling-medium='air' outlet-temperature='45 degC'/>")}</unit>"""


def within(value):
    least, most = {"mol/mol": (0, 1.6), "degC": (-20, 190)}.get(value["unit"], (-math.inf, math.inf))
    return math.isfinite(value["calculated"]) and least <= value["calculated"] <= most


def main():
    program, count = sys.argv[1], int(sys.argv[2])
    seen = collections.Counter()
    random.seed(1)
    for number in range(count):
        text = unit(number)
        with tempfile.NamedTemporaryFile("w", suffix=".xml") as file:
            file.write(text)
            file.flush()
            run = subprocess.run([program, "cases", "--json", file.name], capture_output=True, text=True, check=False)
        if run.returncode:
            sys.exit(f"exit {run.returncode}: {run.stderr}\n{text}")
        record = json.loads(run.stdout)
        seen["units of which nothing is solved"] += record["not_solved"] is not None
        for piece in record["equipment"]:
            seen[f"{piece['item']} {'held' if piece['held'] else 'solved'}"] += 1
        for case in record["cases"]:
            seen["cases not solved" if case["not_solved"] else "cases solved"] += 1
            for value in case["values"]:
                if not within(value):
                    sys.exit(f"{case['id']}: {value}\n{text}")
    print(f"{count} units: " + ", ".join(f"{what} {seen[what]}" for what in sorted(seen)))


main()
