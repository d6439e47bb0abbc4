#include "import/records_composition.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/gas.h"

double component_molar_mass(const char *field)
{
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		if (strcmp(component_rows[i].name, field) == 0)
			return component_rows[i].molar_mass;
	return (double)NAN;
}

static const double STANDARD_ATMOSPHERE = 101325; /* Pa */

enum basis component_basis(const char *unit)
{
	if (!unit ||
		text_has_word(
			"mol% vol% ppmv kmol/h lbmol/h mol/mol mol/h kmol/d Nm3/h Sm3/h mol/s kmol/s mole% % kgmol/h",
			unit))
		return BASIS_MOLES;
	return text_has_word("wt% ppmw kg/h lb/h t/h kg/kg mass% kg/s klb/h kg/d t/d", unit) ? BASIS_MASS : BASIS_NONE;
}

bool component_is_share(const char *unit)
{
	return !unit || text_has_word("mol% vol% ppmv mol/mol mole% wt% ppmw kg/kg mass% %", unit);
}

bool component_is(const struct field_column *column)
{
	return column->field &&
		(strcmp(column->field, "strength") == 0 || isfinite(component_molar_mass(column->field)));
}

const char *component_unit(const struct field_column *column)
{
	return column->rules.unit ? column->rules.unit : column->column->unit;
}

/* The figure with a decimal point and nothing else; NULL where a sign in it could be read either way. */
static const char *plain_figure(struct arena *arena, const char *text, const struct cell_rules *rules)
{
	char *copy = arena_copy(arena, text), *end = copy;
	for (const char *c = text; *c; c++) {
		bool between = c > text && c[-1] >= '0' && c[-1] <= '9' && c[1] >= '0' && c[1] <= '9';
		if (between && (*c == ' ' || *c == '\'' || (rules->thousands && *c == rules->thousands)))
			continue;
		if (*c == (rules->decimal_comma ? '.' : ','))
			return NULL;
		*end++ = *c == ',' ? '.' : *c;
	}
	*end = '\0';
	return copy;
}

bool component_is_dash(const char *text)
{
	return strcmp(text, "-") == 0 || strcmp(text, "--") == 0 || strcmp(text, "–") == 0;
}

/* The number of a component's cell in the unit of its column, NaN when it is none; a dash is nothing of it. */
double component_amount(const struct record *record, const struct field_column *column)
{
	const struct sheet_cell *cell = record_cell(record, column);
	struct package *package = record->sheet->package;
	const char *text =
		cell->kind == SHEET_NUMBER ? cell->text : plain_figure(package->arena, cell->text, &column->rules);
	char *end;
	if (component_is_dash(cell->text))
		return 0;
	double value = text ? strtod(text, &end) : (double)NAN;
	if (!text || end == text || !isfinite(value) || value < 0)
		return (double)NAN;
	end += strspn(end, " ");
	const char *unit = *end ? words_unit(package->arena, package->words, end, true) : NULL;
	bool same = !*end || (unit && text_same(unit, component_unit(column))) ||
		(strcmp(end, "%") == 0 && component_unit(column) && strchr(component_unit(column), '%'));
	return same ? value : (double)NAN;
}

/* Of the components in one unit. Of a mass basis the figures become moles, amine's by its molar mass. */
static struct composition composition(const struct record *record, const char *unit, double amine_mass)
{
	static const char gases[] = "methane ethane propane isobutane butane hydrogen nitrogen";
	struct composition all = {.unit = unit,
		.basis = component_basis(unit),
		.known = true,
		.amine = (double)NAN,
		.water = (double)NAN,
		.h2s = (double)NAN,
		.co2 = (double)NAN};
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (!component_is(column) || !text_same(component_unit(column), unit))
			continue;
		bool amine = strcmp(column->field, "strength") == 0;
		double mass = amine ? amine_mass : component_molar_mass(column->field),
		       value = component_amount(record, column);
		if (isnan(value))
			continue;
		if (all.basis == BASIS_MASS && isfinite(mass))
			value /= mass;
		else if (all.basis == BASIS_MASS)
			all.known = false;
		all.any = true;
		all.sum += value;
		all.mass += value * mass;
		all.gases += text_has_word(gases, column->field) ? value : 0;
		double *part = amine			      ? &all.amine
			: strcmp(column->field, "water") == 0 ? &all.water
			: strcmp(column->field, "h2s") == 0   ? &all.h2s
			: strcmp(column->field, "co2") == 0   ? &all.co2
							      : NULL;
		if (part)
			*part = value;
	}
	return all;
}

/* The first unit in which components are given. */
struct composition composition_first(const struct record *record, double amine_mass)
{
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (!component_is(column) || isnan(component_amount(record, column)) ||
			strcmp(column->field, "strength") == 0)
			continue;
		return composition(record, component_unit(column), amine_mass);
	}
	return (struct composition){
		.any = false, .amine = (double)NAN, .water = (double)NAN, .h2s = (double)NAN, .co2 = (double)NAN};
}

bool composition_is_whole(const struct composition *all)
{
	enum { HUNDRED = 100, MILLION = 1000000 };
	double sum = all->basis == BASIS_MASS ? all->mass : all->sum;
	const double wholes[] = {1, HUNDRED, MILLION};
	for (size_t i = 0; i < COUNT(wholes); i++)
		if (fabs(sum / wholes[i] - 1) < AGREES)
			return true;
	return false;
}

double composition_flow_unit(enum kind kind, const char *unit)
{
	double factor, offset;
	return unit && unit_find(kind, unit, STANDARD_ATMOSPHERE, &factor, &offset) ? factor : (double)NAN;
}

double composition_stated_flow(const struct record *record, enum kind kind, const char *of_case)
{
	double stated = (double)NAN;
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (!column->field || strcmp(column->field, "flow") != 0 || !text_same(column->of_case, of_case))
			continue;
		double flow = component_amount(record, column) * composition_flow_unit(kind, component_unit(column));
		if (!(flow > 0))
			continue;
		if (isfinite(stated) && fabs(flow / stated - 1) > AGREES)
			return (double)NAN;
		stated = flow;
	}
	return stated;
}

/*
 * The moles of the whole stream in the unit of the components' flows: as the sheet states them in any unit, or the
 * sum of the components where they make up the mass that it states. The sum of some says nothing of the whole: NaN.
 */
double composition_moles(const struct record *record, const struct composition *all, const char *of_case)
{
	double unit = composition_flow_unit(all->basis == BASIS_MASS ? KIND_MASS_FLOW : KIND_MOLAR_FLOW, all->unit);
	double moles = composition_stated_flow(record, KIND_MOLAR_FLOW, of_case) / unit,
	       mass = composition_stated_flow(record, KIND_MASS_FLOW, of_case) / unit;
	if (isfinite(mass) && all->mass > (1 + AGREES) * mass)
		return (double)NAN;
	if (isfinite(moles))
		return all->sum > (1 + AGREES) * moles ? (double)NAN : moles;
	return fabs(all->mass / mass - 1) < AGREES ? all->sum : (double)NAN;
}
