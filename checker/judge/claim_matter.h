/* The closed list of claims in words and the rules that answer each (matters.def). */
#ifndef LEANRICH_CLAIM_MATTER_H
#define LEANRICH_CLAIM_MATTER_H

#include <stdbool.h>
#include <stddef.h>

struct claim_matter {
	const char *word, *rules; /* ids and prefixes of families, separated by spaces */
	const char *moot, *moot_why;
};

const struct claim_matter *claim_matter_row(size_t i); /* NULL after the last */
bool claim_matter_names_rule(const struct claim_matter *matter, const char *id);

#endif
