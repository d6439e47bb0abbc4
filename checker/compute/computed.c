#include "compute/computed.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

static const struct computed rows[] = {
#define CLASS(name, kinds)
#define COMPUTED(name, kind, on, from, what) {name, kind, on, from, what, false},
#define COMPLETED(name, kind, on, from, what) {name, kind, on, from, what, true},
#include "compute/computed.def"
#undef CLASS
#undef COMPUTED
#undef COMPLETED
};

static const char *const names[] = {
#define CLASS(name, kinds)
#define COMPUTED(name, kind, on, from, what) name,
#define COMPLETED(name, kind, on, from, what)
#include "compute/computed.def"
#undef CLASS
#undef COMPUTED
#undef COMPLETED
};

static const char *const classes[][2] = {
#define CLASS(name, kinds) {name, kinds},
#define COMPUTED(name, kind, on, from, what)
#define COMPLETED(name, kind, on, from, what)
#include "compute/computed.def"
#undef CLASS
#undef COMPUTED
#undef COMPLETED
};

const struct computed *computed_row(size_t i)
{
	return i < COUNT(rows) ? &rows[i] : NULL;
}

size_t computed_count(void)
{
	return COUNT(rows);
}

const char *computed_name(size_t i)
{
	return i < COUNT(names) ? names[i] : NULL;
}

const char *computed_class(const char *name)
{
	for (size_t i = 0; i < COUNT(classes); i++)
		if (strcmp(classes[i][0], name) == 0)
			return classes[i][1];
	return NULL;
}

bool computed_is_on(const struct computed *row, const char *kind, bool alone)
{
	bool is_on = text_has_word(row->on, kind);
	for (size_t i = 0; !alone && i < COUNT(classes); i++)
		is_on = is_on || (text_has_word(row->on, classes[i][0]) && text_has_word(classes[i][1], kind));
	return is_on;
}

/* "material-family" follows from "material". */
static bool is_named(const char *word, size_t length, const char *attribute)
{
	size_t own = strlen(attribute), family = strlen("-family");
	return length >= own && memcmp(word, attribute, own) == 0 &&
		(length == own || (length == own + family && memcmp(word + own, "-family", family) == 0));
}

bool computed_reads(const struct computed *row, const char *kind, const char *attribute)
{
	size_t length = strlen(kind);
	for (const char *at = row->from; *at;) {
		size_t span = strcspn(at, " "), holder = strcspn(at, ". ");
		bool other = at[holder] == '.', same = other && holder == length && memcmp(at, kind, length) == 0;
		if (same && is_named(at + holder + 1, span - holder - 1, attribute))
			return true;
		if (!other && is_named(at, span, attribute) && computed_is_on(row, kind, false))
			return true;
		at += span + (at[span] == ' ');
	}
	return false;
}

static int by_name(const void *name, const void *row)
{
	return strcmp(name, ((const struct computed *)row)->name);
}

/* Rows are in the order of their names, each of which is there once. */
const struct computed *computed_only(const char *kind, const char *name)
{
	const struct computed *row = bsearch(name, rows, COUNT(rows), sizeof *rows, by_name);
	return row && !row->stated && computed_is_on(row, kind, false) ? row : NULL;
}
