/*
 * The circuit of the amine as the package connects it, in one operating case: which streams are one flow at several places, where
 * streams meet or part, what exchanges heat with what.
 *
 * Connections come from what equipment names (lean, rich, inlet, outlet, suction, discharge ...), from `from` and `to` of streams,
 * and from the network. Streams on both ends of what only passes the solution on (a side of an exchanger, a cooler, a pump, a
 * filter) have one amine flow and one pair of loadings; only a split leaves their temperature as it is too. Nothing here
 * reads a number. What cannot be connected is left out and said in `notes`; nothing is fatal.
 */
#ifndef LEANRICH_FLOWSHEET_H
#define LEANRICH_FLOWSHEET_H

#include "resolve/table.h"

#define NO_STREAM ((size_t)-1)

enum junction_sort {
	JUNCTION_ABSORBER,
	JUNCTION_TREATER,
	JUNCTION_FLASH,
	JUNCTION_MIX,
	JUNCTION_SPLIT,
	JUNCTION_REGENERATOR
};

/* A stream of amine. Streams with the same class share that quantity. */
struct passing {
	const struct item *stream;
	size_t amine, loading, temperature;
	bool connected; /* to any junction or exchange */
};

struct stream_list {
	size_t *at; /* indices of passing streams */
	size_t count;
};

struct junction {
	const struct item *item;
	enum junction_sort sort;
	struct stream_list in, out;
	const struct item *gas_in, *gas_out; /* gas or hydrocarbon; NULL: none named */
};

/* Heat from the hot to the cold side; a cooler has no cold side of amine. Indices of passing streams or NO_STREAM. */
struct exchange {
	const struct item *item;
	size_t hot_in, hot_out, cold_in, cold_out;
};

struct flowsheet {
	struct passing *streams;
	size_t stream_count;
	struct junction *junctions;
	size_t junction_count;
	struct exchange *exchanges;
	size_t exchange_count;
	const char **notes;
	size_t note_count;
};

struct flowsheet flowsheet_of(struct arena *arena, const struct table *table, int operating_case);

#endif
