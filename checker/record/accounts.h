/*
 * Published failures beside a finding: which of the accounts of accounts.def are nearest to it, what is alike and what is not.
 *
 * An account is told beside a finding of one of its matters, where at least one more thing is alike, and more is alike than
 * unlike. Nearest is the one with most alike, then with least unlike, then with least that is not known here, then the first of
 * the list: counts without weights, which anybody can repeat. Words are alike when they are the same (of a metal the family; of a part the kind of what it is in counts
 * too), numbers when they lie within a quarter of the larger, temperatures within 15 K, one-sided ones on the side that the account
 * tells. What is not stated on one side is neither; a bound is not known. Nothing is judged: no verdict rests on likeness.
 */
#ifndef LEANRICH_ACCOUNTS_H
#define LEANRICH_ACCOUNTS_H

#include "judge/judge.h"

enum compared {
#define COMPARED(code, name, quantity, of, kind) COMPARED_##code,
#include "record/accounts.def"
	COMPARED_COUNT
};

struct compared_row {
	const char *name, *quantity, *of;
	enum kind kind;
};

struct account {
	const char *name, *matters, *happened, *source, *clause; /* source: key; clause: "" where there is none */
	const char *said[COMPARED_COUNT];			 /* NULL: the account does not state it */
};

struct likeness {
	const struct account *account;
	const struct source *source;
	const char *alike, *unlike, *unknown; /* in words, separated by "; "; unknown: not stated here; "": nothing */
	size_t alike_count, unlike_count, unknown_count;
};

enum { NEAREST_AT_MOST = 2 };

struct nearest {
	const struct finding *finding;
	struct likeness rows[NEAREST_AT_MOST]; /* the nearest first */
	size_t count;
};

extern const struct compared_row compared_rows[COMPARED_COUNT];

/* The i-th account; NULL after the last. */
const struct account *account_at(size_t index);

/* Is it told beside findings of this matter? */
bool account_is_on(const struct account *account, const char *matter);

/* An account whose source the catalogue does not hold is left out. */
struct nearest accounts_nearest(struct arena *arena, const struct table *table, const struct catalogue *catalogue,
	const struct finding *finding);

#endif
