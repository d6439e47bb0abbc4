#include "compute/restated.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "chemistry/properties.h"
#include "compute/slips.h"
#include "compute/solvent.h"

/* What the density of a solution and its mass per mole of amine are uncertain by, as a share, where the table does not say. */
static const double MASS_PER_AMINE_UNCERTAINTY = 0.01;

/* ---- one basis ---- */

static bool is_amine(const struct scene *scene, const struct item *carrier)
{
	const char *service = table_word(scene->table, carrier, scene->operating_case, "service");

	return service && text_has_word("lean rich semi-lean", service);
}

static bool by_density(
	const struct scene *scene, const struct item *carrier, struct side_stated *side, struct missing *missing)
{
	struct input density = scene_input_of(scene, carrier, "rho", "density");

	if (!is_number(density.quantity)) {
		*missing = input_missing(table_arena(scene->table), &density);
		return false;
	}
	*side = side_times(*side, density.quantity->si, relative_uncertainty(density.quantity));
	return true;
}

/* Moles of a solution are moles of its amine, of a gas those of the gas. */
static bool by_moles(
	const struct scene *scene, const struct item *carrier, struct side_stated *side, struct missing *missing)
{
	if (is_amine(scene, carrier)) {
		struct stream_solution solution = solvent_of_stream(scene, carrier, false);
		struct input strength = solvent_or_missing(solvent_input(scene, carrier, "w", "strength"), &solution);

		if (!solution.known || is_bound(strength.quantity))
			*missing = input_missing(table_arena(scene->table), &strength);
		else
			*side = side_times(*side,
				property_loaded_mass(solution.state.mass_fraction, solution.state.loading),
				MASS_PER_AMINE_UNCERTAINTY);
		return solution.known && !is_bound(strength.quantity);
	}
	struct input mass = scene_input_of(scene, carrier, "M", "molar-mass");
	if (!is_number(mass.quantity)) {
		*missing = input_missing(table_arena(scene->table), &mass);
		return false;
	}
	*side = side_times(*side, mass.quantity->si, relative_uncertainty(mass.quantity));
	return true;
}

bool flow_to_mass(const struct scene *scene, const struct item *carrier, struct side_stated *side, const char **through,
	struct missing *missing)
{
	struct arena *arena = table_arena(scene->table);

	switch (side->quantity->kind) {
	case KIND_MASS_FLOW:
		return true;
	case KIND_LIQUID_FLOW:
	case KIND_GAS_FLOW:
		*through = arena_format(arena, "by the density of %s", carrier->tag);
		return by_density(scene, carrier, side, missing);
	case KIND_MOLAR_FLOW:
		*through = is_amine(scene, carrier)
			? arena_format(arena, "as moles of amine, by the strength of %s", carrier->tag)
			: arena_format(arena, "by the molar mass of %s", carrier->tag);
		return by_moles(scene, carrier, side, missing);
	default:
		return false;
	}
}

static bool is_content(enum kind kind)
{
	return kind == KIND_MASS_FRACTION || kind == KIND_TRACE || kind == KIND_MASS_CONCENTRATION;
}

/* By mass of solution. A content by mass of amine has a basis of its own beside it, and is not converted. */
static bool content_to_mass(struct side_stated *side)
{
	double content = solvent_content(side->quantity);

	if (side->si > 0)
		*side = side_times(*side, content / side->si, 0);
	return isfinite(content);
}

static bool strength_to_mass(const struct scene *scene, struct side_stated *side, struct missing *missing)
{
	enum amine amine;
	const struct item *solvent = table_sole(scene->table, "solvent");

	if (!solvent_amine(scene, &amine)) {
		if (solvent)
			*missing = item_lacks(table_arena(scene->table), solvent, "amine");
		return false;
	}
	double fraction = solvent_mass_fraction(side->quantity, amine);
	if (side->si > 0)
		*side = side_times(*side, fraction / side->si, MASS_PER_AMINE_UNCERTAINTY);
	return isfinite(fraction);
}

/* Brings both to one basis. Of kinds for which there is none the two stay NaN, and with a reason. */
static void to_one_basis(const struct scene *scene, struct meeting *meeting)
{
	struct side_stated *const sides[] = {&meeting->used, &meeting->other};
	enum kind a = meeting->used.quantity->kind, b = meeting->other.quantity->kind;
	bool strength = strcmp(meeting->quantity, "strength") == 0;

	if (strcmp(kind_si(a), kind_si(b)) == 0)
		return;
	for (size_t i = 0; i < 2 && !meeting->missing.reason; i++) {
		bool done = strength ? strength_to_mass(scene, sides[i], &meeting->missing)
			: is_content(a) && is_content(b)
			? content_to_mass(sides[i])
			: flow_to_mass(scene, scene->item, sides[i], &meeting->through, &meeting->missing);
		if (!done && !meeting->missing.reason)
			meeting->missing.reason = arena_format(table_arena(scene->table),
				"%s of %s is stated as %s and as %s, which cannot be compared", meeting->quantity,
				scene->item->tag, meeting->used.quantity->written, meeting->other.quantity->written);
	}
}

static struct meeting meeting_of(
	const struct scene *scene, const char *name, const struct quantity *used, const struct quantity *other)
{
	bool gas = item_is(scene->item, "gas");
	struct meeting meeting = {.item = scene->item,
		.quantity = name,
		.operating_case = scene->operating_case,
		.used = side_of(scene->item, name, used),
		.other = side_of(scene->item, name, other),
		.through = "",
		.why = "it is stated first",
		.sorts = slips_of_kind(other->kind, gas)};

	meeting.one_document = same_document(&meeting.used, &meeting.other) && *used->document;
	if (kind_is_number(used->kind) && kind_is_number(other->kind) && !used->owed && !other->owed)
		to_one_basis(scene, &meeting);
	return meeting;
}

/* ---- restatements ---- */

static struct scene scene_in(struct table *table, const struct item *item, int operating_case)
{
	return (struct scene){.table = table, .into = table, .item = item, .operating_case = operating_case};
}

static enum truth compare_in(
	struct table *table, const struct statement *statement, int operating_case, struct meeting *meeting)
{
	const struct quantity *used = table_stated(table, statement->item, operating_case, statement->name);
	struct scene scene = scene_in(table, statement->item, operating_case);

	if (!used || used == statement->quantity)
		return YES;
	*meeting = meeting_of(&scene, statement->name, used, statement->quantity);
	meeting_read(table, meeting);
	return meeting_agrees(meeting);
}

/* The value of the case alone, or NULL. */
static const struct quantity *of_case(const struct table *table, const struct statement *statement, int operating_case)
{
	const struct quantity *value = table_stated(table, statement->item, operating_case, statement->name);
	const struct quantity *plain = table_stated(table, statement->item, EVERY_CASE, statement->name);

	return value != plain ? value : NULL;
}

/* The first case that states a value of its own with which the statement agrees, or EVERY_CASE. */
static int case_that_agrees(struct table *table, const struct statement *statement)
{
	struct meeting meeting;

	for (int c = 0; c < (int)table_case_count(table); c++)
		if (of_case(table, statement, c) && compare_in(table, statement, c, &meeting) == YES)
			return c;
	return EVERY_CASE;
}

static const char *hint_of_case(struct table *table, int operating_case)
{
	return operating_case == EVERY_CASE
		? NULL
		: arena_format(table_arena(table), "the value of %s stated without its case",
			  table_case(table, operating_case)->title);
}

/* What does not change with the case is the same in each that states it. */
static void compare_in_each(struct table *table, const struct statement *statement, const struct quantity *plain)
{
	struct meeting meeting;

	for (int c = 0; c < (int)table_case_count(table); c++) {
		const struct quantity *own = of_case(table, statement, c);
		if (own && !plain->of_normal && compare_in(table, statement, c, &meeting) != YES)
			meeting_put(table, &meeting, table_case(table, c)->title, NULL);
	}
}

/* The first case that states a value: the one which a statement of no case speaks of, where there is no plain value. */
static int first_stated(const struct table *table, const struct statement *statement)
{
	for (int c = 0; c < (int)table_case_count(table); c++)
		if (of_case(table, statement, c))
			return c;
	return EVERY_CASE;
}

static void compare_without_case(struct table *table, const struct statement *statement)
{
	struct meeting meeting;
	const struct quantity *plain = table_stated(table, statement->item, EVERY_CASE, statement->name);
	bool filled = plain == statement->quantity; /* there is no plain value but this */
	int at = filled ? first_stated(table, statement) : EVERY_CASE;

	if (filled && at == EVERY_CASE)
		return;
	if (compare_in(table, statement, at, &meeting) != YES) {
		int other = case_that_agrees(table, statement);
		if (!filled || other == EVERY_CASE)
			meeting_put(table, &meeting, at == EVERY_CASE ? "" : table_case(table, at)->title,
				hint_of_case(table, other));
	} else if (plain) {
		compare_in_each(table, statement, plain);
	}
}

/* A second <in> of one case, or another document on that case. */
static void compare_of_case(struct table *table, const struct statement *statement)
{
	struct meeting meeting;
	int c = statement->operating_case;

	if (compare_in(table, statement, c, &meeting) != YES)
		meeting_put(table, &meeting, table_case(table, c)->title, NULL);
}

/* ---- a loading beside its parts ---- */

static bool is_of_case(const struct scene *scene, const char *name)
{
	const struct table *table = scene->table;

	return scene->operating_case > 0 &&
		table_stated(table, scene->item, scene->operating_case, name) !=
		table_stated(table, scene->item, EVERY_CASE, name);
}

/* The sum and the stated loading are of one document where all three are. */
static void loading_beside_parts(const struct scene *scene)
{
	const struct table *table = scene->table;
	const struct quantity *loading = table_stated(table, scene->item, scene->operating_case, "loading"),
			      *h2s = table_stated(table, scene->item, scene->operating_case, "h2s"),
			      *co2 = table_stated(table, scene->item, scene->operating_case, "co2");
	if (!item_is(scene->item, "stream") || !is_number(h2s) || !is_number(co2) || !loading || loading->owed ||
		loading->known == UNKNOWN)
		return;
	if (scene->operating_case != EVERY_CASE && !is_of_case(scene, "loading") && !is_of_case(scene, "h2s") &&
		!scene_states_case(scene, scene->item, "co2"))
		return;
	const struct quantity *sum = scene_get(scene, "loading-by-parts");
	if (!sum || sum->known == UNKNOWN)
		return;
	struct meeting meeting = {.item = scene->item,
		.quantity = "loading",
		.operating_case = scene->operating_case,
		.used = side_of(scene->item, "h2s and co2", sum),
		.other = side_of(scene->item, "loading", loading),
		.through = "the sum of both",
		.why = "every equilibrium rests on the two",
		.sorts = slips_of_kind(KIND_LOADING, false)};
	meeting.used.printed = quantity_half_digit(h2s) + quantity_half_digit(co2);
	meeting.one_document =
		strcmp(loading->document, h2s->document) == 0 && strcmp(h2s->document, co2->document) == 0;
	meeting_read(table, &meeting);
	if (meeting_agrees(&meeting) == NO)
		meeting_put(scene->into, &meeting,
			scene->operating_case < 0 ? "" : table_case(table, scene->operating_case)->title, NULL);
}

void restated_compute(struct table *table)
{
	size_t count;
	const struct statement *all = table_statements(table, &count);

	for (size_t i = 0; i < count; i++)
		if (all[i].restated && all[i].operating_case == EVERY_CASE)
			compare_without_case(table, &all[i]);
		else if (all[i].restated)
			compare_of_case(table, &all[i]);
	scene_each(table, loading_beside_parts);
}
