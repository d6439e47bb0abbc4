/*
 * The plant as it is piped: what is connected with what, and what stands between. One graph for the whole unit, of every fluid.
 *
 * A node is a piece of equipment, one side of an exchanger, one end of a pump, a line, a place where streams part or meet, or a point
 * of a run (no item). A run is all that lies between two pieces of equipment: the streams and lines that name both as their ends,
 * by `from` and `to`, else by the references of the equipment (lean, inlet, suction ...) and the network. Where a letdown or control
 * valve, or a pump, stands in a run, the run has two points, upstream and downstream of it, and a line hangs on that of its side:
 * by its `place`, as the holder of the valve upstream, else by its pressure; else on both, perhaps. Where the pressures of two
 * vessels differ by more than friction and height and nothing is described between them, a device is taken to stand there (NULL).
 *
 * Where the flowsheet of the balances (reconcile/flowsheet) asks which streams are one flow, this asks what pressure goes where. It
 * reads operating pressures for what is said above and judges nothing. What cannot be connected is left out.
 *
 * For relief: JOINT_DEVICE joints are what gas can blow through (one for each valve, with the node on either side); flood from the
 * `to` of a joint with PASS_DOWN to find the vessels that receive it, and from its `from` with PASS_UP for those that feed it. For
 * reverse flow walk from a pump's discharge downstream to the vessel, and from its suction upstream.
 */
#ifndef LEANRICH_PIPING_H
#define LEANRICH_PIPING_H

#include "resolve/table.h"

#define NO_NODE ((size_t)-1)

enum piping_end { PIPING_WHOLE, PIPING_SUCTION, PIPING_DISCHARGE };

struct piping_node {
	const struct item *item; /* NULL: a point of a run */
	enum piping_end end;
};

enum joint_sort {
	JOINT_OPEN,    /* nothing between, but for block valves that stand open */
	JOINT_PERHAPS, /* open, if the item lies on this side of a device: the package does not say */
	JOINT_UNSURE, /* open, unless a pressure that is owed or only a bound holds a device apart: `device` is the stream or vessel */
	JOINT_DEVICE, /* a letdown or control valve, or what holds the pressures apart */
	JOINT_PUMP    /* from suction to discharge */
};

/* In the direction of flow. */
struct joint {
	size_t from, to;
	enum joint_sort sort;
	const struct item *device; /* of JOINT_DEVICE the valve, of JOINT_PUMP the pump; NULL: none is described */
	const struct item *block;  /* a block or shut-off valve that is described there, or NULL */
};

struct piping {
	struct piping_node *nodes;
	size_t node_count;
	struct joint *joints;
	size_t joint_count;
};

struct piping piping_of(struct arena *arena, const struct table *table);

/* NO_NODE: it is not connected with anything. */
size_t piping_find(const struct piping *piping, const struct item *item, enum piping_end end);

/* A vessel, tank or battery limit: has a pressure of its own, and a relief or a venting to hold it. */
bool piping_is_vessel(const struct item *item);

/* What a flood passes; open joints always, in both directions unless PASS_UP or PASS_DOWN restricts it to one. */
enum piping_pass {
	PASS_PERHAPS = 1,
	PASS_DEVICES = 2, /* with the flow, never against it */
	PASS_UP = 4,
	PASS_DOWN = 8,
	PASS_NO_BLOCK = 16, /* not where a block valve is described */
	PASS_UNSURE = 32
};

/*
 * Which nodes are reached from `start`, a flag for each node in the arena. A vessel is reached and not passed, a pump is never
 * passed; `start` is passed whatever it is.
 */
bool *piping_flood(struct arena *arena, const struct piping *piping, size_t start, unsigned passes);

#endif
