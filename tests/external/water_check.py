#!/usr/bin/python3
"""Water and steam by an independent implementation of IAPWS-IF97 (Debian's python3-iapws).

Compares tests/data/water_check.csv, with which tests/water_test.c compares checker/chemistry/water.c. --write prints
that file:
    /usr/bin/python3 tests/external/water_check.py --write > tests/data/water_check.csv
"""
import os
import sys

from iapws import iapws97
from iapws._iapws import _Viscosity

NUMBERS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "data", "water_check.csv")


def rows():
    for celsius in list(range(1, 200, 6)) + [250, 300, 345]:
        kelvin = celsius + 273.15
        pressure = iapws97._PSat_T(kelvin)  # MPa
        liquid = iapws97._Region1(kelvin, pressure)
        steam = iapws97._Region2(kelvin, pressure)
        above = iapws97._Region1(kelvin, max(pressure, 0.101325))
        yield [kelvin, 1e6 * pressure, 1e3 * liquid["h"], 1e3 * steam["h"], 1 / above["v"], 1 / steam["v"],
               1e3 * liquid["cp"], _Viscosity(1 / above["v"], kelvin)]


def main():
    if sys.argv[1:] == ["--write"]:
        print("temperature_K,saturation_Pa,liquid_J_kg,steam_J_kg,liquid_kg_m3,steam_kg_m3,liquid_J_kg_K,liquid_Pa_s")
        for row in rows():
            print(",".join("%.10g" % x for x in row))
        return 0
    with open(NUMBERS) as lines:
        next(lines)
        committed = [[float(x) for x in line.split(",")] for line in lines]
    ours = list(rows())
    worst = max(abs(a / b - 1) for x, y in zip(ours, committed) for a, b in zip(x, y))
    print("%d states, %d committed, largest relative difference %.1e" % (len(ours), len(committed), worst))
    return 0 if len(ours) == len(committed) and worst < 1e-8 else 1


if __name__ == "__main__":
    sys.exit(main())
