#include "reconcile/reconcile.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/parallel.h"
#include "reconcile/stated.h"
#include "reconcile/suspects.h"
#include "reconcile/wrong.h"

/* Fewer statements that anything tests are no circuit to speak of. */
static const size_t fewest_testable = 5;

/* One case. Its memory is its own until all are solved. */
struct run {
	struct arena *arena, own;
	bool described; /* there is a circuit to be solved */
	struct plant plant;
	struct stateds stateds;
	struct suspects suspects;
	struct reconciliation out;
};

static const struct stated *stated_with(const struct run *run, size_t row)
{
	for (size_t i = 0; i < run->stateds.count; i++)
		if (run->stateds.rows[i].row == row)
			return &run->stateds.rows[i];
	abort(); /* every statement of the fit was added from this list */
}

static void put_rows(struct run *run)
{
	struct reconciled *rows = arena_alloc(run->arena, (run->suspects.row_count + 1) * sizeof *rows);

	for (size_t i = 0; i < run->suspects.row_count; i++) {
		const struct examined *examined = &run->suspects.rows[i];
		const struct stated *stated = stated_with(run, examined->row);
		rows[i] = (struct reconciled){.statement = stated->statement,
			.stated = stated->statement->quantity->si,
			.value = stated_si(stated, examined->model),
			.score = examined->z / run->suspects.kappa,
			.redundancy = examined->redundancy,
			.smallest = stated->linear ? examined->smallest : exp(examined->smallest) - 1,
			.linear = stated->linear,
			.testable = examined->testable,
			.weak = examined->weak};
		run->out.testable += examined->testable;
	}
	run->out.rows = rows;
	run->out.count = run->suspects.row_count;
}

static struct accused accused_of(const struct run *run, const struct suspect *suspect, const struct member *member)
{
	const struct stated *stated = stated_with(run, member->row);
	struct wrong wrong = {.table = run->plant.table,
		.stated = stated,
		.operating_case = run->plant.operating_case,
		.bias = member->bias,
		.sigma = suspect->kappa * sqrt(suspect->variance)};

	return (struct accused){.statement = stated->statement,
		.stated = stated->statement->quantity->si,
		.closing = stated_si(stated, member->closing),
		.slip = wrong_slip(run->arena, &wrong)};
}

/* Of those that nothing else separates, one that a known slip explains goes first. */
static void put_slip_first(struct accused *accused, size_t count)
{
	for (size_t i = 1; i < count && !accused[0].slip; i++)
		if (accused[i].slip) {
			struct accused first = accused[i];
			memmove(accused + 1, accused, i * sizeof *accused);
			accused[0] = first;
		}
}

static void put_accusations(struct run *run)
{
	struct accusation *all = arena_alloc(run->arena, (run->suspects.found_count + 1) * sizeof *all);

	for (size_t i = 0; i < run->suspects.found_count; i++) {
		const struct suspect *suspect = &run->suspects.found[i];
		struct accused *accused = arena_alloc(run->arena, (suspect->member_count + 1) * sizeof *accused);
		for (size_t k = 0; k < suspect->member_count; k++)
			accused[k] = accused_of(run, suspect, &suspect->members[k]);
		if (!suspect->of_group)
			put_slip_first(accused, suspect->member_count);
		all[i] = (struct accusation){.accused = accused,
			.count = suspect->member_count,
			.common = suspect->of_group,
			.conflict = suspect->conflict,
			.score = suspect->score};
	}
	run->out.accusations = all;
	run->out.accusation_count = run->suspects.found_count;
}

static void put_notes(struct run *run)
{
	size_t count = run->plant.sheet.note_count + run->stateds.left_out_count;
	const char **notes = arena_alloc(run->arena, (count + 1) * sizeof *notes);

	for (size_t i = 0; i < run->plant.sheet.note_count; i++)
		notes[i] = run->plant.sheet.notes[i];
	for (size_t i = 0; i < run->stateds.left_out_count; i++)
		notes[run->plant.sheet.note_count + i] = run->stateds.left_out[i];
	run->out.notes = notes;
	run->out.note_count = count;
}

static void put_undetermined(struct run *run)
{
	const char **names = arena_alloc(run->arena, (run->plant.unknown_count + 1) * sizeof *names);

	for (size_t i = 0; i < run->plant.unknown_count; i++)
		if (!run->suspects.determined[i])
			names[run->out.undetermined_count++] = run->plant.unknowns[i].name;
	run->out.undetermined = names;
}

static void prepare(struct run *run, struct table *table, int operating_case)
{
	run->arena = &run->own;
	run->out.operating_case = operating_case;
	run->described = plant_new(run->arena, table, operating_case, &run->plant, &run->out.why_not);
	if (run->described) {
		run->stateds = stated_of(&run->plant);
		plant_start(&run->plant);
		stated_add(&run->plant, &run->stateds);
		plant_add_balances(&run->plant);
	}
	put_notes(run);
}

/* Arithmetic on what was prepared: it looks at no table. */
static void solve(size_t index, void *data)
{
	struct run *run = &((struct run *)data)[index];

	if (run->described)
		run->suspects = suspects_find(run->arena, run->plant.fit);
}

static void finish(struct run *run)
{
	if (!run->described)
		return;
	if (!isfinite(run->suspects.first.objective)) {
		run->out.why_not = "the balances cannot be evaluated at the stated values";
		return;
	}
	put_rows(run);
	run->out.estimates = estimates_of(&run->plant, run->suspects.determined);
	if (run->out.testable < fewest_testable) {
		run->out.why_not = "too little is stated for this case to test one value against another";
		return;
	}
	run->out.converged = run->suspects.first.converged;
	run->out.iterations = run->suspects.first.iterations;
	run->out.objective = run->suspects.first.objective;
	run->out.scatter = run->suspects.kappa;
	run->out.unknowns = run->plant.unknown_count;
	run->out.balances = fit_row_count(run->plant.fit) - run->stateds.count - FACTORS;
	if (run->suspects.sure) /* what was not solved accuses nobody */
		put_accusations(run);
	put_undetermined(run);
}

static struct reconciliation end(struct arena *arena, struct run *run)
{
	finish(run);
	arena_adopt(arena, &run->own);
	return run->out;
}

struct reconciliation reconcile_case(struct arena *arena, struct table *table, int operating_case)
{
	struct run run = {.described = false};

	prepare(&run, table, operating_case);
	solve(0, &run);
	return end(arena, &run);
}

struct reconciliations reconcile_all(struct arena *arena, struct table *table)
{
	size_t count = table_case_count(table), steady = 0;
	struct reconciliation *cases = arena_alloc(arena, count * sizeof *cases);
	struct run *runs = arena_alloc(arena, count * sizeof *runs);

	for (size_t i = 0; i < count; i++)
		if (!table_case(table, (int)i)->upset)
			prepare(&runs[steady++], table, (int)i);
	parallel_each(steady, solve, runs);
	for (size_t i = 0; i < steady; i++)
		cases[i] = end(arena, &runs[i]);
	return (struct reconciliations){cases, steady};
}
