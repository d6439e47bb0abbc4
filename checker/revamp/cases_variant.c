#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "compute/scene.h"
#include "resolve/resolve.h"
#include "resolve/service.h"
#include "revamp/cases.h"
#include "revamp/headroom.h"

/*
 * A made case as a further operating case of a variant: `<in case="solved-..." temperature="52.31 degC"/>` in each
 * element.
 */

struct override {
	const struct element *element;
	const char *name, *written;
};

struct overrides {
	struct arena *arena;
	struct override *rows;
	size_t count, capacity;
};

/*
 * The element that gives what differs in one case, as the schema has it; NULL: the element has none, or not this
 * attribute.
 */
static const struct vocabulary_element *case_element(const struct element *element, const char *name)
{
	const struct vocabulary_element *in = vocabulary_child(element->meaning, "in");
	return in && vocabulary_attribute(in, name) ? in : NULL;
}

static void override(struct overrides *to, const struct element *element, const char *name, const char *written)
{
	if (!element || !written || !case_element(element, name))
		return;
	for (size_t i = 0; i < to->count; i++)
		if (to->rows[i].element == element && strcmp(to->rows[i].name, name) == 0)
			return;
	to->rows = arena_grow(to->arena, to->rows, to->count, &to->capacity, sizeof *to->rows);
	to->rows[to->count++] = (struct override){element, name, written};
}

/* ---- values ---- */

/* As written, times the factor, to five digits. */
static const char *scaled(struct arena *arena, const char *written, double factor)
{
	enum { DIGITS = 5 };
	double number = strtod(written + strspn(written, " <>=\u2264\u2265"), NULL);
	if (!(fabs(number) > 0))
		return variant_scaled(arena, written, factor);
	char rounded[64];
	snprintf(rounded, sizeof rounded, "%.*g", DIGITS, number * factor);
	return variant_scaled(arena, written, strtod(rounded, NULL) / number);
}

/*
 * As the package wrote it, in its own unit; a loading as a bare number. NULL: it does not change, or cannot be
 * written.
 */
static const char *written_as(struct arena *arena, const struct solved_value *value, const char *own)
{
	const double alike = 1e-4, kelvin = 0.005;
	if (!isfinite(value->value))
		return NULL;
	if (value->kind == KIND_TEMPERATURE)
		return fabs(value->value - value->stated) < kelvin
			? NULL
			: arena_format(arena, "%.2f degC", quantity_in(value->value, KIND_TEMPERATURE, "degC"));
	if (fabs(value->value - value->stated) <= alike * fabs(value->stated))
		return NULL;
	if (own && value->stated > 0)
		return scaled(arena, own, value->value / value->stated);
	bool bare = value->kind == KIND_LOADING || value->kind == KIND_RATIO;
	return bare ? arena_format(arena, "%.6g", value->value) : NULL;
}

static void override_values(struct overrides *to, const struct element *unit, const struct solved_case *row)
{
	for (size_t i = 0; i < row->value_count; i++) {
		const struct solved_value *value = &row->values[i];
		const struct element *element = resolve_element(unit, value->of);
		const char *own = element ? element_attribute(element, value->name) : NULL;
		if (element)
			override(to, element, value->name, written_as(to->arena, value, own));
	}
}

/* ---- flows ---- */

/* By what the flow of an item is multiplied. */
static double factor_of(const struct table *table, const struct item *item, const struct solved_case *row)
{
	const char *service = table_word(table, item, 0, "service"), *role = table_word(table, item, 0, "role");
	if (service_is(service, SERVICE_CIRCULATED) || item_is(item, "flash-drum"))
		return row->circulation;
	if (text_same(service, "reflux"))
		return row->reflux;
	if (text_same(service, "steam") || text_same(service, "condensate") || item_is(item, "reboiler"))
		return row->steam;
	if (text_same(service, "acid gas") || text_same(role, "acid gas"))
		return row->overhead;
	if (item_is_any(item, "gas hydrocarbon-feed") || service_is(service, SERVICE_GAS))
		return row->feed;
	return 1;
}

static bool is_heat(const char *name)
{
	return text_has_word("duty", name);
}

/* What flows make larger or smaller, as headroom has it; duties are among the values. */
static void override_flows(
	struct overrides *to, const struct element *unit, const struct table *table, const struct solved_case *row)
{
	struct driven_list driven = headroom_driven(to->arena, unit, table, DRIVER_THROUGHPUT);
	for (size_t i = 0; i < driven.count; i++) {
		const struct driven *value = &driven.rows[i];
		const struct item *item = resolve_item(table, value->element);
		if (*value->operating_case || element_is(value->element, "stated") || is_heat(value->name) || !item)
			continue;
		double factor = factor_of(table, item, row);
		if (factor > 0 && fabs(factor - 1) > 1e-4)
			override(to, value->element, value->name,
				scaled(to->arena, value->written, pow(factor, value->exponent)));
	}
}

/* ---- the site ---- */

static const struct element *basis_of(const struct element *unit)
{
	return element_child(unit, "basis");
}

static void override_site(struct overrides *to, const struct element *unit, const struct solved_case *row)
{
	const struct element *basis = basis_of(unit);
	if (!basis)
		return;
	if (isfinite(row->air))
		override(to, basis, "air-temperature",
			arena_format(to->arena, "%.2f degC", quantity_in(row->air, KIND_TEMPERATURE, "degC")));
	if (isfinite(row->water))
		override(to, basis, "water-temperature",
			arena_format(to->arena, "%.2f degC", quantity_in(row->water, KIND_TEMPERATURE, "degC")));
}

/* ---- elements ---- */

static struct element *new_element(
	struct arena *arena, const struct vocabulary_element *meaning, struct place place, size_t attributes)
{
	struct element *element = arena_alloc(arena, sizeof *element);
	*element = (struct element){.meaning = meaning,
		.attributes = arena_alloc(arena, (attributes + 1) * sizeof *element->attributes),
		.text = "",
		.place = place};
	return element;
}

static void set(struct element *element, struct attribute *rows, const char *name, const char *written)
{
	const struct vocabulary_attribute *meaning = vocabulary_attribute(element->meaning, name);
	if (meaning)
		rows[element->attribute_count++] =
			(struct attribute){.meaning = meaning, .written = written, .place = element->place};
}

static const struct element *case_declared(
	struct arena *arena, const struct element *basis, const char *id, const char *title)
{
	struct element *element = new_element(arena, vocabulary_child(basis->meaning, "case"), basis->place, 2);
	struct attribute *rows = arena_alloc(arena, 3 * sizeof *rows);
	element->attributes = rows;
	set(element, rows, "id", id);
	set(element, rows, "title", title);
	return element;
}

/* All overrides of one element, as one child of it; those are marked as done. */
static void add_overrides(struct variant *variant, struct overrides *to, size_t first, const char *id)
{
	const struct element *of = to->rows[first].element;
	size_t count = 1;
	for (size_t i = first; i < to->count; i++)
		count += to->rows[i].element == of;
	struct element *element = new_element(variant->arena, vocabulary_child(of->meaning, "in"), of->place, 0);
	struct attribute *rows = arena_alloc(variant->arena, (count + 1) * sizeof *rows);
	element->attributes = rows;
	set(element, rows, "case", id);
	for (size_t i = first; i < to->count; i++)
		if (to->rows[i].element == of) {
			set(element, rows, to->rows[i].name, to->rows[i].written);
			to->rows[i].element = NULL;
		}
	variant_add(variant, of, element);
}

static const struct element *with_solved(struct arena *arena, const struct element *unit, const struct table *table,
	const struct element *basis, const struct solved_case *row)
{
	struct variant variant = variant_in(arena);
	struct overrides overrides = {.arena = arena};
	variant_add(&variant, basis, case_declared(arena, basis, row->id, row->title));
	override_site(&overrides, unit, row);
	override_values(&overrides, unit, row);
	override_flows(&overrides, unit, table, row);
	for (size_t i = 0; i < overrides.count; i++)
		if (overrides.rows[i].element)
			add_overrides(&variant, &overrides, i, row->id);
	return variant_build(arena, &variant, unit);
}

/* The first case must be there by name, or a made one would be the first. */
static const struct element *with_base(
	struct arena *arena, const struct element *unit, const struct table *table, const char *base)
{
	struct variant variant = variant_in(arena);
	const struct element *basis = basis_of(unit);
	if (basis && element_child(basis, "case"))
		return unit;
	if (!basis) {
		variant_add(
			&variant, unit, new_element(arena, vocabulary_child(unit->meaning, "basis"), unit->place, 0));
		unit = variant_build(arena, &variant, unit);
		variant = variant_in(arena);
		basis = basis_of(unit);
	}
	variant_add(&variant, basis, case_declared(arena, basis, base, table_case(table, 0)->title));
	return variant_build(arena, &variant, unit);
}

void cases_build(struct arena *arena, const struct table *table, struct cases *cases)
{
	const struct element *unit = with_base(arena, cases->unit, table, cases->base);
	const struct element *basis = basis_of(unit);
	for (size_t i = 0; i < cases->count; i++) {
		struct solved_case *row = &cases->rows[i];
		if (row->stated || row->why)
			continue;
		row->operating_case = (int)table_case_count(table);
		row->variant = with_solved(arena, unit, table, basis, row);
	}
}
