#include "judge/damage_place.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/condition.h"
#include "compute/contact.h"
#include "resolve/equipment.h"
#include "resolve/extent.h"

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

/* Owed, or not on record: something is said of it. */
static bool is_owed(const struct table *table, const struct item *item, const char *name)
{
	const struct quantity *value = table_get(table, item, EVERY_CASE, name);
	return value && value->owed;
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

static void add_defect(
	struct text *words, const struct table *table, const struct item *item, const char *name, const char *what)
{
	const char *by = word(table, item, arena_format(words->arena, "%s-by", name));
	if (is_yes(table, item, name))
		text_addf(words, "; %s found%s%s", what, by ? " by " : "", by ? by : "");
}

/* The thinnest wall, how and when it was read, and how long it lasts. */
static void add_wall(struct text *words, const struct table *table, const struct item *item)
{
	struct arena *arena = words->arena;
	const struct quantity *wall = known(table, item, "wall-now"), *left = known(table, item, "years-left");
	const char *method = word(table, item, "wall-read-by"), *date = word(table, item, "wall-read-on");
	if (wall)
		text_addf(words, "; wall %s%s%s%s%s", quantity_show_first(arena, wall), method ? " by " : "",
			method ? method : "", date ? ", " : "", date ? date : "");
	if (is_yes(table, item, "thinned"))
		text_addf(words, "; thinning, %s", table_get(table, item, EVERY_CASE, "thinned")->reason);
	if (left && left->bound == BOUND_NONE)
		text_addf(words, ", %s left", quantity_show_first(arena, left));
}

static void add_found(struct text *words, const struct table *table, const struct item *item)
{
	const char *method = word(table, item, "inspected-by"), *date = word(table, item, "last-inspection");
	add_defect(words, table, item, "cracked", "cracks");
	add_defect(words, table, item, "blistered", "blisters");
	add_wall(words, table, item);
	if (method)
		text_addf(words, "; last inspected by %s%s%s", method, date ? ", " : "", date ? date : "");
}

/* Where in its vessel, and what of the vessel its zones leave bare. */
static void add_extent(struct text *words, const struct table *table, const struct item *item)
{
	struct extent extent;
	const char *left = word(table, item, "left-by-zones");
	if (extent_of(table, item, &extent))
		text_addf(words, "; from %.3g to %.3g m", extent.begins, extent.ends);
	if (left)
		text_addf(words, "; not covered from %s", left);
}

static const char *condition_of(struct arena *arena, const struct table *table, const struct item *item)
{
	struct text words = text_in(arena);
	const struct quantity *hottest = known(table, item, "metal-reaches");
	const char *relief = word(table, item, "stress-relief");
	bool said = known(table, item, "stress-relieved") || is_owed(table, item, "stress-relieved");
	add_metal(&words, table, item);
	add_extent(&words, table, item);
	if (relief && said && contact_is_steel(word(table, item, "wall-material-family")))
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

static const double SOON = 4 * 31557600.0; /* s, 4 years of 365.25 days: HIS-002; API 510, from memory */

static bool is_below(const struct table *table, const struct item *item, const char *name, double border)
{
	const struct quantity *value = known(table, item, name);
	return value && value->bound != BOUND_ABOVE && value->si < border;
}

/*
 * Cracks, blisters and a wall that is too thin first, and work left untreated where steel cracks: a vessel burst in
 * 1984 at a repair left as welded (TWI).
 */
static enum urgency urgency_of(const struct table *table, const struct damage *row)
{
	static const enum mechanism breaking[] = {MECHANISM_AMINE_CRACKING, MECHANISM_SULFIDE_CRACKING, MECHANISM_HIC,
		MECHANISM_SOHIC, MECHANISM_CARBONATE};
	bool cracks = is_credible(row, MECHANISM_AMINE_CRACKING) || is_credible(row, MECHANISM_SULFIDE_CRACKING);
	bool untreated = condition_is_later_work(table, row->item) && !is_owed(table, row->item, "stress-relieved");
	if (is_yes(table, row->item, "cracked") || is_yes(table, row->item, "blistered") || (untreated && cracks) ||
		is_below(table, row->item, "wall-over-required", 1))
		return URGENCY_BEFORE_RESTART;
	if (is_below(table, row->item, "years-left", SOON))
		return URGENCY_NEXT_STOP;
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

/* "pwht is not stated" as "pwht", "pwht is not on record" as "pwht (no record)". */
static void add_open(struct text *words, const char *why)
{
	static const struct {
		const char *ending, *instead;
	} rows[] = {{" is not stated", ""}, {" is t.b.d.", " (t.b.d.)"}, {" is not on record", " (no record)"}};
	size_t length = strlen(why);
	const char *instead = "";
	for (size_t i = 0; i < COUNT(rows); i++)
		if (text_ends(why, rows[i].ending)) {
			length = strlen(why) - strlen(rows[i].ending);
			instead = rows[i].instead;
		}
	text_addf(words, "%s%.*s%s", words->length ? ", " : "", (int)length, why, instead);
}

/* The reasons of what is not known, each once and short. */
static const char *open_of(struct arena *arena, const struct table *table, const struct damage *row)
{
	struct text words = text_in(arena);
	text_addf(&words, "%s", "");
	for (int m = 0; m < MECHANISM_COUNT; m++)
		if (row->answers[m].credible == PERHAPS && !is_told(row, m) &&
			damage_concerns(table, (enum mechanism)m))
			add_open(&words, row->answers[m].why);
	return words.data;
}

void damage_describe(struct arena *arena, const struct table *table, struct damage *row)
{
	row->condition = condition_of(arena, table, row->item);
	row->urgency = urgency_of(table, row);
	row->open = open_of(arena, table, row);
}
