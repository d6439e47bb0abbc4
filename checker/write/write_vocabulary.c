#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/computed.h"
#include "write/sheet.h"
#include "write/vocabulary_entry.h"
#include "write/write.h"

enum { COLUMNS = 100 };

/* ---- as text ---- */

/* Words in lines of so many columns, each begun by the margin. */
static void add_wrapped(struct text *text, const char *margin, const char *words)
{
	size_t column = 0;
	while (*words) {
		size_t length = strcspn(words, " ");
		if (!column || column + 1 + length > COLUMNS) {
			text_addf(text, "%s%s", column ? "\n" : "", margin);
			column = strlen(margin);
		} else {
			text_add(text, " ");
			column++;
		}
		text_add_span(text, words, length);
		column += length;
		words += length + strspn(words + length, " ");
	}
	text_add(text, "\n");
}

static void add_entry(struct text *text, const struct vocabulary_entry *entry)
{
	struct arena *arena = text->arena;
	text_addf(text, "\n  %s%s%s%s\n", entry->attribute->name, *entry->traits ? " (" : "", entry->traits,
		*entry->traits ? ")" : "");
	add_wrapped(text, "      ", entry->attribute->documentation);
	add_wrapped(text, "      ", arena_format(arena, "Written as %s.", entry->written));
	add_wrapped(text, "      ", arena_format(arena, "Example: %s", entry->example));
	add_wrapped(text, "      ", arena_format(arena, "Read by %s.", entry->read_by));
	if (*entry->used_for)
		add_wrapped(text, "      ", arena_format(arena, "Used for: %s.", entry->used_for));
}

static void add_kind(struct text *text, const struct vocabulary *units, const struct catalogue *catalogue,
	const struct vocabulary_element *kind)
{
	struct arena *arena = text->arena;
	const char *holders = vocabulary_holders(arena, units, kind), *parts = vocabulary_parts(arena, kind);
	struct vocabulary_entries entries = vocabulary_entries(arena, units, catalogue, kind);
	text_addf(text, "<%s>\n", kind->name);
	add_wrapped(text, "  ", kind->documentation);
	if (*holders)
		add_wrapped(text, "  ", arena_format(arena, "Stands in: %s.", holders));
	if (*parts)
		add_wrapped(text, "  ", arena_format(arena, "May hold: %s.", parts));
	text_addf(text, "\n  %s\n", vocabulary_sample(arena, kind));
	for (size_t i = 0; i < entries.count; i++)
		add_entry(text, &entries.rows[i]);
}

static void add_list(struct text *text, const struct vocabulary *units)
{
	for (size_t i = 0; i < units->element_count; i++)
		text_addf(text, "  %-20s %s\n", units->elements[i]->name, units->elements[i]->documentation);
}

bool write_vocabulary_kind(const struct vocabulary *units, const struct catalogue *catalogue,
	const struct vocabulary_element *kind, FILE *out)
{
	struct arena arena = {0};
	struct text text = text_in(&arena);
	if (kind)
		add_kind(&text, units, catalogue, kind);
	else
		add_list(&text, units);
	bool written = fwrite(text.data, 1, text.length, out) == text.length;
	arena_release(&arena);
	return written;
}

/* ---- what is calculated ---- */

/* Kinds of item, each class as the kinds it stands for. */
static const char *kinds_on(struct arena *arena, const struct computed *row)
{
	struct text text = text_in(arena);
	for (const char *at = row->on; *at;) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(arena, at, length), *kinds = computed_class(word);
		text_addf(&text, "%s%s", text.length ? " " : "", kinds ? kinds : word);
		at += length + (at[length] == ' ');
	}
	return text.data;
}

bool write_calculated(FILE *out)
{
	struct arena arena = {0};
	struct text text = text_in(&arena);
	for (size_t i = 0; computed_row(i); i++) {
		const struct computed *row = computed_row(i);
		text_addf(&text, "\n  %s (%s%s)\n", row->name, row->kind, row->stated ? "; also stated" : "");
		add_wrapped(&text, "      ", row->what);
		add_wrapped(&text, "      ", arena_format(&arena, "On: %s", kinds_on(&arena, row)));
		if (*row->from)
			add_wrapped(&text, "      ", arena_format(&arena, "From: %s", row->from));
	}
	bool written = fwrite(text.data, 1, text.length, out) == text.length;
	arena_release(&arena);
	return written;
}

/* ---- as a page ---- */

static void add_section(struct page *page, const struct vocabulary *units, const struct catalogue *catalogue,
	const struct vocabulary_element *kind)
{
	static const char *const columns[] = {
		"Attribute", "Meaning", "Written as", "Example", "Read by", "Used for", NULL};
	struct arena *arena = page->arena;
	const char *holders = vocabulary_holders(arena, units, kind), *parts = vocabulary_parts(arena, kind);
	struct vocabulary_entries entries = vocabulary_entries(arena, units, catalogue, kind);
	xmlNode *section = page_section(page, arena_format(arena, "kind-%s", kind->name), kind->name);
	html_add_text(section, "p", NULL, kind->documentation);
	if (*holders || *parts)
		html_add_text(section, "p", NULL,
			arena_format(arena, "%s%s%s%s%s", *holders ? "Stands in: " : "", holders,
				*holders && *parts ? ". " : "", *parts ? "May hold: " : "", parts));
	html_add_text(html_add(section, "p", NULL), "code", NULL, vocabulary_sample(arena, kind));
	if (!entries.count)
		return;
	xmlNode *body = page_rows(section, "list", arena_format(arena, "Attributes of %s", kind->name), columns);
	for (size_t i = 0; i < entries.count; i++) {
		const struct vocabulary_entry *entry = &entries.rows[i];
		const char *meaning = arena_format(arena, "%s%s%s%s", entry->attribute->documentation,
			*entry->traits ? " (" : "", entry->traits, *entry->traits ? ")" : "");
		const char *cells[] = {entry->attribute->name, meaning, entry->written, entry->example, entry->read_by,
			entry->used_for};
		sheet_row(body, cells, COUNT(cells));
	}
}

bool write_vocabulary_page(const struct vocabulary *units, const struct catalogue *catalogue, FILE *out)
{
	struct arena words = {0};
	const struct sheet_fact facts[] = {
		{"Elements", arena_format(&words, "%zu", units->element_count)}, {NULL, NULL}};
	struct sheet sheet;
	sheet_open(&sheet, "Vocabulary", "Describing a unit:", "every element and attribute", facts);
	for (size_t i = 0; i < units->element_count; i++)
		add_section(&sheet.page, units, catalogue, units->elements[i]);
	bool written = sheet_close(&sheet, out);
	arena_release(&words);
	return written;
}
