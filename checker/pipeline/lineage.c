#include "pipeline/lineage.h"

#include <string.h>

#include "base/text.h"
#include "resolve/table.h"

enum { NAMES_MOST = 1024, WORDS = NAMES_MOST / 64, PLACES = 4 * NAMES_MOST };

/* A set of names, by their indices. */
struct names {
	uint64_t words[WORDS];
};

struct module_lineage {
	struct names looks, puts;
	bool adds;     /* items: what comes after them has other indices */
	bool *varying; /* by item: it differs by case from this module on */
	size_t item_count;
};

struct lineage {
	struct arena *arena;
	struct watcher watcher;
	const char *names[PLACES]; /* open addressing */
	uint32_t hashes[PLACES];
	size_t indices[PLACES], name_count;
	struct module_lineage *modules;
	struct names asked, skipped; /* `skipped`: what modules left out would have put */
	struct names asked_by_judge; /* what rules turned out to look at beside what they name */
	size_t running;		     /* compute_module_count(): judging */
	bool learning, learnt, unfit, misled;
};

/* ---- names ---- */

static void names_add(struct names *names, size_t index)
{
	names->words[index / 64] |= UINT64_C(1) << index % 64;
}

static bool names_have(const struct names *names, size_t index)
{
	return names->words[index / 64] >> index % 64 & 1;
}

static bool names_meet(const struct names *a, const struct names *b)
{
	uint64_t common = 0;
	for (size_t i = 0; i < WORDS; i++)
		common |= a->words[i] & b->words[i];
	return common != 0;
}

static void names_join(struct names *names, const struct names *more)
{
	for (size_t i = 0; i < WORDS; i++)
		names->words[i] |= more->words[i];
}

static size_t place_of(const struct lineage *lineage, const char *name, uint32_t hash)
{
	size_t at = hash % PLACES;
	while (lineage->names[at] && (lineage->hashes[at] != hash || strcmp(lineage->names[at], name) != 0))
		at = (at + 1) % PLACES;
	return at;
}

/* The index of a name, which is given one; beyond NAMES_MOST nothing can be skipped. */
static size_t index_of(struct lineage *lineage, const char *name, uint32_t hash)
{
	size_t at = place_of(lineage, name, hash);
	if (lineage->names[at])
		return lineage->indices[at];
	if (lineage->name_count == NAMES_MOST) {
		lineage->unfit = true;
		return 0;
	}
	lineage->names[at] = arena_copy(lineage->arena, name);
	lineage->hashes[at] = hash;
	return lineage->indices[at] = lineage->name_count++;
}

/* ---- watching ---- */

static void look(const char *name, uint32_t hash, void *data)
{
	struct lineage *lineage = data;
	bool judging = lineage->running == compute_module_count();
	size_t at = place_of(lineage, name, hash);
	if (!lineage->learning && (!lineage->names[at] || !names_have(&lineage->skipped, lineage->indices[at])))
		return;
	lineage->misled = lineage->misled || !lineage->learning;
	if (!judging)
		names_add(&lineage->modules[lineage->running].looks, index_of(lineage, name, hash));
	else if (!lineage->learning)
		names_add(&lineage->asked_by_judge, lineage->indices[at]);
}

static void put(const char *name, uint32_t hash, void *data)
{
	struct lineage *lineage = data;
	if (lineage->running < compute_module_count())
		names_add(&lineage->modules[lineage->running].puts, index_of(lineage, name, hash));
}

struct lineage *lineage_new(struct arena *arena)
{
	struct lineage *lineage = arena_alloc(arena, sizeof *lineage);
	lineage->arena = arena;
	lineage->watcher = (struct watcher){.peek = look, .put = put, .data = lineage};
	lineage->modules = arena_alloc(arena, compute_module_count() * sizeof *lineage->modules);
	return lineage;
}

/* ---- learning ---- */

static void note_varying(
	struct lineage *lineage, struct module_lineage *module, const struct table *table, const struct table *resolved)
{
	size_t count = table_item_count(resolved);
	if (module->item_count != count) {
		module->varying = arena_alloc(lineage->arena, (count + 1) * sizeof *module->varying);
		module->item_count = count;
	}
	for (size_t i = 0; i < count; i++)
		module->varying[i] = module->varying[i] || table_varies(table, table_item(resolved, i));
}

const struct table *lineage_learn(struct lineage *lineage, struct arena *arena, struct table *resolved)
{
	table_watch(resolved, &lineage->watcher);
	struct table *table = compute_begin(arena, resolved);
	lineage->learning = lineage->learnt = true;
	for (size_t m = 0; m < compute_module_count(); m++) {
		size_t items = table_item_count(table);
		lineage->running = m;
		compute_module(table, m);
		lineage->modules[m].adds = lineage->modules[m].adds || table_item_count(table) > items;
		note_varying(lineage, &lineage->modules[m], table, resolved);
	}
	lineage->learning = false;
	table_watch(table, NULL);
	return table;
}

/* ---- asking ---- */

static void ask(struct lineage *lineage, const char *name)
{
	if (*name)
		names_add(&lineage->asked, index_of(lineage, name, text_hash(name)));
}

static void ask_conditions(struct lineage *lineage, struct conditions conditions)
{
	for (size_t i = 0; i < conditions.count; i++)
		ask(lineage, conditions.rows[i].name);
}

void lineage_ask_nothing(struct lineage *lineage)
{
	lineage->asked = lineage->asked_by_judge;
}

void lineage_ask(struct lineage *lineage, const struct rule *rule)
{
	for (size_t i = 0; i < rule->input_count; i++) {
		if (rule->inputs[i].constant)
			continue;
		ask(lineage, rule->inputs[i].quantity);
		ask(lineage, rule->inputs[i].of);
	}
	for (size_t i = 0; i < rule->selection_count; i++)
		ask_conditions(lineage, rule->selections[i].conditions);
	for (size_t i = 0; i < rule->limit_count; i++)
		ask_conditions(lineage, rule->limits[i].narrowing);
}

/* From the last module to the first: what puts anything that is looked at later. */
static void choose(const struct lineage *lineage, bool *needed)
{
	struct names asked = lineage->asked;
	for (size_t m = compute_module_count(); m-- > 0;) {
		const struct module_lineage *module = &lineage->modules[m];
		needed[m] = module->adds || names_meet(&module->puts, &asked);
		if (needed[m])
			names_join(&asked, &module->looks);
	}
}

/* What a skipped module would have left: names that may not be looked at, and items that differ by case from here on. */
static void skip(struct lineage *lineage, const struct module_lineage *module, struct table *table)
{
	names_join(&lineage->skipped, &module->puts);
	for (size_t i = 0; i < module->item_count && i < table_item_count(table); i++)
		if (module->varying[i])
			table_set_varying(table, table_item(table, i));
}

const struct table *lineage_table(struct lineage *lineage, struct arena *arena, struct table *resolved)
{
	if (!lineage->learnt || lineage->unfit)
		return NULL;
	bool *needed = arena_alloc(arena, compute_module_count() * sizeof *needed);
	choose(lineage, needed);
	table_watch(resolved, &lineage->watcher);
	struct table *table = compute_begin(arena, resolved);
	lineage->skipped = (struct names){{0}};
	lineage->misled = false;
	for (size_t m = 0; m < compute_module_count() && !lineage->misled; m++) {
		lineage->running = m;
		if (needed[m])
			compute_module(table, m);
		else
			skip(lineage, &lineage->modules[m], table);
	}
	lineage->running = compute_module_count();
	return table;
}

bool lineage_misled(const struct lineage *lineage)
{
	return lineage->misled;
}
