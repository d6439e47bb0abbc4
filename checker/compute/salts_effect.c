#include "compute/salts_effect.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "compute/solvent.h"

/* The first lean there is, at the top of an absorber where one is described. */
static struct stream_solution first_lean(const struct scene *scene)
{
	struct items absorbers = table_of_kind(scene->table, "absorber"),
		     streams = table_of_kind(scene->table, "stream");

	for (size_t i = 0; i < absorbers.count; i++) {
		const struct item *lean = table_follow(scene->table, absorbers.rows[i], scene->operating_case, "lean");
		if (item_is(lean, "stream"))
			return solvent_state(scene, absorbers.rows[i], PLACE_TOP);
	}
	for (size_t i = 0; i < streams.count; i++) {
		const char *service = table_word(scene->table, streams.rows[i], scene->operating_case, "service");
		if (service && strcmp(service, "lean") == 0)
			return solvent_state(scene, streams.rows[i], PLACE_STREAM);
	}
	return (struct stream_solution){.count = 0};
}

static double ph_shift(const struct solution_input *with, void *unused)
{
	struct solution_input clean = *with;
	struct solution salted, fresh;

	(void)unused;
	memset(clean.anion, 0, sizeof clean.anion);
	clean.cation = 0;
	return solution_solve(&terms_own, with, &salted) && solution_solve(&terms_own, &clean, &fresh)
		? salted.ph - fresh.ph
		: (double)NAN;
}

static double h2s_factor(const struct solution_input *with, void *unused)
{
	struct solution_input clean = *with;
	struct solution salted, fresh;

	(void)unused;
	memset(clean.anion, 0, sizeof clean.anion);
	clean.cation = 0;
	return solution_solve(&terms_own, with, &salted) && solution_solve(&terms_own, &clean, &fresh)
		? salted.partial_pressure[GAS_H2S] / fresh.partial_pressure[GAS_H2S]
		: (double)NAN;
}

/* At room temperature, where a laboratory measures it. */
static double ph_of_clean(const struct solution_input *with, void *unused)
{
	const double room = 298.15; /* K */
	struct solution_input clean = *with;
	struct solution fresh;

	(void)unused;
	memset(clean.anion, 0, sizeof clean.anion);
	clean.cation = 0;
	clean.temperature = room;
	return solution_solve(&terms_own, &clean, &fresh) ? fresh.ph : (double)NAN;
}

static void clean_beside_measured(const struct scene *scene)
{
	if (!item_is(scene->item, "solvent") || !scene_get(scene, "ph"))
		return;
	struct stream_solution lean = first_lean(scene);
	double value = lean.known ? ph_of_clean(&lean.state, NULL) : (double)NAN, error = 0;
	if (!isfinite(value))
		return;
	error = solvent_spread(&lean, ph_of_clean, NULL);
	solvent_weigh(&lean, ph_of_clean, NULL, &error);
	scene_compute(scene, "ph-of-clean", KIND_PH, value, error, FORMULA_PH_OF_CLEAN, lean.inputs, lean.count);
}

static void effect_of_salts(const struct scene *scene)
{
	static const struct {
		const char *name;
		double (*value)(const struct solution_input *, void *);
	} rows[] = {{"ph-by-salts", ph_shift}, {"h2s-pressure-by-salts", h2s_factor}};

	if (!item_is(scene->item, "solvent") || !scene_get(scene, "bound-amine"))
		return;
	const struct stream_solution lean = first_lean(scene);
	for (size_t i = 0; i < COUNT(rows) && lean.count > 0; i++) {
		struct stream_solution weighed = lean;
		double value = (double)NAN, error = 0;

		if (lean.known) {
			value = rows[i].value(&lean.state, NULL);
			error = solvent_spread(&lean, rows[i].value, NULL);
			solvent_weigh(&weighed, rows[i].value, NULL, &error);
		}
		if (!lean.known || isfinite(value))
			scene_compute(scene, rows[i].name, KIND_RATIO, value, error, FORMULA_EFFECT_OF_SALTS,
				weighed.inputs, weighed.count);
	}
}

void salts_effect_compute(struct table *table)
{
	scene_each(table, effect_of_salts);
	scene_each(table, clean_beside_measured);
}
