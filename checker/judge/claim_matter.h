/* The closed list of claims in words and the rules that answer each (matters.def). */
#ifndef LEANRICH_CLAIM_MATTER_H
#define LEANRICH_CLAIM_MATTER_H

#include <stdbool.h>
#include <stddef.h>

struct rule;

struct claim_matter {
	const char *word, *rules; /* matters of rules, and ids, separated by | */
	const char *moot, *moot_why;
};

const struct claim_matter *claim_matter_row(size_t i); /* NULL after the last */
bool claim_matter_names_rule(const struct claim_matter *matter, const struct rule *rule);

#endif
