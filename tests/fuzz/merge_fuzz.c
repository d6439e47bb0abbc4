/*
 * Three revisions of a description, parted by lines of %%%%: the draft that editing began with, the next draft, and the edited
 * one. Whatever they hold, what is merged is a description; where a revision changes nothing, nothing is changed; and what was
 * merged once is not changed by the same revision again.
 */
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "command/commands.h"
#include "import/merge.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const struct vocabulary *unit;

enum revision { BASE, NEXT, EDITED, REVISIONS };

static struct document parsed(struct arena *arena, const char *name, const char *text, bool *sound)
{
	struct problems faults = {.arena = arena};
	struct document document = document_parse(arena, name, text, strlen(text), &faults);
	*sound = document.tree && document_check(&document, unit, &faults) && !faults.count;
	for (size_t i = 0; i < faults.count; i++)
		problem_line(&faults, &faults.rows[i]);
	return document;
}

/* The items of each revision, in a unit. */
static bool part(struct arena *arena, char *bytes, const char **texts)
{
	for (int i = 0; i < REVISIONS; i++) {
		char *end = i + 1 < REVISIONS ? strstr(bytes, "%%%%\n") : bytes + strlen(bytes);
		if (!end)
			return false;
		texts[i] = arena_format(arena, "<unit xmlns=\"urn:leanrich:unit:1\" number=\"U-1\">\n%s\n</unit>\n",
			arena_copy_span(arena, bytes, (size_t)(end - bytes)));
		bytes = end + (*end ? strlen("%%%%\n") : 0);
	}
	return true;
}

static const char *merged(
	struct arena *arena, const struct document *base, const struct document *next, const struct document *edited)
{
	struct problems conflicts = {.arena = arena}, taken = {.arena = arena};
	const char *text = merge_revision(arena, unit, base, next, edited, &conflicts, &taken).text;
	for (size_t i = 0; i < conflicts.count; i++)
		problem_line(&conflicts, &conflicts.rows[i]);
	return text;
}

static void expect_same(const char *was, const char *is, const char *what)
{
	if (strcmp(was, is) == 0)
		return;
	fprintf(stderr, "%s:\n%s\n---\n%s", what, was, is);
	abort();
}

static void check(struct arena *arena, const struct document *documents)
{
	bool sound;
	const struct document *base = &documents[BASE], *next = &documents[NEXT], *edited = &documents[EDITED];
	expect_same(edited->bytes, merged(arena, base, base, edited), "a revision that changes nothing");
	const char *text = merged(arena, base, next, edited);
	struct document made = parsed(arena, "merged.xml", text, &sound);
	if (!sound) {
		fprintf(stderr, "no description:\n%s", text);
		abort();
	}
	expect_same(text, merged(arena, next, next, &made), "a revision that was merged");
	document_release(&made);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static struct arena lasting;
	if (!unit)
		unit = unit_vocabulary(&lasting);
	struct arena arena = {0};
	const char *texts[REVISIONS];
	struct document documents[REVISIONS] = {{0}};
	bool sound = part(&arena, arena_copy_span(&arena, (const char *)data, size), texts);
	for (int i = 0; i < REVISIONS && sound; i++)
		documents[i] = parsed(&arena, "revision.xml", texts[i], &sound);
	if (sound)
		check(&arena, documents);
	for (int i = 0; i < REVISIONS; i++)
		document_release(&documents[i]);
	arena_release(&arena);
	return 0;
}
