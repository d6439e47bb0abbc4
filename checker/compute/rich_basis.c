#include "compute/rich_basis.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "chemistry/constants.h"
#include "compute/balance.h"

/* The two gases of one absorber, from the inputs of its acid-gas-removed: flow, H2S and CO2 of feed and of treated gas. */
static void add_gases(const struct quantity *removed, double gas[GAS_COUNT])
{
	struct balance_sides sides = {.gas = removed->inputs[0].quantity->si};
	double each[GAS_COUNT];

	for (size_t i = 0; i < GAS_COUNT; i++) {
		sides.before[i] = removed->inputs[1 + i].quantity->si;
		sides.after[i] = removed->inputs[1 + GAS_COUNT + i].quantity->si;
	}
	balance_removed(&sides, each);
	for (size_t i = 0; i < GAS_COUNT; i++)
		gas[i] += each[i];
}

static const char *not_comparable(const struct scene *scene, size_t absorbers)
{
	if (table_of_kind(scene->table, "regenerator").count > 1)
		return "there is more than one regenerator";
	if (table_of_kind(scene->table, "treater").count > 0)
		return "what the treaters take up is not known";
	if (absorbers == 0)
		return "no absorber is described";
	return absorbers > RICH_ABSORBERS ? "there are more absorbers than are added up" : NULL;
}

static struct rich_basis gas_taken(const struct scene *scene)
{
	struct items absorbers = table_of_kind(scene->table, "absorber");
	struct rich_basis out = {.not_known = not_comparable(scene, absorbers.count)};

	for (size_t i = 0; !out.not_known && i < absorbers.count; i++) {
		struct input removed = input_rises(scene_input_of(scene, absorbers.rows[i], "G", "acid-gas-removed"));

		out.removed[out.absorbers++] = removed;
		if (is_number(removed.quantity))
			add_gases(removed.quantity, out.gas);
		else
			out.not_known = arena_format(table_arena(scene->table),
				"the acid gas taken out in %s is not known", absorbers.rows[i]->tag);
	}
	if (out.not_known)
		out.gas[GAS_H2S] = out.gas[GAS_CO2] = (double)NAN;
	return out;
}

static const struct quantity *made_of(const struct scene *scene, const struct still *still,
	const struct rich_basis *basis, enum gas gas, double amine, double relative)
{
	struct input inputs[RICH_ABSORBERS + 2];
	size_t count = 0;
	struct input lean = scene_input_of(scene, still->lean, "a_l", gas == GAS_H2S ? "h2s" : "co2");
	double picked = basis->gas[gas] / amine, error = lean.quantity->uncertainty + fabs(picked) * relative;

	inputs[count++] = input_rises(lean);
	inputs[count++] = input_falls(scene_input_of(scene, still->lean, "m", "mass-flow"));
	for (size_t i = 0; i < basis->absorbers; i++) {
		error += fabs(picked) * relative_uncertainty(basis->removed[i].quantity);
		inputs[count++] = basis->removed[i];
	}
	return quantity_computed(table_arena(scene->table), KIND_LOADING, lean.quantity->si + picked, error,
		&formulas[FORMULA_LEAN_PLUS_GAS], inputs, count);
}

/* Does the loading rest on the gas (gas_side.h), since none is stated? */
static bool rests_on_gas(const struct quantity *loading)
{
	if (loading->known == UNKNOWN || loading->kind != KIND_LOADING)
		return false;
	bool by_gas = loading->formula == &formulas[FORMULA_RICH_BY_GAS];
	for (size_t i = 0; i < loading->input_count && !by_gas; i++)
		by_gas = rests_on_gas(loading->inputs[i].quantity);
	return by_gas;
}

struct rich_basis rich_basis_of(const struct scene *scene, const struct still *still, struct stream_solution *feed)
{
	static const char *const symbols[] = {"a_H2S", "a_CO2"};
	struct rich_basis basis = gas_taken(scene);
	double relative = 0;
	double amine = solvent_amine_flow(scene, still->lean, &still->lean_solution, &relative);

	for (size_t i = 0; i < feed->count; i++)
		basis.by_gas = basis.by_gas || rests_on_gas(feed->inputs[i].quantity);
	if (basis.not_known || feed->known || !(amine > 0))
		return basis;
	for (size_t i = 0; i < feed->count; i++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
			if (strcmp(feed->inputs[i].symbol, symbols[gas]) != 0 ||
				feed->inputs[i].quantity->known != UNKNOWN || feed->inputs[i].quantity->owed)
				continue;
			const struct quantity *made = made_of(scene, still, &basis, gas, amine, relative);
			feed->state.loading[gas] = made->si;
			solvent_replace(feed, i, scene_input_is(symbols[gas], "lean plus gas", made));
			basis.by_gas = true;
		}
	return basis;
}

static void put_words(const struct scene *scene, const char *words, const char *heat)
{
	struct arena *arena = table_arena(scene->table);

	scene_put_word(scene, "column-basis", KIND_TEXT, arena_format(arena, "%s%s", words, heat),
		"which statement of the rich solution the column is calculated from");
}

/* The lean loading as stated, else as the column reaches it. */
static struct input lean_loading(const struct scene *scene, const struct still *still, double reached)
{
	struct input stated = scene_input_of(scene, still->lean, "a_l", "loading");

	return is_number(stated.quantity)
		? stated
		: scene_input_is("a_l", "lean loading that the column reaches",
			  quantity_assumed(table_arena(scene->table), KIND_LOADING, reached, 0, "none is stated"));
}

static const struct quantity *put_difference(const struct scene *scene, const struct still *still,
	const struct rich_basis *basis, struct input lean, double amine, double rich, double made)
{
	struct input inputs[RICH_ABSORBERS + 3];
	size_t count = 0;
	double error = lean.quantity->uncertainty;

	inputs[count++] = lean;
	inputs[count++] = scene_input_of(scene, still->feed, "a_r", "loading");
	inputs[count++] = scene_input_of(scene, still->lean, "m", "mass-flow");
	error = hypot(error, inputs[1].quantity->uncertainty);
	error = hypot(error, (made - lean.quantity->si) * relative_uncertainty(inputs[2].quantity));
	for (size_t i = 0; i < basis->absorbers; i++) {
		error = hypot(error, basis->removed[i].quantity->uncertainty / amine);
		inputs[count++] = basis->removed[i];
	}
	return scene_compute(scene, "lean-plus-gas-difference", KIND_SHARE, fabs(made - rich) / fmax(made, rich),
		error / fmax(made, rich), FORMULA_LEAN_PLUS_GAS_APART, inputs, count);
}

static double total(const double gas[GAS_COUNT])
{
	return gas[GAS_H2S] + gas[GAS_CO2];
}

bool rich_basis_put(const struct scene *scene, const struct still *still, const struct rich_basis *basis, double amine,
	double reached, const char *heat, struct solution_input *state)
{
	struct arena *arena = table_arena(scene->table);
	double rich = total(state->loading);

	if (basis->by_gas) {
		put_words(scene, "lean plus gas, since the rich loading is not stated", heat);
		return false;
	}
	if (basis->not_known) {
		put_words(scene,
			arena_format(arena, "rich loading as stated; not compared with lean plus gas, since %s",
				basis->not_known),
			heat);
		return false;
	}
	struct input lean = lean_loading(scene, still, reached);
	double made = lean.quantity->si + total(basis->gas) / amine;
	const struct quantity *apart = put_difference(scene, still, basis, lean, amine, rich, made);
	put_words(scene,
		arena_format(arena, "rich loading as stated, %s; lean plus gas makes %s, %s %s",
			number_show(arena, rich), number_show(arena, made),
			quantity_show_si(arena, fabs(made - rich) / fmax(made, rich), KIND_SHARE, NULL),
			made < rich ? "less" : "more"),
		heat);
	if (!is_number(apart) || !(apart->si > BASIS_APART))
		return false;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		state->loading[gas] *= made / rich;
	return true;
}
