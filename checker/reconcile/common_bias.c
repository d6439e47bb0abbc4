#include "reconcile/common_bias.h"

#include <stdlib.h>

#include "reconcile/suspects.h"

bool statement_is_in(const struct fit_row *row)
{
	return row->sort == FIT_STATEMENT && !row->removed;
}

static int by_group(const void *a, const void *b)
{
	const struct statement *left = a, *right = b;

	if (left->group != right->group)
		return left->group < right->group ? -1 : 1;
	return (left->row > right->row) - (left->row < right->row);
}

/* A linear metric is common in its own unit: all statements of a group share a metric. */
static struct common common_bias(const struct fit *fit, const struct statement *statements, size_t count)
{
	struct common common = {.count = count};
	double sum = 0, alone = 0;

	for (size_t i = 0; i < count && count > 1; i++) {
		size_t a = statements[i].row;
		double sigma = fit_row(fit, a)->sigma;
		alone += 1 / (sigma * sigma);
		sum += fit_residual(fit, a) / sigma;
		for (size_t k = 0; k < count; k++) {
			size_t b = statements[k].row;
			common.weight +=
				((i == k ? 1.0 : 0.0) - fit_leverage(fit, a, b)) / (sigma * fit_row(fit, b)->sigma);
		}
	}
	if (count < 2 || common.weight <= UNTESTABLE_REDUNDANCY * alone)
		return common;
	common.statistic = sum * sum / common.weight;
	common.bias = sum / common.weight;
	return common;
}

struct quantities quantities_of(struct arena *arena, const struct fit *fit)
{
	size_t rows = fit_row_count(fit), count = 0;
	struct quantities out = {.fit = fit,
		.all = arena_alloc(arena, (rows + 1) * sizeof *out.all),
		.first = arena_alloc(arena, (rows + 1) * sizeof *out.first),
		.common = arena_alloc(arena, (rows + 1) * sizeof *out.common)};

	for (size_t i = 0; i < rows; i++)
		if (statement_is_in(fit_row(fit, i)))
			out.all[count++] = (struct statement){fit_row(fit, i)->group, i};
	qsort(out.all, count, sizeof *out.all, by_group);
	for (size_t first = 0, end; first < count; first = end) {
		struct common *common = arena_alloc(arena, sizeof *common);
		for (end = first; end < count && out.all[end].group == out.all[first].group; end++) {
			out.first[out.all[end].row] = first;
			out.common[out.all[end].row] = common;
		}
		*common = common_bias(fit, &out.all[first], end - first);
	}
	return out;
}
