#!/usr/bin/python3
"""An independent solver for the equilibrium of H2S and CO2 in aqueous amines.

Written from the published equations, not from the C: here the activity coefficients are the unknowns of a Powell
hybrid solve (scipy.optimize.root), and inside it the charge balance is bracketed (brentq) in ln a_H. The C engine
takes Newton steps on the logarithms of all molalities. Of the activity model only the excess Gibbs energy stands here:
the coefficients are its derivatives, taken by complex steps, where the C has them written out. Only the fitted terms
are shared: they are read from the table that the regression writes.

Without options it computes 500 random states (fixed seed) and compares them with tests/data/solution_check.csv, with
which tests/solution_test.c compares the C engine. --write prints that file:
    /usr/bin/python3 tests/external/solution_check.py --write > tests/data/solution_check.csv
One state, here with the terms of another fit:
    /usr/bin/python3 tests/external/solution_check.py --terms tests/data/check_terms.def --amine MDEA --wt 45 \\
        --celsius 122 --h2s 0.015 --co2 0.004
"""
import argparse
import math
import os
import random
import re
import sys

import numpy as np
from scipy.optimize import brentq, root

HERE = os.path.dirname(os.path.abspath(__file__))
NUMBERS = os.path.join(HERE, "..", "data", "solution_check.csv")
TERMS = os.path.join(HERE, "..", "..", "checker", "chemistry", "terms.def")

# g/mol, IUPAC 2021 atomic weights
MOLAR_MASS = {"MEA": 61.083, "DEA": 105.136, "MDEA": 119.163, "DGA": 105.136, "DIPA": 133.19}
CHARGE = {"H": 1, "OH": -1, "CO2": 0, "HCO3": -1, "CO3": -2, "H2S": 0, "HS": -1, "X1": -1, "X2": -2, "Na": 1}


def edwards(a1, a2, a3, a4, kelvin):
    """Edwards, Maurer, Newman & Prausnitz 1978, AIChE J 24:966."""
    return a1 / kelvin + a2 * math.log(kelvin) + a3 * kelvin + a4


def ln_constants(kelvin):
    ln_bar_per_atm = math.log(1.01325)
    return {
        "Kw": edwards(-13445.9, -22.4773, 0, 140.932, kelvin),
        "K1": edwards(-12092.1, -36.7816, 0, 235.482, kelvin),
        "K2": edwards(-12431.7, -35.4819, 0, 220.067, kelvin),
        "Ks": edwards(-12995.4, -33.5471, 0, 218.599, kelvin),
        "H_CO2": edwards(-6789.04, -11.4519, -0.010454, 94.4914, kelvin) + ln_bar_per_atm,
        "H_H2S": edwards(-13236.8, -55.0551, 0.0595651, 342.595, kelvin) + ln_bar_per_atm,
    }


def ln_ka(amine, kelvin):
    """Protonated amine = H+ + amine."""
    ln10 = math.log(10)
    if amine in ("MEA", "DGA"):  # Bates & Pinching 1951; DGA inferred, 0.06 lower
        pk = 2677.91 / kelvin + 0.3869 + 0.0004277 * kelvin - (0.06 if amine == "DGA" else 0)
        return -ln10 * pk
    if amine == "DEA":  # Posey 1996
        return -26.5 - 4035 / kelvin + 3.44 * math.log(kelvin)
    if amine == "MDEA":
        return -59.55 - 1709 / kelvin + 8.01 * math.log(kelvin)
    # DIPA, inferred: 8.82 at 25 C, 42 kJ/mol
    return -ln10 * 8.82 - 42000 / 8.314462618 * (1 / kelvin - 1 / 298.15)


def ln_kc(amine, offset, kelvin):
    """Amine + HCO3- = carbamate + water; None where there is no carbamate."""
    if amine == "MDEA":
        return None
    if amine in ("MEA", "DGA"):  # Boettinger 2008
        base = -6.6203 + 3255.31 / kelvin - 4.564e-4 * kelvin
    else:  # Kent & Eisenberg 1976
        base = -4.8255 + 1885 / kelvin
    return base + offset[0] + offset[1] * (1000 / kelvin - 1000 / 353.15)


def saturation_pressure(kelvin):
    """IAPWS-IF97 region 4 through its implicit quadratic, Pa."""
    n = [0, 0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
         0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3]
    theta = kelvin + n[9] / (kelvin - n[10])
    a = theta**2 + n[1] * theta + n[2]
    b = n[3] * theta**2 + n[4] * theta + n[5]
    c = n[6] * theta**2 + n[7] * theta + n[8]
    return 1e6 * (2 * c / (-b + math.sqrt(b * b - 4 * a * c)))**4


def read_terms(path):
    """{amine: {"pairs": [(i, j, c0, c1, c2, saturation)], "medium": (B0, B1, m0) or None, "carbamate": (offset, slope)}}"""
    terms = {}
    row = re.compile(r"^(PAIR|MEDIUM|CARBAMATE)\(([^)]*)\)")
    with open(path) as lines:
        for line in lines:
            found = row.match(line)
            if not found:
                continue
            parts = [part.strip() for part in found.group(2).split(",")]
            of = terms.setdefault(parts[0], {"pairs": [], "medium": None, "carbamate": (0, 0)})
            if found.group(1) == "PAIR":
                of["pairs"].append((parts[1], parts[2]) + tuple(float(x) for x in parts[3:]))
            else:
                of[found.group(1).lower()] = tuple(float(x) for x in parts[1:])
    for inferred, near in (("DGA", "MEA"), ("DIPA", "DEA")):
        terms.setdefault(inferred, terms.get(near))
    return terms


class State:
    """One solution; mass fractions of the amines in the unloaded solution, loadings in mol per mol of all amine."""

    def __init__(self, terms, mass_fraction, kelvin, h2s, co2, bound1=0.0, bound2=0.0, sodium=0.0):
        self.kelvin = kelvin
        self.k = ln_constants(kelvin)
        water = 1 - sum(mass_fraction.values())
        self.amine = {a: 1000 * w / MOLAR_MASS[a] / water for a, w in mass_fraction.items() if w > 0}
        total = sum(self.amine.values())
        self.carbon, self.sulfur = co2 * total, h2s * total
        self.x1, self.x2, self.sodium = bound1 * total, bound2 * total, sodium * total
        self.charge = dict(CHARGE)
        self.pairs, self.media = [], []
        self.ka, self.kc = {}, {}
        u = (kelvin - 353.15) / 100
        for a in self.amine:
            self.ka[a] = ln_ka(a, kelvin)
            self.kc[a] = ln_kc(a, terms[a]["carbamate"], kelvin)
            self.charge.update({a: 0, a + "H": 1, a + "COO": -1})
            rename = {"AM": a, "AMH": a + "H", "AMCOO": a + "COO"}
            share = self.amine[a] / total
            for i, j, c0, c1, c2, saturation in terms[a]["pairs"]:
                # Salts: anions by equivalents as HS-, sodium as protonated amine, of a blend by its moles
                first = {rename.get(i, i): 1}
                second = {rename.get(j, j): 1}
                if i == "AMH":
                    first["Na"] = share
                    if j == "HS":
                        second.update({"X1": 1, "X2": 2})
                self.pairs.append((first, second, c0 + c1 * u + c2 * u * u, saturation))
            if terms[a]["medium"]:
                b0, b1, reach = terms[a]["medium"]
                self.media.append((a, b0 + b1 * u, reach))
        self.species = sorted(self.charge)
        at = {s: n for n, s in enumerate(self.species)}
        self.z = np.array([self.charge[s] for s in self.species], float)

        def vector(weights):
            v = np.zeros(len(self.species))
            for s, w in weights.items():
                v[at[s]] = w
            return v

        self.pairs = [(vector(i), vector(j), beta, saturation) for i, j, beta, saturation in self.pairs]
        self.media = [(vector({a: 1, a + "H": 1}), b, reach) for a, b, reach in self.media]
        self.in_medium = vector({"HCO3": 1, "CO3": 4})
        celsius = kelvin - 273.15
        self.slope = 0.3770 + 4.684e-4 * celsius + 3.74e-6 * celsius**2

    def excess(self, m, share):
        """Excess Gibbs energy over RT per kg of water; m: molalities of the species along the last axis."""
        ionic = 0.5 * m @ self.z**2
        g = -self.slope * 4 * ionic / 1.2 * np.log(1 + 1.2 * np.sqrt(ionic))
        for i, j, beta, saturation in self.pairs:
            g = g + 2 * share * beta / (1 + ionic / saturation if saturation > 0 else 1) * (m @ i) * (m @ j)
        for amine, b, reach in self.media:
            total = m @ amine
            g = g + share * b * total / (1 + total / reach if reach > 0 else 1) * (m @ self.in_medium)
        return g

    def activity(self, m, share=1.0):
        """ln gamma of each species and ln a_w from the molalities; share scales pairs and medium (continuation)."""
        v = np.array([m[s] for s in self.species])
        step = 1e-30
        ln_gamma = self.excess(v + 1j * step * np.eye(len(v)), share).imag / step
        ln_water = -0.0180153 * (v.sum() + v @ ln_gamma - self.excess(v, share))
        return dict(zip(self.species, ln_gamma)), ln_water, 0.5 * v @ self.z**2

    def compose(self, lng, ln_aw):
        """Molalities at fixed activity coefficients: brentq on the charge in ln a_H."""
        k = self.k

        def molalities(y):
            co2 = math.exp(y - k["K1"] - ln_aw + lng["HCO3"] - lng["CO2"])  # per HCO3
            co3 = math.exp(k["K2"] - y + lng["HCO3"] - lng["CO3"])
            protonated = {a: math.exp(y - self.ka[a] + lng[a] - lng[a + "H"]) for a in self.amine}
            carb = {a: 0.0 if self.kc[a] is None else
                    math.exp(self.kc[a] + lng[a] + lng["HCO3"] - lng[a + "COO"] - ln_aw) for a in self.amine}

            def bicarbonate(b):
                bound = sum(t * carb[a] * b / (1 + protonated[a] + carb[a] * b) for a, t in self.amine.items())
                return b * (1 + co2 + co3) + bound - self.carbon

            b = 0.0
            if self.carbon > 0:
                b = brentq(bicarbonate, 0, 1.001 * self.carbon / (1 + co2 + co3), xtol=1e-300, rtol=1e-14, maxiter=500)
            m = dict.fromkeys(self.species, 0.0)
            for a, t in self.amine.items():
                free = t / (1 + protonated[a] + carb[a] * b)
                m[a], m[a + "H"], m[a + "COO"] = free, free * protonated[a], free * carb[a] * b
            m["HCO3"], m["CO2"], m["CO3"] = b, b * co2, b * co3
            molecular = math.exp(y - k["Ks"] + lng["HS"] - lng["H2S"])
            m["HS"] = self.sulfur / (1 + molecular)
            m["H2S"] = m["HS"] * molecular
            m["H"] = math.exp(y - lng["H"])
            m["OH"] = math.exp(k["Kw"] + ln_aw - y - lng["OH"])
            m["X1"], m["X2"], m["Na"] = self.x1, self.x2, self.sodium
            return m

        y = brentq(lambda y: sum(z * amount for z, amount in self.charges(molalities(y))),
                   -60, 8, xtol=1e-14, rtol=1e-15, maxiter=500)
        return molalities(y), y

    def charges(self, m):
        return ((self.charge[s], m[s]) for s in self.species)

    def pack(self, lng, ln_aw):
        return np.array([lng[s] for s in self.species] + [ln_aw])

    def unpack(self, v):
        return dict(zip(self.species, v[:-1])), v[-1]

    def solve(self):
        v = np.zeros(len(self.species) + 1)
        m = None
        for share in (0.0, 0.25, 0.5, 0.75, 1.0):
            for _ in range(12 if m is None else 4):
                m, y = self.compose(*self.unpack(v))
                lng, ln_aw, ionic = self.activity(m, share)
                v = 0.5 * v + 0.5 * self.pack(lng, ln_aw)

            def miss(v):
                m, _ = self.compose(*self.unpack(v))
                lng, ln_aw, _ = self.activity(m, share)
                return v - self.pack(lng, ln_aw)

            found = root(miss, v, method="hybr", tol=1e-13)
            v = found.x
        if np.max(np.abs(miss(v))) > 1e-10:
            return None
        m, y = self.compose(*self.unpack(v))
        lng, ln_aw, ionic = self.activity(m)
        self.m, self.lng = m, lng
        return {
            "ph": -y / math.log(10), "ionic": ionic,
            "p_h2s": 1e5 * m["H2S"] * math.exp(self.k["H_H2S"] + lng["H2S"]),
            "p_co2": 1e5 * m["CO2"] * math.exp(self.k["H_CO2"] + lng["CO2"]),
            "p_h2o": math.exp(ln_aw) * saturation_pressure(self.kelvin),
            "h2s_aq": m["H2S"], "hs": m["HS"], "hco3": m["HCO3"], "co3": m["CO3"],
            "carbamate": sum(m[a + "COO"] for a in self.amine),
            "protonated": sum(m[a + "H"] for a in self.amine),
        }


COLUMNS = ("ph", "ionic", "p_h2s", "p_co2", "p_h2o", "h2s_aq", "hs", "hco3", "co3", "carbamate", "protonated")


def random_states(count):
    """Amine or blend, strength, temperature, loadings, anions and sodium over the whole domain."""
    draw = random.Random(20240607)
    names = sorted(MOLAR_MASS)
    made = 0
    while made < count:
        strength = draw.uniform(0.01, 0.70)
        if made % 5 == 4:
            share = draw.uniform(0.05, 0.95)
            fractions = {"MDEA": strength * share,
                         draw.choice([n for n in names if n != "MDEA"]): strength * (1 - share)}
        else:
            fractions = {draw.choice(names): strength}
        celsius = draw.uniform(25, 150)
        h2s = draw.choice((0.0, 10**draw.uniform(-9, 0.079), draw.uniform(0, 1.2), draw.uniform(0, 0.5)))
        co2 = draw.choice((0.0, 10**draw.uniform(-9, 0.079), draw.uniform(0, 1.2), draw.uniform(0, 0.5)))
        if h2s + co2 > 1.3:
            continue
        bound1 = draw.choice((0.0, 0.0, draw.uniform(0, 0.1)))
        bound2 = draw.choice((0.0, 0.0, draw.uniform(0, 0.03)))
        sodium = draw.choice((0.0, 0.0, draw.uniform(0, 0.12)))
        made += 1
        yield fractions, celsius, h2s, co2, bound1, bound2, sodium


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--terms", default=TERMS)
    options.add_argument("--amine")
    options.add_argument("--wt", type=float)
    options.add_argument("--celsius", type=float)
    options.add_argument("--h2s", type=float, default=0)
    options.add_argument("--co2", type=float, default=0)
    options.add_argument("--count", type=int, default=500)
    options.add_argument("--write", action="store_true")
    given = options.parse_args()
    terms = read_terms(given.terms)
    if given.amine:
        state = State(terms, {given.amine: given.wt / 100}, given.celsius + 273.15, given.h2s, given.co2)
        for name, value in state.solve().items():
            print("%-12s %.6g" % (name, value))
        return 0
    failures, rows = 0, []
    for fractions, celsius, h2s, co2, *salts in random_states(given.count):
        kelvin = celsius + 273.15
        found = State(terms, fractions, kelvin, h2s, co2, *salts).solve()
        if found is None:
            failures += 1
            continue
        row = [fractions.get(a, 0) for a in ("MEA", "DEA", "MDEA", "DGA", "DIPA")]
        rows.append(row + [kelvin, h2s, co2] + salts + [found[c] for c in COLUMNS])
    if failures:
        print("%d states did not converge" % failures, file=sys.stderr)
        return 1
    return write(rows) if given.write else compare(rows)


def write(rows):
    print("MEA,DEA,MDEA,DGA,DIPA,temperature_K,loading_H2S,loading_CO2,bound_1,bound_2,sodium," + ",".join(COLUMNS))
    for row in rows:
        print(",".join("%.12g" % x for x in row))
    return 0


def compare(rows):
    with open(NUMBERS) as lines:
        next(lines)
        committed = [[float(x) for x in line.split(",")] for line in lines]
    worst = max(abs(a - b) / max(abs(a), abs(b), 1e-300)
                for ours, theirs in zip(rows, committed) for a, b in zip(ours, theirs) if a != b) \
        if rows != committed else 0
    print("%d states, %d committed, largest relative difference %.1e" % (len(rows), len(committed), worst))
    return 0 if len(rows) == len(committed) and worst < 1e-7 else 1


if __name__ == "__main__":
    sys.exit(main())
