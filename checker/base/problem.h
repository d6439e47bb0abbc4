/*
 * The program's own messages about its input: a fault in a design, a rule pack, a profile.
 * They are collected, never printed at once, so that every fault of a file is reported in one go, in the form
 * `file:line:column: code: what is wrong, what is allowed, nearest spelling`.
 * An engineering finding is not a problem: it is a row of the review.
 */
#ifndef LEANRICH_PROBLEM_H
#define LEANRICH_PROBLEM_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* Where in which file something is. Line and column start at 1; 0: the file as a whole. */
struct place {
	const char *file;
	int line, column; /* the column counts characters, not bytes */
};

enum problem_code {
#define PROBLEM(code, name, meaning) PROBLEM_##code,
#include "base/problem.def"
#undef PROBLEM
	PROBLEM_COUNT
};

struct problem {
	enum problem_code code;
	struct place place;
	const char *message;
};

struct problems {
	struct arena *arena;
	struct problem *rows;
	size_t count, capacity;
	bool unreadable; /* at least one is a file that could not be read: exit status 4 rather than 3 */
};

void problem_add(struct problems *problems, enum problem_code code, struct place place, const char *format, ...)
	__attribute__((format(printf, 4, 5)));

/* In the order of file, line and column; the order of discovery decides among equals. */
void problem_sort(struct problems *problems);

/* One line without a newline, in the arena of `problems`. */
const char *problem_line(const struct problems *problems, const struct problem *problem);

#endif
