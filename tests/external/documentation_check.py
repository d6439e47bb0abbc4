#!/usr/bin/python3
"""README.md, DEVELOPERS.md, tests/README.md and the topics of `leanrich help` against the program (the manual: package_check).

README: the design shown is the file it names, the output shown is what the program prints for it, and other XML is accepted.
All: the figures they name (counts of rules, limits, spellings, how limits are known, sizes: figures.py) are those of the program;
every command and option they name exists, and every file they link to; every topic is listed by `leanrich help` and by README.
DEVELOPERS: every folder of checker/ is described, the header of every module says what it is for; the rule shown as a diff is sound. A small program is
linked with the objects of build/plain for the counts.

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
EXAMPLE = "designs/marram-point.xml"
TOPICS = sorted((ROOT / "checker/help").glob("*.txt"))
DOCUMENTS = ["README.md", "DEVELOPERS.md", "tests/README.md", *(str(path.relative_to(ROOT)) for path in TOPICS)]

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


def shown_equipment_faults(readme):
    """What README shows of a description beside the example is accepted in a unit that has the streams it names."""
    for block in blocks(readme, "xml"):
        if block.startswith("<?xml"):
            continue
        named = sorted(set(re.findall(r'\b(?:inlet|outlet|feed|lean|rich)="([^"]+)"', block)))
        streams = "".join(f'<stream id="{name}" service="{name.split("-")[0]}"/>' for name in named)
        unit = f'<unit xmlns="urn:leanrich:unit:1" number="U-1"><basis/><solvent amine="MEA"/>{streams}{block}</unit>'
        done = subprocess.run([PROGRAM, "review", "--json", "-"], input=unit, capture_output=True, text=True, check=False)
        if done.returncode not in (0, 1):
            yield f"README.md shows what is not accepted: {done.stderr}"


def write_readme():
    path = ROOT / "README.md"
    text = path.read_text(encoding="utf-8")
    old = next(block for block in blocks(text, "console") if block.startswith("$ build/leanrich review"))
    path.write_text(text.replace(old, example_now()), encoding="utf-8")


def program_says():
    """The counts of the program."""
    sources = [path.relative_to(ROOT) for path in sorted((ROOT / "checker").rglob("*.c")) if path.name != "main.c"]
    objects = [str(ROOT / "build/plain" / path.with_suffix(".o")) for path in [*sources, Path("embedded_files.c"), Path("built_catalogue.c")]]
    libraries = ["libxml-2.0", "gsl", "jansson", "xlsxwriter", "libzip"]
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
    family = (ROOT / "rules/velocity.xml").read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        pack = family.replace("</rules>", "\n".join(figures.added_rule(developers)) + "\n</rules>")
        (Path(folder) / "velocity.xml").write_text(pack, encoding="utf-8")
        done = subprocess.run([PROGRAM, "rules", "--check", folder], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        yield f"the rule that DEVELOPERS.md adds: {done.stderr}"


def header_of(path):
    """The file that says what a module is for: its own header, or the first that it includes."""
    own = path.with_suffix(".h")
    if own.exists():
        return own
    return ROOT / "checker" / re.search(r'^#include "([^"]+)"', path.read_text(encoding="utf-8"), re.M)[1]


def developers_faults(developers):
    tree = developers.split("## The tree\n")[1].split("\n## ")[0]
    for path in sorted((ROOT / "checker").glob("*/*.c")):
        if f"**{path.parent.name}/**" not in tree:
            yield f"folder {path.parent.name}/ is not described in the tree"
        header = header_of(path)
        if not header.read_text(encoding="utf-8").startswith("/*"):
            yield f"{header.relative_to(ROOT)} does not begin with what {path.stem} is for"


def figure_faults(documents, counts):
    """Faults of the figures in all documents; `documents` then holds what should be there."""
    faults = []
    for name, rows in figures.rows(PROGRAM, counts, documents).items():
        found, documents[name] = figures.compared(name, documents[name], rows)
        faults += found
    return faults


def commands_and_options():
    """Each command of the program with the options that its --help names."""
    listed = subprocess.run([PROGRAM, "--help"], capture_output=True, text=True, check=True).stdout
    return {name: {"--help", *re.findall(r"--[a-z][a-z0-9-]*", subprocess.run(
        [PROGRAM, name, "--help"], capture_output=True, text=True, check=True).stdout)}
            for name in re.findall(r"^  ([a-z]+) ", listed, re.M)}


def command_faults(name, text, commands):
    """`leanrich WORD` is a command, the options on the rest of its line or in its marks are its own, and any other option is one of
    some command. What another program is told on its line (before `leanrich`) is its own business, and prose names no command."""
    text = re.sub(r" \\\n +", " ", text)
    for line in text.split("\n"):
        if line.startswith("    ") and not re.match(r" +(\$ )?(build/)?leanrich", line):
            line = "leanrich " + line.split("leanrich ", 1)[1] if "leanrich " in line else ""
        for call in re.findall(r"(?:^|[`\s])(?:build/)?leanrich ((?:[a-z]+)\b[^`]*)", line if line.startswith("    ") else "") + \
                re.findall(r"`(?:build/)?leanrich ([^`]*)`", line) + re.findall(r"^\$ build/leanrich (.*)$", line):
            word = re.match(r"[a-zA-Z-]*", call)[0]
            if word.isupper() or word.startswith("--"):
                continue
            if word not in commands:
                yield f"{name}: there is no command: leanrich {call}"
                continue
            for option in re.findall(r"(?<!\S)--[a-z][a-z0-9-]*", call):
                if option not in commands[word]:
                    yield f"{name}: {word} has no {option}: leanrich {call}"
    every = set().union(*commands.values())
    prose = "\n".join(line for line in text.split("\n") if not line.startswith("    ") and not line.startswith("|"))
    for option in re.findall(r"(?<![\w-])--[a-z][a-z0-9-]*", prose):
        if option not in every | FOREIGN:
            yield f"{name}: no command has {option}"


FOREIGN = {"--sshlogin", "--write"}  # of GNU parallel and of this script


def topic_faults(readme):
    listed = subprocess.run([PROGRAM, "help"], capture_output=True, text=True, check=True).stdout
    for path in TOPICS:
        text = path.read_text(encoding="utf-8")
        title = text.split("\n")[0]
        if not re.search(rf"^  {path.stem} +{re.escape(title)}$", listed, re.M):
            yield f"`leanrich help` does not list {path.stem} as {title}"
        if not re.search(rf"^\| .*\b{path.stem}\b.* \|", readme, re.M):
            yield f"README.md does not list the topic {path.stem}"
        yield from (f"{path.name}: longer than 100 columns: {line}" for line in text.split("\n") if len(line) > 100)
    for stem in re.findall(r"^  ([a-z-]+) ", listed, re.M):
        if not (ROOT / f"checker/help/{stem}.txt").exists():
            yield f"`leanrich help` lists {stem}, which is no file of checker/help"


def help_faults(name, text):
    """`leanrich help TOPIC` names a topic, and a link a file."""
    stems = {path.stem for path in TOPICS}
    for line in re.findall(r"leanrich help\s+([a-z]+(?:-[a-z]+)*)", text):
        if line not in stems and line != "describing":
            yield f"{name}: there is no topic {line}"
    for link in re.findall(r"\]\(([^)#]+)\)", text):
        if "://" not in link and not (ROOT / name).parent.joinpath(link).exists():
            yield f"{name}: no file {link}"


def self_test(documents, counts, commands):
    """Every figure spoilt by itself is seen, and no other is blamed; so are a command and options that do not exist."""
    spoilt = 0
    for name, rows in figures.rows(PROGRAM, counts, documents).items():
        rows, text = list(rows), documents[name]
        for what, pattern, values in rows:
            found = re.search(pattern, text)
            for group in range(1, len(values) + 1):
                begin, end = found.span(group)
                faults, mended = figures.compared(name, text[:begin] + "9" + text[begin:end] + text[end:], rows)
                if len(faults) != 1 or what not in faults[0] or mended != text:
                    sys.exit(f"{name}: {what}, figure {group} spoilt: {faults}")
                spoilt += 1
    for wrong in ("    leanrich reveiw unit.xml", "see `leanrich rewiew`", "    leanrich sweep --paper A4 unit.xml",
                  "`leanrich headroom --replies x`", "with --outputs, and", "`--fail-om`"):
        if len(list(command_faults("spoilt", wrong, commands))) < 1:
            sys.exit(f"not seen: {wrong}")
    if not list(shown_equipment_faults('```xml\n<pump tag="P-1" casting="bronze"/>\n```\n')):
        sys.exit("not seen: an attribute that does not exist")
    for wrong in ("`leanrich help validatoin`", "[x](no/such/file)"):
        if not list(help_faults("README.md", wrong)):
            sys.exit(f"not seen: {wrong}")
    print(f"{spoilt} figures, commands, options, topics and links spoilt one at a time, each seen")


def read_all():
    return {name: (ROOT / name).read_text(encoding="utf-8") for name in DOCUMENTS}


def main():
    counts = program_says()
    commands = commands_and_options()
    if sys.argv[1:] == ["--write"]:
        write_readme()
        documents = read_all()
        figure_faults(documents, counts)
        for name, text in documents.items():
            (ROOT / name).write_text(text, encoding="utf-8")
    documents = read_all()
    faults = [*readme_faults(documents["README.md"]), *developers_faults(documents["DEVELOPERS.md"]),
              *shown_rule_faults(documents["DEVELOPERS.md"]), *figure_faults(dict(documents), counts),
              *topic_faults(documents["README.md"]), *shown_equipment_faults(documents["README.md"])]
    for name, text in documents.items():
        faults += [*command_faults(name, text, commands), *help_faults(name, text)]
    if faults:
        sys.exit("\n".join(faults))
    self_test(documents, counts, commands)
    print(f"example, output, figures, commands, {len(TOPICS)} topics and every module are as the "
          "documents say")


if __name__ == "__main__":
    main()
