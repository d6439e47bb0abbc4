#include "solvent.h"

#include <math.h>
#include <string.h>

#include "chemistry/properties.h"
#include "chemistry/salts.h"

static const struct item *the_solvent(const struct scene *scene)
{
	return table_sole(scene->table, "solvent");
}

struct input solvent_or_stream(
	const struct scene *scene, const struct item *stream, const char *symbol, const char *name)
{
	const struct item *solvent = the_solvent(scene);
	if (scene_get_of(scene, stream, name) || !solvent)
		return scene_input_of(scene, stream, symbol, name);
	return scene_input_of(scene, solvent, symbol, name);
}

static const char *word_of_solvent(const struct scene *scene, const char *name)
{
	const struct item *solvent = the_solvent(scene);
	return solvent ? table_word(scene->table, solvent, scene->operating_case, name) : NULL;
}

bool solvent_amine(const struct scene *scene, enum amine *amine)
{
	const char *word = word_of_solvent(scene, "amine");
	return word && amine_find(word, amine);
}

double solvent_mass_fraction(const struct quantity *strength, enum amine amine)
{
	if (!is_number(strength))
		return (double)NAN;
	return strength->kind == KIND_CONCENTRATION ? property_mass_fraction(amine, strength->si) : strength->si;
}

static const char *add_second(const struct scene *scene, struct solution_input *out)
{
	enum amine second;
	const char *word = word_of_solvent(scene, "second-amine");
	if (!word)
		return NULL;
	if (!amine_find(word, &second))
		return "the second amine of the solvent is not one whose chemistry is known";
	struct input strength = scene_input_of(scene, the_solvent(scene), "w", "second-strength");
	out->mass_fraction[second] += solvent_mass_fraction(strength.quantity, second);
	return isnan(out->mass_fraction[second]) ? strength.quantity->reason : NULL;
}

/* Anions by name; what a total of salts leaves beyond them is taken as salts_assumed_anion(). */
static void add_salts(const struct scene *scene, struct solution_input *out)
{
	const struct item *solvent = the_solvent(scene);
	double named = 0;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *item = table_item(scene->table, i);
		if (strcmp(item->kind, "anion") != 0 || item->parent != solvent)
			continue;
		const char *name = table_word(scene->table, item, scene->operating_case, "name");
		const struct quantity *content = scene_get_of(scene, item, "content");
		const struct anion_row *anion = name ? anion_find(name) : NULL;
		if (!anion || !is_number(content) || strcmp(kind_si(content->kind), "kg/kg") != 0)
			continue;
		salts_add(out, anion, content->si);
		named += content->si;
	}
	const struct quantity *total = scene_get_of(scene, solvent, "salts-on-solution");
	if (is_number(total) && total->si > named)
		salts_add_unnamed(out, total->si - named);
}

const char *solvent_solution(const struct scene *scene, const struct item *stream, struct solution_input *out)
{
	enum amine amine;
	*out = (struct solution_input){0};
	if (!the_solvent(scene))
		return "the solvent is not described";
	if (!solvent_amine(scene, &amine))
		return "the amine of the solvent is not stated, or not one whose chemistry is known";
	struct input strength = solvent_or_stream(scene, stream, "w", "strength");
	out->mass_fraction[amine] = solvent_mass_fraction(strength.quantity, amine);
	if (isnan(out->mass_fraction[amine]))
		return strength.quantity->known == UNKNOWN ? strength.quantity->reason
							   : "the strength is stated as a bound only";
	const char *missing = add_second(scene, out);
	if (!missing)
		add_salts(scene, out);
	return missing;
}

double solvent_iron(const struct scene *scene)
{
	const double kg_per_m3_of_amine = 1000; /* where iron is stated by volume: 5 % either way */
	const struct quantity *iron = scene_get_of(scene, the_solvent(scene), "iron");
	if (!is_number(iron) || !(iron->si > 0))
		return (double)NAN;
	return iron->kind == KIND_MASS_CONCENTRATION ? iron->si / kg_per_m3_of_amine : iron->si;
}

bool solvent_activated(const struct scene *scene)
{
	const struct quantity *piperazine = scene_get_of(scene, the_solvent(scene), "piperazine");
	const char *activated = word_of_solvent(scene, "activated");
	return (is_number(piperazine) && piperazine->si > 0) || (activated && strcmp(activated, "yes") == 0);
}
