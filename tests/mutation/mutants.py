"""The changes that mutation testing makes: where they stand in a file and what stands there instead.

A C file is read as text formatted by clang-format: an operator between two operands has white space on both sides, a
sign, a cast, an address or a declared pointer has not. Comments, strings and lines of the preprocessor are left alone.
"""
import re
from typing import NamedTuple


class Mutant(NamedTuple):
    file: str  # from the top of the tree
    line: int
    start: int  # offsets into the text of the file
    end: int
    old: str
    new: str

    @property
    def change(self):
        return f"{' '.join(self.old.split())} -> {self.new}"

    @property
    def name(self):
        return f"{self.file}:{self.line}: {self.change}"

    def home(self, text):
        """(text of the function or table, or of the row of units, in which it stands; its offset in there)."""
        if self.file.endswith(".def"):
            begin, end = text.rfind("\n", 0, self.start) + 1, text.find("\n", self.end)
        else:
            ends = [match.end() for match in re.finditer(r"^}.*$", text, re.M)]
            begin = max((at for at in ends if at <= self.start), default=0)
            end = min((at for at in ends if at >= self.end), default=len(text))
        begin += len(text[begin:end]) - len(text[begin:end].lstrip("\n"))
        return text[begin:end], self.start - begin

    def lasting_name(self, text):
        """The name with the function and the words of the line in place of its number, and which of all such operators in
        such lines of the function it is: it holds while other lines come and go."""
        home, offset = self.home(text)
        function = re.search(r"^\w[^;\n=]*?(\w+)\(", home, re.M)
        begin = home.rfind("\n", 0, offset) + 1
        line = " ".join(home[begin:].split("\n", 1)[0].split())
        alike = sum(" ".join(above.split()) == line for above in home[:begin].split("\n"))
        nth = alike * line.count(self.old) + home[begin:offset].count(self.old) + 1
        return f"{self.file}: {function[1] + ': ' if function else ''}{line}: {self.change} ({nth})"

    def applied(self, text):
        assert text[self.start:self.end] == self.old
        return text[:self.start] + self.new + text[self.end:]


# What an operator becomes. A comparison moves its border and is turned round; the rest changes once.
OPERATORS = {
    "<": ("<=", ">="), "<=": ("<", ">"), ">": (">=", "<="), ">=": (">", "<"), "==": ("!=",), "!=": ("==",),
    "&&": ("||",), "||": ("&&",), "+": ("-",), "-": ("+",), "*": ("/",), "/": ("*",), "%": ("*",), "|": ("&",),
    "&": ("|",), "<<": (">>",), ">>": ("<<",), "+=": ("-=",), "-=": ("+=",), "*=": ("/=",), "/=": ("*=",),
    "|=": ("&=",), "&=": ("|=",),
}
BINARY = re.compile(r"(?<=[ \t\n])(" + "|".join(re.escape(o) for o in sorted(OPERATORS, key=len, reverse=True)) + r")(?=[ \n])")
NOT = re.compile(r"!(?=[A-Za-z_(])")
RETURN = re.compile(r"\breturn\b[^;{}]*;")
# A constant that is the whole of what is returned, or of one branch of it.
RETURNED = re.compile(r"(?:(?<=return )|(?<=\? )|(?<=: ))(true|false|NULL|-?\d+(?:\.\d+)?|[A-Z][A-Z0-9_]+)(?=;|\s*[:?)])")
# The three truth values, wherever one is put or handed on; beside == the operator is what changes.
TRUTH = re.compile(r"(?<!case )(?<!== )(?<!!= )\b(YES|NO|PERHAPS)\b(?! [!=]=)")
CONSTANTS = {"true": "false", "false": "true", "NULL": "(void *)8", "YES": "NO", "NO": "YES", "PERHAPS": "YES"}


def masked(text):
    """The text with comments, strings, characters and preprocessor lines blanked, of the same length."""
    pattern = re.compile(r"/\*.*?\*/|//[^\n]*|\"(?:\\.|[^\"\\\n])*\"|'(?:\\.|[^'\\\n])*'|^[ \t]*#(?:[^\n]*\\\n)*[^\n]*",
                         re.S | re.M)
    return pattern.sub(lambda m: re.sub(r"[^\n]", "\x00", m[0]), text)


def instead(constant):
    if constant in CONSTANTS:
        return CONSTANTS[constant]
    return f"({constant} ? 0 : 1)"


def of_c(file, text):
    """Every mutant of a C file, in order."""
    code = masked(text)
    spots = {}
    for match in BINARY.finditer(code):
        spots[match.span()] = OPERATORS[match[0]]
    for match in NOT.finditer(code):
        spots[match.span()] = ("",)
    for statement in RETURN.finditer(code):
        for match in RETURNED.finditer(statement[0]):
            start, end = match.span(1)
            spots[(statement.start() + start, statement.start() + end)] = (instead(match[1]),)
    for match in TRUTH.finditer(code):
        spots[match.span()] = (instead(match[0]),)
    return [Mutant(file, text.count("\n", 0, start) + 1, start, end, text[start:end], new)
            for (start, end), news in sorted(spots.items()) for new in news]


UNIT_ROW = re.compile(r"^(UNIT|GAUGE)\((\w+), \"((?:\\.|[^\"\\])*)\", (.*)\)$", re.M)
UNIT_NAME = re.compile(r"^#define (\w+) (.*?)(?:\s*/\*.*\*/)?$", re.M)


def of_units(file, text):
    """Factor and offset of every row of the table of units and every named factor, each changed by one in a hundred; an
    offset of zero becomes one, and a gauge unit an absolute one."""
    found = []

    def add(start, end, new):
        found.append(Mutant(file, text.count("\n", 0, start) + 1, start, end, text[start:end], new))

    for match in UNIT_NAME.finditer(text):
        add(*match.span(2), f"(1.01 * ({match[2].strip()}))")
    for match in UNIT_ROW.finditer(text):
        start, end = match.span(4)
        if match[1] == "GAUGE":
            add(start, end, f"1.01 * ({match[4]})")
            add(match.start(), match.end(), f'UNIT({match[2]}, "{match[3]}", {match[4]}, 0)')
            continue
        factor, offset = match[4].rsplit(", ", 1)
        add(start, start + len(factor), f"1.01 * ({factor})")
        add(end - len(offset), end, "1" if offset == "0" else f"1.01 * ({offset})")
    return sorted(found, key=lambda m: m.start)
