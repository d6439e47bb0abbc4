#!/usr/bin/python3
"""Every spelling of checker/quantity/units.def against GNU units (Debian: units).

A small program is compiled against checker/quantity/units.c and prints factor and offset of every spelling, as unit_find() gives
them; GNU units says what one written unit is in the SI unit of its kind. Prints how many were compared and the worst
relative difference; exits 1 on a mismatch and on a spelling without a counterpart below.

What GNU units does not know is spelled out in its own terms: a standard cubic foot is 14.696 psi ft^3 of ideal gas at
60 degF, in mol. A gauge unit is checked for its factor and for an offset equal to the barometric pressure.
"""
import re
import subprocess
import sys
import tempfile
from pathlib import Path

CHECKER = Path(__file__).resolve().parents[2] / "checker"
BAROMETRIC = 100500.0  # Pa, any value will do
TOLERANCE = 1e-14  # relative: the order of the multiplications is all that may differ

GAS_CONSTANT = "(8.31446261815324 J/(mol K))"
STANDARD_M3 = f"(101325 Pa m^3 / ({GAS_CONSTANT} 288.15 K))"
NORMAL_M3 = f"(101325 Pa m^3 / ({GAS_CONSTANT} 273.15 K))"
STANDARD_FT3 = f"(14.696 psi ft^3 / ({GAS_CONSTANT} tempF(60)))"
YEAR = "(365.25 day)"

DUMP = r"""
#include <stdio.h>
#include "quantity/quantity.h"
int main(void)
{
	for (size_t i = 0; i < unit_count(); i++) {
		enum kind kind;
		double factor, offset;
		const char *spelling = unit_spelling(i, &kind);
		if (!unit_find(kind, spelling, %r, &factor, &offset))
			return 1;
		printf("%%s\t%%s\t%%s\t%%.17g\t%%.17g\n", kind_name(kind), kind_si(kind), spelling, factor, offset);
	}
	return 0;
}
""" % BAROMETRIC

# The SI unit of a kind as GNU units writes it, where it is not spelled alike.
SI = {"Pa s": "Pa s", "1": "1", "m3/(s Pa^0.5)": "1", "HRC": "1", "HBW": "1", "HV": "1", "kg/kg": "1", "mol/mol": "1"}

# Zero points, K: GNU units' tempC() and tempF() give them.
TEMPERATURES = {"degC": "tempC", "°C": "tempC", "C": "tempC", "degF": "tempF", "°F": "tempF", "F": "tempF"}

# Spelling to an expression of GNU units; ("kind", spelling) goes before the spelling alone.
WORDS = {
    "": "1", "%": "0.01", "K": "K", "degK": "K", "degC": "K", "°C": "K", "C": "K",
    "degF": "degF", "°F": "degF", "F": "degF", "degR": "degR", "°R": "degR",
    "bar": "bar", "mbar": "mbar", "Pa": "Pa", "kPa": "kPa", "MPa": "MPa", "GPa": "GPa", "psi": "psi", "ksi": "ksi",
    "atm": "atm", "torr": "torr", "mmHg": "mmHg", "inHg": "inHg", "inH2O": "inH2O", "mmH2O": "mmH2O",
    "kg/cm2": "kgf/cm^2", "kgf/cm2": "kgf/cm^2", "N/mm2": "N/mm^2", "kg/mm2": "kgf/mm^2",
    "wt%": "0.01", "mass%": "0.01", "weight%": "0.01", "% wt": "0.01", "% w/w": "0.01",
    "mol%": "0.01", "mole%": "0.01", "% mol": "0.01", "vol%": "0.01", "% vol": "0.01", "% v/v": "0.01",
    "kg/kg": "kg/kg", "g/kg": "g/kg", "mg/kg": "mg/kg", "ug/kg": "ug/kg", "lb/lb": "lb/lb",
    "ppmw": "ppm", "ppm(w)": "ppm", "wppm": "ppm", "ppm wt": "ppm", "ppbw": "ppb", "ppb(w)": "ppb", "wppb": "ppb",
    "ppmv": "ppm", "ppm(v)": "ppm", "vppm": "ppm", "ppmmol": "ppm", "ppbv": "ppb", "ppb(v)": "ppb",
    "mol/mol": "mol/mol", "mmol/mol": "mmol/mol",
    "mg/Sm3": f"mg/{STANDARD_M3}", "g/Sm3": f"g/{STANDARD_M3}",
    "mg/Nm3": f"mg/{NORMAL_M3}", "g/Nm3": f"g/{NORMAL_M3}",
    "grain/100scf": f"grain/(100 {STANDARD_FT3})", "gr/100scf": f"grain/(100 {STANDARD_FT3})",
    "grains/100scf": f"grain/(100 {STANDARD_FT3})", "lb/MMscf": f"lb/(1e6 {STANDARD_FT3})",
    "mg/L": "mg/L", "g/L": "g/L", "ug/L": "ug/L", "mg/m3": "mg/m^3", "g/m3": "g/m^3", "kg/m3": "kg/m^3",
    "lb/gal": "lb/gallon", "lb/USgal": "lb/gallon", "lb/ft3": "lb/ft^3",
    "g/cm3": "g/cm^3", "kg/L": "kg/L", "g/mL": "g/mL", "t/m3": "tonne/m^3",
    "mol/L": "mol/L", "kmol/m3": "kmol/m^3", "mol/m3": "mol/m^3", "M": "mol/L", "mmol/L": "mmol/L",
    "mol/dm3": "mol/dm^3",
    "kmol/h": "kmol/hour", "kgmol/h": "kmol/hour", "kmol/d": "kmol/day", "kmol/s": "kmol/s", "mol/s": "mol/s",
    "mol/h": "mol/hour", "lbmol/h": "(lb/g) mol/hour",
    "MMscfd": f"1e6 {STANDARD_FT3}/day", "MMSCFD": f"1e6 {STANDARD_FT3}/day", "MMscf/d": f"1e6 {STANDARD_FT3}/day",
    "scfd": f"{STANDARD_FT3}/day", "scf/d": f"{STANDARD_FT3}/day", "scfh": f"{STANDARD_FT3}/hour",
    "scf/h": f"{STANDARD_FT3}/hour", "scfm": f"{STANDARD_FT3}/minute",
    "Nm3/h": f"{NORMAL_M3}/hour", "Nm3/d": f"{NORMAL_M3}/day", "kNm3/h": f"1000 {NORMAL_M3}/hour",
    "Sm3/h": f"{STANDARD_M3}/hour", "Sm3/d": f"{STANDARD_M3}/day", "kSm3/h": f"1000 {STANDARD_M3}/hour",
    "kSm3/d": f"1000 {STANDARD_M3}/day", "MSm3/d": f"1e6 {STANDARD_M3}/day", "MMSm3/d": f"1e6 {STANDARD_M3}/day",
    "kg/h": "kg/hour", "kg/hr": "kg/hour", "kg/s": "kg/s", "kg/d": "kg/day", "kg/min": "kg/minute", "g/s": "g/s",
    "t/h": "tonne/hour", "t/d": "tonne/day", "lb/h": "lb/hour", "lb/hr": "lb/hour", "lb/d": "lb/day", "lb/s": "lb/s",
    "klb/h": "1000 lb/hour",
    "m3/h": "m^3/hour", "m3/hr": "m^3/hour", "m3/d": "m^3/day", "m3/s": "m^3/s", "m3/min": "m^3/minute",
    "am3/h": "m^3/hour", "am3/s": "m^3/s", "am3/d": "m^3/day",
    "L/min": "L/minute", "L/h": "L/hour", "L/s": "L/s", "gpm": "gallon/minute", "USgpm": "gallon/minute",
    "US gpm": "gallon/minute", "gal/min": "gallon/minute", "gal/h": "gallon/hour",
    "igpm": "brgallon/minute", "imp gpm": "brgallon/minute", "bbl/d": "petroleumbarrel/day", "bpd": "petroleumbarrel/day",
    "ft3/s": "ft^3/s", "ft3/h": "ft^3/hour", "acfm": "ft^3/minute", "acfh": "ft^3/hour", "acfs": "ft^3/s",
    "mm": "mm", "cm": "cm", "m": "m", "km": "km", "in": "inch", "inch": "inch", '"': "inch", "ft": "ft", "um": "um",
    "micron": "micron", "nm": "nm", "mil": "mil", "mile": "mile", "yd": "yard",
    "m2": "m^2", "cm2": "cm^2", "mm2": "mm^2", "ft2": "ft^2", "sqft": "ft^2", "in2": "inch^2",
    "m3": "m^3", "ft3": "ft^3", "L": "L", "l": "L", "mL": "mL", "cm3": "cm^3", "dm3": "dm^3",
    "gal": "gallon", "USgal": "gallon", "US gal": "gallon", "igal": "brgallon", "imp gal": "brgallon",
    "bbl": "petroleumbarrel",
    "m/s": "m/s", "cm/s": "cm/s", "m/min": "m/minute", "km/h": "km/hour", "ft/s": "ft/s", "fps": "ft/s",
    "ft/min": "ft/minute", "fpm": "ft/minute",
    "kg/(m s2)": "kg/(m s^2)", "kg/m/s2": "kg/(m s^2)", "kg/m s2": "kg/(m s^2)",
    "lb/(ft s2)": "lb/(ft s^2)", "lb/ft/s2": "lb/(ft s^2)", "lb/ft s2": "lb/(ft s^2)",
    "mPa s": "mPa s", "mPa.s": "mPa s", "Pa s": "Pa s", "Pa.s": "Pa s", "cP": "centipoise", "P": "poise",
    "lb/(ft s)": "lb/(ft s)", "lb/(ft h)": "lb/(ft hour)",
    "kg": "kg", "g": "g", "mg": "mg", "t": "tonne", "tonne": "tonne", "lb": "lb",
    "g/mol": "g/mol", "kg/kmol": "kg/kmol", "kg/mol": "kg/mol", "lb/lbmol": "lb/((lb/g) mol)",
    "kJ/kg K": "kJ/(kg K)", "kJ/(kg degC)": "kJ/(kg K)", "kJ/kg degC": "kJ/(kg K)",
    "kcal/(kg degC)": "1000 calorie_IT/(kg K)", "Btu/(lb degF)": "btu_IT/(lb degF)", "Btu/lb degF": "btu_IT/(lb degF)",
    "J/(mol K)": "J/(mol K)", "kJ/(kmol K)": "kJ/(kmol K)", "Btu/(lbmol degF)": "btu_IT/((lb/g) mol degF)",
    "s": "s", "min": "minute", "h": "hour", "hr": "hour", "hours": "hour", "d": "day", "day": "day", "days": "day",
    "week": "week", "weeks": "week", "month": f"{YEAR}/12", "months": f"{YEAR}/12", "y": YEAR, "yr": YEAR, "a": YEAR,
    "year": YEAR, "years": YEAR,
    "W": "W", "kW": "kW", "MW": "MW", "Btu/h": "btu_IT/hour", "kBtu/h": "1000 btu_IT/hour",
    "MMBtu/h": "1e6 btu_IT/hour", "MMBtu/hr": "1e6 btu_IT/hour", "hp": "horsepower",
    "kcal/h": "1000 calorie_IT/hour", "Gcal/h": "1e9 calorie_IT/hour", "MJ/h": "MJ/hour", "GJ/h": "GJ/hour",
    "W/m2": "W/m^2", "kW/m2": "kW/m^2", "Btu/(h ft2)": "btu_IT/(hour ft^2)", "Btu/h/ft2": "btu_IT/(hour ft^2)",
    "Btu/h ft2": "btu_IT/(hour ft^2)", "Btu/(hr ft2)": "btu_IT/(hour ft^2)",
    "kcal/(h m2)": "1000 calorie_IT/(hour m^2)",
    "W/(m2 K)": "W/(m^2 K)", "W/m2/K": "W/(m^2 K)", "W/m2 K": "W/(m^2 K)", "W/(m2 degC)": "W/(m^2 K)",
    "kW/(m2 K)": "kW/(m^2 K)", "Btu/(h ft2 degF)": "btu_IT/(hour ft^2 degF)",
    "Btu/(hr ft2 degF)": "btu_IT/(hour ft^2 degF)", "Btu/h/ft2/degF": "btu_IT/(hour ft^2 degF)",
    "kcal/(h m2 K)": "1000 calorie_IT/(hour m^2 K)",
    "mm/y": f"mm/{YEAR}", "mm/yr": f"mm/{YEAR}", "mm/a": f"mm/{YEAR}", "mm/year": f"mm/{YEAR}", "um/y": f"um/{YEAR}",
    "um/yr": f"um/{YEAR}", "mpy": f"mil/{YEAR}", "mil/y": f"mil/{YEAR}", "in/y": f"inch/{YEAR}",
    "m/h": "m/hour", "m3/(h m2)": "m/hour", "m3/h/m2": "m/hour", "m3/m2/h": "m/hour",
    "gpm/ft2": "gallon/(minute ft^2)", "L/(min m2)": "L/(minute m^2)",
    "MJ/m3": "MJ/m^3", "kJ/L": "kJ/L", "kJ/m3": "kJ/m^3", "Btu/gal": "btu_IT/gallon", "Btu/USgal": "btu_IT/gallon",
    "kcal/L": "1000 calorie_IT/L",
    "m2/m3": "1/m", "ft2/ft3": "1/ft",
    "hPa": "hPa", "N/m2": "N/m^2", "g/h": "g/hour", "mL/h": "mL/hour", "L/d": "L/day", "am3/min": "m^3/minute", "kJ/h": "kJ/hour",
    "Nm3/s": f"{NORMAL_M3}/s", "Nm3/min": f"{NORMAL_M3}/minute", "Sm3/s": f"{STANDARD_M3}/s",
    "Sm3/min": f"{STANDARD_M3}/minute", "um/a": f"um/{YEAR}", "um/year": f"um/{YEAR}", "kWh/m3": "kW hour/m^3",
    "J/kg K": "J/(kg K)", "J/g K": "J/(g K)", "J/mol K": "J/(mol K)", "kJ/kmol K": "kJ/(kmol K)",
    "kW/m2 K": "kW/(m^2 K)",
    # Without roots of units in GNU units: in m3/s at 1 Pa, as numbers.
    "Cv": "(gallon/minute)/(m^3/s)/(psi/Pa)^0.5", "Kv": "(m^3/hour)/(m^3/s)/(bar/Pa)^0.5",
}
# Scales of hardness are not convertible and have one unit each.
HARDNESS = {"HRC", "Rc", "HBW", "HB", "BHN", "HBW 10/3000", "HV", "HV10", "HV5", "HV30", "HV1"}


def dump():
    """(kind, SI unit, spelling, factor, offset) of every row."""
    sources = ["quantity/units.c", "quantity/quantity.c", "quantity/quantity_show.c", "base/text.c", "base/arena.c", "base/format.c"]
    with tempfile.TemporaryDirectory() as folder:
        main, program = Path(folder, "dump.c"), Path(folder, "dump")
        main.write_text(DUMP)
        subprocess.run(["cc", "-std=c17", "-I", CHECKER, "-o", program, main, *(CHECKER / s for s in sources), "-lm"],
                       check=True)
        out = subprocess.run([program], check=True, capture_output=True, encoding="utf-8").stdout
    for line in out.splitlines():
        kind, si, spelling, factor, offset = line.split("\t")
        yield kind, si, spelling, float(factor), float(offset)


def pressure_word(spelling):
    """("bar", True) of "barg": the unit without its suffix, and whether it is a gauge unit."""
    suffix = re.fullmatch(r"(.*?) ?(\(a\)|\(g\)|abs|gauge|a|g)", spelling)
    if spelling in ("atm", "torr", "Pa"):
        return spelling, False
    if not suffix:
        sys.exit(f"units_check: pressure unit {spelling} is neither absolute nor gauge")
    return suffix[1], suffix[2] in ("(g)", "gauge", "g")


def expression(kind, spelling):
    if kind.startswith("hardness") and spelling in HARDNESS:
        return "1"
    if kind in ("pressure", "partial-pressure", "pressure-difference") and spelling not in WORDS:
        return WORDS.get(re.sub(r"( ?\((a|g)\)| abs| gauge|[agd])$", "", spelling))
    return WORDS.get(spelling, gnu_si(spelling))


def in_gnu_units(questions):
    """Each (expression, SI unit) as a number."""
    lines = "".join(f"{expression}\n{si}\n" for expression, si in questions)
    run = subprocess.run(["units", "--quiet", "--one-line", "--strict", "--output-format", "%.17g"], input=lines,
                         check=True, capture_output=True, encoding="utf-8", env={"LC_ALL": "C.UTF-8", "PATH": "/usr/bin"})
    answers = [line.strip() for line in run.stdout.splitlines() if line.strip()]
    if len(answers) != len(questions) or not all(answer.startswith("* ") for answer in answers):
        sys.exit(f"units_check: {len(questions)} questions, {len(answers)} answers: {[a for a in answers if a[0] != '*'][:5]}")
    for (asked, si), answer in zip(questions, answers):
        match = re.fullmatch(r"\* (\S+)", answer)
        if not match:
            sys.exit(f"units_check: GNU units on {asked} in {si}: {answer}")
        yield float(match[1])


def gnu_si(si):
    return SI.get(si) or re.sub(r"(?<=[a-z])(\d)", r"^\1", si)


def expected_offset(kind, spelling):
    if kind == "pressure" and pressure_word(spelling)[1]:
        return BAROMETRIC
    if kind == "temperature" and spelling in TEMPERATURES:
        return next(in_gnu_units([(f"{TEMPERATURES[spelling]}(0)", "K")]))
    return 0.0


def main():
    rows = list(dump())
    missing = [f"{kind} {spelling!r}" for kind, _, spelling, _, _ in rows if expression(kind, spelling) is None]
    if missing:
        print("units_check: no counterpart for", ", ".join(missing))
        return 1
    questions = [(expression(kind, spelling), gnu_si(si)) for kind, si, spelling, _, _ in rows]
    faults, worst = 0, 0.0
    for (kind, si, spelling, factor, offset), theirs in zip(rows, in_gnu_units(questions)):
        zero = expected_offset(kind, spelling)
        difference = max(abs(factor / theirs - 1), abs(offset - zero) / max(abs(zero), 1))
        worst = max(worst, difference)
        if not difference <= TOLERANCE:
            faults += 1
            print(f"{kind} {spelling!r}: SI = x * {factor!r} + {offset!r}; GNU units: {theirs!r}, {zero!r}")
    print(f"units_check: {len(rows)} spellings compared, {faults} mismatches, worst relative difference {worst:.3g}")
    return 1 if faults or not rows else 0


if __name__ == "__main__":
    sys.exit(main())
