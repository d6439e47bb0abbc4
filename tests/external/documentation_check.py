#!/usr/bin/python3
"""README.md and DEVELOPERS.md against the program they speak of.

README: the design shown is the file it names, and the output shown is what the program prints for it.
Both: the figures they name (counts of rules, limits, spellings, how limits are known, sizes: figures.py) are those of the program.
DEVELOPERS: the list of computed names is what the computing modules put into the table for the designs at hand, name by
name; every module of checker/ has its line; the rule shown as a diff is sound. A small program is linked with the objects of build/plain for that: it
prints the kind of item and the name of every value that the upper table holds and the description does not state.

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
#include <string.h>
#include "command/commands.h"
#include "quantity/units.h"
#include "read/document.h"
#include "read/element.h"
#include "resolve/resolve.h"
#include "state.h"

static const char *names[4096];
static size_t count;

static void collect(const char *name, void *data)
{
	(void)data;
	for (size_t i = 0; i < count; i++)
		if (strcmp(names[i], name) == 0)
			return;
	names[count++] = name;
}

static int print_counts(void)
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

int main(int argc, char **argv)
{
	if (argc == 1)
		return print_counts();
	for (int i = 1; i < argc; i++) {
		struct arena arena = {0};
		struct problems problems = {.arena = &arena};
		const struct element *unit = element_read(&arena, argv[i], unit_vocabulary(&arena), &problems);
		const struct table *resolved = unit ? resolve(&arena, unit, &problems) : NULL;
		if (!resolved)
			return 1;
		const struct table *state = state_compute(&arena, resolved, (struct wishes){0}).table;
		count = 0;
		table_each_name(state, collect, NULL);
		for (size_t k = 0; k < table_item_count(state); k++)
			for (size_t n = 0; n < count; n++)
				for (int c = EVERY_CASE; c < (int)table_case_count(state); c++) {
					const struct item *item = table_item(state, k);
					const struct quantity *value = table_get(state, item, c, names[n]);
					if (value && value != table_stated(state, item, c, names[n])) {
						printf("%s\t%s\n", item->kind, names[n]);
						break;
					}
				}
	}
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
    """The computed names of all designs, and the counts of the program."""
    sources = [path.relative_to(ROOT) for path in sorted((ROOT / "checker").rglob("*.c")) if path.name != "main.c"]
    objects = [str(ROOT / "build/plain" / path.with_suffix(".o")) for path in [*sources, Path("embedded_files.c")]]
    libraries = ["libxml-2.0", "gsl", "jansson", "xlsxwriter"]
    flags = subprocess.check_output(["pkg-config", "--cflags", "--libs", *libraries], text=True).split()
    designs = sorted([*ROOT.glob("designs/*.xml"), *ROOT.glob("tests/designs/*.xml"), ROOT / "checker/read/template.xml"])
    with tempfile.TemporaryDirectory() as folder:
        source, program = Path(folder) / "dump.c", Path(folder) / "dump"
        source.write_text(DUMP, encoding="utf-8")
        subprocess.run(["gcc", "-std=c17", "-D_POSIX_C_SOURCE=200809L", f"-I{ROOT / 'checker'}", str(source), *objects,
                        *flags, "-o", str(program)], check=True)
        names = subprocess.check_output([program, *designs], text=True).split("\n")
        counts = dict(row.split("\t") for row in subprocess.check_output([program], text=True).splitlines())
    return {row.split("\t")[1] for row in names if row}, {name: int(count) for name, count in counts.items()}


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


def developers_faults(developers, computed):
    section = developers.split("## Names that are computed\n")[1].split("\n## ")[0]
    listed = {name for row in re.findall(r"^\| (`.*?) \|", section, re.M) for name in re.findall(r"`([^`]+)`", row)}
    yield from (f"computed and not listed: {name}" for name in sorted(computed - listed))
    yield from (f"listed and not computed in any design: {name}" for name in sorted(listed - computed))
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
    computed, counts = program_says()
    if sys.argv[1:] == ["--write"]:
        write_readme()
        documents = {name: path.read_text(encoding="utf-8") for name, path in paths.items()}
        figure_faults(documents, counts)
        for name, path in paths.items():
            path.write_text(documents[name], encoding="utf-8")
    documents = {name: path.read_text(encoding="utf-8") for name, path in paths.items()}
    faults = [*readme_faults(documents["README.md"]), *developers_faults(documents["DEVELOPERS.md"], computed),
              *shown_rule_faults(documents["DEVELOPERS.md"]), *figure_faults(dict(documents), counts)]
    if faults:
        sys.exit("\n".join(faults))
    self_test(documents, counts)
    print(f"example, output, {len(computed)} computed names, figures and every module are as the documents say")


if __name__ == "__main__":
    main()
