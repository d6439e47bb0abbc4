/*
 * How often reconciliation finds the one statement that was spoilt: circuits of simulate.h, one statement at a time, every kind of
 * error, and the same packages unspoilt; and as they are, two errors at once and one that all documents share. Prints a table;
 * exits 1 where a rate misses what is asked for.
 *
 * circuits [packages [seed]]: 200 and 1 unless given.
 */
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "command/commands.h"
#include "read/element.h"
#include "reconcile/reconcile.h"
#include "resolve/resolve.h"
#include "simulate.h"

enum error { NONE, FIVE, TEN, TWENTY, FIFTY, SLIP, COPIED_CASE, ERRORS };

static const struct {
	const char *name;
	double detected, first, set; /* asked for, %; 0: as it is */
} errors[ERRORS] = {{"none", 0, 0, 0}, {"5 %", 0, 0, 0}, {"10 %", 85, 80, 83}, {"20 %", 95, 92, 95}, {"50 %", 0, 0, 0},
	{"unit slip", 95, 90, 94}, {"copied case", 75, 72, 75}};

struct tally {
	size_t tried, detected, first, in_set, named_cause, members;
};

/* Errors that no rate is asked for: two statements at once, and one that all documents share. */
struct together {
	size_t tried, detected, first, all, strangers;
};

/* A package and the same unit's in another case, with and without scatter. */
struct packages {
	struct simulated_package clean, other, exact, other_exact;
};

struct bench {
	const struct vocabulary *vocabulary;
	struct chance chance;
	struct tally testable[ERRORS], all[ERRORS];
	struct together two_small, two_large, everywhere;
	size_t alarms, conflicts;
	double slowest, spent;
	size_t runs, iterations;
};

static double seconds(void)
{
	struct timespec t;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* The package as the program reads it; what is found lives in `arena`. */
static struct reconciliation reviewed(struct bench *bench, const struct simulated_package *package, struct arena *arena)
{
	enum { SIZE = 1 << 17 };
	static char description[SIZE];
	struct problems problems = {.arena = arena};

	if (!simulate_describe(package, description, sizeof description))
		abort();
	const struct element *unit =
		element_parse(arena, "simulated.xml", description, strlen(description), bench->vocabulary, &problems);
	const struct table *resolved = unit ? resolve(arena, unit, &problems) : NULL;
	if (!resolved) {
		for (size_t i = 0; i < problems.count; i++)
			fprintf(stderr, "%s\n", problems.rows[i].message);
		abort();
	}
	double begun = seconds();
	struct reconciliation out = reconcile_case(arena, table_overlay(arena, resolved), 0);
	double spent = seconds() - begun;
	bench->slowest = fmax(bench->slowest, spent);
	bench->spent += spent;
	bench->runs++;
	bench->iterations += (size_t)out.iterations;
	return out;
}

static bool is_it(const struct statement *statement, const struct simulated_value *value)
{
	static const char *const documents[] = {"", "DS", "PFD"};
	bool solvent = strcmp(value->item, "solvent") == 0 && item_is(statement->item, "solvent");

	return (solvent || strcmp(statement->item->tag, value->item) == 0) &&
		strcmp(statement->name, value->attribute) == 0 &&
		strcmp(statement->quantity->document, documents[value->document]) == 0;
}

static double redundancy_of(const struct reconciliation *found, const struct simulated_value *value)
{
	for (size_t i = 0; i < found->count; i++)
		if (is_it(found->rows[i].statement, value))
			return found->rows[i].redundancy;
	return -1;
}

/* ---- spoiling ---- */

static double slipped(struct bench *bench, const struct simulated_value *value)
{
	static const double flow[] = {4.403, 2.2046}, duty[] = {3.412, 1.163, 3.6};
	bool up = chance_uniform(&bench->chance, 0, 1) < 0.5;
	double pick = chance_uniform(&bench->chance, 0, 1), factor = 1;

	switch (value->sort) {
	case SORT_TEMPERATURE:
		return up ? value->value * 1.8 + 32 : (value->value - 32) / 1.8;
	case SORT_PRESSURE:
		return up ? value->value + 1.01325 : fmax(value->value - 1.01325, 0.05);
	case SORT_FLOW:
		factor = strcmp(value->unit, "m3/h") == 0 ? flow[0] : flow[1];
		break;
	case SORT_DUTY:
		factor = duty[(size_t)(pick * 2.999)];
		break;
	case SORT_STRENGTH:
		return value->value *
			(up ? 1.35 : 0.74); /* per cent by mole of something else; no unit slip of its own */
	default:
		factor = 10;
		up = up && value->value * factor < 90; /* a share above one is no value at all, and refused */
	}
	return up ? value->value * factor : value->value / factor;
}

static double wrong_by(const struct simulated_value *value, double share, double sign)
{
	if (value->sort == SORT_TEMPERATURE)
		return value->value + sign * share * 100; /* 10 %: 10 K */
	return value->value * (1 + sign * share);
}

/* The figure of the heat and material balance for the same quantity. */
static const struct simulated_value *balance_figure(
	const struct simulated_package *package, const struct simulated_value *value)
{
	for (size_t i = 0; i < package->count; i++)
		if (package->values[i].document == 0 && strcmp(package->values[i].item, value->item) == 0 &&
			strcmp(package->values[i].attribute, value->attribute) == 0)
			return &package->values[i];
	abort();
}

/* A value that is the same in both cases is no error when it is copied: 5 % or 3 K at least, before any scatter. */
static bool differs(const struct packages *packages, const struct simulated_value *value)
{
	double here = balance_figure(&packages->exact, value)->value,
	       there = balance_figure(&packages->other_exact, value)->value;

	return value->sort == SORT_TEMPERATURE ? fabs(here - there) >= 3 : fabs(log(here / there)) >= 0.05;
}

static void spoil(
	struct bench *bench, enum error error, struct simulated_value *value, const struct simulated_package *other)
{
	static const double shares[ERRORS] = {0, 0.05, 0.10, 0.20, 0.50, 0, 0};
	double sign = chance_uniform(&bench->chance, 0, 1) < 0.5 ? -1 : 1;

	if (error == COPIED_CASE) {
		value->value = balance_figure(other, value)->value;
	} else {
		value->value = error == SLIP ? slipped(bench, value) : wrong_by(value, shares[error], sign);
	}
	simulate_print_value(value);
}

/* ---- what is found ---- */

static void count(struct tally *tally, const struct reconciliation *found, const struct simulated_value *value)
{
	tally->tried++;
	if (found->accusation_count == 0)
		return;
	const struct accusation *first = &found->accusations[0];
	tally->detected++;
	tally->first += is_it(first->accused[0].statement, value);
	tally->members += first->count;
	for (size_t i = 0; i < first->count; i++)
		if (is_it(first->accused[i].statement, value)) {
			tally->in_set++;
			tally->named_cause += first->accused[i].slip != NULL;
			break;
		}
}

static void spoil_one(
	struct bench *bench, enum error error, const struct packages *packages, const struct reconciliation *unspoilt)
{
	static struct simulated_package spoilt;
	struct arena arena = {0};

	spoilt = packages->clean;
	struct simulated_value *value =
		&spoilt.values[(size_t)chance_uniform(&bench->chance, 0, (double)spoilt.count - 1e-6)];
	double redundancy = redundancy_of(unspoilt, value);
	char before[TEXT];
	memcpy(before, value->written, sizeof before);
	bool same = error == COPIED_CASE && !differs(packages, value);
	spoil(bench, error, value, &packages->other);
	bool changed = strcmp(before, value->written) != 0;
	bool whole = strcmp(value->unit, "mol%") == 0 && value->value >= 100; /* refused, not reconciled */
	if (changed && !same && !whole && value->value > 0 && !(value->sort == SORT_TEMPERATURE && value->value < 1)) {
		struct reconciliation found = reviewed(bench, &spoilt, &arena);
		count(&bench->all[error], &found, value);
		if (redundancy >= 0.1)
			count(&bench->testable[error], &found, value);
	}
	arena_release(&arena);
}

/* ---- several at once ---- */

static struct simulated_value *draw(struct bench *bench, struct simulated_package *package)
{
	return &package->values[(size_t)chance_uniform(&bench->chance, 0, (double)package->count - 1e-6)];
}

static bool can_be_spoilt(const struct simulated_value *value)
{
	bool whole = strcmp(value->unit, "mol%") == 0 && value->value >= 80; /* would be refused */

	return !whole && value->value > 0;
}

static bool same_quantity(const struct simulated_value *a, const struct simulated_value *b)
{
	return strcmp(a->item, b->item) == 0 && strcmp(a->attribute, b->attribute) == 0;
}

/* Which of the accusations name what is spoilt, and how many name something else. */
static void count_together(struct together *out, const struct reconciliation *found,
	const struct simulated_value *const *spoilt, size_t count)
{
	size_t named = 0;

	out->tried++;
	out->detected += found->accusation_count > 0;
	for (size_t i = 0; i < count; i++) {
		bool is_named = false;
		for (size_t k = 0; k < found->accusation_count; k++)
			for (size_t m = 0; m < (found->accusations[k].common ? found->accusations[k].count : 1); m++)
				is_named = is_named || is_it(found->accusations[k].accused[m].statement, spoilt[i]);
		named += is_named;
	}
	out->first += named > 0;
	out->all += named == count;
	out->strangers += found->accusation_count > named ? found->accusation_count - named : 0;
}

/* Two statements of different quantities, both of which something tests. */
static void spoil_two(struct bench *bench, struct together *out, enum error error, const struct packages *packages,
	const struct reconciliation *unspoilt)
{
	static struct simulated_package spoilt;
	struct arena arena = {0};

	spoilt = packages->clean;
	struct simulated_value *pair[] = {draw(bench, &spoilt), draw(bench, &spoilt)};
	bool usable = !same_quantity(pair[0], pair[1]);
	for (size_t i = 0; i < 2; i++)
		usable = usable && can_be_spoilt(pair[i]) && redundancy_of(unspoilt, pair[i]) >= 0.1;
	if (!usable)
		return;
	for (size_t i = 0; i < 2; i++)
		spoil(bench, error, pair[i], &packages->other);
	struct reconciliation found = reviewed(bench, &spoilt, &arena);
	count_together(out, &found, (const struct simulated_value *const *)pair, 2);
	arena_release(&arena);
}

/* One figure wrong by as much in every document that states it: named is the quantity, by whichever statement. */
static void spoil_everywhere(
	struct bench *bench, const struct packages *packages, const struct reconciliation *unspoilt)
{
	static struct simulated_package spoilt;
	struct arena arena = {0};
	const struct simulated_value *of[3];
	size_t count = 0;

	spoilt = packages->clean;
	struct simulated_value *value = draw(bench, &spoilt);
	if (!can_be_spoilt(value) || redundancy_of(unspoilt, value) < 0.1)
		return;
	double factor = chance_uniform(&bench->chance, 0, 1) < 0.5 ? 0.8 : 1.2, kelvin = 100 * (factor - 1);
	for (size_t i = 0; i < spoilt.count; i++)
		if (same_quantity(&spoilt.values[i], value)) {
			struct simulated_value *each = &spoilt.values[i];
			each->value = each->sort == SORT_TEMPERATURE ? each->value + kelvin : each->value * factor;
			simulate_print_value(each);
			of[count++] = each;
		}
	if (count < 2)
		return;
	struct reconciliation found = reviewed(bench, &spoilt, &arena);
	count_together(&bench->everywhere, &found, of, count);
	arena_release(&arena);
}

static void try_package(struct bench *bench)
{
	static struct packages packages;
	struct arena arena = {0};
	struct simulated_design design = simulate_draw(&bench->chance),
				other_design = simulate_other_case(&design, &bench->chance);
	struct simulated truth = simulate(&design), other_truth = simulate(&other_design);
	double scatter = exp(chance_uniform(&bench->chance, log(0.005), log(0.02)));

	simulate_package(&truth, scatter, &bench->chance, &packages.clean);
	simulate_package(&other_truth, scatter, &bench->chance, &packages.other);
	simulate_package(&truth, 0, &bench->chance, &packages.exact);
	simulate_package(&other_truth, 0, &bench->chance, &packages.other_exact);
	struct reconciliation found = reviewed(bench, &packages.clean, &arena);
	if (found.why_not) {
		fprintf(stderr, "not reconciled: %s\n", found.why_not);
		abort();
	}
	bench->alarms += found.accusation_count > 0;
	bench->conflicts += found.accusation_count > 0 && found.accusations[0].conflict;
	for (enum error error = FIVE; error < ERRORS; error++)
		spoil_one(bench, error, &packages, &found);
	spoil_two(bench, &bench->two_small, TEN, &packages, &found);
	spoil_two(bench, &bench->two_large, TWENTY, &packages, &found);
	spoil_everywhere(bench, &packages, &found);
	arena_release(&arena);
}

static double share(size_t part, size_t whole)
{
	return whole ? 100.0 * (double)part / (double)whole : 0;
}

static void print_together(const char *what, const struct together *t)
{
	printf("%s: %zu tried, detected %.1f %%, %.1f %% and %.1f %%; others named %.2f a package\n", what, t->tried,
		share(t->detected, t->tried), share(t->first, t->tried), share(t->all, t->tried),
		t->tried ? (double)t->strangers / (double)t->tried : 0);
}

static bool print_rates(const struct bench *bench, size_t packages)
{
	bool enough = share(bench->alarms, packages) <= 5;

	printf("%zu packages; false alarms %.1f %%, of them beyond chance %.1f %%\n", packages,
		share(bench->alarms, packages), share(bench->conflicts, packages));
	printf("%-12s %6s   detected / named first / in the set, %%   asked for   set   cause   all statements\n",
		"error", "tried");
	for (enum error error = FIVE; error < ERRORS; error++) {
		const struct tally *t = &bench->testable[error], *a = &bench->all[error];
		double detected = share(t->detected, t->tried), first = share(t->first, t->tried),
		       in_set = share(t->in_set, t->tried);
		printf("%-12s %6zu   %5.1f / %5.1f / %5.1f   ", errors[error].name, t->tried, detected, first, in_set);
		if (errors[error].detected > 0)
			printf("%3.0f/%2.0f/%2.0f", errors[error].detected, errors[error].first, errors[error].set);
		else
			printf("%9s", "");
		printf("   %4.1f   %4.0f   %5.1f / %5.1f / %5.1f\n",
			t->detected ? (double)t->members / (double)t->detected : 0, share(t->named_cause, t->in_set),
			share(a->detected, a->tried), share(a->first, a->tried), share(a->in_set, a->tried));
		enough = enough && detected >= errors[error].detected && first >= errors[error].first &&
			in_set >= errors[error].set;
	}
	print_together("two of 10 %, any and both of them named", &bench->two_small);
	print_together("two of 20 %, any and both of them named", &bench->two_large);
	print_together("20 % alike in every document, any and all its statements named", &bench->everywhere);
	printf("one circuit, eliminations included: %.1f ms on average, %.1f ms at most, %.1f iterations\n",
		1e3 * bench->spent / (double)bench->runs, 1e3 * bench->slowest,
		(double)bench->iterations / (double)bench->runs);
	return enough;
}

int main(int argc, char **argv)
{
	size_t packages = argc > 1 ? strtoul(argv[1], NULL, 10) : 200;
	struct arena arena = {0};
	struct bench bench = {.chance = {argc > 2 ? strtoul(argv[2], NULL, 10) : 1}};

	gsl_set_error_handler_off();
	bench.vocabulary = unit_vocabulary(&arena);
	for (size_t i = 0; i < packages; i++)
		try_package(&bench);
	bool enough = print_rates(&bench, packages);
	arena_release(&arena);
	return enough ? 0 : 1;
}
