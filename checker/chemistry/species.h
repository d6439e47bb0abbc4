/* The amines, gases, dissolved species and anions of the chemistry, by name. */
#ifndef LEANRICH_SPECIES_H
#define LEANRICH_SPECIES_H

#include <stdbool.h>
#include <stddef.h>

enum amine {
#define AMINE(name, molar_mass, carbamate, terms_of, validated) AMINE_##name,
#include "chemistry/amines.def"
#undef AMINE
	AMINE_COUNT
};

enum gas { GAS_H2S, GAS_CO2, GAS_COUNT };

enum species {
#define SPECIES(code, shown, charge) SPECIES_##code,
#include "chemistry/species.def"
#undef SPECIES
	SPECIES_COUNT
};

struct amine_row {
	const char *name;
	double molar_mass;   /* kg/mol */
	bool carbamate;	     /* forms one */
	enum amine terms_of; /* whose fitted terms it takes */
	bool validated;	     /* these terms were fitted to data of this amine */
};

struct species_row {
	const char *shown;
	int charge;
};

struct anion_row {
	const char *name;
	double molar_mass; /* kg/mol */
	int charge;	   /* 1 or 2, of the negative charge */
};

struct cation_row {
	const char *name;
	double molar_mass; /* kg/mol; charge 1 */
};

extern const struct amine_row amine_rows[AMINE_COUNT];
extern const struct species_row species_rows[SPECIES_COUNT];

bool amine_find(const char *name, enum amine *amine); /* "MDEA"; letters of either case */
size_t anion_count(void);
const struct anion_row *anion_row(size_t i);
const struct anion_row *anion_find(const char *name);	/* NULL: no such anion */
const struct cation_row *cation_find(const char *name); /* "sodium" or "potassium"; NULL: neither */

#endif
