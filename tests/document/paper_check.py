"""The review as PDF, the workbook and the CSV: python3 paper_check.py PROGRAM FOLDER DESIGN..."""

import csv
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import zipfile
import xml.etree.ElementTree as tree

from lxml import html

import check
import pages
from check import expect, output_of, plain

MILLIMETRE = 72 / 25.4
MOST_PAGES = 86  # of the largest design, whose faults grew to some 200 rows; the rows are to be fewer, then this too
NAMES = {"office": "urn:oasis:names:tc:opendocument:xmlns:office:1.0", "table": "urn:oasis:names:tc:opendocument:xmlns:table:1.0",
         "text": "urn:oasis:names:tc:opendocument:xmlns:text:1.0", "xlink": "http://www.w3.org/1999/xlink"}


def digest(path):
    return hashlib.sha256(open(path, "rb").read()).hexdigest()


def make(program, folder, design, *options, environment=None):
    """The folder of the review."""
    done = subprocess.run([program, "review", "--output", folder, *options, design], capture_output=True, text=True,
                          env=environment, stdin=subprocess.DEVNULL)
    expect(done.returncode in (0, 1), f"{design}: exit {done.returncode}: {done.stderr}")
    return os.path.dirname(done.stdout.strip().splitlines()[-1])


# ---- PDF ----

def headings_of(page):
    return {plain(node.text_content()) for node in page.xpath("//h2 | //h3 | //h4 | //caption[not(ancestor::table["
            "contains(@class, 'items') or contains(@class, 'limits') or contains(@class, 'working')])]")}


def check_layout(name, path, page):
    """No text in the margins or over other text; no heading and no head of a table alone at the foot of a page."""
    heads = headings_of(page) | {plain(" ".join(cell.text_content() for cell in row.xpath("th")))
                                 for row in page.xpath("//thead/tr")}
    printed = pages.pages_of(path)
    for sheet in printed:
        expect(not pages.beyond(sheet, 14 * MILLIMETRE),
               f"{name}, page {sheet.number}: beyond the margins: {pages.beyond(sheet, 14 * MILLIMETRE)[:4]}")
        expect(not pages.overlaps(sheet), f"{name}, page {sheet.number}: over each other: {pages.overlaps(sheet)[:4]}")
        text = sheet.between(16 * MILLIMETRE if sheet.number > 1 else 0, sheet.height - 15 * MILLIMETRE)
        if not expect(text, f"{name}, page {sheet.number}: empty"):
            continue
        last = plain(" ".join(word[0] for line in text if abs(line[0][2] - text[-1][0][2]) < 2 for word in line))
        expect(last not in heads, f"{name}, page {sheet.number}: ends with {last!r}")
    return printed


def check_running_heads(name, printed, unit):
    for sheet in printed[1:]:
        top = plain(" ".join(word[0] for word in sheet.words() if word[4] < 16 * MILLIMETRE))
        foot = plain(" ".join(word[0] for word in sheet.words() if word[2] > sheet.height - 15 * MILLIMETRE))
        expect("".join(unit.split()) in "".join(top.split()) and re.search(r"\d+ \S", top), f"{name}, page {sheet.number}: its head says {top!r}")
        expect(f"{sheet.number} / {len(printed)}" in foot, f"{name}, page {sheet.number}: its foot says {foot!r}")


def check_contents(name, path, page, printed):
    """Every word of the page is in the PDF, but what stays off paper; the outline has its headings; the description is attached."""
    # Letters of a right-to-left name are told again with every Latin letter of their run: a fault of the text behind the
    # picture, not of the picture.
    words = re.sub("[^\x21-\x7e]", "", "".join("".join(word[0] for word in sheet.words()) for sheet in printed))
    for node in page.xpath("//main//td[not(*)] | //main//p[not(*)] | //main//li[not(*)] | //main//*[@class='value']"):
        if node.xpath("ancestor-or-self::*[contains(concat(' ', @class, ' '), ' of-met ')]"):
            continue
        for word in node.text_content().split():
            if word.isascii() and len(word) < 20:
                expect(all(part in words for part in re.split("(?<=-)", word)), f"{name}: {word!r} is not in the PDF")
    outline = output_of("pdftohtml", "-xml", "-i", "-stdout", path)
    for node in page.xpath("//main/section/h2"):
        heading = plain(node.text_content())
        expect(f">{heading}</item>" in outline, f"{name}: the outline has no {heading!r}")


def check_attached(name, path, design, folder):
    listed = output_of("pdfdetach", "-list", path)
    expect(listed.startswith("1 embedded file") and os.path.basename(design) in listed, f"{name}: attached is {listed!r}")
    out = os.path.join(folder, "attached")
    subprocess.run(["pdfdetach", "-save", "1", "-o", out, path], check=True)
    expect(digest(out) == digest(design), f"{name}: what is attached is not the description")


def by_itself(folder):
    """An environment in which the sheets are laid out by WeasyPrint as it is: what stands in for it is no script of Python."""
    room = os.path.join(os.path.abspath(folder), "by-itself")
    os.makedirs(room, exist_ok=True)
    path = os.path.join(room, "weasyprint")
    with open(path, "w") as script:
        script.write(f'#!/bin/sh\nexec {shutil.which("weasyprint")} "$@"\n')
    os.chmod(path, 0o755)
    return dict(os.environ, PATH=f"{room}:{os.environ['PATH']}", SOURCE_DATE_EPOCH="0")


def check_pdf(program, folder, design):
    name = os.path.basename(design)
    where = make(program, folder, design, "--pdf")
    path, first = os.path.join(where, "review.pdf"), None
    page = html.parse(os.path.join(where, "review.html"))
    unit = plain(page.xpath("//h1")[0].text_content())
    printed = check_layout(name, path, page)
    check_running_heads(name, printed, unit)
    check_contents(name, path, page, printed)
    check_attached(name, path, design, folder)
    first = digest(path)
    make(program, folder, design, "--pdf", environment=by_itself(folder))
    expect(digest(path) == first, f"{name}: the PDF is not the same bytes twice, or not those of WeasyPrint by itself")
    information = output_of("pdfinfo", path)
    expect("A4" in information, f"{name}: not A4")
    left = [file for file in os.listdir(where) if file.endswith(".part")]
    expect(not left, f"{name}: left behind: {left}")
    print(f"{name}: {len(printed)} pages")
    expect(len(printed) < MOST_PAGES, f"{name}: {len(printed)} sheets are more than anyone reads")
    return check_memory(name, where, design)


def check_letter(program, folder, design):
    where = make(program, folder, design, "--pdf", "--paper", "letter")
    path = os.path.join(where, "review.pdf")
    expect("letter" in output_of("pdfinfo", path), "not on letter paper")
    check_layout(os.path.basename(design) + " on letter", path, html.parse(os.path.join(where, "review.html")))


def check_memory(name, where, design):
    """A limit from memory is marked for checking in every output; the workbook is held to the CSV, cell by cell."""
    mark = "from memory: check against a licensed copy"
    record = json.load(open(os.path.join(where, "review.json")))
    rows = {row[0]: row for row in strict_rows(os.path.join(where, "review.csv"))}
    page = html.parse(os.path.join(where, "review.html"))
    printed = plain(output_of("pdftotext", "-layout", os.path.join(where, "review.pdf"), "-"))
    seen = 0
    for finding in record["findings"]:
        governing = [limit for limit in finding["limits"] if limit["governs"] and limit["known"] == "memory"]
        if not governing or finding["id"] not in rows:
            continue
        seen += 1
        expect(governing[0]["how_known"].startswith(mark), f"{name}: {finding['id']} in the record")
        expect(any(cell.startswith(mark) for cell in rows[finding["id"]]), f"{name}: {finding['id']} in the CSV")
        limits = page.xpath(f"//article[@data-rule='{finding['rule']}']//table[contains(@class, 'limits')]")
        expect(limits and mark in plain(limits[0].text_content()), f"{name}: {finding['id']} in the page")
    expect(seen == 0 or printed.count("from memory") > 0, f"{name}: nothing is from memory on paper")
    return seen


def check_standard_input(program, folder, design):
    with open(design) as words:
        subprocess.run([program, "review", "--quiet", "--pdf", "--output", folder, "-"], stdin=words, check=False)
    number = html.parse(design).xpath("//unit/@number")[0]
    path, out = os.path.join(folder, number, "review.pdf"), os.path.join(folder, "attached")
    subprocess.run(["pdfdetach", "-save", "1", "-o", out, path], check=True)
    expect(digest(out) == digest(design), "what came by standard input is not attached")


def check_not_installed(program, folder, design):
    where = make(program, folder, design)
    path = os.path.join(where, "review.pdf")
    if os.path.exists(path):
        os.remove(path)
    done = subprocess.run([program, "review", "--quiet", "--pdf", "--output", folder, design], capture_output=True,
                          text=True, env={"PATH": "/nonexistent"})
    expect(done.returncode == 4 and "not installed" in done.stderr and not os.path.exists(path),
           f"without WeasyPrint: exit {done.returncode}, {done.stderr!r}")
    expect(not [file for file in os.listdir(where) if file.endswith(".part")], "half a PDF is left behind")


# ---- tables ----

# Where a cell can begin for a program that separates cells by semicolons or tabs, or takes a line end in a cell for one of a row.
FORMULA = re.compile("(?:^|[;\t\r\n])[ \"]*[=+\\-@\uff1d\uff0b\uff0d\uff20]|^[\t\r]")


def is_number(value):
    return re.fullmatch(r"[+-]?[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?", value)


def strict_rows(path):
    """RFC 4180 to the letter: CRLF, quotes only around a whole cell, doubled inside, as many cells in every row."""
    data = open(path, "rb").read()
    expect(data.startswith(b"\xef\xbb\xbf"), f"{path}: no byte order mark")
    text = data[3:].decode("utf-8")
    expect(not re.search(r"(?<!\r)\n|\r(?!\n)", re.sub(r'"(?:[^"]|"")*"', "", text)), f"{path}: a line end that is no CRLF")
    cell = r'(?:"(?:[^"]|"")*"|[^",\r\n]*)'
    expect(re.fullmatch(rf"(?:{cell}(?:,{cell})*\r\n)+", text), f"{path}: not by RFC 4180")
    rows = list(csv.reader(text.splitlines(keepends=True), strict=True))
    expect(len({len(row) for row in rows}) == 1, f"{path}: rows of different length")
    for row in rows:
        for value in row:
            expect(is_number(value) or not FORMULA.search(value), f"{path}: a spreadsheet would run {value!r}")
    return rows


def convert(path, kind, folder):
    profile = "file://" + os.path.join(os.path.abspath(folder), "profile")
    subprocess.run(["soffice", f"-env:UserInstallation={profile}", "--headless", "--convert-to", kind, "--outdir", folder, path],
                   check=True, capture_output=True, stdin=subprocess.DEVNULL, timeout=300)


def cells_of(row):
    found = []
    for cell in row.findall("table:table-cell", NAMES) + row.findall("table:covered-table-cell", NAMES):
        words = "\n".join("".join(line.itertext()) for line in cell.findall("text:p", NAMES))
        links = [link.get(f"{{{NAMES['xlink']}}}href") for link in cell.iter(f"{{{NAMES['text']}}}a")]
        repeat = int(cell.get(f"{{{NAMES['table']}}}number-columns-repeated", "1"))
        found += [(words, links, cell.get(f"{{{NAMES['table']}}}content-validation-name"),
                   cell.get(f"{{{NAMES['table']}}}formula"))] * min(repeat, 40)
    return found


def check_claims(name, sheets, called, claims):
    """Each claim of the CSV, with its answer, is a row of the sheet of claims."""
    if not expect(("Claims" in called) == bool(claims), f"{name}: {len(claims)} claims, and its sheets are {called}") or not claims:
        return
    rows = [cells_of(row) for row in sheets[called.index("Claims")].iter(f"{{{NAMES['table']}}}table-row")]
    words = [[plain(cell[0]) for cell in row] for row in rows]
    for claim in claims:
        said, answer = plain(claim[5]).split(": ", 1)[1], plain(claim[1])
        expect(any(said in row and answer in row for row in words), f"{name}: {said!r} is not among the claims as {answer}")


def check_workbook(program, folder, design):
    name = os.path.basename(design)
    where = make(program, folder, design, "--xlsx")
    path = os.path.join(where, "review.xlsx")
    first = digest(path)
    make(program, folder, design, "--xlsx")
    expect(digest(path) == first, f"{name}: the workbook is not the same bytes twice")
    # What the package claims has no id: it stands in the CSV beneath what is to be answered, in the workbook on a sheet of its own.
    written = strict_rows(os.path.join(where, "review.csv"))
    wanted, claims = [row for row in written if row[0]], [row for row in written if not row[0]]
    convert(path, "fods", folder)
    root = tree.parse(os.path.join(folder, "review.fods")).getroot()
    sheets = root.findall(".//office:spreadsheet/table:table", NAMES)
    called = [sheet.get(f"{{{NAMES['table']}}}name") for sheet in sheets]
    # Claims have a sheet where the package makes any.
    expect([one for one in called if one != "Claims"] == ["Actions", "Questions", "About"], f"{name}: its sheets are {called}")
    check_claims(name, sheets, called, claims)
    rows = [cells_of(row) for row in sheets[0].iter(f"{{{NAMES['table']}}}table-row")][:len(wanted)]
    anchors = set(html.parse(os.path.join(where, "review.html")).xpath("//@id"))
    expect(len(rows) == len(wanted), f"{name}: {len(rows)} rows in the workbook, {len(wanted)} in the CSV")
    for i, (row, line) in enumerate(zip(rows, wanted)):
        said = [cell[0] for k, cell in enumerate(row[:20]) if k != 13]
        for got, written in zip(said, line):
            # The CSV keeps a cell from being run by an apostrophe; a workbook's text needs none. Long cells are cut.
            written = re.sub("((?:^|[;\t\r\n])[ \"]*)'([=+\\-@\uff1d\uff0b\uff0d\uff20])", r"\1\2", written)
            same = plain(got) == plain(written) or (len(written) > 8000 and plain(written).startswith(plain(got)[:7900]))
            expect(same, f"{name}, row {i + 1}: {got[:80]!r} is not {written[:80]!r}")
        expect(not any(cell[3] for cell in row), f"{name}, row {i + 1}: a formula")
        if i > 0:
            links = row[0][1]
            expect(links and links[0].split("#")[0].endswith("review.html") and links[0].split("#")[1] in anchors,
                   f"{name}, row {i + 1}: its link is {links}")
            expect(row[13][2] and row[18][2], f"{name}, row {i + 1}: no list to choose from")
    check_settings(name, path, root, len(wanted))
    words = "".join(sheets[-1].itertext())
    expect("licensed engineer" in words, f"{name}: the workbook has no cautions")


def check_settings(name, path, root, rows):
    ranges = root.findall(".//table:database-range", NAMES)
    # LibreOffice writes its own filter buttons so; the range must hold the head and every row.
    expect(any(found.get(f"{{{NAMES['table']}}}display-filter-buttons") == "true" and
               found.get(f"{{{NAMES['table']}}}target-range-address", "").endswith(f":Actions.U{rows}") for found in ranges),
           f"{name}: no filter over all rows")
    # A conversion without a window keeps no view: this one is read in the workbook itself.
    sheet = zipfile.ZipFile(path).read("xl/worksheets/sheet1.xml").decode()
    expect(re.search(r'<pane [^>]*ySplit="1"[^>]*state="frozen"', sheet), f"{name}: the head is not frozen")
    lists = [found.get(f"{{{NAMES['table']}}}condition", "") for found in root.iter(f"{{{NAMES['table']}}}content-validation")]
    expect(any('"open"' in one and '"closed"' in one for one in lists), f"{name}: the states to choose from are {lists}")
    expect(any('"deviation asked for"' in one for one in lists), f"{name}: the answers to choose from are {lists}")
    text = tree.tostring(root, encoding="unicode")
    for word in ("Resolve", "Justify", "Consider", "State"):
        expect(re.search(rf'value="=?(?:&quot;|&amp;quot;|"){word}', text) or f"&quot;{word}&quot;" in text,
               f"{name}: no tint for {word}")


def main():
    program, folder, designs = os.path.abspath(sys.argv[1]), sys.argv[2], sys.argv[3:]
    remembered = 0
    for design in designs:
        remembered += check_pdf(program, folder, design)
        check_workbook(program, folder, design)
    check_letter(program, folder, designs[-1])
    check_standard_input(program, folder, "designs/curlew-spit.xml")
    check_not_installed(program, folder, designs[-1])
    expect(remembered > 0, "no finding from memory was looked at")
    check.done()


if __name__ == "__main__":
    main()
