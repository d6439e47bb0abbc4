/*
 * The runs of the piping (piping.h): which streams and lines lie between which pieces of equipment, what stands in them, and on which
 * side of it each line lies.
 */
#ifndef LEANRICH_PIPING_RUNS_H
#define LEANRICH_PIPING_RUNS_H

#include "resolve/piping.h"

/* A few nodes, without repetition. */
enum { PIPING_ENDS = 16 };
struct piping_ends {
	size_t at[PIPING_ENDS];
	size_t count;
};

struct piping_builder {
	struct arena *arena;
	const struct table *table;
	struct piping piping;
	size_t nodes, joints; /* capacities */
	const struct item *
		*passing; /* what streams pass through, in the order of the description; NULL: not gathered yet */
	size_t passing_count;
	const struct piping_ends **known; /* of streams, by twice their index and one more for where they come from */
};

size_t piping_node(struct piping_builder *builder, const struct item *item, enum piping_end end);
void piping_join(struct piping_builder *builder, struct joint joint);
void piping_ends_put(struct piping_ends *ends, size_t node);

/*
 * Where a stream comes from and where it goes; several: nothing says which (piping_ends.c). Of an item that passes it on, `carrier`
 * tells the side: a stream, or a line.
 */
struct piping_ends piping_ends_of_stream(struct piping_builder *builder, const struct item *stream, bool from);
struct piping_ends piping_ends_of_line(struct piping_builder *builder, const struct item *line, bool from);

/* Direct connections between what passes a stream on one after the other: pump and cooler, header and pump. */
void piping_series(struct piping_builder *builder);

/* The equipment that a node is or is a side of. */
const struct item *piping_equipment(const struct piping_builder *builder, size_t node);

void piping_runs(struct piping_builder *builder);

#endif
