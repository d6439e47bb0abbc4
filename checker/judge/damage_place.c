#include "judge/damage_place.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/condition.h"
#include "compute/contact.h"
#include "resolve/equipment.h"

static const char *word(const struct table *table, const struct item *item, const char *name)
{
	return table_word(table, item, EVERY_CASE, name);
}

static const struct quantity *known(const struct table *table, const struct item *item, const char *name)
{
	const struct quantity *value = table_get(table, item, EVERY_CASE, name);
	return value && value->known != UNKNOWN ? value : NULL;
}

static bool is_yes(const struct table *table, const struct item *item, const char *name)
{
	const struct quantity *value = known(table, item, name);
	return value && value->si > 0;
}

/* ---- which items are places ---- */

static bool same_answer(const struct table *table, const struct item *a, const struct item *b, const char *name)
{
	const struct quantity *one = known(table, a, name), *other = known(table, b, name);
	return !one == !other && (!one || (one->si > 0) == (other->si > 0));
}

static bool differs(const struct table *table, const struct item *item)
{
	static const char *const own[] = {"hardness-weld", "hardness-haz", "hardness-base", "cold-strain"};
	const struct item *holder = item->parent;
	bool different =
		!text_same(word(table, item, "wetted-material-family"), word(table, holder, "wetted-material-family"));
	for (size_t i = 0; i < COUNT(own); i++)
		different = different || known(table, item, own[i]);
	return different || !same_answer(table, item, holder, "stress-relieved") || is_yes(table, item, "cracked") ||
		is_yes(table, item, "blistered");
}

bool damage_is_place(const struct table *table, const struct item *item)
{
	if (item_in(item, CLASS_DAMAGE))
		return true;
	bool within = item->parent && item_in(item->parent, CLASS_WETTED);
	if (within && condition_is_later_work(table, item))
		return true;
	return within && (item_is(item, "nozzle") || item_is(item, "weld")) && differs(table, item);
}

/* ---- its condition ---- */

static void add_metal(struct text *words, const struct table *table, const struct item *item)
{
	const char *wall = word(table, item, "wall-material"), *touched = word(table, item, "wetted-material");
	const char *metal = touched ? touched : wall;
	text_addf(words, "%s", metal ? metal : "metal not stated");
	if (is_yes(table, item, "wall-clad") && wall)
		text_addf(words, " on %s", wall);
}

static void add_hardness(struct text *words, const struct table *table, const struct item *item, struct arena *arena)
{
	static const char *const zones[][2] = {{"hardness-weld", "in the weld"},
		{"hardness-haz", "in the heat-affected zone"}, {"hardness-base", "in the base metal"}};
	for (size_t i = 0; i < COUNT(zones); i++) {
		const struct quantity *value = known(table, item, zones[i][0]);
		if (value)
			text_addf(words, "; %s %s", quantity_show_first(arena, value), zones[i][1]);
	}
}

static void add_found(struct text *words, const struct table *table, const struct item *item)
{
	const char *method = word(table, item, "inspected-by"), *date = word(table, item, "last-inspection");
	if (is_yes(table, item, "cracked"))
		text_addf(words, "; cracks found");
	if (is_yes(table, item, "blistered"))
		text_addf(words, "; blisters found");
	if (method)
		text_addf(words, "; looked at by %s%s%s", method, date ? ", " : "", date ? date : "");
}

static const char *condition_of(struct arena *arena, const struct table *table, const struct item *item)
{
	struct text words = text_in(arena);
	const struct quantity *hottest = known(table, item, "metal-reaches");
	const char *relief = word(table, item, "stress-relief");
	add_metal(&words, table, item);
	if (relief && known(table, item, "stress-relieved") &&
		contact_is_steel(word(table, item, "wall-material-family")))
		text_addf(&words, "; %s", relief);
	add_hardness(&words, table, item, arena);
	if (hottest)
		text_addf(&words, "; up to %s", quantity_show_si(arena, hottest->si, hottest->kind, NULL));
	add_found(&words, table, item);
	return words.data;
}

/* ---- when to look ---- */

static bool is_credible(const struct damage *row, enum mechanism mechanism)
{
	return row->answers[mechanism].credible == YES;
}

/* Cracks and blisters first, and work left untreated where steel cracks: a vessel burst in 1984 at a repair left as welded (TWI). */
static enum urgency urgency_of(const struct table *table, const struct damage *row)
{
	static const enum mechanism breaking[] = {MECHANISM_AMINE_CRACKING, MECHANISM_SULFIDE_CRACKING, MECHANISM_HIC,
		MECHANISM_SOHIC, MECHANISM_CARBONATE};
	bool cracks = is_credible(row, MECHANISM_AMINE_CRACKING) || is_credible(row, MECHANISM_SULFIDE_CRACKING);
	if (is_yes(table, row->item, "cracked") || is_yes(table, row->item, "blistered") ||
		(condition_is_later_work(table, row->item) && cracks))
		return URGENCY_BEFORE_RESTART;
	for (size_t i = 0; i < COUNT(breaking); i++)
		if (is_credible(row, breaking[i]))
			return URGENCY_NEXT_STOP;
	for (int m = 0; m < MECHANISM_COUNT; m++)
		if (is_credible(row, (enum mechanism)m))
			return URGENCY_NORMAL;
	return URGENCY_NONE;
}

const char *urgency_word(enum urgency urgency)
{
	static const char *const words[] = {[URGENCY_BEFORE_RESTART] = "before restart",
		[URGENCY_NEXT_STOP] = "at the next stop",
		[URGENCY_NORMAL] = "within the normal interval",
		[URGENCY_NONE] = "nothing credible as described"};
	return words[urgency];
}

/* ---- what is not known ---- */

static bool is_told(const struct damage *row, int m)
{
	for (int k = 0; k < m; k++)
		if (row->answers[k].credible == PERHAPS && strcmp(row->answers[k].why, row->answers[m].why) == 0)
			return true;
	return false;
}

/* The reasons of what is not known, each once and without its ending. */
static const char *open_of(struct arena *arena, const struct table *table, const struct damage *row)
{
	static const char ending[] = " is not stated";
	struct text words = text_in(arena);
	text_addf(&words, "%s", "");
	for (int m = 0; m < MECHANISM_COUNT; m++) {
		const char *why = row->answers[m].why;
		if (row->answers[m].credible != PERHAPS || is_told(row, m) ||
			!damage_concerns(table, (enum mechanism)m))
			continue;
		size_t length = text_ends(why, ending) ? strlen(why) - strlen(ending) : strlen(why);
		text_addf(&words, "%s%.*s", words.length ? ", " : "", (int)length, why);
	}
	return words.data;
}

void damage_describe(struct arena *arena, const struct table *table, struct damage *row)
{
	row->condition = condition_of(arena, table, row->item);
	row->urgency = urgency_of(table, row);
	row->open = open_of(arena, table, row);
}
