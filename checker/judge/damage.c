#include "judge/damage.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/contact.h"
#include "judge/damage_place.h"
#include "resolve/equipment.h"

const struct mechanism_row mechanisms[MECHANISM_COUNT] = {
#define MECHANISM(code, name, where, how, source) {name, where, how, source},
#include "judge/damage.def"
#undef MECHANISM
};

/* ---- an item as the mechanisms see it ---- */

/* Thresholds, in K unless said. Sources beside them; on a border the more severe side. */
static const double CHLORIDE_FROM = 333.15;		/* 60 degC, API RP 571, from memory */
static const double WET_FROM = 322.15, WET_TO = 422.15; /* 49 to 149 degC, API RP 581 table 18.2 */
static const double WET_WORST_TO = 366.15;		/* 93 degC, the same */
static const double WARM = 333.15;			/* 60 degC: cold lean amine hardly attacks; common practice */
static const double MEA_SOME = 311.15, SOME = 333.15, MOST = 355.15; /* 38, 60, 82 degC: API RP 581 figure 7.1 */
static const double SLOWEST_PUBLISHED = 0.9;			     /* m/s, Campbell 1981 */
static const double ALKALINE = 7.5, CARBONATE_SOME = 1e-4;	     /* pH; 100 ppmw: API RP 581 table 10.2 */
static const double OXYGEN_SOME = 1e-5;				     /* 10 ppmv of a gas, common practice */
static const double HARD_HV = 248, HARD_HBW = 200, HARD_HRC = 22;    /* NACE SP0472 and MR0103, secondary */

static const double SAME = 1e-9; /* what the conversion of a unit may take away: 100 ppmw are no less than 1e-4 */

static bool reaches(const struct quantity *value, double border)
{
	return value->si >= border - SAME * border;
}

static bool exceeds(const struct quantity *value, double border)
{
	return value->si > border + SAME * border;
}

struct view {
	struct arena *arena;
	const struct table *table;
	const struct item *item;
	const char *wall, *touched,
		*alloy; /* families of the metal that is welded, that is touched; the latter by name */
	const char *service, *amine;
	enum truth wetted, face; /* by amine; tubes and plates: on either face */
	enum truth lean, rich, sour, clad, relieved, insulated, hic_tested, seamless;
	const char *relief;			      /* how it is stress relieved, or why not */
	const struct quantity *temperature, *hottest; /* operating; highest the metal sees; NULL: unknown */
};

/* The value in the case in which it is largest: damage is done by the worst of them. NULL: not known as a number. */
static const struct quantity *largest(const struct view *view, const struct item *item, const char *name)
{
	const struct quantity *found = NULL;
	for (int c = EVERY_CASE; item && c < (int)table_case_count(view->table); c++) {
		const struct quantity *value = table_get(view->table, item, c, name);
		bool upset = c != EVERY_CASE && table_case(view->table, c)->upset;
		if (!upset && value && value->known != UNKNOWN && kind_is_number(value->kind) &&
			(!found || value->si > found->si))
			found = value;
	}
	return found;
}

static const char *word(const struct view *view, const struct item *item, const char *name)
{
	const char *found = item ? table_word(view->table, item, EVERY_CASE, name) : NULL;
	for (int c = 0; item && !found && c < (int)table_case_count(view->table); c++)
		found = table_word(view->table, item, c, name);
	return found;
}

/* Why a word of the item is what it is. */
static const char *reason(const struct view *view, const struct item *item, const char *name)
{
	const struct quantity *value = table_get(view->table, item, EVERY_CASE, name);
	return value && value->reason ? value->reason : "";
}

static enum truth answer(const struct view *view, const struct item *item, const char *name)
{
	const struct quantity *value = item ? table_get(view->table, item, EVERY_CASE, name) : NULL;
	for (int c = 0; item && !(value && value->known != UNKNOWN) && c < (int)table_case_count(view->table); c++)
		value = table_get(view->table, item, c, name);
	return quantity_truth(value);
}

static struct view view_of(struct arena *arena, const struct table *table, const struct item *item)
{
	struct view view = {.arena = arena, .table = table, .item = item};
	view.wall = word(&view, item, "wall-material-family");
	view.touched = word(&view, item, "wetted-material-family");
	view.alloy = word(&view, item, "wetted-material");
	view.clad = answer(&view, item, "wall-clad");
	view.service = word(&view, item, "service");
	view.amine = word(&view, table_sole(table, "solvent"), "amine");
	view.wetted = answer(&view, item, "amine-wetted");
	view.face = answer(&view, item, "wetted-by-amine");
	view.lean = answer(&view, item, "sees-lean");
	view.rich = answer(&view, item, "sees-rich");
	view.sour = answer(&view, item, "wet-h2s");
	view.relieved = answer(&view, item, "stress-relieved");
	view.relief = word(&view, item, "stress-relief");
	view.insulated = answer(&view, item, "insulated");
	view.hic_tested = answer(&view, item, "hic-tested");
	view.seamless = answer(&view, item, "seamless");
	view.hottest = largest(&view, item, "metal-temperature");
	/* Of tubes on steam or oil that of the metal in amine, not that of what heats them. */
	bool outside = view.face == YES && view.wetted == NO;
	view.temperature = largest(&view, item, outside ? "metal-reaches" : "running-temperature");
	if (!view.temperature)
		view.temperature = view.hottest;
	return view;
}

static bool is_kind(const struct view *view, const char *kinds)
{
	return text_has_word(kinds, view->item->kind);
}

static struct damage_answer yes(const char *why)
{
	return (struct damage_answer){.credible = YES, .why = why};
}

static struct damage_answer no(const char *why)
{
	return (struct damage_answer){.credible = NO, .why = why};
}

/* What the package says that it owes, or has no record of, is another matter than what it does not mention. */
static struct damage_answer not_known(const struct view *view, const char *what)
{
	const struct quantity *value = table_get(view->table, view->item, EVERY_CASE, what);
	if (value && value->owed)
		return (struct damage_answer){.credible = PERHAPS,
			.why = arena_format(
				view->arena, value->unrecorded ? "%s is not on record" : "%s is t.b.d.", what)};
	return (struct damage_answer){.credible = PERHAPS, .why = arena_format(view->arena, "%s is not stated", what)};
}

/* Until something is said: nothing is ruled out. */
static const struct damage_answer not_answered = {.credible = PERHAPS, .why = ""};

static struct damage_answer is_of_another_metal(const struct view *view, const char *family)
{
	return no(arena_format(view->arena, "%s: this is a mechanism of carbon and low-alloy steel", family));
}

/* Does the fluid touch carbon or low-alloy steel? Otherwise `out` says why the mechanism is off, or what is missing. */
static bool is_bare_steel(const struct view *view, struct damage_answer *out)
{
	if (!view->touched)
		*out = not_known(view, "material");
	else if (contact_is_steel(view->touched))
		return true;
	else if (view->clad == YES)
		*out = no(arena_format(view->arena,
			"clad with %s: the steel is not exposed while the cladding is intact", view->alloy));
	else
		*out = is_of_another_metal(view, view->touched);
	return false;
}

/* ---- sour water ---- */

static bool is_overhead(const struct view *view)
{
	static const char *const services[] = {"acid gas", "reflux", "sour water"};
	for (size_t i = 0; i < COUNT(services); i++)
		if (text_same(view->service, services[i]))
			return true;
	return item_in(view->item, CLASS_OVERHEAD);
}

/* H2S in water at the metal: rich amine, the overhead, wet feed gas, in a unit that holds any. */
static enum truth is_sour(const struct view *view)
{
	return answer(view, table_sole(view->table, "unit"), "holds-h2s") == NO ? NO : view->sour;
}

static bool is_sour_steel(const struct view *view, struct damage_answer *out)
{
	if (!is_bare_steel(view, out))
		return false;
	enum truth sour = is_sour(view);
	if (sour == NO)
		*out = no("no water containing H2S reaches the metal");
	else if (sour == PERHAPS)
		*out = not_known(view, "stream or service");
	else if (text_same(word(view, view->item, "sourness"), "lightly sour"))
		*out = no(arena_format(view->arena, "lightly sour: %s", reason(view, view->item, "sourness")));
	else
		return true;
	return false;
}

/* ---- the mechanisms ---- */

/* In what order to inspect what is as welded: published intervals, told as an order. It waives nothing. */
static const char *inspection_order(const struct view *view)
{
	static const char first[] = "among the first to inspect", next[] = "to inspect next",
			  last[] = "to inspect after those";
	const struct quantity *hot = view->hottest;
	bool quick = text_same(view->amine, "MEA") || text_same(view->amine, "DIPA") || !view->amine;
	if (!hot || hot->bound != BOUND_NONE)
		return first; /* what is not known counts as the worse */
	if (quick)
		return reaches(hot, MOST) ? first : reaches(hot, MEA_SOME) ? next : last;
	if (text_same(view->amine, "DEA"))
		return reaches(hot, MOST) ? next : last;
	return reaches(hot, SOME) ? next : last;
}

/* The stress relief, but for the places in it that have a line of their own. */
static const char *excepted(const struct view *view)
{
	struct text words = text_in(view->arena);
	size_t end = table_parts_end(view->table, view->item), count = 0;
	text_addf(&words, "stress relieved: %s", view->relief ? view->relief : "treated");
	for (size_t i = view->item->index + 1; i < end; i++) {
		const struct item *part = table_item(view->table, i);
		if (part && answer(view, part, "stress-relieved") == NO)
			text_addf(&words, "%s%s", count++ ? ", " : "; not so ", part->tag);
	}
	return words.data;
}

/* Of an old plant without the certificate nobody will ever show more: steel counts as it was welded. Common practice. */
static struct damage_answer relief_not_known(const struct view *view)
{
	if (answer(view, view->item, "stress-relief-recorded") == NO)
		return yes("no record of stress relief: it counts as welded until one is shown");
	return not_known(view, "pwht");
}

static struct damage_answer amine_cracking(const struct view *view)
{
	if (!view->wall)
		return not_known(view, "material");
	if (!contact_is_steel(view->wall))
		return is_of_another_metal(view, view->wall);
	if (view->wetted != YES)
		return view->wetted == NO ? no("no amine reaches it") : not_known(view, "stream or service");
	if (answer(view, view->item, "cracked") == YES)
		return yes("cracks were found");
	if (view->relieved == PERHAPS)
		return relief_not_known(view);
	if (view->relieved == YES)
		return no(excepted(view));
	if (view->clad == YES)
		return yes(arena_format(view->arena,
			"%s behind cladding: enough where it covers every weld, which is to be shown", view->relief));
	if (view->lean == NO)
		return yes(arena_format(view->arena,
			"%s in rich %s: less frequent than in lean, but the same once lean amine or steam reaches it",
			view->relief, view->amine ? view->amine : "amine"));
	return yes(arena_format(view->arena, "%s in lean %s, %s", view->relief, view->amine ? view->amine : "amine",
		inspection_order(view)));
}

static bool is_harder(const struct quantity *hardness)
{
	switch (hardness->kind) {
	case KIND_HARDNESS_VICKERS:
		return exceeds(hardness, HARD_HV);
	case KIND_HARDNESS_BRINELL:
		return exceeds(hardness, HARD_HBW);
	default:
		return exceeds(hardness, HARD_HRC);
	}
}

static struct damage_answer sulfide_cracking(const struct view *view)
{
	struct damage_answer out = not_answered;
	const struct quantity *weld = largest(view, view->item, "hardness-weld"),
			      *zone = largest(view, view->item, "hardness-haz");
	if (!is_sour_steel(view, &out))
		return out;
	if ((weld && is_harder(weld)) || (zone && is_harder(zone)))
		return yes("sour water on welds that are harder than 200 HBW or 248 HV");
	if (!weld || !zone)
		return not_known(view, weld ? "hardness-haz" : "hardness-weld");
	return no("the hardness stated for weld and heat-affected zone is within its limits");
}

static struct damage_answer hydrogen_cracking(const struct view *view)
{
	struct damage_answer out = not_answered;
	if (!is_sour_steel(view, &out))
		return out;
	if (view->seamless == YES)
		return no("seamless: no rolled plate with flat inclusions");
	if (answer(view, view->item, "blistered") == YES)
		return yes("blisters were found");
	if (view->hic_tested == YES)
		return no("plate tested for it; stress relief alone would not help");
	if (is_kind(view, "line tube-side pump") && view->hic_tested == PERHAPS)
		return no("pipe, tube or casting; welded pipe from plate excepted");
	return view->hic_tested == NO ? yes("plate in sour water, not tested; stress relief does not cure it")
				      : not_known(view, "hic-tested");
}

static struct damage_answer oriented_cracking(const struct view *view)
{
	struct damage_answer plate = hydrogen_cracking(view);
	if (plate.credible == NO)
		return plate;
	if (view->relieved == NO)
		return yes("plate beside welds that are not stress relieved, in sour water");
	if (plate.credible == YES)
		return yes("plate in sour water, not tested: stress relief helps in part");
	return plate;
}

/* Of the overhead water: what the reflux stream says. */
static struct damage_answer carbonate_cracking(const struct view *view)
{
	struct damage_answer out = not_answered;
	if (!is_overhead(view))
		return no("no alkaline water without amine in it");
	if (!is_bare_steel(view, &out))
		return out;
	if (view->relieved == YES)
		return no("stress relieved");
	const struct item *water = NULL;
	struct items streams = table_of_kind(view->table, "stream");
	for (size_t i = 0; i < streams.count && !water; i++)
		if (text_same(word(view, streams.rows[i], "service"), "reflux"))
			water = streams.rows[i];
	const struct quantity *ph = largest(view, water, "ph"), *carbonate = largest(view, water, "carbonate");
	if (ph && !reaches(ph, ALKALINE))
		return no("the overhead water is not alkaline");
	if (!ph)
		return not_known(view, "ph of the reflux");
	if (!carbonate)
		return not_known(view, "carbonate of the reflux");
	return reaches(carbonate, CARBONATE_SOME) ? yes("alkaline water with carbonate on welds as welded")
						  : no("too little carbonate in the overhead water");
}

static struct damage_answer chloride_cracking(const struct view *view)
{
	if (!view->touched)
		return not_known(view, "material");
	if (!text_same(view->touched, "austenitic"))
		return no(arena_format(view->arena, "%s: not an austenitic steel", view->touched));
	if (!view->temperature)
		return not_known(view, "temperature");
	return reaches(view->temperature, CHLORIDE_FROM)
		? yes("austenitic steel at 60 degC or more: no chloride content is low enough where it concentrates")
		: no("colder than 60 degC");
}

/* Does the value lie from `low` to `high` in any steady case? Not the highest of them: that may lie above while others are within. */
static enum truth in_a_steady_case(const struct view *view, const char *name, double low, double high)
{
	enum truth found = PERHAPS;
	for (int c = 0; c < (int)table_case_count(view->table); c++) {
		const struct quantity *value = table_get(view->table, view->item, c, name);
		if (table_case(view->table, c)->upset || !value || value->known == UNKNOWN)
			continue;
		if (reaches(value, low) && !exceeds(value, high))
			return YES;
		found = NO;
	}
	return found;
}

static struct damage_answer cracking_under_insulation(const struct view *view)
{
	const char *outside = word(view, view->item, "material-family");
	if (!outside)
		return not_known(view, "material");
	if (!text_same(outside, "austenitic"))
		return no(arena_format(view->arena, "%s: not an austenitic steel; look for rust instead", outside));
	if (view->insulated == NO)
		return no("not insulated");
	enum truth within = in_a_steady_case(view, "running-temperature", WET_FROM, WET_TO);
	if (within == PERHAPS)
		return not_known(view, "temperature");
	if (within == NO)
		return no("outside 49 to 149 degC in operation");
	if (view->insulated == PERHAPS)
		return not_known(view, "insulated");
	enum truth worst = in_a_steady_case(view, "running-temperature", WET_FROM, WET_WORST_TO);
	const char *how_much = worst == YES ? "in the worst range, 49 to 93 degC" : "at 93 to 149 degC";
	return yes(arena_format(view->arena, "insulated austenitic steel %s%s", how_much,
		answer(view, view->item, "external-coating") == YES ? "; its coating is the barrier"
								    : ", no coating stated"));
}

/* What was measured is not explained away by metal or temperature. NULL: nothing was. */
static const char *thinning(const struct view *view)
{
	return answer(view, view->item, "thinned") == YES
		? arena_format(view->arena, "thinning, %s", reason(view, view->item, "thinned"))
		: NULL;
}

static struct damage_answer amine_corrosion(const struct view *view)
{
	struct damage_answer out = not_answered;
	const char *lost = view->face == YES ? thinning(view) : NULL;
	if (lost)
		return yes(lost);
	if (!is_bare_steel(view, &out))
		return out;
	if (view->face != YES)
		return view->face == NO ? no("no amine reaches it") : not_known(view, "stream or service");
	if (is_kind(view, "reboiler regenerator"))
		return yes("carbon steel in hot amine: about half of the published incidents are in reboiler and "
			   "regenerator bottom");
	if (!view->temperature)
		return not_known(view, "temperature");
	if (!reaches(view->temperature, WARM))
		return no("colder than 60 degC, with the solution within its limits");
	return yes(view->rich == YES ? "carbon steel in warm rich amine, which releases acid gas"
				     : "carbon steel in warm or hot lean amine");
}

static struct damage_answer erosion(const struct view *view)
{
	struct damage_answer out = not_answered;
	if (!is_bare_steel(view, &out))
		return out;
	if (is_kind(view, "pump"))
		return yes("a carbon steel casing: pumps always see damaging velocity");
	if (!item_in(view->item, CLASS_FLOW) || is_kind(view, "shell-side"))
		return no("no flow along its shell, except at nozzles and the walls opposite them");
	if (view->wetted == NO && !is_overhead(view))
		return no("no amine reaches it");
	if (answer(view, view->item, "two-phase") == YES)
		return yes("two-phase flow on carbon steel");
	const struct quantity *velocity = largest(view, view->item, "velocity-judged");
	if (!velocity)
		return not_known(view, "velocity");
	return exceeds(velocity, SLOWEST_PUBLISHED) ? yes("faster than the lowest published limit, 0.9 m/s")
						    : no("slower than every published limit");
}

static struct damage_answer bisulfide(const struct view *view)
{
	enum truth ammonia = answer(view, table_sole(view->table, "unit"), "ammonia-in-feed");
	if (!is_overhead(view))
		return no("no overhead or reflux");
	if (ammonia == PERHAPS)
		return not_known(view, "nh3 of the feed gases");
	return ammonia == YES ? yes("ammonia comes with the gas and accumulates in overhead and reflux")
			      : no("no ammonia comes with the gas");
}

static struct damage_answer acid_water(const struct view *view)
{
	struct damage_answer out = not_answered;
	bool top = is_overhead(view) || is_kind(view, "regenerator reboiler");
	const char *zone = is_kind(view, "zone") ? word(view, view->item, "name") : NULL;
	top = top || text_same(zone, "vapour space") || text_same(zone, "top");
	if (!top)
		return no("nothing condenses here without amine in it");
	const char *lost = view->face == YES ? NULL : thinning(view);
	if (lost)
		return yes(lost);
	if (!is_bare_steel(view, &out))
		return out;
	const char *clad = is_kind(view, "regenerator") ? "top-clad"
		: is_kind(view, "reboiler")		? "vapour-space-clad"
							: NULL;
	if (clad && answer(view, view->item, clad) == YES)
		return no("clad where water condenses");
	return yes("bare steel where water condenses from acid gas");
}

static struct damage_answer oxygen(const struct view *view)
{
	if (is_kind(view, "tank")) {
		const char *blanket = word(view, view->item, "blanket");
		if (answer(view, view->item, "open-vent") == YES || text_same(blanket, "none"))
			return yes("the tank draws in air");
		return blanket ? no("blanketed") : not_known(view, "blanket");
	}
	if (is_kind(view, "sump")) {
		enum truth aerated = answer(view, view->item, "aerated");
		return aerated == YES	? yes("the sump is open to air")
			: aerated == NO ? no("protected from air")
					: not_known(view, "aerated");
	}
	if (!is_kind(view, "absorber"))
		return no("no air enters here; its salts circulate with the solution");
	const struct item *gas = table_follow(view->table, view->item, EVERY_CASE, "gas");
	const struct quantity *content = largest(view, gas, "o2");
	if (!content)
		return not_known(view, "o2 of the gas");
	return exceeds(content, OXYGEN_SOME) ? yes("more than 10 ppmv come with the gas")
					     : no("no more than 10 ppmv come with the gas");
}

/* ---- every item ---- */

static struct damage_answer (*const judges[MECHANISM_COUNT])(const struct view *) = {
	[MECHANISM_AMINE_CRACKING] = amine_cracking,
	[MECHANISM_SULFIDE_CRACKING] = sulfide_cracking,
	[MECHANISM_HIC] = hydrogen_cracking,
	[MECHANISM_SOHIC] = oriented_cracking,
	[MECHANISM_CARBONATE] = carbonate_cracking,
	[MECHANISM_CHLORIDE] = chloride_cracking,
	[MECHANISM_INSULATION] = cracking_under_insulation,
	[MECHANISM_AMINE_CORROSION] = amine_corrosion,
	[MECHANISM_EROSION] = erosion,
	[MECHANISM_BISULFIDE] = bisulfide,
	[MECHANISM_ACID_WATER] = acid_water,
	[MECHANISM_OXYGEN] = oxygen,
};

/* What is described by its sides is told by them. */
static bool is_told_by_sides(const struct table *table, const struct item *item)
{
	return text_same(table_word(table, item, EVERY_CASE, "material"), "that of its sides");
}

/* A steam or water side that amine does not touch: nothing of this table happens there. */
static bool is_other_side(const struct view *view)
{
	static const char *const others[] = {
		"steam", "condensate", "cooling water", "sea water", "hot oil", "air", "nitrogen"};
	for (size_t i = 0; i < COUNT(others); i++)
		if (text_same(view->service, others[i]))
			return view->face != YES;
	return false;
}

bool damage_concerns(const struct table *table, enum mechanism mechanism)
{
	static const enum mechanism of_h2s[] = {
		MECHANISM_SULFIDE_CRACKING, MECHANISM_HIC, MECHANISM_SOHIC, MECHANISM_BISULFIDE};
	const struct item *unit = table_sole(table, "unit");
	bool sweet = unit && text_same(table_word(table, unit, EVERY_CASE, "sourness"), "sweet");
	for (size_t i = 0; sweet && i < COUNT(of_h2s); i++)
		if (of_h2s[i] == mechanism)
			return false;
	return true;
}

/* What is more urgent goes before; within one urgency the order stays. */
static void put_in_place(struct damage *rows, size_t count, struct damage row)
{
	size_t at = count;
	for (; at > 0 && rows[at - 1].urgency > row.urgency; at--)
		rows[at] = rows[at - 1];
	rows[at] = row;
}

const struct damage *damage_make(struct arena *arena, const struct table *table, size_t *count)
{
	struct damage *rows = arena_alloc(arena, (table_item_count(table) + 1) * sizeof *rows);
	*count = 0;
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		struct damage row = {.item = item};
		if (!damage_is_place(table, item) || is_told_by_sides(table, item))
			continue;
		struct view view = view_of(arena, table, item);
		if (is_other_side(&view))
			continue;
		for (int m = 0; m < MECHANISM_COUNT; m++)
			row.answers[m] = judges[m](&view);
		damage_describe(arena, table, &row);
		put_in_place(rows, (*count)++, row);
	}
	return rows;
}
