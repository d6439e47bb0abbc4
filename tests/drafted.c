#include "drafted.h"

#include <criterion/criterion.h>
#include <string.h>

#include "base/embedded.h"
#include "import/package.h"
#include "import/propose.h"
#include "command/commands.h"

static const struct vocabulary *units, *maps;

void drafted_begin(void)
{
	units = maps = NULL;
}

const char *drafted(struct arena *arena, const char *sheet, const char **said)
{
	struct problems faults = {.arena = arena}, doubts = {.arena = arena};
	struct workbook workbook;
	const struct embedded_file *schema = embedded_find("checker/import/map.xsd");
	units = units ? units : unit_vocabulary(arena);
	maps = maps ? maps : vocabulary_read(arena, (const char *)schema->data, schema->size, "map");
	workbook_parse(arena, "s.csv", sheet, strlen(sheet), &faults, &doubts, &workbook);
	const char *text = propose_map(arena, units, &workbook, 1, &doubts);
	struct package package = {.arena = arena,
		.vocabulary = units,
		.words = words_open(arena),
		.map = element_parse(arena, "m.xml", text, strlen(text), maps, &faults),
		.faults = &faults,
		.doubts = &doubts,
		.draft = {.arena = arena,
			.unit = vocabulary_root(units, "unit"),
			.number = "1",
			.name = "s",
			.files = "s.csv"}};
	cr_assert(faults.count == 0 && package.map);
	package.draft.amine = element_attribute(package.map, "amine");
	package_read(&package, &workbook, 1);
	struct text all = text_in(arena);
	for (size_t i = 0; i < doubts.count; i++)
		text_addf(&all, "%s\n", problem_line(&doubts, &doubts.rows[i]));
	*said = all.data;
	return draft_write(&package.draft);
}
