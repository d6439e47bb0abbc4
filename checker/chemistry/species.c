#include "chemistry/species.h"

#include "base/count.h"
#include "base/text.h"

const struct amine_row amine_rows[AMINE_COUNT] = {
#define AMINE(name, molar_mass, carbamate, terms_of, validated)                                                        \
	{#name, molar_mass, carbamate, AMINE_##terms_of, validated},
#include "chemistry/amines.def"
#undef AMINE
};

const struct species_row species_rows[SPECIES_COUNT] = {
#define SPECIES(code, shown, charge) {shown, charge},
#include "chemistry/species.def"
#undef SPECIES
};

static const struct anion_row anion_rows[] = {
#define ANION(name, molar_mass, charge) {#name, molar_mass, charge},
#include "chemistry/anions.def"
#undef ANION
};

/* IUPAC 2021 atomic weights. */
static const struct cation_row cation_rows[] = {{"sodium", 0.022990}, {"potassium", 0.039098}};

bool amine_find(const char *name, enum amine *amine)
{
	for (size_t i = 0; i < AMINE_COUNT; i++)
		if (text_same_nocase(name, amine_rows[i].name)) {
			*amine = (enum amine)i;
			return true;
		}
	return false;
}

size_t anion_count(void)
{
	return COUNT(anion_rows);
}

const struct anion_row *anion_row(size_t i)
{
	return &anion_rows[i];
}

const struct anion_row *anion_find(const char *name)
{
	for (size_t i = 0; i < anion_count(); i++)
		if (text_same_nocase(name, anion_rows[i].name))
			return &anion_rows[i];
	return NULL;
}

const struct cation_row *cation_find(const char *name)
{
	for (size_t i = 0; i < COUNT(cation_rows); i++)
		if (text_same_nocase(name, cation_rows[i].name))
			return &cation_rows[i];
	return NULL;
}
