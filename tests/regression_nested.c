#include <math.h>

#include "base/count.h"
#include "regression_set.h"
#include "regression_spread.h"

/* The choices behind the spread, made again without what they are judged by (regression_spread.h). */

static const struct choice {
	double of_slope, own_deviation;
	const char *words;
} choices[] = {{0.012, 0.01, "1.2 %, one spread for all papers"}, {0.018, 0.01, "1.8 %, one spread for all papers"},
	{0.024, 0.01, "2.4 %, one spread for all papers"}, {0.012, 1, "1.2 %, papers with their own"},
	{0.018, 1, "1.8 %, papers with their own"}, {0.024, 1, "2.4 %, papers with their own"}};

/* Sum over the rows of one group, each group of an amine counting as one. */
static double score_of(const struct spread_set *set, const struct spread_fit *fit, size_t group)
{
	double sum = 0, rows = 0;

	for (size_t r = 0; r < set->count; r++)
		if (set->group[r] == group) {
			sum += regression_interval_score(set->row[r]->paper_out, regression_spread_half(set, fit, r));
			rows++;
		}
	return sum / rows;
}

/* Of one choice, without one group: the mean over the others, each left out in turn. NaN: it does not converge. */
static double inner_score(const struct spread_set *set, size_t left_out)
{
	double sum = 0, number = 0;

	for (size_t g = 0; g < set->groups; g++) {
		struct spread_fit fit;

		if (g == left_out)
			continue;
		if (!regression_spread_without_two(set, left_out, g, &fit))
			return (double)NAN;
		sum += score_of(set, &fit, g);
		number++;
	}
	return sum / number;
}

static size_t choose(struct spread_set *set, size_t left_out)
{
	double least = HUGE_VAL;
	size_t best = 0;

	for (size_t c = 0; c < COUNT(choices); c++) {
		spread_set_choose(set, choices[c].of_slope, choices[c].own_deviation);
		double score = inner_score(set, left_out);

		if (score < least) {
			least = score;
			best = c;
		}
	}
	return best;
}

/* The rows of the group, by what was chosen without it. False: nothing was found. */
static bool hold(struct spread_set *set, size_t group, size_t choice, struct held *held)
{
	struct spread_fit fit;

	spread_set_choose(set, choices[choice].of_slope, choices[choice].own_deviation);
	if (!regression_spread_without(set, group, &fit))
		return false;
	for (size_t r = 0; r < set->count; r++) {
		double miss = fabs(set->row[r]->paper_out), half = regression_spread_half(set, &fit, r);

		if (set->group[r] == group)
			held[r] =
				(struct held){set->row[r], group, miss <= half, regression_interval_score(miss, half)};
	}
	return true;
}

static void report_gas(const struct spread_set *set, const struct held *held, const size_t *chosen, FILE *out)
{
	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++) {
		struct held system[VLE_ROWS];
		size_t found = 0;

		for (size_t r = 0; r < set->count; r++)
			if (set->row[r]->amine == amine)
				system[found++] = held[r];
		struct coverage c = regression_cover(system, found);
		fprintf(out, "  %-4s %s  %3zu rows  %5.1f %% inside, score %.3f\n", amine_rows[amine].name,
			set->gas == GAS_H2S ? "H2S" : "CO2", found, 100 * c.inside, c.score);
	}
	for (size_t c = 0; c < COUNT(choices); c++)
		if (chosen[c] > 0)
			fprintf(out, "    chosen %2zu times: %s\n", chosen[c], choices[c].words);
}

void regression_nested_report(const struct terms *terms, const struct vle_row *rows, size_t count, FILE *out)
{
	static struct spread_set set;
	static struct held held[VLE_ROWS];

	fputs("\nThe choices of the intervals nested: what a loading is uncertain by, and whether papers have a spread "
	      "of "
	      "their own, chosen for\n"
	      "each paper (or isotherm) by the score of the others, each left out in turn. The program has 1.8 % and "
	      "papers with their own.\n",
		out);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		size_t chosen[COUNT(choices)] = {0};

		spread_set_open(terms, rows, count, gas, &set);
		for (size_t g = 0; g < set.groups; g++) {
			size_t choice = choose(&set, g);

			chosen[choice]++;
			if (!hold(&set, g, choice, held))
				return;
		}
		report_gas(&set, held, chosen, out);
	}
}
