/*
 * Options of a command as a table: what each is called and where its value goes.
 */
#ifndef LEANRICH_OPTIONS_H
#define LEANRICH_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

/* A row with `text` takes a value, one with `flag` none. */
struct option_row {
	const char *name;
	const char **text;
	bool *flag;
};

/*
 * Reads the options in `argv`, whose first word is the command; afterwards `optind` is the first argument that is none.
 * --help prints `help`. -1: go on; else the exit status.
 */
int options_read(int argc, char **argv, const struct option_row *rows, size_t count, const char *help);

/* A number in plain decimals; false for anything else. */
bool options_number(const char *text, double *number);

#endif
