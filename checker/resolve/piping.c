#include "resolve/piping.h"

#include "resolve/piping_runs.h"

bool piping_is_vessel(const struct item *item)
{
	return item_is_any(item,
		"absorber treater flash-drum regenerator reflux-drum knock-out-drum tank sump vessel battery-limit");
}

size_t piping_find(const struct piping *piping, const struct item *item, enum piping_end end)
{
	for (size_t i = 0; item && i < piping->node_count; i++)
		if (piping->nodes[i].item == item && piping->nodes[i].end == end)
			return i;
	return NO_NODE;
}

/* ---- floods ---- */

static bool passes_joint(const struct joint *joint, bool with_flow, unsigned passes)
{
	if ((with_flow && (passes & PASS_UP)) || (!with_flow && (passes & PASS_DOWN)) ||
		((passes & PASS_NO_BLOCK) && joint->block))
		return false;
	switch (joint->sort) {
	case JOINT_OPEN:
		return true;
	case JOINT_PERHAPS:
		return passes & PASS_PERHAPS;
	case JOINT_UNSURE:
		return (passes & PASS_UNSURE) || (with_flow && (passes & PASS_DEVICES));
	case JOINT_DEVICE:
		return with_flow && (passes & PASS_DEVICES);
	case JOINT_PUMP:
		break;
	}
	return false;
}

/* One round over all joints; did it reach anything new? */
static bool spread(const struct piping *piping, size_t start, unsigned passes, bool *reached)
{
	bool more = false;
	for (size_t i = 0; i < piping->joint_count; i++) {
		const struct joint *joint = &piping->joints[i];
		for (int with_flow = 0; with_flow <= 1; with_flow++) {
			size_t here = with_flow ? joint->from : joint->to, there = with_flow ? joint->to : joint->from;
			bool leaves = reached[here] && (here == start || !piping_is_vessel(piping->nodes[here].item));
			if (!leaves || reached[there] || !passes_joint(joint, with_flow, passes))
				continue;
			reached[there] = more = true;
		}
	}
	return more;
}

bool *piping_flood(struct arena *arena, const struct piping *piping, size_t start, unsigned passes)
{
	bool *reached = arena_alloc(arena, (piping->node_count + 1) * sizeof *reached);
	if (start >= piping->node_count)
		return reached;
	reached[start] = true;
	while (spread(piping, start, passes, reached))
		;
	return reached;
}

/* ---- making it ---- */

struct piping piping_of(struct arena *arena, const struct table *table)
{
	struct piping_builder builder = {.arena = arena, .table = table};
	piping_runs(&builder);
	return builder.piping;
}
