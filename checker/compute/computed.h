/*
 * The quantities that resolving and computing add to what a description states (computed.def): what each is, on which kinds of
 * item and from which names. The table declares; it computes nothing. The suite holds it against the working of every design.
 */
#ifndef LEANRICH_COMPUTED_H
#define LEANRICH_COMPUTED_H

#include <stdbool.h>
#include <stddef.h>

struct computed {
	const char *name; /* "momentum-flux" */
	const char *kind; /* kinds of quantity, separated by spaces: "momentum-flux" */
	const char *on;	  /* kinds of item and classes of them: "@metal stream" */
	const char *from; /* names, of another item with its kind: "velocity stream.density"; "" */
	const char *what;
	bool stated; /* an attribute that a designer is asked for, calculated where it is not stated */
};

/* In the order of their names, in one array; NULL: no more. */
const struct computed *computed_row(size_t i);
size_t computed_count(void);

/* The i-th name that nobody is asked for, since it follows from others; NULL: no more. */
const char *computed_name(size_t i);

/* The kinds of item of a class, separated by spaces: of "@metal"; NULL: no such class. */
const char *computed_class(const char *name);

/* Is it calculated for this kind of item? With `alone`, only where the row names the kind itself, not a class. */
bool computed_is_on(const struct computed *row, const char *kind, bool alone);

/* Is it calculated from this attribute of this kind of item (or from its family)? */
bool computed_reads(const struct computed *row, const char *kind, const char *attribute);

/* The row of what is only ever calculated for this kind of item; NULL: it is an attribute of it, or no such name. */
const struct computed *computed_only(const char *kind, const char *name);

#endif
