/* What the map says of items, found by their tags, and its columns. Part of package.h. */
#include "import/package.h"

#include <string.h>

#include "base/count.h"
#include "import/records.h"

struct said_item {
	const char *tag;
	const struct element *item;
};

/* As text_same_nocase compares: letters of ASCII, whatever their size. */
static uint32_t hash_of(const char *tag)
{
	struct arena scratch = {NULL, 0};
	char *lower = arena_copy(&scratch, tag);
	for (char *c = lower; *c; c++)
		*c = *c >= 'A' && *c <= 'Z' ? (char)(*c - 'A' + 'a') : *c;
	uint32_t hash = text_hash(lower);
	arena_release(&scratch);
	return hash;
}

static void add_item(struct package *package, const struct element *item)
{
	const char *at = element_attribute(item, "written");
	size_t length;
	for (const char *part; (part = text_alternative(&at, &length));) {
		struct said_item *said = arena_alloc(package->arena, sizeof *said);
		*said = (struct said_item){.tag = arena_copy_span(package->arena, part, length), .item = item};
		hashed_add(package->arena, &package->items, hash_of(said->tag), said);
	}
}

static struct map_sheet open_sheet(struct package *package, const struct element *sheet)
{
	const struct element **columns = NULL;
	size_t count = 0, capacity = 0;
	for (size_t i = 0; i < sheet->child_count; i++) {
		const struct element *child = sheet->children[i];
		if (element_is(child, "item"))
			add_item(package, child);
		if (!element_is(child, "column"))
			continue;
		columns = arena_grow(package->arena, columns, count, &capacity, sizeof(const struct element *));
		columns[count++] = child;
	}
	return (struct map_sheet){.columns = columns, .count = count};
}

void package_open_map(struct package *package)
{
	size_t count = package->map->child_count;
	struct map_sheet *sheets = arena_alloc(package->arena, (count + 1) * sizeof *sheets);
	for (size_t i = 0; i < count; i++)
		sheets[i] = open_sheet(package, package->map->children[i]);
	package->map_sheets = sheets;
}

/* How sure the map is of an item: what carries no word of it was written by hand. */
static int sureness(const struct element *item)
{
	static const char *const words[] = {"low", "medium", "high"};
	const char *word = element_attribute(item, "confidence");
	for (size_t i = 0; word && i < COUNT(words); i++)
		if (strcmp(words[i], word) == 0)
			return (int)i;
	return (int)COUNT(words);
}

static bool lists_same(const struct record *record, const struct element *sheet)
{
	return element_is(sheet, "sheet") &&
		strcmp(element_attribute(sheet, "lists"), lists_name(record->sheet->lists)) == 0;
}

/* The next row of the tag of another sheet than that of the item before: of each sheet its first counts. */
static const struct hashed_row *row_of(const struct hashed_row *row, const char *tag, const struct element *sheet)
{
	for (; row; row = hashed_next(row)) {
		const struct said_item *said = row->thing;
		if (said->item->parent != sheet && text_same_nocase(said->tag, tag))
			return row;
	}
	return NULL;
}

const struct element *record_item(const struct record *record, const char *tag)
{
	const struct hashed_row *first = row_of(hashed_first(&record->sheet->package->items, hash_of(tag)), tag, NULL);
	const struct element *found = NULL;
	for (const struct hashed_row *row = first; row && !found;) {
		const struct element *item = ((const struct said_item *)row->thing)->item;
		found = item->parent == record->sheet->map ? item : NULL;
		row = row_of(hashed_next(row), tag, item->parent);
	}
	for (const struct hashed_row *row = first; row;) {
		const struct element *item = ((const struct said_item *)row->thing)->item;
		if (lists_same(record, item->parent) && (!found || sureness(item) > sureness(found)))
			found = item;
		row = row_of(hashed_next(row), tag, item->parent);
	}
	return found;
}
