/*
 * Pipe sizes: from "NPS 6", DN 150 or 6" and a schedule to diameters in m.
 *
 * A size and a schedule are known by one canonical word each ("NPS 6", "40"), static, that pipe_size_parse() and
 * pipe_schedule_parse() return; every other function takes those words and finds nothing for others, NULL included.
 * The sizes run from NPS 1/2 to NPS 36 (pipes.def).
 *
 * Walls are nominal: mill tolerance and corrosion allowance are not taken off, and whether a larger pipe of the same
 * schedule holds the pressure is for the designer.
 */
#ifndef LEANRICH_PIPE_H
#define LEANRICH_PIPE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/problem.h"

struct pipe {
	const char *size;	    /* "NPS 6" */
	int diameter_nominal;	    /* 150, of DN 150 */
	const char *schedule;	    /* "40" */
	double outside, wall, bore; /* m; bore is the inside diameter */
};

/* "NPS 1-1/2", 1.5", "6 in", "DN 150" to the canonical size. NULL: one not-a-size problem at `place` names the nearest. */
const char *pipe_size_parse(const char *written, struct place place, struct problems *problems);

/* "40", "Sch 40", "std" to the canonical schedule. NULL: one not-a-size problem at `place`. */
const char *pipe_schedule_parse(const char *written, struct place place, struct problems *problems);

/* False: the size is not made in this schedule. */
bool pipe_find(const char *size, const char *schedule, struct pipe *pipe);

/*
 * The size in the thinnest schedule it is made in, which has the largest bore, or the thickest; outside diameter and DN are those
 * of the size. False: not a size.
 */
bool pipe_thinnest(const char *size, struct pipe *pipe);
bool pipe_thickest(const char *size, struct pipe *pipe);

/*
 * The next larger size a line is laid in, in the same schedule or else in the thinnest schedule whose wall is not less than
 * that of the smaller pipe. False: the pipe is not in the table, or none is larger.
 */
bool pipe_next(const char *size, const char *schedule, struct pipe *larger);

/* The same size in the schedule of its series (stainless or not) whose wall is the next thicker. False: the pipe is not in the table, or none is thicker. */
bool pipe_next_schedule(const char *size, const char *schedule, struct pipe *thicker);

/* The smallest size a line is laid in whose inside diameter in this schedule is at least `bore` m. False: none is. */
bool pipe_smallest_with_bore(double bore, const char *schedule, struct pipe *pipe);

/* The i-th size and schedule as canonical words, for lists and tests. */
size_t pipe_size_count(void);
const char *pipe_size(size_t i);
size_t pipe_schedule_count(void);
const char *pipe_schedule(size_t i);

#endif
