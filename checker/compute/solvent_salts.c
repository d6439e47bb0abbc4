#include "compute/solvent_salts.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/analyses.h"
#include "compute/solvent.h"

const double STRENGTH_BASIS_MATTERS = 0.01;

static const struct item *the_solvent(const struct scene *scene)
{
	return table_sole(scene->table, "solvent");
}

static const char *solvent_says(const struct scene *scene, const char *name)
{
	const struct item *solvent = the_solvent(scene);

	return solvent ? table_word(scene->table, solvent, scene->operating_case, name) : NULL;
}

static bool says(const struct scene *scene, const char *name, const char *word)
{
	const char *said = solvent_says(scene, name);

	return said && strcmp(said, word) == 0;
}

/* ---- contents ---- */

static struct ion_part *add_part(const struct scene *scene, struct solvent_ions *ions, struct input input, double each)
{
	struct ion_part *part = &ions->parts[ions->count++];
	const struct quantity *content = input.quantity;

	*part = (struct ion_part){.input = input,
		.equivalents = solvent_content(content) * each,
		.uncertainty = solvent_content(content) * relative_uncertainty(content) * fabs(each)};
	if (!ions->missing.reason && content->known == UNKNOWN)
		ions->missing = quantity_missing(content);
	if (!ions->missing.reason && content->bound == BOUND_ABOVE)
		ions->missing = input_missing(table_arena(scene->table), &input);
	return part;
}

static void add_anion(
	const struct scene *scene, struct solvent_ions *ions, struct input input, const struct anion_row *anion)
{
	const struct quantity *content = input.quantity;
	double stated = content->known == UNKNOWN ? 0 : solvent_content(content);

	add_part(scene, ions, input, anion ? anion->charge / anion->molar_mass : (double)NAN);
	if (!anion)
		return;
	salt_ions_add(&ions->most, anion, stated);
	salt_ions_add(&ions->least, anion, is_bound(content) ? 0 : stated);
}

/* The anions listed under the solvent, each named after itself. True: chloride is one of them. */
static bool add_listed(const struct scene *scene, struct solvent_ions *ions)
{
	bool chloride = false;
	struct items anions = table_of_kind(scene->table, "anion");
	const struct item *holder = analyses_anions(scene, the_solvent(scene));

	for (size_t i = 0; i < anions.count; i++) {
		const struct item *item = anions.rows[i];
		const char *name = table_word(scene->table, item, scene->operating_case, "name");

		(void)scene_get_of(scene, item, "content"); /* that of an earlier analysis is looked at too */
		if (item->parent != holder)
			continue;
		const struct anion_row *anion = name ? anion_find(name) : NULL;
		struct input content = scene_input_of(scene, item, "c", "content");

		if (!anion)
			content.quantity = quantity_lacking(table_arena(scene->table), KIND_TRACE,
				item_lacks(table_arena(scene->table), item, "name"));
		add_anion(scene, ions, content, anion);
		chloride = chloride || (anion && strcmp(anion->name, "chloride") == 0);
	}
	return chloride;
}

/* Stated or owed: what is owed leaves the ions unknown. */
static bool is_said(const struct scene *scene, const char *name)
{
	return scene_get_of(scene, the_solvent(scene), name) != NULL;
}

/* ---- a total ---- */

/* One reading of a total: kg per kg of solution, and kg per equivalent; NaN: a mass of ions. */
struct reading {
	double mass, each;
};

/* The amine as stated: kg in a kg of solution, and kg/mol in the mean. */
struct stated_amine {
	double mass, molar_mass;
};

static struct stated_amine stated_amine(const struct scene *scene)
{
	double fraction[AMINE_COUNT], sum = 0;

	solvent_fractions(scene, fraction);
	for (size_t i = 0; i < AMINE_COUNT; i++)
		sum += fraction[i];
	double mass = sum > 0 ? sum : (double)NAN;
	return (struct stated_amine){mass, mass / salts_amine(fraction)};
}

/* What the total says it is counted as; `unsaid` where it does not. */
static double equivalent_mass(const struct scene *scene, const struct stated_amine *stated, double unsaid)
{
	const char *as = solvent_says(scene, "salts-as");
	const struct anion_row *anion = as ? anion_find(as) : NULL;
	enum amine amine;

	if (!as)
		return unsaid;
	if (strcmp(as, "amine") == 0)
		return stated->molar_mass;
	if (amine_find(as, &amine))
		return amine_rows[amine].molar_mass;
	return anion ? anion->molar_mass / anion->charge : (double)NAN;
}

/* The reading with the most bound amine, and that with the least. */
static struct reading most_of(const struct scene *scene, const struct stated_amine *stated, double total)
{
	bool of_amine = says(scene, "salts-basis", "amine");

	return (struct reading){total * (of_amine ? stated->mass : 1),
		equivalent_mass(scene, stated, of_amine ? stated->molar_mass : (double)NAN)};
}

static struct reading least_of(const struct scene *scene, const struct stated_amine *stated, double total)
{
	bool of_solution = says(scene, "salts-basis", "solution");

	return (struct reading){
		total * (of_solution ? 1 : stated->mass), equivalent_mass(scene, stated, stated->molar_mass)};
}

/* What the total leaves beyond the anions named, counted as singly charged. */
static void add_remainder(const struct scene *scene, struct solvent_ions *ions)
{
	struct input input = scene_input_of(scene, the_solvent(scene), "s", "salts");
	double total = solvent_content(input.quantity);
	struct stated_amine stated = stated_amine(scene);
	struct reading most = most_of(scene, &stated, total), least = least_of(scene, &stated, total);
	double left = salts_remainder(&ions->most, most.mass, most.each);
	double without = salts_remainder(&ions->least, most.mass, most.each);

	if (left <= 0 && input.quantity->bound != BOUND_ABOVE)
		return;
	struct ion_part *part = add_part(scene, ions, input, left / total);
	part->uncertainty += left - salts_remainder(&ions->most, least.mass, least.each);
	ions->most.anion[0] += left;
	ions->least.anion[0] += is_bound(input.quantity) ? 0 : without;
}

/* ---- sodium and potassium ---- */

/* At most `free` eq per kg of them are beside what is known. */
static void add_cations(const struct scene *scene, struct solvent_ions *ions, double free)
{
	static const char *const names[] = {"sodium", "potassium"}, *const symbols[] = {"c_Na", "c_K"};

	for (size_t i = 0; i < COUNT(names); i++) {
		if (!is_said(scene, names[i]))
			continue;
		const struct cation_row *row = cation_find(names[i]);
		struct input input = scene_input_of(scene, the_solvent(scene), symbols[i], names[i]);
		double stated = solvent_content(input.quantity);
		double counted = isnan(stated) ? 0 : fmin(stated, free * row->molar_mass);
		add_part(scene, ions, input, stated > 0 ? -counted / stated / row->molar_mass : -1 / row->molar_mass);
		free -= counted / row->molar_mass;
		salt_ions_add_cation(&ions->most, row, is_bound(input.quantity) ? 0 : counted);
		salt_ions_add_cation(&ions->least, row, counted);
	}
}

struct solvent_ions solvent_ions(const struct scene *scene)
{
	struct solvent_ions ions = {.count = 0};
	const struct item *solvent = the_solvent(scene);

	if (!solvent)
		return ions;
	ions.parts = arena_alloc(
		table_arena(scene->table), (table_of_kind(scene->table, "anion").count + 4) * sizeof *ions.parts);
	bool chloride_listed = add_listed(scene, &ions), listed = ions.count > 0;
	if (!chloride_listed && is_said(scene, "chloride"))
		add_anion(scene, &ions, scene_input_of(scene, solvent, "c_Cl", "chloride"), anion_find("chloride"));
	bool total = is_said(scene, "salts");
	if (total)
		add_remainder(scene, &ions);
	if (ions.count > 0)
		add_cations(scene, &ions, listed || total ? (double)INFINITY : salt_ions_equivalents(&ions.most));
	return ions;
}

/* ---- what the strength counts ---- */

bool solvent_strength_is_free(const struct scene *scene)
{
	return says(scene, "strength-basis", "free");
}

double solvent_all_amine(double stated, const struct salt_ions *ions, bool is_free)
{
	return stated + (is_free ? fmax(0, salt_ions_net(ions)) : 0);
}

/* Says which reading was taken; where they differ, by how much. */
static void put_basis(const struct scene *scene, double stated, double free)
{
	struct arena *arena = table_arena(scene->table);
	const char *reason = "not stated: free and total amine differ by less than 1 %";

	if (free > stated * (1 + STRENGTH_BASIS_MATTERS))
		reason = arena_format(arena,
			"not stated: taken as total amine, which gives the least free amine; as free amine the total "
			"would be %s %% higher",
			number_show(arena, 100 * (free / stated - 1)));
	if (!scene_stated(scene, "strength-basis"))
		scene_put_word(scene, "strength-basis", KIND_WORD, "total", reason);
}

/* Of the amine named first. */
static void put_total_strength(const struct scene *scene, double ratio)
{
	struct input inputs[] = {input_rises(scene_input(scene, "w", "strength")),
		input_rises(scene_input(scene, "b", "bound-amine")), scene_input(scene, "basis", "strength-basis")};
	bool litre = inputs[0].quantity->known != UNKNOWN && inputs[0].quantity->kind == KIND_CONCENTRATION;
	enum amine amine;

	if (!solvent_amine(scene, &amine))
		return;
	double mass = solvent_mass_fraction(inputs[0].quantity, amine) * ratio;
	double error = mass * relative_uncertainty(inputs[0].quantity);
	if (ratio > 1)
		scene_compute(
			scene, "total-strength", KIND_MASS_FRACTION, mass, error, FORMULA_TOTAL_STRENGTH, inputs, 3);
	else if (litre)
		scene_compute(
			scene, "total-strength", KIND_MASS_FRACTION, mass, error, FORMULA_STRENGTH_BY_MASS, inputs, 1);
	else
		scene_take(scene, "total-strength", scene->item, "strength");
}

/* ---- the solvent ---- */

/* By volume as 1000 kg/m3, like every analysis; a share of the amine times the amine. */
static void salts_on_solution(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	const char *basis = solvent_says(scene, "salts-basis");
	struct input inputs[] = {
		input_rises(scene_input(scene, "s_amine", "salts")), input_rises(scene_input(scene, "w", "strength"))};
	const struct quantity *salts = inputs[0].quantity;
	bool by_volume = salts->kind == KIND_MASS_CONCENTRATION;

	if (!basis || salts->known == UNKNOWN) {
		scene_put(scene, "salts-on-solution",
			salts->known == UNKNOWN
				? quantity_lacking(arena, KIND_MASS_FRACTION, quantity_missing(salts))
				: quantity_unknown(arena, KIND_MASS_FRACTION,
					  "salts-basis of the solvent is not stated (by mass of solution or of "
					  "amine)"));
		return;
	}
	bool of_solution = strcmp(basis, "solution") == 0;
	if (of_solution && !by_volume) {
		scene_take(scene, "salts-on-solution", scene->item, "salts");
		return;
	}
	double share = solvent_content(salts) * (of_solution ? 1 : stated_amine(scene).mass);
	double error = relative_uncertainty(salts) + (of_solution ? 0 : relative_uncertainty(inputs[1].quantity));
	scene_compute(scene, "salts-on-solution", KIND_TRACE, share, share * error, FORMULA_SALTS_ON_SOLUTION, inputs,
		of_solution ? 1 : 2);
}

/* How far the sum goes with each content that is only a bound. */
static void weigh_parts(struct solvent_ions *ions, double *sum, double *error)
{
	for (size_t i = 0; i < ions->count; i++) {
		*sum += ions->parts[i].equivalents;
		*error += ions->parts[i].uncertainty;
	}
	for (size_t i = 0; i < ions->count; i++) {
		struct ion_part *part = &ions->parts[i];

		if (part->input.quantity->bound == BOUND_BELOW)
			input_weigh(&part->input, *sum, *sum - part->equivalents, error);
		else if (part->input.quantity->bound == BOUND_ABOVE)
			part->input.effect = part->equivalents < 0 ? EFFECT_FALLS : EFFECT_RISES;
	}
}

static size_t inputs_of_bound(const struct scene *scene, const struct solvent_ions *ions, struct input *inputs)
{
	size_t count = 0;

	for (size_t i = 0; i < ions->count; i++)
		inputs[count++] = ions->parts[i].input;
	inputs[count++] = input_falls(scene_input(scene, "w", "strength"));
	if (solvent_blended_with(scene->table))
		inputs[count++] = input_falls(scene_input(scene, "w_2", "second-strength"));
	if (solvent_strength_is_free(scene))
		inputs[count++] = scene_input(scene, "basis", "strength-basis");
	return count;
}

/* Every anion takes its charge, net of sodium and potassium, in amine away from the gases. */
static void bound_amine(const struct scene *scene)
{
	enum amine amine;
	struct solvent_ions ions = solvent_ions(scene);
	double fraction[AMINE_COUNT], sum = 0, error = 0;

	if (ions.count == 0 || !solvent_amine(scene, &amine))
		return;
	struct input *inputs = arena_alloc(table_arena(scene->table), (ions.count + 3) * sizeof *inputs);
	weigh_parts(&ions, &sum, &error);
	size_t count = inputs_of_bound(scene, &ions, inputs);
	solvent_fractions(scene, fraction);
	double stated = salts_amine(fraction), free = stated + fmax(0, sum);
	double all = solvent_strength_is_free(scene) ? free : stated;
	const struct quantity *bound = scene_compute(
		scene, "bound-amine", KIND_SHARE, sum / all, error / all, FORMULA_BOUND_AMINE, inputs, count);
	if (bound->known != UNKNOWN)
		put_basis(scene, stated, free);
}

/* The most amine there may be: that of the strength, with what salts bind where it is free amine or may be. */
static void total_strength(const struct scene *scene)
{
	const struct quantity *bound = scene_get(scene, "bound-amine");
	double fraction[AMINE_COUNT], ratio = 1;

	solvent_fractions(scene, fraction);
	if (is_number(bound)) {
		struct solvent_ions ions = solvent_ions(scene);
		double stated = salts_amine(fraction);
		ratio = solvent_all_amine(stated, &ions.most, true) / stated;
	}
	bool said = table_stated(scene->table, scene->item, scene->operating_case, "strength-basis") != NULL;
	if (!solvent_strength_is_free(scene) && (said || !(ratio > 1 + STRENGTH_BASIS_MATTERS)))
		ratio = 1;
	put_total_strength(scene, ratio);
}

/* The amine that salts bind, by mass of the solution. */
static void bound_content(const struct scene *scene)
{
	struct input bound[] = {
		input_rises(scene_input(scene, "b", "bound-amine")), input_rises(scene_input(scene, "w", "strength"))};
	struct solvent_ions ions = solvent_ions(scene);
	double fraction[AMINE_COUNT];

	if (!scene_get(scene, "bound-amine"))
		return;
	solvent_fractions(scene, fraction);
	double stated = salts_amine(fraction);
	double mass = stated_amine(scene).mass *
		solvent_all_amine(stated, &ions.most, solvent_strength_is_free(scene)) / stated;
	scene_compute(scene, "bound-amine-content", KIND_MASS_FRACTION, fmax(0, bound[0].quantity->si) * mass,
		bound[0].quantity->uncertainty * mass, FORMULA_BOUND_CONTENT, bound, 2);
}

void solvent_salts_compute(const struct scene *scene)
{
	salts_on_solution(scene);
	bound_amine(scene);
	bound_content(scene);
	total_strength(scene);
}
