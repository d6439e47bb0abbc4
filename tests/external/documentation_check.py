#!/usr/bin/python3
"""README.md and DEVELOPERS.md against the program they speak of.

README: the design shown is the file it names, and the output shown is what the program prints for it.
Both: the figures they name (counts of rules, limits, spellings, how limits are known, sizes: figures.py) are those of the program.
DEVELOPERS: every module of checker/ has its line; the rule shown as a diff is sound. A small program is linked with the objects of
build/plain for the counts.

With --write the example's output and the figures are made anew first. Each figure is then spoilt in turn, which must be seen.
"""
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import figures

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = (ROOT / os.environ.get("LEANRICH", "build/leanrich")).resolve()
EXAMPLE = "designs/curlew-spit.xml"

DUMP = r"""
#include <stdio.h>
#include "command/commands.h"
#include "quantity/units.h"
#include "read/document.h"

int main(void)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	const struct catalogue *catalogue = load_catalogue(&arena, NULL, NULL, &problems);
	size_t limits = 0, unnamed = 0, known[4] = {0}, kinds = 0;
	if (!catalogue)
		return 1;
	for (size_t i = 0; i < catalogue->rule_count; i++)
		for (size_t k = 0; k < catalogue->rules[i].limit_count; k++) {
			const struct limit *limit = &catalogue->rules[i].limits[k];
			limits++;
			known[limit->reading]++;
			unnamed += limit->reading == READING_READ && limit->source && !limit->source->named;
		}
	for (size_t i = 0; i < unit_count(); i++) {
		size_t k = 0;
		while (unit_row(k)->kind != unit_row(i)->kind)
			k++;
		kinds += k == i;
	}
	printf("rules\t%zu\nlimits\t%zu\nunnamed\t%zu\n", catalogue->rule_count, limits, unnamed);
	for (int reading = 0; reading < 4; reading++)
		printf("%s\t%zu\n", reading_word((enum reading)reading), known[reading]);
	printf("spellings\t%zu\nkinds\t%zu\n", unit_count(), kinds);
	printf("mebibytes\t%d\nelements\t%d\n", DOCUMENT_LARGEST / (1024 * 1024), DOCUMENT_MOST_ELEMENTS);
	return 0;
}
"""


def blocks(text, language):
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.M | re.S)


def example_now():
    """The console block of README.md as it should be."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "designs").symlink_to(ROOT / "designs")
        done = subprocess.run([PROGRAM, "review", EXAMPLE], cwd=folder, capture_output=True, text=True, check=False)
    return f"$ build/leanrich review {EXAMPLE}\n{done.stdout}$ echo $?\n{done.returncode}\n"


def readme_faults(readme):
    if (ROOT / EXAMPLE).read_text(encoding="utf-8") not in blocks(readme, "xml"):
        yield f"README.md does not show {EXAMPLE} as it is"
    if example_now() not in blocks(readme, "console"):
        yield f"README.md does not show what `leanrich review {EXAMPLE}` prints now; --write puts it there:\n{example_now()}"


def write_readme():
    path = ROOT / "README.md"
    text = path.read_text(encoding="utf-8")
    old = next(block for block in blocks(text, "console") if block.startswith("$ build/leanrich review"))
    path.write_text(text.replace(old, example_now()), encoding="utf-8")


def program_says():
    """The counts of the program."""
    sources = [path.relative_to(ROOT) for path in sorted((ROOT / "checker").rglob("*.c")) if path.name != "main.c"]
    objects = [str(ROOT / "build/plain" / path.with_suffix(".o")) for path in [*sources, Path("embedded_files.c")]]
    libraries = ["libxml-2.0", "gsl", "jansson", "xlsxwriter"]
    flags = subprocess.check_output(["pkg-config", "--cflags", "--libs", *libraries], text=True).split()
    with tempfile.TemporaryDirectory() as folder:
        source, program = Path(folder) / "dump.c", Path(folder) / "dump"
        source.write_text(DUMP, encoding="utf-8")
        subprocess.run(["gcc", "-std=c17", "-D_POSIX_C_SOURCE=200809L", f"-I{ROOT / 'checker'}", str(source), *objects,
                        *flags, "-o", str(program)], check=True)
        counts = dict(row.split("\t") for row in subprocess.check_output([program], text=True).splitlines())
    return {name: int(count) for name, count in counts.items()}


def shown_rule_faults(developers):
    """The rule shown as a diff, put into a pack, is sound. Its counts change with the catalogue and are not compared."""
    added = [line[1:] for line in blocks(developers, "diff")[0].split("\n") if line.startswith("+") and line[:3] != "+++"]
    family = (ROOT / "rules/velocity.xml").read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        pack = family.replace("</rules>", "\n".join(added) + "\n</rules>")
        (Path(folder) / "velocity.xml").write_text(pack, encoding="utf-8")
        done = subprocess.run([PROGRAM, "rules", "--check", folder], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        yield f"the rule that DEVELOPERS.md adds: {done.stderr}"


def developers_faults(developers):
    for path in sorted((ROOT / "checker").rglob("*.c")):
        if f"`{path.stem}`" not in developers:
            yield f"no line for module {path.relative_to(ROOT)}"


def figure_faults(documents, counts):
    """Faults of the figures in both documents; `documents` then holds what should be there."""
    faults = []
    for name, rows in (("README.md", figures.readme(PROGRAM, counts)),
                       ("DEVELOPERS.md", figures.developers(PROGRAM, counts, documents["DEVELOPERS.md"]))):
        found, documents[name] = figures.compared(name, documents[name], rows)
        faults += found
    return faults


def self_test(documents, counts):
    """Every figure spoilt by itself is seen, and no other is blamed."""
    spoilt = 0
    for name, rows in (("README.md", list(figures.readme(PROGRAM, counts))),
                       ("DEVELOPERS.md", list(figures.developers(PROGRAM, counts, documents["DEVELOPERS.md"])))):
        text = documents[name]
        for what, pattern, values in rows:
            found = re.search(pattern, text)
            for group in range(1, len(values) + 1):
                begin, end = found.span(group)
                faults, mended = figures.compared(name, text[:begin] + "9" + text[begin:end] + text[end:], rows)
                if len(faults) != 1 or what not in faults[0] or mended != text:
                    sys.exit(f"{name}: {what}, figure {group} spoilt: {faults}")
                spoilt += 1
    print(f"{spoilt} figures spoilt one at a time, each seen")


def main():
    paths = {name: ROOT / name for name in ("README.md", "DEVELOPERS.md")}
    counts = program_says()
    if sys.argv[1:] == ["--write"]:
        write_readme()
        documents = {name: path.read_text(encoding="utf-8") for name, path in paths.items()}
        figure_faults(documents, counts)
        for name, path in paths.items():
            path.write_text(documents[name], encoding="utf-8")
    documents = {name: path.read_text(encoding="utf-8") for name, path in paths.items()}
    faults = [*readme_faults(documents["README.md"]), *developers_faults(documents["DEVELOPERS.md"]),
              *shown_rule_faults(documents["DEVELOPERS.md"]), *figure_faults(dict(documents), counts)]
    if faults:
        sys.exit("\n".join(faults))
    self_test(documents, counts)
    print("example, output, figures and every module are as the documents say")


if __name__ == "__main__":
    main()
