/*
 * One change that a remedy names, made on the description in which its finding departs.
 *
 * An attribute is changed wherever the description states it of the item: in itself, in its operating cases and by other
 * documents, since one of them left as it was would contradict the change. Of a number with a side (change_value.h) only the statements
 * that are not on it are changed. What the item has from what it is part of, or from a rule of the owner, it states itself from then on.
 */
#ifndef LEANRICH_REMEDY_H
#define LEANRICH_REMEDY_H

#include "judge/judge.h"
#include "read/element.h"
#include "revamp/variant.h"

/* A part of a change that only says that something is provided or has been shown (remedy_proof.def). */
struct remedy_part {
	const char *says; /* "blow-by-relief: yes" */
	const char *item; /* tag */
	const char *by;	  /* what has to show it: "a study" */
};

struct remedy {
	const struct rule_change *change;
	const char *says; /* what is changed: "pwht of 6-P-3107: yes"; the same words are the same change */
	const char *sort; /* the same without whose it is: "pwht: yes" */
	const char *item; /* tag of the finding's item */
	const struct remedy_part *stated;
	size_t stated_count;
	bool works;	      /* something is built, fitted or run otherwise as well, not only stated */
	struct variant edits; /* of the elements of the description */
	const char *fault;    /* why it cannot be made, as words that can follow "because"; or NULL */
};

/* What a remedy is made on: a description as it is written, resolved and computed. */
struct remedy_site {
	const struct element *unit;
	const struct table *table;
	struct evaluator *evaluator;
};

/* By what a `yes` of the attribute is shown: "a study"; "" where it is work; NULL where the table of them has no such attribute. */
const char *remedy_proof(const char *attribute);

/* `finding`: judged on the table of the site, with its inputs. */
struct remedy remedy_make(struct arena *arena, const struct remedy_site *site, const struct finding *finding,
	const struct rule_change *change);

#endif
