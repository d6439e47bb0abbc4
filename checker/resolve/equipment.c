#include "resolve/equipment.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"

/* The words of the rows. */
enum {
	NO_CLASS = 0,
#define CLASS(code, name, meaning) code = CLASS_##code,
#include "resolve/equipment.def"
	TRIM = METAL,			/* a small thing of metal that rules of its own look at */
	PIECE = METAL | WETTED,		/* of something larger, for which damage is judged */
	BODY = METAL | WETTED | DAMAGE, /* equipment, or a region of it with conditions of its own */
	AMINE_BODY = BODY | RELIEVED | AMINE_STEEL | AMINE_MATERIAL,
};

enum { BY_SERVICE = RANK_BY_SERVICE, LAST = 280 };

static const struct {
	const char *kind;
	int rank;
	unsigned classes;
} kinds[] = {
#define EQUIPMENT(kind, rank, classes) {kind, rank, classes},
#include "resolve/equipment.def"
};

static const char *const class_names[] = {
#define CLASS(code, name, meaning) name,
#include "resolve/equipment.def"
};

static const char *const class_meanings[] = {
#define CLASS(code, name, meaning) meaning,
#include "resolve/equipment.def"
};

enum { KINDS = COUNT(kinds) };

static size_t row_of(const char *kind)
{
	size_t i = 0;
	while (i < KINDS && !text_is(kinds[i].kind, kind))
		i++;
	return i;
}

unsigned equipment_classes(const char *kind)
{
	size_t row = row_of(kind);
	return row < KINDS ? kinds[row].classes : 0;
}

int equipment_rank(const char *kind)
{
	size_t row = row_of(kind);
	return row < KINDS ? kinds[row].rank : LAST;
}

const char *equipment_kind(size_t i)
{
	return i < KINDS ? kinds[i].kind : NULL;
}

const char *equipment_class_name(size_t i)
{
	return i < EQUIPMENT_CLASS_COUNT ? class_names[i] : NULL;
}

const char *equipment_class_meaning(size_t i)
{
	return i < EQUIPMENT_CLASS_COUNT ? class_meanings[i] : NULL;
}

const char *equipment_nearest_class(const char *name)
{
	return text_nearest(name, class_names, EQUIPMENT_CLASS_COUNT);
}

const char *equipment_without_row(const struct vocabulary *units)
{
	for (size_t i = 0; i < units->element_count; i++)
		if (row_of(units->elements[i]->name) == KINDS)
			return units->elements[i]->name;
	return NULL;
}

/* ---- classes in rules ---- */

static bool is_listed(const char *list, const char *kind)
{
	size_t length = strlen(kind);
	for (; *list; list += *list == '|') {
		size_t span = strcspn(list, "|");
		if (span == length && strncmp(list, kind, span) == 0)
			return true;
		list += span;
	}
	return false;
}

static void add_kind(struct text *list, const char *kind)
{
	if (!is_listed(list->data, kind))
		text_addf(list, "%s%s", list->length ? "|" : "", kind);
}

size_t equipment_class_named(const char *name)
{
	size_t index = 0;
	while (index < EQUIPMENT_CLASS_COUNT && strcmp(class_names[index], name) != 0)
		index++;
	return index;
}

static void add_class(struct text *list, size_t index)
{
	for (size_t i = 0; i < KINDS; i++)
		if (kinds[i].classes & 1U << index)
			add_kind(list, kinds[i].kind);
}

const char *equipment_kinds_of(struct arena *arena, size_t i)
{
	struct text list = text_in(arena);
	add_class(&list, i);
	return list.data;
}

static void no_such_class(const char *name, struct place place, struct problems *problems)
{
	const char *nearest = equipment_nearest_class(name);
	problem_add(problems, PROBLEM_BAD_RULE, place, "there is no class of kinds '@%s'%s%s%s", name,
		nearest ? "; did you mean '@" : "", nearest ? nearest : "", nearest ? "'?" : "");
}

const char *equipment_expand(struct arena *arena, const char *words, struct place place, struct problems *problems)
{
	struct text list = text_in(arena);
	bool known = true;
	if (!strchr(words, '@'))
		return words;
	for (const char *at = words; *at; at += *at == '|') {
		const char *word = arena_copy_span(arena, at, strcspn(at, "|"));
		size_t index = *word == '@' ? equipment_class_named(word + 1) : 0;
		at += strlen(word);
		known = known && index < EQUIPMENT_CLASS_COUNT;
		if (index == EQUIPMENT_CLASS_COUNT)
			no_such_class(word + 1, place, problems);
		else if (*word == '@')
			add_class(&list, index);
		else
			add_kind(&list, word);
	}
	return known ? list.data : words;
}

const char *equipment_written(struct arena *arena, const char *written)
{
	struct problems unheard = {.arena = arena};
	struct text words = text_in(arena);
	for (const char *at = written; *at;) {
		at += strspn(at, " |\t\r\n");
		size_t length = strcspn(at, " |\t\r\n");
		if (length)
			text_addf(&words, "%s%.*s", words.length ? "|" : "", (int)length, at);
		at += length;
	}
	if (!words.length)
		return "";
	const struct place nowhere = {.file = "", .line = 1};
	char *list = arena_format(arena, "%s", equipment_expand(arena, words.data, nowhere, &unheard));
	for (char *c = list; *c; c++)
		*c = *c == '|' ? ' ' : *c;
	return list;
}
