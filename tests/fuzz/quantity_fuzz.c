/*
 * A written value: the first byte says what is accepted, the rest is the text. What is taken must be a number within the
 * bounds of physics of a kind that was asked for, and must be read back as itself from how it is shown.
 */
#include <math.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/arena.h"
#include "base/count.h"
#include "base/problem.h"
#include "quantity/quantity.h"
#include "resolve/pipe.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const double barometric = 101325; /* Pa, as a site at sea level has it */

static const struct {
	double least, largest;
} bounds[] = {
#define KIND(code, name, si, shown, second, least, largest) {least, largest},
#include "quantity/kinds.def"
#undef KIND
};

/* As the schema accepts them: a flow by mass or by volume, salts on any basis, and each kind alone. */
static const struct accepted several[] = {
	{{KIND_MASS_FLOW, KIND_LIQUID_FLOW, KIND_MOLAR_FLOW, KIND_GAS_FLOW}, 4},
	{{KIND_MASS_FRACTION, KIND_MOLE_FRACTION, KIND_TRACE, KIND_GAS_TRACE, KIND_GAS_MASS_CONTENT}, 5},
	{{KIND_HARDNESS_ROCKWELL, KIND_HARDNESS_BRINELL, KIND_HARDNESS_VICKERS}, 3},
	{{KIND_RATIO, KIND_SHARE, KIND_COUNT}, 3},
};
enum { SEVERAL = COUNT(several) };

static struct accepted accepted_by(uint8_t first)
{
	unsigned choice = first % (SEVERAL + (unsigned)KIND_WORD);
	if (choice < SEVERAL)
		return several[choice];
	return (struct accepted){{(enum kind)(choice - SEVERAL)}, 1};
}

static void expect(bool holds, const char *what, const struct quantity *value)
{
	if (holds)
		return;
	fprintf(stderr, "%s: '%s' became %g %s\n", what, value->written, value->si, kind_name(value->kind));
	abort();
}

/* Four digits are shown: half a unit of the last of them, on the scale with an offset too. */
static bool reads_back(struct arena *arena, const struct quantity *value)
{
	struct problems problems = {.arena = arena};
	struct accepted same = {{value->kind}, 1};
	struct quantity again;
	const char *shown = quantity_show_si(arena, value->si, value->kind, kind_unit(value->kind));
	double in_unit = quantity_in(value->si, value->kind, kind_unit(value->kind));
	if (!quantity_parse(
		    arena, shown, "value", same, barometric, (struct place){.file = "shown"}, &problems, &again))
		return fabs(value->si - bounds[value->kind].least) <= 1e-3 * fabs(value->si) ||
			fabs(value->si - bounds[value->kind].largest) <= 1e-3 * fabs(value->si);
	double shown_in_unit = quantity_in(again.si, value->kind, kind_unit(value->kind));
	return fabs(shown_in_unit - in_unit) <= 1e-3 * fabs(in_unit) + 1e-12;
}

static void check(struct arena *arena, const struct accepted *accepted, const struct quantity *value)
{
	bool asked_for = false;
	for (size_t i = 0; i < accepted->count; i++)
		asked_for = asked_for || accepted->kinds[i] == value->kind;
	expect(asked_for, "a kind that is not accepted", value);
	expect(isfinite(value->si) && isfinite(value->uncertainty), "not a finite number", value);
	expect(value->si >= bounds[value->kind].least && value->si <= bounds[value->kind].largest,
		"outside the bounds of physics", value);
	expect(value->known == STATED, "not stated", value);
	quantity_show(arena, value, NULL);
	quantity_show_both(arena, value);
	expect(reads_back(arena, value), "not read back from how it is shown", value);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	if (!size)
		return 0;
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	struct place place = {.file = "fuzz.xml", .line = 1, .column = 1};
	struct accepted accepted = accepted_by(data[0]);
	const char *written = arena_copy_span(&arena, (const char *)data + 1, size - 1);
	struct quantity value;
	if (quantity_parse(&arena, written, "value", accepted, barometric, place, &problems, &value))
		check(&arena, &accepted, &value);
	else if (problems.count != 1)
		abort(); /* one fault, one message */
	struct pipe pipe;
	const char *pipe_word = pipe_size_parse(written, place, &problems);
	const char *schedule = pipe_schedule_parse(written, place, &problems);
	for (size_t i = 0; pipe_word && i < pipe_schedule_count(); i++)
		if (pipe_find(pipe_word, pipe_schedule(i), &pipe) && !(pipe.bore > 0 && pipe.bore < pipe.outside))
			abort(); /* a pipe without a bore */
	if (schedule)
		pipe_find("NPS 6", schedule, &pipe);
	for (size_t i = 0; i < problems.count; i++)
		problem_line(&problems, &problems.rows[i]);
	arena_release(&arena);
	return 0;
}
