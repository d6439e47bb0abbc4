#include "command/places.h"

#include <string.h>
#include <sys/stat.h>

#include "base/names.h"
#include "command/commands.h"
#include "pipeline/stages.h"
#include "read/document.h"

const char *description_name(const struct description *description)
{
	return text_same(description->path, "-") ? "standard input" : description->path;
}

bool description_bytes(
	struct arena *arena, const struct description *description, struct problems *problems, struct text *bytes)
{
	if (!description->kept)
		return document_bytes(arena, description->path, problems, bytes);
	*bytes = *description->kept;
	return true;
}

/* "designs/tern-quay.xml": "tern-quay". */
static const char *file_stem(struct arena *arena, const char *path)
{
	const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
	return arena_copy_span(arena, name, strlen(name) - (text_ends(name, ".xml") ? strlen(".xml") : 0));
}

const char *description_folder(struct arena *arena, const struct description *description, const char *output,
	const char *number, bool by_file)
{
	const char *folder = unit_folder(arena, output, number);
	const char *name = text_same(description->path, "-") ? "standard-input" : description->path;
	return by_file ? unit_folder(arena, folder, file_stem(arena, name)) : folder;
}

/* ---- before anything is written ---- */

/* Of a sound description, where its number is and into which folder its reports go. */
struct destination {
	const char *folder;
	struct place place;
	const char *number; /* NULL: none is stated */
};

static bool is_read_once(const char *path)
{
	struct stat status;
	return strcmp(path, "-") == 0 ||
		(stat(path, &status) == 0 && !S_ISREG(status.st_mode) && !S_ISDIR(status.st_mode));
}

static void keep(struct arena *arena, struct description *description)
{
	struct problems told_later = {.arena = arena};
	struct text *bytes = arena_alloc(arena, sizeof *bytes);
	if (is_read_once(description->path) && document_bytes(arena, description->path, &told_later, bytes))
		description->kept = bytes;
}

/* False after telling its faults. */
static bool find_destination(struct arena *arena, const struct description *description, const struct placing *placing,
	struct problems *faults, struct destination *destination)
{
	struct arena own = {0};
	struct text bytes = {0};
	const char *name = description_name(description);
	struct resolved_unit read;
	bool sound = description_bytes(&own, description, faults, &bytes) &&
		stages_read(&own, name, &bytes, placing->vocabulary, placing->catalogue, faults, &read);
	if (sound) {
		const struct element *unit = read.unit;
		const char *number = element_attribute(unit, "number");
		*destination = (struct destination){.number = number ? arena_copy(arena, number) : NULL,
			.place = number ? element_attribute_place(unit, "number") : unit->place,
			.folder = description_folder(arena, description, placing->output, number, placing->by_file)};
		destination->place.file = name;
	}
	arena_release(&own);
	return sound;
}

static void tell(struct problems *problems, const struct destination *first, const struct destination *second)
{
	const char *of =
		second->number ? arena_format(problems->arena, "unit %s", second->number) : "a unit without a number";
	problem_add(problems, PROBLEM_DUPLICATE, second->place,
		"%s: its reports would go into %s, over those of %s; --by-file gives each file a folder of its own, "
		"and so does a run of its own with another --output",
		of, second->folder, first->place.file);
}

static void tell_too(struct problems *problems, const struct problems *others)
{
	for (size_t i = 0; i < others->count; i++)
		problem_add(problems, others->rows[i].code, others->rows[i].place, "%s", others->rows[i].message);
	problems->unreadable = problems->unreadable || others->unreadable;
}

bool places_are_distinct(struct arena *arena, struct description *descriptions, size_t count,
	const struct placing *placing, struct problems *problems)
{
	size_t before = problems->count, found = 0;
	struct destination *destinations = arena_alloc(arena, (count + 1) * sizeof *destinations);
	struct names folders = {0};
	struct problems faults = {.arena = arena};
	for (size_t i = 0; i < count; i++) {
		keep(arena, &descriptions[i]);
		if (find_destination(arena, &descriptions[i], placing, &faults, &destinations[found])) {
			names_add(arena, &folders, destinations[found].folder, found);
			found++;
		}
	}
	names_sort(&folders);
	for (size_t i = 0; i < folders.count; i = names_next(&folders, i))
		for (size_t k = i + 1; k < names_next(&folders, i); k++)
			tell(problems, &destinations[folders.rows[i].at], &destinations[folders.rows[k].at]);
	bool distinct = problems->count == before;
	if (!distinct)
		tell_too(problems, &faults);
	return distinct;
}
