/*
 * A command line as a table: what each option is called and where its value goes. Reading one writes nothing, reads no file
 * and ends nothing: it tells why the command cannot be run as asked.
 */
#ifndef LEANRICH_OPTIONS_H
#define LEANRICH_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* A row with `text` takes a value, one with `flag` none. */
struct option_row {
	const char *name;
	const char **text;
	bool *flag;
};

/* An option that may be given several times, with a value each time: `values` is in the arena of the command line. */
struct option_list {
	const char *name;
	const char **values;
	size_t count, capacity;
	size_t most; /* times it may be given; 0: any number */
};

/* Starts with argc and argv, and with `lists` where there are any; the arena holds them and what is said of a fault. */
struct command_line {
	struct arena arena;
	char **argv; /* the first word is the command; a NULL follows the last */
	int argc;
	int first; /* after reading: the first argument that is no option */
	struct option_list *lists;
	size_t list_count;
	bool help;	   /* asked for: nothing else counts */
	const char *fault; /* what is wrong, or NULL */
};

/*
 * "--name VALUE" and "--name=VALUE", the name in full or as far as it is no other's. False when help is asked for, when a word is no
 * option of these or short for several, when a value is missing or not wanted, and when an option with a value is given more often than
 * it may: once, unless it is one of the lists. Arguments are moved after the options.
 */
bool options_read(struct command_line *line, const struct option_row *rows, size_t count);

/* Says what is wrong; false, always. */
bool options_fault(struct command_line *line, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The end of a command that cannot be run: prints help or fault, gives back the arena, returns the exit status. */
int options_end(struct command_line *line, const char *help);

/* A whole number from `least` to `most`; false for anything else. */
bool options_whole(const char *text, size_t least, size_t most, size_t *number);

#endif
